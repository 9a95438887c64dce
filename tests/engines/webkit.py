"""WebKit as GTK has it, on an X server without a screen, driven by W3C WebDriver.

What it keeps lives as long as its process: a driven WebKitGTK writes no profile. So closing the app and opening it
again is here a new window beside a first one that stays empty.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

from engines.processes import EngineError, running, until

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # the standard's name of a reference to an element
Call = Callable[..., Any]


class WebKit:
    """One window."""

    def __init__(self, call: Call) -> None:
        self.call = call

    def go(self, address: str) -> None:
        self.call("POST", "/url", url=address)

    def ask(self, function: str, *given: str) -> Any:
        """Call a function in the page; return what it, or its promise, gives."""
        return self.call("POST", "/execute/sync", script=f"return ({function})(...arguments)", args=given)

    def touch(self, function: str, *given: str) -> str:
        """Touch the element that this function finds; return the element's id."""
        element = str(self.ask(function, *given)[ELEMENT])
        self.call("POST", f"/element/{element}/click")
        return element

    def type(self, text: str, function: str, *given: str) -> None:
        element = self.touch(function, *given)
        self.call("POST", f"/element/{element}/value", text=text)


@contextmanager
def webkit(folder: Path, zone: str) -> Iterator[Callable[[], AbstractContextManager[WebKit]]]:
    """Run the browser; yield what opens a window of it."""
    own = {"HOME": str(folder), "TZ": zone, "GDK_BACKEND": "x11", "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1"}
    port = free_port()
    with display() as name:
        env = {**os.environ, **own, "DISPLAY": name}
        with running(["WebKitWebDriver", f"--port={port}"], "webkit2gtk-driver", env):
            until(lambda: call(port, "GET", "/status")["ready"])
            session = call(port, "POST", "/session", capabilities={})["sessionId"]

            def here(method: str, path: str, **body: Any) -> Any:
                return call(port, method, f"/session/{session}{path}", **body)

            yield lambda: window(here)
            here("DELETE", "")


@contextmanager
def window(here: Call) -> Iterator[WebKit]:
    """Open a window, as narrow as a phone; close it at the end."""
    first = here("GET", "/window")
    here("POST", "/window", handle=here("POST", "/window/new", type="window")["handle"])
    here("POST", "/window/rect", width=390, height=844)
    yield WebKit(here)
    here("DELETE", "/window")
    here("POST", "/window", handle=first)


@contextmanager
def display() -> Iterator[str]:
    """Start an X server on a display that it finds free; yield the name of that."""
    command = ["Xvfb", "-displayfd", "1", "-nolisten", "tcp"]
    with running(command, "xvfb", os.environ, stdout=subprocess.PIPE) as process:
        number = process.stdout.readline().strip() if process.stdout else ""
        assert number, "Xvfb did not start"
        yield f":{number}"


def call(port: int, method: str, path: str, **body: Any) -> Any:
    """Send one command to the driver; return its answer."""
    connection = HTTPConnection("127.0.0.1", port, timeout=120)
    try:
        connection.request(method, path, json.dumps(body) if method == "POST" else None)
        value = json.loads(connection.getresponse().read())["value"]
    finally:
        connection.close()
    if isinstance(value, dict) and "error" in value:
        raise EngineError(f"{path}: {value['error']}: {value['message']}")
    return value


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        return int(listening.getsockname()[1])
