"""A network that fails when told to: a small proxy between phones and the server, in its own thread."""

from __future__ import annotations

import asyncio
import json
import re
import threading
from collections import deque
from dataclasses import dataclass
from typing import Any

PATIENCE_S = 10
SYNC = re.compile(r"/sync$")
CAPTIVE = b"<!doctype html><title>Harbour Wi-Fi</title><h1>Welcome aboard</h1><form action='/login'></form>"


@dataclass(frozen=True)
class Fault:
    """What happens to one request; `at` counts bytes of its body or of the answer.

    pass · refuse · silence · hold (until let go) · cut_up (so many bytes reach the server) · cut_before_answer (the
    server did it all) · cut_answer (after so many bytes) · dup (delivered three times) · answer (`status`, `body`,
    `headers`, and the server never gets the request)
    """

    kind: str = "pass"
    at: int = 0
    status: int = 200
    body: bytes = b""
    headers: str = "Content-Type: text/html"


PASS, REFUSE, SILENCE, HOLD, DUP = (Fault(kind) for kind in ("pass", "refuse", "silence", "hold", "dup"))
CUT_BEFORE_ANSWER = Fault("cut_before_answer")
CAPTIVE_PAGE = Fault("answer", status=200, body=CAPTIVE)
CAPTIVE_REDIRECT = Fault("answer", status=302, headers="Location: http://portal.invalid/login")
TOO_LARGE = Fault("answer", status=413, body=b"<h1>Request Entity Too Large</h1>")


def ours(status: int, code: str, says: str, headers: str = "") -> Fault:
    """An error in the server's own shape."""
    body = {"app": "lineslate", "error": {"code": code, "says": says, "faults": []}}
    typed = "Content-Type: application/json" + (f"\r\n{headers}" if headers else "")
    return Fault("answer", status=status, body=json.dumps(body).encode(), headers=typed)


@dataclass(frozen=True)
class Seen:
    """One request that reached the proxy."""

    path: str
    fault: str
    body: bytes

    @property
    def operations(self) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = json.loads(self.body or b"{}").get("operations", [])
        return found


class Chaos:
    """The proxy: faults of `coming` hit the next requests that carry dives, `always` hits all others to `paths`."""

    def __init__(self, server_port: int) -> None:
        self.server_port, self.port = server_port, 0
        self.coming: deque[Fault] = deque()
        self.always, self.paths = PASS, SYNC
        self.seen: list[Seen] = []
        self.held: list[asyncio.Event] = []
        self._begun = threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve()))
        self._thread.start()
        self._begun.wait(PATIENCE_S)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def next(self, *faults: Fault) -> None:
        self.coming.extend(faults)

    def release(self) -> None:
        """Release the requests that wait."""
        held, self.held = self.held, []
        for one in held:
            self._loop.call_soon_threadsafe(one.set)

    def heal(self) -> None:
        """Pass everything from now on, and what was held as well."""
        self.coming.clear()
        self.always, self.paths = PASS, SYNC
        self.release()

    def close(self) -> None:
        self._loop.call_soon_threadsafe(self._end.set)
        self._thread.join(PATIENCE_S)

    async def _serve(self) -> None:
        self._loop, self._end = asyncio.get_running_loop(), asyncio.Event()
        self._tasks: set[asyncio.Task[None]] = set()
        self._writers: set[asyncio.StreamWriter] = set()
        listening = await asyncio.start_server(self._accepted, "127.0.0.1", 0)
        self.port = listening.sockets[0].getsockname()[1]
        self._begun.set()
        await self._end.wait()
        self._loop.remove_reader(listening.sockets[0].fileno())  # a closed server forgets whom it has just accepted
        while arriving := asyncio.all_tasks() - self._tasks - {asyncio.current_task()}:
            await asyncio.wait(arriving)  # accepted a moment ago; on a slow machine no fixed time is enough for them
        listening.close()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        for writer in self._writers:
            writer.transport.abort()  # a task that was cancelled before it began has not closed its connection
        for _ in range(3):
            await asyncio.sleep(0)  # they close in the loop's next turns, however long one takes

    def _accepted(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self._writers.add(writer)
        task = asyncio.create_task(self._handle(reader, writer))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _handle(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            head = await reader.readuntil(b"\r\n\r\n")
            length = re.search(rb"(?i)\r\ncontent-length: *(\d+)", head)
            body = await reader.readexactly(int(length[1]) if length else 0)
            await self._reply(head, body, writer)
        except (OSError, asyncio.IncompleteReadError):
            pass  # a connection that the browser opened in advance, or a server that is gone
        finally:
            writer.transport.abort()

    async def _reply(self, head: bytes, body: bytes, writer: asyncio.StreamWriter) -> None:
        path = head.split(b" ", 2)[1].decode()
        fault = PASS
        if self.paths.search(path):
            carries = b'"operations":[{' in body  # a sync without operations would use up a fault unnoticed
            fault = self.coming.popleft() if self.coming and carries else self.always
            self.seen.append(Seen(path, fault.kind, body))
        answer = await self._answer(fault, head, body)
        writer.write(answer)
        await writer.drain()
        if answer and fault.kind != "cut_answer":
            writer.close()
            await writer.wait_closed()

    async def _answer(self, fault: Fault, head: bytes, body: bytes) -> bytes:
        """Return the part of an answer that reaches the phone."""
        if fault.kind == "refuse":
            return b""
        if fault.kind == "silence":
            await self._end.wait()
        if fault.kind == "hold":
            self.held.append(asyncio.Event())
            await self.held[-1].wait()
        if fault.kind == "answer":
            line = f"HTTP/1.1 {fault.status} Chosen\r\n{fault.headers}\r\nContent-Length: {len(fault.body)}\r\n"
            return f"{line}Connection: close\r\n\r\n".encode() + fault.body
        if fault.kind == "cut_up":
            await self._ask(head, body[: fault.at], part=True)
            return b""
        for _ in range(2 if fault.kind == "dup" else 0):
            await self._ask(head, body)
        answer = await self._ask(head, body)
        return {"cut_before_answer": b"", "cut_answer": answer[: fault.at]}.get(fault.kind, answer)

    async def _ask(self, head: bytes, body: bytes, part: bool = False) -> bytes:
        """Forward a request and return the whole answer; empty when there is no server."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self.server_port)
        once = re.sub(rb"(?i)\r\nconnection: [^\r]*", b"", head).replace(b"\r\n", b"\r\nConnection: close\r\n", 1)
        try:
            writer.write(once + body)
            await writer.drain()
            return b"" if part else await reader.read(-1)
        finally:
            writer.transport.abort()
