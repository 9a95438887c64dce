"""Serves a folder alone: static/, for tests of the phone's modules, or a page that needs no server behind it."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page


class _Quiet(SimpleHTTPRequestHandler):
    def __init__(self, *args: Any, headers: Mapping[str, str], **options: Any) -> None:
        self.more = headers
        super().__init__(*args, **options)

    def log_message(self, *args: Any) -> None:
        """Say nothing."""

    def end_headers(self) -> None:
        for name, value in self.more.items():
            self.send_header(name, value)
        super().end_headers()


@contextmanager
def serving_static(folder: Path, headers: Mapping[str, str] | None = None) -> Iterator[str]:
    """Serve a folder on a free port of this machine, with these headers more; yields the address."""
    handler = partial(_Quiet, directory=str(folder), headers=headers or {})
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


@contextmanager
def phone_modules(browser: Browser, folder: Path, *modules: str) -> Iterator[Page]:
    """A page of this folder with what these modules of the phone export, as `window.reader`."""
    loads = ", ".join(f'import("/js/{module}")' for module in modules)
    with serving_static(folder) as address:
        page = browser.new_page()
        page.goto(f"{address}/css/base.css")
        page.evaluate(f"Promise.all([{loads}]).then((parts) => {{ window.reader = Object.assign({{}}, ...parts); }})")
        yield page
        page.close()
