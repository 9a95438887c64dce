"""Serves an app from a thread of the test's own process, for tests that change the app's tables."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from flask import Flask
from werkzeug.serving import make_server


@contextmanager
def serving(app: Flask) -> Iterator[str]:
    """Serve on a free port of this machine; yields the address."""
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
