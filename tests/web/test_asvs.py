"""The table of the security standard: every item of level 1 stands in it, and the tests that it names exist."""

from __future__ import annotations

import re
from typing import Any

import pytest
from support.boat import ROOT

# OWASP ASVS 5.0.0, level 1, as the list of its release has it (seen).
LEVEL_1 = [
    "1.2.1",
    "1.2.2",
    "1.2.3",
    "1.2.4",
    "1.2.5",
    "1.3.1",
    "1.3.2",
    "1.5.1",
    "2.1.1",
    "2.2.1",
    "2.2.2",
    "2.3.1",
    "3.2.1",
    "3.2.2",
    "3.3.1",
    "3.4.1",
    "3.4.2",
    "3.5.1",
    "3.5.2",
    "3.5.3",
    "4.1.1",
    "4.4.1",
    "5.2.1",
    "5.2.2",
    "5.3.1",
    "5.3.2",
    "6.1.1",
    "6.2.1",
    "6.2.2",
    "6.2.3",
    "6.2.4",
    "6.2.5",
    "6.2.6",
    "6.2.7",
    "6.2.8",
    "6.3.1",
    "6.3.2",
    "6.4.1",
    "6.4.2",
    "7.2.1",
    "7.2.2",
    "7.2.3",
    "7.2.4",
    "7.4.1",
    "7.4.2",
    "8.1.1",
    "8.2.1",
    "8.2.2",
    "8.3.1",
    "9.1.1",
    "9.1.2",
    "9.1.3",
    "9.2.1",
    "10.4.1",
    "10.4.2",
    "10.4.3",
    "10.4.4",
    "10.4.5",
    "11.3.1",
    "11.3.2",
    "11.4.1",
    "12.1.1",
    "12.2.1",
    "12.2.2",
    "13.4.1",
    "14.2.1",
    "14.3.1",
    "15.1.1",
    "15.2.1",
    "15.3.1",
]
SECTION = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Security, item by item\n")[1].split("\n## ")[0]
ROWS = re.findall(r"^\| ([\d., ]+) \| ([^|]+) \| ([^|]+) \|$", SECTION, re.M)
WITHOUT_A_TEST = ("not applicable", "by hand")


def test_every_item_of_level_one_stands_there_once() -> None:
    assert [item for items, _, _ in ROWS for item in items.split(", ")] == LEVEL_1


def test_every_item_names_a_test_that_exists_or_says_why_there_is_none() -> None:
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("test_*.py")]
    there = {name for text in texts for name in re.findall(r"^def (test_\w+)", text, re.M)}
    for item, _, seen_by in ROWS:
        named = re.findall(r"`(\w+)`", seen_by)
        assert named or seen_by in WITHOUT_A_TEST, item
        assert [name for name in named if name not in there] == [], item


@pytest.mark.parametrize("path", ["/account/sign-in", "/account/sign-up", "/password/", "/data/"])
def test_a_password_is_typed_hidden_and_may_be_pasted(diver: Any, path: str) -> None:
    fields = [given for tag, given in diver.get(path).tags if tag == "input" and "password" in given.get("name", "")]
    assert fields
    assert {given["type"] for given in fields} == {"password"}
    assert {given["autocomplete"] for given in fields} <= {"current-password", "new-password"}
    assert not [name for given in fields for name in given if name.startswith("on") or name == "maxlength"]


def test_a_password_counts_to_its_last_character(stranger: Any) -> None:
    password = "pale rope " * 12 + "and one end"
    stranger.sign_up(password=password)
    assert stranger.sign_in(password=password[:-1]).status == 400
    assert stranger.sign_in(password=password.upper()).status == 400
    assert stranger.sign_in(password=password).status == 200
