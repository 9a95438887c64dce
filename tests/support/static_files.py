"""Serves static/ alone, for tests of the phone's modules that need no server behind them."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *args: Any) -> None:
        """Say nothing."""


@contextmanager
def serving_static(folder: Path) -> Iterator[str]:
    """Serve a folder on a free port of this machine; yields the address."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
