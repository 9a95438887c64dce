"""The phone's code fits the shapes of phone.d.ts: a type check of the files as they are, without a build."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import NoReturn

import pytest

TYPES = Path(__file__).parent
ROOT = TYPES.parents[1]
MUST = os.environ.get("LINESLATE_CHECK_TYPES") == "1"  # a machine that must check fails where another one skips
PROJECTS = (".", "worker")
CODE = ("static/js", "service_worker", "tests/types")

# what is planted: where, the right text, the wrong one
FAULTS = (
    ("static/js/sync/fold.js", "row.known.rev < row.rev", "row.known.rev < row.reve"),  # a field of a record
    ("static/js/plan/surfaced.js", "dive.surfaced_at)", "dive.surfacd_at)"),  # a field of a dive
    ("static/js/store/outbox.js", "base: rev,", "bas: rev,"),  # a field of an operation
    ("static/js/reader/verdict.js", "{ numbers, verdicts }", "{ numbers, verdict }"),  # a part of the sheet
    ("static/js/pages/phone.js", "user, rows, season,", "user, row, season,"),  # a part of the slate
    ("static/js/pages/today.js", "plan?.stand_down", "plan?.standdown"),  # a part of the plan
    ("static/js/store/outbox.js", '["outbox", "parked"]', '["outbx", "parked"]'),  # the name of a store
    ("static/js/sync/exchange.js", 'put(now(), "last_sent")', 'put("now", "last_sent")'),  # text for a number
    ("static/js/pages/today.js", "judgedDive(plan, dive.done)", "judgedDive(plan)"),  # too few arguments
    ("static/js/parts/clearance.js", "warn(NOT_SAVED)", "warn(NOT_SAVED, error)"),  # too many arguments
    ("static/js/parts/dive_check.js", "import { show }", "import { shows }"),  # a name that is not exported
    ("static/js/parts/pause_clock.js", "ui/every_second.js", "ui/every_secnd.js"),  # a file that is not there
)
FAULTS_OF_WORKER = (
    ("service_worker/service-worker.js", "waitUntil(keepAll())", "waitUntil(keepAll(event))"),
    ("service_worker/service-worker.js", "self.skipWaiting()", "self.skipWaitng()"),
    ("service_worker/strategies.js", "SHELLS, VERSION }", "SHELLS, VERSIONS }"),
)


def not_checked(why: str) -> NoReturn:
    """Fail where the check must run; else skip it, as the app and its tests need no Node and no network."""
    if MUST:
        pytest.fail(why)
    # Skipped even where Node is installed when there is no network: the compiler is fetched from outside the tree.
    # .ci/run sets the flag, so there the check always runs or fails.
    pytest.skip(f"types not checked, as the compiler comes over the network, which the app does not need: {why}")


@pytest.fixture(scope="session")
def tsc() -> str:
    """The compiler that the lock file names: installed once, outside of the tree."""
    npm, node = shutil.which("npm"), shutil.which("node")
    if npm is None or node is None:
        not_checked("Node and npm are not installed")
    named = hashlib.sha256((TYPES / "package-lock.json").read_bytes()).hexdigest()[:16]
    home = Path(tempfile.gettempdir()) / f"lineslate-types-{os.getuid()}-{named}"
    if not home.exists():
        install(npm, home)
    assert home.stat().st_uid == os.getuid(), f"{home} belongs to somebody else"
    return str(home / "node_modules" / ".bin" / "tsc")


def install(npm: str, home: Path) -> None:
    """Install beside the place and rename: another run, or one that was cut off, never leaves half of it there."""
    made = Path(tempfile.mkdtemp(prefix="lineslate-types-"))
    try:
        for name in ("package.json", "package-lock.json"):
            shutil.copy(TYPES / name, made)
        options = ("--ignore-scripts", "--no-audit", "--no-fund", *(() if MUST else ("--fetch-retries=0",)))
        done = subprocess.run([npm, "ci", *options], cwd=made, capture_output=True, text=True, check=False)
        if done.returncode != 0:
            not_checked(f"npm cannot install the compiler: {' '.join(done.stderr.split())[:200]}")
        if not home.exists():
            made.rename(home)
    except OSError:
        if not home.exists():  # else another run was faster
            raise
    finally:
        shutil.rmtree(made, ignore_errors=True)


def told(tsc: str, project: Path) -> list[str]:
    """What the compiler says, one line for each fault."""
    done = subprocess.run([tsc, "-p", str(project)], capture_output=True, text=True, check=False)
    lines = done.stdout.splitlines()
    assert (done.returncode == 0) == (lines == []), done.stderr
    return lines


@pytest.mark.parametrize("project", PROJECTS)
def test_the_phones_code_fits_its_types(tsc: str, project: str) -> None:
    assert told(tsc, TYPES / project) == []


@pytest.mark.parametrize(("project", "faults"), [(".", FAULTS), ("worker", FAULTS_OF_WORKER)], ids=PROJECTS)
def test_each_planted_fault_is_found(
    tsc: str, project: str, faults: tuple[tuple[str, str, str], ...], tmp_path: Path
) -> None:
    """The check above is worth something: it sees each of these in the line where it stands."""
    for folder in CODE:
        shutil.copytree(ROOT / folder, tmp_path / folder)
    planted = [f"{name}({plant(tmp_path / name, right, wrong)}," for name, right, wrong in faults]

    found = told(tsc, tmp_path / "tests" / "types" / project)

    assert [where for where in planted if not any(where in line for line in found)] == []


def plant(file: Path, right: str, wrong: str) -> int:
    """Put the wrong text in place of the right one; return its line."""
    text = file.read_text(encoding="utf-8")
    assert right in text
    file.write_text(text.replace(right, wrong, 1), encoding="utf-8")
    return text[: text.index(right)].count("\n") + 1


def test_the_lock_file_names_no_host() -> None:
    text = (TYPES / "package-lock.json").read_text(encoding="utf-8")
    assert "://" not in text
    assert '"resolved"' not in text
