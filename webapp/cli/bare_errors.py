"""What the web server itself answers to what is no HTTP: the status, and no word of what was sent or who answers."""

from typing import Any

from waitress.utilities import Error


def say_nothing() -> None:
    """Let waitress answer its own errors with the bare status; as it comes, it repeats parts of the request."""

    def to_response(self: Any, ident: str | None = None) -> tuple[str, list[tuple[str, str]], bytes]:
        headers = [("Content-Type", "text/plain; charset=utf-8"), ("Cache-Control", "no-store")]
        return f"{self.code} {self.reason}", headers, f"{self.reason}\r\n".encode()

    Error.to_response = to_response
