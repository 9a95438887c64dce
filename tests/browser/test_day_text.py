"""A crew day as text: a published checksum and coding around it, and what is said of a text that is not whole."""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from playwright.sync_api import Page
from support.boat import BoatPhone

ID = "20310401-0000-8000-8000-000000000001"
OP = {"feed": ID, "op": ID, "record": ID, "kind": "turn", "action": "put", "fields": {"depth_m": 31.5}, "base": 0,
      "made_at": "2031-04-01T08:00:00Z", "n": 1, "by": "Žofie"}  # fmt: skip
ROW = {"record": ID, "kind": "guest", "rev": 3, "fields": {"name": "Bo"}, "deleted": False}
DAY: dict[str, Any] = {"feed": ID, "title": "Low tide", "date": "2031-04-01", "by": "Žofie", "rows": [ROW], "ops": [OP]}
RUN = """async ([name, ...args]) => {
  const module = await import("/static/js/plan/day_file.js");
  try { return { value: module[name](...args) }; }
  catch (error) { return { says: error.message, expected: error instanceof module.NotADay }; }
}"""


@pytest.fixture(scope="module")
def module_page(chromium: Any, demo_file: Any) -> Any:
    """One page for all: the module needs nothing of it."""
    from support.boat import PHONE, Server

    server = Server(demo_file)
    context = chromium.new_context(**PHONE, service_workers="block")
    page = context.new_page()
    page.goto(server.url + "/account/sign-in")
    yield page
    context.close()
    server.close()


def run(page: Page, *args: object) -> dict[str, Any]:
    return dict(page.evaluate(RUN, list(args)))


def crc(page: Page, data: bytes) -> str:
    ask = "(bytes) => import('/static/js/plan/crc32.js').then(({ crc32 }) => crc32(Uint8Array.from(bytes)))"
    return str(page.evaluate(ask, list(data)))


def test_the_checksum_is_that_of_gzip(module_page: Page) -> None:
    """RFC 1952, section 8; cbf43926 for the nine digits is the check value usually printed with it (from memory)."""
    assert crc(module_page, b"123456789") == "cbf43926"
    for data in (b"", b"\0", bytes(range(256)) * 3):
        assert crc(module_page, data) == f"{zlib.crc32(data):08x}"


def test_a_day_is_the_same_after_the_way_through_a_text_and_other_programs_can_read_it(module_page: Page) -> None:
    text = run(module_page, "dayText", DAY)["value"]
    first, *body, last, _ = text.split("\n")
    data = base64.urlsafe_b64decode("".join(body) + "==")  # RFC 4648, section 5
    assert (first, json.loads(data), last) == ("lineslate-day 1", DAY, f"crc32 {zlib.crc32(data):08x}")
    assert run(module_page, "readDayText", text) == {"value": DAY}


@pytest.mark.parametrize("change", [
    lambda text: f"Fwd from Bo:\n\n{text}\n\nsee you at the pier",
    lambda text: text.replace("\n", "\r\n"),
    lambda text: "  ".join(text.split("\n")),
], ids=["words around it", "other line ends", "all on one line"])  # fmt: skip
def test_what_messengers_do_to_a_text_does_not_matter(module_page: Page, change: Callable[[str], str]) -> None:
    text = run(module_page, "dayText", DAY)["value"]
    assert run(module_page, "readDayText", change(text)) == {"value": DAY}


@pytest.mark.parametrize(("change", "says"), [
    (lambda text: "", "This is not a crew day"),
    (lambda text: "a shopping list", "This is not a crew day"),
    (lambda text: text[: len(text) // 2], "A part of it is missing"),
    (lambda text: "\n".join(text.split("\n")[:-2]), "A part of it is missing"),
    (lambda text: text[:40] + ("A" if text[40] != "A" else "B") + text[41:], "A part of it is missing"),
    (lambda text: text.replace("lineslate-day 1", "lineslate-day 2"), "It was made by a newer version"),
], ids=["nothing", "another text", "half of it", "no last line", "one sign changed", "newer"])  # fmt: skip
def test_a_text_that_is_not_whole_is_refused_in_plain_words(
    module_page: Page, change: Callable[[str], str], says: str
) -> None:
    text = run(module_page, "dayText", DAY)["value"]
    answer = run(module_page, "readDayText", change(text))
    assert answer["expected"] is True
    assert answer["says"].startswith(says)


@pytest.mark.parametrize("wrong", [
    {"feed": "no id"}, {"rows": None}, {"ops": [{**OP, "action": "drop"}]}, {"ops": [{**OP, "fields": []}]},
    {"ops": [{**OP, "made_at": "<b>now</b>"}]}, {"ops": [{**OP, "op": 5}]}, {"rows": [{**ROW, "rev": -1}]},
    {"rows": [{**ROW, "deleted": "no"}]}, {"ops": [OP] * 2_001}, {"title": 5},
])  # fmt: skip
def test_a_day_with_a_part_that_no_phone_writes_is_refused(module_page: Page, wrong: dict[str, Any]) -> None:
    text = run(module_page, "dayText", {**DAY, **wrong})["value"]
    assert run(module_page, "readDayText", text)["says"] == "This is not a crew day of Lineslate."


@given(words=st.text(max_size=40), count=st.integers(0, 40))
def test_any_words_come_through_whole(module_page: Page, words: str, count: int) -> None:
    words = words.encode("utf-16", "surrogatepass").decode("utf-16", "replace")  # JSON cannot carry half a character
    day = {**DAY, "by": words, "ops": [{**OP, "fields": {"note": words}}] * count}
    assert run(module_page, "readDayText", run(module_page, "dayText", day)["value"]) == {"value": day}


def test_a_phone_in_no_crew_says_how_to_join_one_and_takes_no_day_of_strangers(phone: BoatPhone) -> None:
    page = phone.open("/boat/hand")
    page.get_by_text("This phone is in no crew yet.").wait_for()
    text = run(page, "dayText", DAY)["value"]
    page.get_by_label("Or paste the text").fill(text)
    page.get_by_role("button", name="Take in the text").click()
    page.get_by_text("It is of a crew that this phone is not in. Nothing was taken in.").wait_for()
    assert page.get_by_label("Or paste the text").input_value() == text  # nothing typed is lost
    assert [phone.kept(store) for store in ("feed_rows", "feed_ops", "outbox")] == [[], [], []]
    file = {"name": "day.txt", "mimeType": "text/plain", "buffer": b"half of lineslate-day 1\nABC"}
    page.get_by_label("Open a received file").set_input_files([file])
    page.get_by_text("A part of it is missing or was changed on the way.").wait_for()
