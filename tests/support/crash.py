"""Starts the real server so that it dies or fails where a test wants it to, with its clock at a known moment.

`python tests/support/crash.py WISHES MOMENT [serve's own]`; WISHES is JSON: {"point": one of POINTS, "busy_ms": how
long it waits for a locked file, "file_bytes": how large a file may grow, "grace_s": how long running answers may take
when it is told to stop, "settings": {…}}. The app knows nothing of it.
"""

from __future__ import annotations

import io
import json
import os
import resource
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2]))

from support import serving
from webapp.cli import serve, stopping
from webapp.store import journal, records
from webapp.store.sqlite import database

POINTS = ("before_the_batch", "mid_batch", "before_the_records", "before_commit", "after_commit", "mid_answer")
this = threading.local()  # .carries: this thread handles a request with operations; .wrote: their records are written


def main(argv: Sequence[str]) -> int:
    """Serve, with what was wished."""
    wishes, moment, *rest = json.loads(argv[0]), datetime.fromisoformat(argv[1]), *argv[2:]
    fresh_s = serving.HOUR_S if rest[0] == serving.FRESH else 0
    if "busy_ms" in wishes:
        database.PRAGMAS["busy_timeout"] = wishes["busy_ms"]
    stopping.GRACE_S = wishes.get("grace_s", stopping.GRACE_S)
    make = serve.create_app

    def create_app(settings: Any) -> Any:
        app = make(settings)
        app.wsgi_app = door(app.wsgi_app, wishes.get("point"))  # type: ignore[method-assign]
        if "file_bytes" in wishes:
            resource.setrlimit(resource.RLIMIT_FSIZE, (wishes["file_bytes"],) * 2)
        return app

    serve.create_app = create_app  # type: ignore[assignment]
    place_points(wishes.get("point"))
    often = {"SYNC_PER_MINUTE": 100_000, "SIGN_IN_TRIES_OF_ADDRESS": 100_000}  # as the clock stands still
    settings = {"NOW": lambda: moment, "FILES_FRESH_S": fresh_s, **often, **wishes.get("settings", {})}
    return serve.main(rest[1:] if fresh_s else rest, settings)


def die(point: str, wished: str | None) -> None:
    """End the process as a kill does: without flushing or cleaning up."""
    if point == wished and getattr(this, "carries", False):
        os._exit(9)


def door(inner: Callable[..., Iterable[bytes]], wished: str | None) -> Callable[..., Iterable[bytes]]:
    """Note whether a request carries operations, and end in the middle of the answer when that is wished."""

    def answer(environ: dict[str, Any], start: Any) -> Iterable[bytes]:
        this.carries, this.wrote = environ["PATH_INFO"] == "/sync" and carries(environ), False
        die("before_the_batch", wished)
        answered = inner(environ, start)
        return half(answered) if this.carries and wished == "mid_answer" else answered

    return answer


def carries(environ: dict[str, Any]) -> bool:
    """Tell whether a sync request carries operations."""
    body = environ["wsgi.input"].read()
    environ["wsgi.input"] = io.BytesIO(body)
    return bool(json.loads(body).get("operations"))


def half(answered: Iterable[bytes]) -> Iterator[bytes]:
    """Yield half of an answer, give it time to leave, and end."""
    whole = b"".join(answered)
    yield whole[: len(whole) // 2]
    time.sleep(0.3)
    os._exit(9)


def place_points(wished: str | None) -> None:
    """Put the points around the functions that write."""
    add, put, commit = journal.add_entries, records.put_records, database.database.commit

    def add_entries(feed_id: int, author_id: int | None, entries: Any) -> Any:
        if wished == "mid_batch":
            add(feed_id, author_id, entries[: len(entries) // 2 + 1])
            die("mid_batch", wished)
        return add(feed_id, author_id, entries)

    def put_records(feed_id: int, stand: Any, texts: Any) -> None:
        die("before_the_records", wished)
        put(feed_id, stand, texts)
        this.wrote = True

    def committed() -> None:
        wrote = getattr(this, "wrote", False)  # finding out who is signed in is a transaction too
        die("before_commit", wished if wrote else None)
        commit()
        die("after_commit", wished if wrote else None)

    journal.add_entries, records.put_records = add_entries, put_records
    database.database.commit = committed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
