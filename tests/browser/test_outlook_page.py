"""The outlook on the phone: the last answer of the server with its date, with and without signal."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Request, Route, expect
from support import outlook_example
from support.axe import violations
from support.boat import BoatPhone, Server
from support.faulty import NewPhone, send_now, until
from support.sharing import add_diver, give, log_of

from webapp.cli import demo

SHOTS = os.environ.get("LINESLATE_TEST_SHOTS")
HEADS = [
    "Am I on course?", "Planned and done", "This season beside earlier ones", "What limits", "Load", "Bests",
    "Review of a block",
]  # fmt: skip
LITTLE = {
    "without_chances": "somewhere between 48 and 58 m",
    "stood_down": "until a doctor's clearance is recorded",
    "empty": "There is no season",
}
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
KEPT_ANSWERS = """async () => {
  const { read } = await import("/static/js/store/db.js");
  const { names, values } = await read(["kept"], ({ kept }) => ({ names: kept.getAllKeys(), values: kept.getAll() }));
  return names.map((name, at) => `${name} ${values[at]?.id}`).filter((one) => one.startsWith("outlook:"));
}"""


DRAW_ANEW = """async () => {
  const { tellHere, CHANGED } = await import("/static/js/store/news.js");
  document.activeElement.blur();
  document.querySelector("#course").classList.add("before");
  tellHere(CHANGED);
}"""
OTHER_USER = """async () => {
  const { setKept } = await import("/static/js/store/db.js");
  const { tellHere, CHANGED } = await import("/static/js/store/news.js");
  await setKept("user", { id: 4711, name: "Somebody else" });
  tellHere(CHANGED);
}"""
KEEP = """async (text) => {
  const { getKept } = await import("/static/js/store/db.js");
  const { keepOutlook } = await import("/static/js/store/outlook.js");
  await keepOutlook({ id: (await getKept("user")).id, feed: null, answer: { id: "kept", text, at: 0 } });
}"""


class Answers:
    """What the server says about the outlook, by log; `asked` holds every question."""

    def __init__(self, phone: BoatPhone) -> None:
        self.asked: list[Request] = []
        self.status = 200
        self.body: dict[str, Any] = {}
        self.held: list[Route] | None = None  # questions that wait for their answer, when they are to wait
        phone.context.route("**/outlook.json*", self._answer)

    def _answer(self, route: Route) -> None:
        self.asked.append(route.request)
        if self.held is None:
            self.answer(route)
        else:
            self.held.append(route)

    def answer(self, route: Route) -> None:
        known = route.request.headers.get("if-none-match")
        etag = f'"{self.body.get("id")}"'
        if self.status == 200 and known == etag:
            route.fulfill(status=304, headers={"ETag": etag})
        elif self.status == 200:
            route.fulfill(status=200, headers={"ETag": etag}, json=self.body)
        else:
            route.fulfill(status=self.status, body="<h1>Wi-Fi of the harbour</h1>")


def picture(page: Page, name: str) -> None:
    """Take pictures for whoever wants to look at the page."""
    if not SHOTS:
        return
    for width, theme in ((390, "light"), (390, "dark"), (1280, "light"), (1280, "dark")):
        page.emulate_media(color_scheme=theme)  # type: ignore[arg-type]
        page.set_viewport_size({"width": width, "height": 844 if width == 390 else 800})
        page.screenshot(path=Path(SHOTS) / f"{name}-{width}-{theme}.png", full_page=True)
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 390, "height": 844})


def assert_fits(page: Page) -> None:
    """Nothing goes sideways on the smallest phone, with every part open."""
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    for width in (320, 390):
        page.set_viewport_size({"width": width, "height": 844})
        assert page.evaluate(SIDEWAYS) <= 0, width


def opened(phone: BoatPhone, path: str = "/boat/outlook") -> Page:
    page = phone.open(path)
    phone.says("sent")
    return page


def test_the_last_answer_stands_with_its_date_and_stays_through_every_failure(phone: BoatPhone) -> None:
    answers = Answers(phone)
    answers.status = 503
    page = opened(phone)
    expect(page.locator("#no-outlook")).to_contain_text("There is no outlook on this phone yet.")
    expect(page.locator("#outlook-as-of")).to_have_text("No answer yet.")
    picture(page, "none")

    answers.status, answers.body = 200, outlook_example.full()
    opened(phone)
    expect(page.locator("#outlook-as-of")).to_have_text("As of Wed 20 May, 08:00")
    heads = page.locator("#outlook > .caution, #outlook > .sheet > h2").all_inner_texts()
    assert heads[0].split("\n")[0] == outlook_example.CAUTIONS[0]
    assert heads[1:] == HEADS
    course = page.locator("#course")
    expect(course).to_contain_text("Mostly assumption so far, 9 days with a deep dive near your best.")
    expect(course.locator(".goal-card").nth(1)).to_contain_text("Chance\n62 %", use_inner_text=True)
    expect(course.locator(".goal-card").nth(2)).to_contain_text("under 1 %")
    expect(page.locator("#limits p").first).to_have_text(outlook_example.limits()["says"])
    assert "%" not in page.locator("#limits").inner_text()
    drawings = page.locator("svg[role=img]")
    assert [drawings.nth(at).get_attribute("aria-label") is not None for at in range(3)] == [True] * 3
    assert page.locator("svg[role=img] ~ details table, #load details table").count() >= 3
    expect(page.locator("#by-date-CWT")).to_contain_text("44 m, clean")
    picture(page, "full")
    assert violations(page) == []
    assert_fits(page)

    answers.body = {**outlook_example.full(), "made_at": "2026-05-20T09:30:00Z"}  # the same id: nothing new is sent
    opened(phone)
    until(phone, lambda: answers.asked[-1].headers.get("if-none-match") == '"3f9a2c"')
    assert "today=2026-05-20" in answers.asked[-1].url
    for answers.status, answers.body in ((503, {}), (200, {"format": 2, "id": "new"}), (200, {"app": "harbour"})):
        before = len(answers.asked)
        opened(phone)
        until(phone, lambda: len(answers.asked) > before)  # noqa: B023
        expect(page.locator("#outlook-as-of")).to_have_text("As of Wed 20 May, 08:00")
    phone.context.set_offline(True)
    before = len(answers.asked)
    page.evaluate("import('/static/js/sync/outlook.js').then(({ fetchOutlook }) => fetchOutlook())")
    assert len(answers.asked) == before
    expect(page.locator("#alarm")).to_be_empty()


def test_an_answer_with_little_in_it_says_so_and_shows_no_chance(phone: BoatPhone) -> None:
    answers = Answers(phone)
    for case, words in LITTLE.items():
        answers.body = getattr(outlook_example, case)()
        page = opened(phone)
        course = page.locator("#course")
        expect(course).to_contain_text(words)
        assert "%" not in course.inner_text()
        assert page.locator(".band").count() == 0
        picture(page, case)
        assert violations(page, ["light", "dark"]) == []
        assert_fits(page)


def test_a_review_is_saved_as_a_record_and_a_block_is_shared_without_health_unless_the_diver_wants(
    phone: BoatPhone,
) -> None:
    answers = Answers(phone)
    answers.body = outlook_example.full()
    page = opened(phone)
    page.get_by_label("What went well").first.fill("Calm <b>turns</b>")
    page.evaluate(DRAW_ANEW)
    expect(page.locator("#course.before")).to_have_count(0)
    page.get_by_label("What to change").first.fill("Sleep more")
    page.locator("#keep-1").click()
    expect(page.locator("#kept-1")).to_have_text("Saved on this phone.")
    rows = [row for row in phone.kept("records") if row["kind"] == "review"]
    said = [{name: row["fields"][name] for name in ("date", "well", "change")} for row in rows]
    assert said == [{"date": "2026-05-17", "well": "Calm <b>turns</b>", "change": "Sleep more"}]

    page.get_by_role("link", name="Print or share this block").first.click()
    expect(page.locator("h1")).to_contain_text("Block 1, CWT")
    expect(page.locator("#outlook")).to_contain_text("Calm <b>turns</b>")
    expect(page.locator("#outlook")).not_to_contain_text("Cough")
    picture(page, "block")
    assert violations(page, ["light", "dark"]) == []
    page.evaluate("void (navigator.share = ({ text }) => { window.shared = text; return Promise.resolve(); })")
    page.locator("#share-text").click()
    assert "Cough" not in page.evaluate("window.shared")
    assert "Clean at 50 to 54.9 m: 5 of 6." in page.evaluate("window.shared")
    page.get_by_label("Leave out health detail").uncheck()
    expect(page.locator("#print-health")).to_contain_text("Cough after one dive")
    page.locator("#share-text").click()
    assert "Cough after one dive" in page.evaluate("window.shared")
    page.get_by_label("Leave out health detail").check()
    expect(page.locator("#print-health")).to_be_empty()
    page.emulate_media(media="print")
    assert not page.locator(".bar").is_visible()
    assert not page.locator("#share-text").is_visible()


def test_a_coach_sees_a_students_outlook_while_it_is_shared_and_no_diver_sees_anothers(
    new_phone: NewPhone, server: Server
) -> None:
    add_diver(server, "Odd Fenning")
    log = log_of(server, demo.NAME)
    give(server, log, "Odd Fenning", "list", "log")
    phone = new_phone(service_workers="block")
    answers = Answers(phone)
    answers.body = outlook_example.full()
    phone.fill_in_sign_in("/boat/coach", "Odd Fenning")
    page = phone.page
    page.get_by_role("link", name="Outlook").first.click()
    expect(page.locator("h1")).to_have_text(f"Outlook of {demo.NAME}")
    expect(page.locator("#course")).to_contain_text("Mostly assumption so far")
    assert f"feed={log}" in answers.asked[-1].url
    assert page.locator("#reviews form, #reviews a").count() == 0
    assert len(page.evaluate(KEPT_ANSWERS)) == 1

    give(server, log, "Odd Fenning", "list")  # the log is not shared any more
    send_now(phone)
    expect(page.locator("#no-outlook")).to_contain_text("they may have ended the sharing")
    assert page.evaluate(KEPT_ANSWERS) == []

    page = opened(phone)  # their own
    expect(page.locator("#course")).to_be_visible()
    own = page.evaluate(KEPT_ANSWERS)
    assert len(own) == 1
    answers.body = {**outlook_example.full(), "id": "theirs"}
    answers.held = []
    page.evaluate("void import('/static/js/sync/outlook.js').then(({ fetchOutlook }) => fetchOutlook())")
    until(phone, lambda: answers.held)
    page.evaluate(OTHER_USER)  # another diver signs in while the answer is under way
    answers.answer(answers.held.pop())
    answers.held, answers.status = None, 503
    expect(page.locator("#no-outlook")).to_be_visible()
    page.evaluate("import('/static/js/sync/outlook.js').then(({ fetchOutlook }) => fetchOutlook())")  # after that one
    assert page.evaluate(KEPT_ANSWERS) == own
    assert page.evaluate("import('/static/js/sync/leave.js').then(({ takeOff }) => takeOff(new Set()))")
    assert page.evaluate(KEPT_ANSWERS) == []


@pytest.mark.keeps_app
def test_the_page_stands_without_signal_as_it_was_last(phone: BoatPhone) -> None:
    Answers(phone).status = 503  # the server's own answer would come in between
    page = opened(phone)
    page.evaluate(KEEP, json.dumps(outlook_example.full()))
    phone.keeps("/boat/outlook")
    phone.context.set_offline(True)
    phone.open("/boat/outlook")
    expect(page.locator("#outlook-as-of")).to_have_text("As of Wed 20 May, 08:00")
    expect(page.locator("#by-date svg[role=img]")).to_be_visible()
