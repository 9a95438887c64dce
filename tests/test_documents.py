"""The documents cannot lie: what they name exists, and what exists is named."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import tomllib
from pathlib import Path

from support.seasons import sheet_of

from webapp.__main__ import COMMANDS
from webapp.planner.reader.ladder import read
from webapp.protocol.log import check_log
from webapp.rulebook_file import read_rulebook
from webapp.web.config import PREFIX, SETTINGS

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def tracked(*folders: str) -> list[str]:
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", *folders],  # noqa: S607
        capture_output=True, text=True, cwd=ROOT, check=True,
    )  # fmt: skip
    return listed.stdout.split()


def test_the_readme_opens_with_the_job_in_one_paragraph_then_the_two_commands() -> None:
    first, *rest = README.split("\n## ")
    assert len([part for part in first.split("\n\n")[1:] if part.strip()]) == 1
    assert [part.split("\n")[0] for part in rest[:2]] == ["Run", "Test"]


def test_each_command_of_the_readme_is_one_line() -> None:
    for name in ("run", "test"):
        block = re.search(rf"<!-- {name} -->\n```sh\n(.*?)```", README, re.S)
        assert block
        assert len(block[1].strip().splitlines()) == 1


def test_every_module_has_its_line_in_the_map_with_its_own_first_sentence() -> None:
    for name in tracked("webapp"):
        if name.endswith(".py"):
            said = ast.get_docstring(ast.parse((ROOT / name).read_text(encoding="utf-8")))
            assert said, name
            assert f"| `{name.removeprefix('webapp/')}` | {first_sentence(said)} |" in DEVELOPERS, name


def first_sentence(docstring: str) -> str:
    return re.split(r"(?<=[.;])\s|\n\n", docstring)[0].replace("\n", " ").rstrip(".;").replace("|", "/")


def test_every_file_that_the_documents_name_exists() -> None:
    for name in re.findall(r"`((?:webapp|static|service_worker|tests|planner|actions|views)/[\w./]+)`", DEVELOPERS):
        assert any((ROOT / base / name).exists() for base in ("", "webapp")), name


def test_every_setting_is_in_the_table() -> None:
    for setting in SETTINGS:
        assert f"| `{PREFIX}{setting.name}` | `{setting.default!r}` | {setting.help} |" in DEVELOPERS


def test_every_command_and_every_bench_is_in_the_table() -> None:
    for command in COMMANDS:
        assert f"-m webapp {command}" in DEVELOPERS
    for name in tracked("tests/bench"):
        assert name in DEVELOPERS, name


def test_every_planted_bug_of_the_plan_was_seen() -> None:
    """As the last run wrote it: `python tests/bench/mutants.py plan --write`."""
    bugs = tomllib.loads((ROOT / "tests/bench/mutants_plan.toml").read_text(encoding="utf-8"))["bug"]
    table = DEVELOPERS.split("<!-- mutants plan -->")[1].split("\n##")[0]
    counts = [(int(planted), int(red)) for planted, red in re.findall(r"\| (\d+) \| (\d+) \|", table)]
    assert sum(red for _, red in counts) == sum(planted for planted, _ in counts) == len(bugs)


def test_the_files_shown_are_taken_as_they_stand() -> None:
    season, log = (json.loads(block) for block in re.findall(r"```json\n(.*?)```", DEVELOPERS, re.S))
    plan = read(sheet_of(season), check_log(log, read_rulebook()), "2027-05-04")
    assert (plan["next"]["date"], plan["next"]["target_m"]) == ("2027-05-04", 38)
    sick = [day["kind"] for day in plan["days"] if "2027-05-06" <= day["date"] <= "2027-05-08"]
    assert sick == ["off", "off", "rest"]


def test_no_document_and_no_code_names_a_machine_or_a_way_of_working() -> None:
    words = ("/work" + "/", "bash" + "_jobs", "transcri" + "pt", "seed docu" + "ment")
    for name in tracked():
        path = ROOT / name
        if path.suffix not in (".png", ".ico", ".zip", ".mp4", ".webm") and path.exists():
            text = path.read_text(encoding="utf-8")
            assert not [word for word in words if word in text], name
