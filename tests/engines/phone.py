"""A phone in the diver's hand, whatever its engine: it is touched and read by the words on it."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, Protocol

from engines.processes import EngineError, until
from support.boat import READ_STORE, Server

TEXT = "(part) => document.querySelector(part).innerText.replace(/\\s+/g, ' ')"
FIND = """(selector, words) => {
  const all = [...document.querySelectorAll(selector)];
  const found = all.find((one) => one.checkVisibility() && one.textContent.trim().startsWith(words));
  const element = found?.control ?? found ?? null;
  element?.scrollIntoView({ block: "center" });
  return element;
}"""
IS_THERE = f"(selector, words) => ({FIND})(selector, words) !== null"


class Engine(Protocol):
    """What a driver does in the page that is open. Functions are JavaScript, what they are given is text."""

    def go(self, address: str) -> None: ...
    def ask(self, function: str, *given: str) -> Any: ...
    def touch(self, function: str, *given: str) -> object: ...
    def type(self, text: str, function: str, *given: str) -> None: ...


class EnginePhone:
    """The app as it is open on the phone."""

    def __init__(self, engine: Engine, server: Server) -> None:
        self.engine, self.server = engine, server

    def open(self, path: str) -> None:
        self.engine.go(self.server.url + path)

    def fill(self, label: str, text: str) -> None:
        until(lambda: self.engine.ask(IS_THERE, "main label", label))
        until(lambda: self._touched(lambda: self.engine.type(text, FIND, "main label", label)))

    def press(self, words: str) -> None:
        until(lambda: self.engine.ask(IS_THERE, "main button", words))
        until(lambda: self._touched(lambda: self.engine.touch(FIND, "main button", words)))

    def _touched(self, touch: Callable[[], object]) -> bool:
        """Touch it, unless the page was drawn anew under the finger: then it is looked for again."""
        try:
            touch()
        except EngineError as error:
            if "out of bounds" not in str(error):
                raise
            return False
        return True

    def sees(self, *words: str) -> None:
        """Wait until all of these words stand on the page."""
        until(lambda: self.engine.ask(TEXT, "body"), lambda text: all(one in text for one in words))

    def main(self) -> str:
        """The words of the page itself, without the line at its foot that tells what was sent."""
        return str(self.engine.ask(TEXT, "main"))

    def kept(self, store: str) -> list[dict[str, Any]]:
        """Everything in one store of the phone's database, read past the app."""
        return list(json.loads(self.engine.ask(READ_STORE, store)))
