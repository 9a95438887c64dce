"""The server as people start it: a process of its own that prints where it is."""

import json
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode

import pytest

from webapp.cli import demo

ROOT = Path(__file__).parents[2]
Start = Callable[..., tuple[subprocess.Popen[str], list[str]]]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    """Start a server in an empty folder; return it with the lines it printed up to the last one it promises."""
    running: list[subprocess.Popen[str]] = []

    def begin(*words: str, lines: int = 2, **told: str) -> tuple[subprocess.Popen[str], list[str]]:
        around = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONWARNINGS": "error", **told}
        process = subprocess.Popen(
            [sys.executable, "-m", "webapp", "serve", *words],
            cwd=tmp_path, env=around, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip
        running.append(process)
        return process, [process.stdout.readline().strip() for _ in range(lines)] if process.stdout else []

    yield begin
    for process in running:
        process.terminate()
        process.communicate(timeout=20)


def port_of(line: str) -> int:
    found = re.fullmatch(r"Lineslate is at http://127\.0\.0\.1:(\d+)/", line)
    assert found, line
    return int(found[1])


def asked(port: int, path: str, **headers: str) -> tuple[int, str, str]:
    """Return status, cookie and body of one request."""
    connection = HTTPConnection("127.0.0.1", port, timeout=20)
    try:
        connection.request("GET", path, headers=headers)
        answer = connection.getresponse()
        return answer.status, answer.headers.get("Set-Cookie") or "", answer.read().decode()
    finally:
        connection.close()


def test_port_0_takes_a_free_port_and_prints_the_real_one(start: Start, tmp_path: Path) -> None:
    _, (line, _) = start("--port", "0")

    assert asked(port_of(line), "/healthz")[0] == 200
    assert (tmp_path / ".lineslate" / "lineslate.sqlite3").exists()


def test_the_demo_prints_its_sign_in_and_has_a_data_file_of_its_own(start: Start, tmp_path: Path) -> None:
    _, lines = start("--demo", "--port", "0", lines=3)

    assert lines[2] == f"Demo sign-in: {demo.NAME} / {demo.PASSWORD}"
    assert asked(port_of(lines[0]), "/account/sign-in")[0] == 200
    assert [file.name for file in (tmp_path / ".lineslate").glob("*.sqlite3")] == ["demo.sqlite3"]


def test_the_data_file_can_be_named(start: Start, tmp_path: Path) -> None:
    start("--port", "0", "--data", "mine.sqlite3")

    assert (tmp_path / "mine.sqlite3").exists()
    assert (tmp_path / "mine.sqlite3.key").stat().st_mode & 0o077 == 0


def test_a_busy_port_is_told_in_words(start: Start) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        process, _ = start("--port", str(taken.getsockname()[1]), lines=0)
        _, complaint = process.communicate(timeout=20)

    assert process.returncode == 1
    assert "Cannot listen" in complaint
    assert "Traceback" not in complaint


def test_a_busy_port_gives_way_to_a_free_one_when_asked(start: Start) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        busy = taken.getsockname()[1]
        _, (line, _) = start("--port", str(busy), "--open-port-if-busy")

        assert port_of(line) != busy


def test_no_answer_names_the_server_or_its_version(start: Start) -> None:
    _, (line, _) = start("--port", "0")
    connection = HTTPConnection("127.0.0.1", port_of(line), timeout=20)
    for path in ("/healthz", "/nowhere", "/account/sign-in"):
        connection.request("GET", path)
        answer = connection.getresponse()
        answer.read()
        told = {name.lower() for name in answer.headers}
        assert not told & {"server", "x-powered-by", "via"}
    connection.close()


def test_behind_a_trusted_proxy_the_cookie_is_secure_and_else_the_proxys_word_is_nothing(start: Start) -> None:
    told = {"X-Forwarded-Proto": "https"}
    _, (alone, _) = start("--port", "0", "--data", "a.sqlite3")
    _, (behind, _) = start("--port", "0", "--data", "b.sqlite3", LINESLATE_TRUSTED_PROXIES="1")

    assert "Secure" not in asked(port_of(alone), "/account/sign-in", **told)[1]
    assert "Secure" in asked(port_of(behind), "/account/sign-in", **told)[1]


def test_a_setting_that_cannot_be_read_is_told_in_words(start: Start) -> None:
    process, _ = start("--port", "0", lines=0, LINESLATE_THREADS="many")
    _, complaint = process.communicate(timeout=20)

    assert process.returncode == 1
    assert "LINESLATE_THREADS must be a whole number" in complaint
    assert "Traceback" not in complaint


@pytest.mark.parametrize("host", ["0.0.0.0", "::"])  # noqa: S104
def test_reachable_from_elsewhere_the_server_asks_which_hosts_to_trust(start: Start, host: str) -> None:
    process, _ = start("--host", host, "--port", "0", lines=0)
    _, said = process.communicate(timeout=60)

    assert process.returncode == 1
    assert "LINESLATE_TRUSTED_HOSTS" in said
    assert "Traceback" not in said


def test_on_this_machine_only_any_host_name_is_accepted(start: Start) -> None:
    _, lines = start("--host", "127.0.0.2", "--port", "0")
    assert lines[0].startswith("Lineslate is at http://127.0.0.2:")


def test_with_its_hosts_named_the_server_listens_on_every_address(start: Start) -> None:
    _, lines = start("--host", "0.0.0.0", "--port", "0", LINESLATE_TRUSTED_HOSTS="slate.example.org")  # noqa: S104
    assert lines[0].startswith("Lineslate is at http://0.0.0.0:")


def test_a_data_file_that_vanished_is_refused_at_the_start_with_the_way_on(start: Start, tmp_path: Path) -> None:
    first, _ = start("--port", "0", "--data", "mine.sqlite3")
    first.kill()
    first.communicate(timeout=20)
    for part in ("mine.sqlite3", "mine.sqlite3-wal", "mine.sqlite3-shm"):
        (tmp_path / part).unlink(missing_ok=True)

    refused, _ = start("--port", "0", "--data", "mine.sqlite3", lines=0)
    _, complaint = refused.communicate(timeout=60)

    assert refused.returncode == 1
    for words in ("mine.sqlite3 was there before and is missing now", "restore a backup", "--new"):
        assert words in complaint
    assert not (tmp_path / "mine.sqlite3").exists()

    start("--port", "0", "--data", "mine.sqlite3", "--new")
    assert (tmp_path / "mine.sqlite3").exists()


def test_a_data_file_deleted_while_the_server_runs_is_not_made_anew(start: Start, tmp_path: Path) -> None:
    _, (line, _) = start("--port", "0", "--data", "mine.sqlite3")
    (tmp_path / "mine.sqlite3").unlink()

    for path in ("/account/sign-up", "/account/sign-up"):
        assert asked(port_of(line), path)[0] == 503
    assert not (tmp_path / "mine.sqlite3").exists()


def test_nothing_is_restored_while_a_server_holds_the_file(start: Start, tmp_path: Path) -> None:
    process, _ = start("--port", "0", "--data", "mine.sqlite3")
    keep = [sys.executable, "-m", "webapp"]
    told = {"cwd": tmp_path, "env": {**os.environ, "PYTHONPATH": str(ROOT)}, "capture_output": True, "text": True}
    subprocess.run([*keep, "backup", "kept", "--data", "mine.sqlite3"], check=True, **told)  # type: ignore[call-overload]
    before = (tmp_path / "mine.sqlite3").stat().st_ino
    restore = [*keep, "restore", "kept", "--data", "mine.sqlite3"]

    refused = subprocess.run(restore, check=False, **told)  # type: ignore[call-overload]

    assert refused.returncode == 1
    assert "a server holds mine.sqlite3: stop it first" in refused.stderr
    assert (tmp_path / "mine.sqlite3").stat().st_ino == before
    process.kill()
    process.communicate(timeout=20)
    assert subprocess.run(restore, check=False, **told).returncode == 0  # type: ignore[call-overload]


@pytest.mark.parametrize("told", [signal.SIGTERM, signal.SIGINT])
def test_a_server_told_to_stop_closes_its_file_and_the_next_start_has_nothing_to_check(
    start: Start, tmp_path: Path, told: signal.Signals
) -> None:
    first, (line, _) = start("--port", "0", "--data", "mine.sqlite3")
    with sqlite3.connect(tmp_path / "mine.sqlite3") as keeps_the_log:
        keeps_the_log.execute("SELECT count(*) FROM user").fetchone()
        asked(port_of(line), "/account/sign-in")
        first.send_signal(told)
        said, complaint = first.communicate(timeout=30)
    keeps_the_log.close()

    assert (first.returncode, said) == (0, "Stopped.\n")
    assert "Traceback" not in complaint
    second, _ = start("--port", "0", "--data", "mine.sqlite3")
    second.send_signal(told)
    said, complaint = second.communicate(timeout=30)
    assert said == "Stopped.\n"
    assert "not closed properly" not in complaint


ODD = (
    b"GET /<secret> HTTP/1.1\r\nHost: x\r\nno colon here <secret>\r\n\r\n",
    b"<secret>\r\n\r\n",
    b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: secret\r\n\r\n",
    b"POST / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: secret\r\n\r\n",
)


def test_what_is_no_http_is_answered_by_the_bare_status(start: Start) -> None:
    _, (line, _) = start("--port", "0")
    for sent in ODD:
        with socket.create_connection(("127.0.0.1", port_of(line)), timeout=20) as connection:
            connection.sendall(sent)
            said = b"".join(iter(lambda: connection.recv(65536), b""))
        status = said.split(b"\r\n")[0]
        assert re.fullmatch(rb"HTTP/1\.[01] (400|413|431|501) [A-Za-z ]+", status), said
        body = said.partition(b"\r\n\r\n")[2].strip()
        assert body == status.split(b" ", 2)[2]
        assert b"waitress" not in said.lower()


def test_what_happens_with_accounts_is_written_as_lines_of_json(start: Start) -> None:
    process, lines = start("--demo", "--port", "0", lines=3)
    port = port_of(lines[0])
    _, cookie, page = asked(port, "/account/sign-in")
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', page)
    assert token
    typed = urlencode({"name": demo.NAME, "password": "a wrong guess", "csrf_token": token[1]})
    connection = HTTPConnection("127.0.0.1", port, timeout=20)
    connection.request("POST", "/account/sign-in", typed, {
        "Cookie": cookie.split(";")[0], "Content-Type": "application/x-www-form-urlencoded",
    })  # fmt: skip
    assert connection.getresponse().status == 400
    connection.close()
    assert process.stderr is not None
    said = [json.loads(process.stderr.readline()) for _ in range(2)]
    assert [(line["diver"], line["what"]) for line in said] == [(1, "signed_up"), (1, "refused")]
    assert demo.NAME not in json.dumps(said)


def test_many_who_come_at_once_are_all_answered_without_a_line_for_each_that_waits(start: Start) -> None:
    process, (line, _) = start("--port", "0", LINESLATE_THREADS="1")
    port = port_of(line)
    people = [HTTPConnection("127.0.0.1", port, timeout=20) for _ in range(30)]
    for one in people:
        one.request("GET", "/account/sign-in", headers={"Host": "localhost"})

    answers = [one.getresponse() for one in people]

    assert {answer.status for answer in answers} == {200}
    for one in people:
        one.close()
    process.terminate()
    assert process.communicate(timeout=20)[1] == ""
