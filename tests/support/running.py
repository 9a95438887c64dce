"""A server as a process of its own, forked from one that has the app imported: that import was half of each test."""

from __future__ import annotations

import multiprocessing
import os
import shutil
import sys
from collections.abc import Callable, Sequence
from multiprocessing import forkserver
from multiprocessing.connection import Connection
from pathlib import Path

import webapp
from webapp.web import app, assets

ROOT = Path(__file__).parents[2]
PATHS = os.pathsep.join(map(str, (ROOT, ROOT / "tests")))
Main = Callable[[Sequence[str]], int]

forks = multiprocessing.get_context("forkserver")


class Forked:
    """One such server, with as much of subprocess.Popen as the tests use."""

    def __init__(self, main: Main, argv: Sequence[str], quiet: bool, files: Path = ROOT) -> None:
        _ready()
        here, there = forks.Pipe(duplex=False)
        self._process = forks.Process(target=_run, args=(there, main, argv, quiet, files), daemon=True)
        self._process.start()
        there.close()
        self.stdout = os.fdopen(os.dup(here.fileno()), encoding="utf-8")
        here.close()

    def kill(self) -> None:
        self._process.kill()

    def terminate(self) -> None:
        self._process.terminate()

    def poll(self) -> int | None:
        return self._process.exitcode

    def wait(self, timeout: float | None = None) -> int:
        self._process.join(timeout)
        assert self._process.exitcode is not None, "it goes on"
        return self._process.exitcode


def _ready() -> None:
    """Start the process that forks, once, with the app of this tree."""
    forks.set_forkserver_preload(["support.serving", "support.crash", "support.compiled"])
    before = os.environ.get("PYTHONPATH")
    os.environ["PYTHONPATH"] = PATHS
    try:
        forkserver.ensure_running()
    finally:
        os.environ.pop("PYTHONPATH")
        if before is not None:
            os.environ["PYTHONPATH"] = before


def copy_files(to: Path) -> Path:
    """Copy what a phone gets, and nothing of the app that serves it: a test can make the next version of it there."""
    for part in ("static", "service_worker", "webapp/web/templates"):
        shutil.copytree(ROOT / part, to / part)
    return to


def _run(told: Connection, main: Main, argv: Sequence[str], quiet: bool, files: Path) -> None:
    """Run in the new process; what it prints goes to whoever asked for it."""
    assert Path(webapp.__file__).parents[1] == ROOT
    if files != ROOT:
        _serve_files_of(files)
    os.dup2(told.fileno(), 1)
    told.close()
    if quiet:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    sys.exit(main(argv))


def _serve_files_of(folder: Path) -> None:
    """Let the app of this process take what it serves to phones from such a copy."""
    app.ROOT = assets.ROOT = folder
    assets.WORKER = folder / "service_worker"
    for remembered in (assets.more, assets.modules, assets.version):
        remembered.cache_clear()
