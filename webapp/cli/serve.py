"""Serves the app with waitress: creates or upgrades the data file, prints the address, runs until stopped."""

import argparse
import errno
import logging
import socket
import sqlite3
import sys
from collections.abc import Mapping, Sequence
from ipaddress import ip_address
from pathlib import Path
from typing import Any

from flask import Flask
from waitress import create_server

from webapp import clock
from webapp.actions import events
from webapp.cli import bare_errors, connections, demo, stopping
from webapp.store.sqlite import starting
from webapp.store.sqlite.marker import Vanished
from webapp.store.sqlite.migrate import FileChanged, TooNew
from webapp.web.app import create_app
from webapp.web.config import PREFIX, read_settings

HOST, PORT = "127.0.0.1", 8700
DEMO_FILE = ".lineslate/demo.sqlite3"
FRAME_BYTES = 64 * 1024  # added to the app's limit; waitress itself refuses anything larger


def main(argv: Sequence[str] | None = None, settings: Mapping[str, Any] | None = None) -> int:
    """Run the command `serve`; return the exit status. `settings` override it: a fixed clock, say."""
    asked = _parser().parse_args(argv)
    try:
        app, begun = _opened({**read_settings(), **_settings(asked), **(settings or {})}, is_new=asked.new)
        _check_hosts(asked.host, app)
    except (ValueError, TooNew, FileChanged, Vanished, OSError, sqlite3.DatabaseError) as error:
        return _complain(f"Cannot start: {error}")
    try:
        listening = _listen(asked)
    except OSError as error:
        return _complain(f"Cannot listen on {asked.host} port {asked.port}: {error.strerror}. Try --port 0.")
    _write_events()
    server = _server(app, listening)
    told = stopping.listen(server)
    _greet(asked, listening, app)
    stopping.run(server, told)
    server.close()
    starting.end(begun)
    print("Stopped.")
    return 0


def _opened(settings: Mapping[str, Any], *, is_new: bool) -> tuple[Flask, starting.Begun]:
    """Return the app with its data file open, and the hold on the file; say what a check of it has found."""
    begun = starting.begin(Path(settings["DATA_FILE"]), is_new=is_new)
    app = create_app(settings)
    for says in starting.look(begun):
        print(says, file=sys.stderr)
    return app, begun


def _check_hosts(host: str, app: Flask) -> None:
    """Raise ValueError when the app can be reached from elsewhere and accepts any host name in a request."""
    if not is_loopback(host) and not app.config["TRUSTED_HOSTS"]:
        raise ValueError(
            f"{PREFIX}TRUSTED_HOSTS is empty and {host} can be reached from other machines. Set it to the host names "
            "of this server, separated by spaces."
        )


def is_loopback(host: str) -> bool:
    """Tell whether an address can be reached from this machine only."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _complain(says: str) -> int:
    print(says, file=sys.stderr)
    return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m webapp serve", description=__doc__)
    parser.add_argument("--host", default=HOST, help=f"address to listen on (default {HOST}: this machine only)")
    parser.add_argument("--port", type=int, default=PORT, help=f"port (default {PORT}; 0 takes a free one)")
    parser.add_argument("--open-port-if-busy", action="store_true", help="take a free port when the port is in use")
    parser.add_argument("--data", type=Path, help="the SQLite file; created when it is missing")
    parser.add_argument("--new", action="store_true", help="begin again with an empty file when the old one is gone")
    parser.add_argument("--demo", action="store_true", help="an invented diver in mid-season, in its own data file")
    return parser


def _settings(asked: argparse.Namespace) -> dict[str, Any]:
    """Return the settings that the command line decides; the demo never touches a real diver's file."""
    if asked.data:
        return {"DATA_FILE": str(asked.data)}
    return {"DATA_FILE": DEMO_FILE} if asked.demo else {}


def _listen(asked: argparse.Namespace) -> socket.socket:
    """Open the port, or a free one when it is busy and that is allowed."""
    family = socket.AF_INET6 if ":" in asked.host else socket.AF_INET
    try:
        return socket.create_server((asked.host, asked.port), family=family)
    except OSError as error:
        if not asked.open_port_if_busy or error.errno != errno.EADDRINUSE:
            raise
        return socket.create_server((asked.host, 0), family=family)


def _write_events() -> None:
    """Write what happens with accounts to the standard error, each event as one line of JSON."""
    lines = logging.StreamHandler()
    lines.setFormatter(logging.Formatter("%(message)s"))
    events.log.addHandler(lines)
    events.log.setLevel(logging.INFO)
    events.log.propagate = False


def _server(app: Flask, listening: socket.socket) -> Any:
    connections.allow_files()
    connections.wait_in_silence()
    bare_errors.say_nothing()
    server = create_server(
        app,
        sockets=[listening],
        threads=app.config["THREADS"],
        ident=None,
        max_request_body_size=max(app.config["MAX_CONTENT_LENGTH"], app.config["MAX_FILE_LENGTH"]) + FRAME_BYTES,
        # waitress drops X-Forwarded-* unless configured otherwise; ProxyFix then trusts as many proxies as are set
        clear_untrusted_proxy_headers=not app.config["TRUSTED_PROXIES"],
        **connections.limits(),
    )
    connections.end_slow_ones(server, app.config["REQUEST_S"])
    return server


def _greet(asked: argparse.Namespace, listening: socket.socket, app: Flask) -> None:
    """Print where it listens and, for the demo, how to sign in."""
    port = listening.getsockname()[1]
    shown = f"[{asked.host}]" if ":" in asked.host else asked.host
    lines = [f"Lineslate is at http://{shown}:{port}/", f"Data file: {app.config['DATA_FILE']}"]
    if asked.demo:
        demo.make_if_missing(app, clock.now())
        lines.append(f"Demo sign-in: {demo.NAME} / {demo.PASSWORD}")
    print(*lines, sep="\n", flush=True)
