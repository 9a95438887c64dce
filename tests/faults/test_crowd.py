"""Many connections that say nothing, or say it slowly, keep nobody else out."""

from __future__ import annotations

import http.client
import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from support.boat import ROOT

SLOW = b"POST /sync HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 4000\r\n\r\n{"


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """A server of its own process that waits a second for a request to arrive whole; every crowd comes to it."""
    told = {**os.environ, "PYTHONPATH": str(ROOT), "LINESLATE_REQUEST_S": "1"}
    process = subprocess.Popen(
        [sys.executable, "-m", "webapp", "serve", "--port", "0"], cwd=tmp_path_factory.mktemp("crowd"),
        env=told, text=True, stdout=subprocess.PIPE,
    )  # fmt: skip
    assert process.stdout is not None
    found = re.search(r":(\d+)/", process.stdout.readline())
    assert found is not None
    yield int(found[1])
    process.terminate()
    process.communicate(timeout=20)


@pytest.fixture
def proxy(port: int, tmp_path: Path) -> Iterator[int]:
    """The proxy in front of the server, with the README's own file."""
    caddy = shutil.which("caddy")
    if caddy is None:
        if os.environ.get("LINESLATE_TEST_PROXY"):
            pytest.fail("Caddy is missing")
        # Never skipped where Caddy is installed. Without it the README's test command must still work on a machine
        # that has only Python and a browser; .ci/run installs Caddy and sets the flag, so there a missing one fails.
        pytest.skip("Caddy is not installed, and the README's command does not need it: with it this always runs")
    with socket.create_server(("127.0.0.1", 0)) as taken:
        free = taken.getsockname()[1]
    lines = re.search(r"  ```\n(  \{\n.*?)  ```\n", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)
    assert lines is not None
    told = (
        lines[1].replace("slate.example.org", f"http://127.0.0.1:{free}").replace("127.0.0.1:8700", f"127.0.0.1:{port}")
    )
    (tmp_path / "Caddyfile").write_text(told.replace("  {\n", "  {\n      admin off\n", 1), encoding="utf-8")
    around = {**os.environ, "HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path)}
    with (tmp_path / "caddy.log").open("w") as log:
        process = subprocess.Popen([caddy, "run", "--config", "Caddyfile"], cwd=tmp_path, env=around, stderr=log)
    until_open(free)
    yield free
    process.terminate()
    process.wait(timeout=20)


def until_open(port: int) -> None:
    """Wait until something listens there."""
    ends = time.monotonic() + 20
    while time.monotonic() < ends:
        try:
            connected(port).close()
        except OSError:
            continue
        return
    raise AssertionError("the proxy does not listen")


def connected(port: int, says: bytes = b"") -> socket.socket:
    one = socket.create_connection(("127.0.0.1", port), timeout=20)
    one.sendall(says)
    return one


def answers(port: int) -> int:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        connection.request("GET", "/healthz")
        return connection.getresponse().status
    finally:
        connection.close()


@pytest.mark.parametrize("says", [b"", SLOW], ids=["idle", "slow"])
def test_hundreds_of_idle_or_slow_connections_keep_nobody_out(port: int, says: bytes) -> None:
    with ExitStack() as held:
        for _ in range(300):
            held.enter_context(connected(port, says))
        assert [answers(port) for _ in range(5)] == [200] * 5


def test_behind_the_proxy_of_the_readme_slow_bodies_keep_nobody_out(proxy: int) -> None:
    with ExitStack() as held:
        for _ in range(150):
            held.enter_context(connected(proxy, SLOW))
        assert [answers(proxy) for _ in range(5)] == [200] * 5


def test_a_request_that_does_not_arrive_whole_in_time_is_given_up(port: int) -> None:
    with connected(port, SLOW) as slow:
        while True:
            try:
                slow.sendall(b" ")
                slow.settimeout(0.2)
                if slow.recv(4096) == b"":
                    break
            except TimeoutError:
                continue  # still waiting for the rest: a byte now and then is sent on
            except OSError:
                break
    assert answers(port) == 200
