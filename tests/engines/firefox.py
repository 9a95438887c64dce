"""Firefox without a window, driven by W3C WebDriver BiDi. It keeps its profile on the disk from start to start."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from itertools import count
from pathlib import Path
from typing import Any

from engines.processes import EngineError, running, until
from websockets.sync.client import connect

Call = Callable[..., Any]


class Firefox:
    """One tab."""

    def __init__(self, call: Call) -> None:
        self.call = call
        self.tab = call("browsingContext.getTree")["contexts"][0]["context"]
        call("browsingContext.setViewport", context=self.tab, viewport={"width": 390, "height": 844})

    def go(self, address: str) -> None:
        self.call("browsingContext.navigate", context=self.tab, url=address, wait="complete")

    def ask(self, function: str, *given: str) -> Any:
        """Call a function in the page; return what it, or its promise, gives."""
        as_json = f"async (...given) => JSON.stringify(await ({function})(...given)) ?? 'null'"
        return json.loads(self._run(as_json, given)["value"])

    def touch(self, function: str, *given: str) -> None:
        """Touch the element that this function finds."""
        middle = {"type": "element", "element": {"sharedId": self._run(function, given)["sharedId"]}}
        to_it = {"type": "pointerMove", "x": 0, "y": 0, "origin": middle}
        self._act("pointer", [to_it, {"type": "pointerDown", "button": 0}, {"type": "pointerUp", "button": 0}])

    def type(self, text: str, function: str, *given: str) -> None:
        self.touch(function, *given)
        self._act("key", [{"type": way, "value": key} for key in text for way in ("keyDown", "keyUp")])

    def _run(self, function: str, given: tuple[str, ...]) -> dict[str, Any]:
        arguments = [{"type": "string", "value": one} for one in given]
        asked = {"functionDeclaration": function, "arguments": arguments, "awaitPromise": True}
        told = self.call("script.callFunction", target={"context": self.tab}, **asked)
        if told["type"] == "exception":
            raise EngineError(told["exceptionDetails"]["text"])
        return dict(told["result"])

    def _act(self, kind: str, steps: list[dict[str, Any]]) -> None:
        hand = {"type": kind, "id": kind, "actions": steps}
        self.call("input.performActions", context=self.tab, actions=[hand])


@contextmanager
def firefox(folder: Path, zone: str) -> Iterator[Callable[[], AbstractContextManager[Firefox]]]:
    """Yield what starts the browser."""
    profile = folder / "profile"
    profile.mkdir()
    yield lambda: started(profile, {**os.environ, "HOME": str(folder), "TZ": zone})


@contextmanager
def started(profile: Path, env: dict[str, str]) -> Iterator[Firefox]:
    """Start Firefox; at the end it closes as it does for anybody."""
    command = ["firefox-esr", "--headless", "--no-remote", "--profile", str(profile), "--remote-debugging-port", "0"]
    says = profile / "WebDriverBiDiServer.json"  # there as long as Firefox listens
    with running(command, "firefox-esr", env) as process:
        port = until(lambda: json.loads(says.read_text()))["ws_port"]
        with connect(f"ws://127.0.0.1:{port}/session", proxy=None, max_size=None) as socket:
            numbers = count()

            def call(method: str, **asked: Any) -> Any:
                return answer_to(socket, next(numbers), method, asked)

            call("session.new", capabilities={})
            yield Firefox(call)
            call("browser.close")
        process.wait(120)


def answer_to(socket: Any, number: int, method: str, asked: dict[str, Any]) -> Any:
    """Send one command; return its answer, which is the message of the same number."""
    socket.send(json.dumps({"id": number, "method": method, "params": asked}))
    told = json.loads(socket.recv(timeout=120))
    while told.get("id") != number:
        told = json.loads(socket.recv(timeout=120))
    if told["type"] == "error":
        raise EngineError(f"{method}: {told['error']}: {told['message']}")
    return told["result"]
