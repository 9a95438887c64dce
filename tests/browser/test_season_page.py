"""The season on the phone: its chart by dates; each day told once; no forecast while nothing is planned."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from itertools import combinations, pairwise
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect
from support.boat import MORNING, TODAY, BoatPhone, Server

from webapp import store
from webapp.actions import seasons
from webapp.planner.reader.ladder import read

NewPhone = Callable[..., BoatPhone]
SAVE = """async (days) => {
  const { save } = await import("/static/js/store/outbox.js");
  const dive = { at: "10:00", surfaced_at: null, discipline: "FIM", role: "deep", target_m: 38, reached_m: 38,
                 dive_s: 84, effort: 4, signs: [], note: "" };
  for (const date of days) await save({ kind: "dive", fields: { ...dive, date }, user: 1 });
}"""
# Every word and every dive of the first chart as it is seen on the screen: [what, left, top, right, bottom].
BOXES = """() => [...document.querySelector(".drawing").querySelectorAll("text, g[transform]")].map((one) => {
  const { left, top, right, bottom } = one.getBoundingClientRect();
  const edge = (one.closest(".pane") ?? one.closest(".drawing")).getBoundingClientRect();
  return [one.textContent || "dive", Math.max(left, edge.left), top, Math.min(right, edge.right), bottom];
})"""
# Words that the edge of their drawing cuts off.
CUT_OFF = """() => [...document.querySelectorAll(".drawing text")].filter((one) => {
  const box = one.getBoundingClientRect(), edge = one.ownerSVGElement.getBoundingClientRect();
  return box.left < edge.left || box.right > edge.right || box.top < edge.top || box.bottom > edge.bottom;
}).map((one) => one.textContent)"""


def reasons(page: Page) -> list[str]:
    expect(page.get_by_role("heading", name="Every day")).to_be_visible()
    return page.locator(".days .soft.small").all_inner_texts()


def hurt(phone: BoatPhone) -> Page:
    page = phone.open("/boat/dive")
    page.get_by_role("checkbox", name="Blood in the spit").check()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    return phone.open("/boat/season")


def test_a_reason_is_told_once_and_while_a_doctors_clearance_is_missing_no_depth_is_said_to_be_reached(
    phone: BoatPhone,
) -> None:
    """A reason stands on the first of the days that it holds for."""
    page = phone.open("/boat/season")
    shown = reasons(page)
    assert all(one != other for one, other in pairwise(shown))
    assert "Closed day." not in shown
    expect(page.get_by_text("the plan reaches").first).to_be_visible()

    told = reasons(hurt(phone))
    assert len([one for one in told if one.startswith("No diving until")]) == 1
    assert page.locator(".days .word", has_text="No diving").count() > 3
    ladders = page.locator("section[aria-labelledby^=ladder-]")
    expect(ladders.first).to_contain_text("No dive is planned until a doctor's clearance is recorded.")
    for words in ("reaches", "Now at", "planned for"):
        expect(ladders.filter(has_text=words)).to_have_count(0)


def test_today_is_one_touch_away_a_turned_dive_has_its_target_and_what_was_reached_is_told_in_the_past(
    phone: BoatPhone,
) -> None:
    """And a rest day is named once on Today; on a phone that is turned the chart has its new width."""
    phone.log_with("Depth reached", "20")
    page = phone.open("/boat/season")
    page.get_by_role("link", name="To today").click()
    today = page.locator("li[aria-current=date]")
    expect(today).to_be_in_viewport(ratio=0.5)
    expect(today).to_contain_text("FIM deep dive, 44 m, turned at 20 m: turned early")
    ladder = page.locator("section[aria-labelledby=ladder-FIM]")
    expect(ladder).to_contain_text(re.compile(r"Reached \d+ m so far\. From today on the plan reaches \d+ m\."))
    rest_day = first_rest_day(page)

    chart(page)
    page.set_viewport_size({"width": 844, "height": 390})
    page.wait_for_function(
        """() => {
          const drawing = document.querySelector(".drawing"), inside = drawing.getBoundingClientRect();
          return innerWidth > 800 && inside.right - drawing.lastElementChild.getBoundingClientRect().right < 10;
        }"""
    )
    page.set_viewport_size({"width": 390, "height": 844})

    page.clock.set_system_time(MORNING.replace(day=rest_day))
    expect(phone.open("/boat/today").locator(".day-kind")).to_have_text("Rest day")

    page.clock.set_system_time(MORNING + timedelta(days=60))
    ladder = phone.open("/boat/season").locator("section[aria-labelledby=ladder-FIM]")
    expect(ladder).to_contain_text(re.compile(r"Reached \d+ m\."))
    for words in ("the plan reaches", "Now at", "is not reached"):
        expect(ladder).not_to_contain_text(words)


def first_rest_day(page: Page) -> int:
    """The first rest day after today, as the list of days names it."""
    rest = page.locator(".days > li", has_text="Rest day").filter(has_not_text="(today)")
    expect(rest.first).to_be_visible()
    days = [int(day.split()[1]) for day in rest.locator("strong").all_inner_texts() if day.endswith("May")]
    return min(day for day in days if day > MORNING.day)


def change_season(server: Server, **fields: Any) -> None:
    """Change the demo's season before a phone fetches it: FIM alone leads, with goals that lie close together."""
    store.open_store(server.data)
    season = seasons.list_seasons(1)[0]
    first_day = fields.get("first_day", season.raw["first_day"])
    goals = {"floor_m": 44, "aim_m": 46, "dream_m": 48}
    level = {**season.raw["disciplines"][0], "comfortable_on": first_day, "goals": goals}
    even = {"days_on": 2, "days_off": 1, "block_days": 21, "break_days": 5, "lead": ["FIM"]}
    kept = {name: value for name, value in season.raw.items() if name not in ("blocks", "changes")}
    changed = {**kept, **even, "disciplines": [level], **fields}
    seasons.save_season(1, season.id, "Close goals", changed, MORNING)
    store.close()


def deep_days(phone: BoatPhone, *, done: bool) -> list[str]:
    """The days of the FIM deep dives that the chart shows, by the planner itself: those done, or those to come."""
    sheet = next(value["sheet"] for value in phone.kept("kept") if isinstance(value, dict) and value.get("sheet"))
    log = [{**row["fields"], "id": row["record"], "kind": row["kind"]} for row in phone.kept("records")]
    days = read(sheet, log, TODAY)["days"]
    which = "done" if done else "dives"
    return [
        day["date"]
        for day in days
        for dive in day[which]
        if dive["role"] == "deep" and (done or (day["date"] >= TODAY and dive["done"] is None))
    ]


def chart(page: Page) -> Locator:
    """The first chart, with its top at the top of the screen."""
    found = page.locator(".drawing").first
    expect(found.locator("g[transform]").first).to_be_visible()
    found.evaluate("(one) => one.scrollIntoView({ block: 'start' })")
    return found


def words_that_meet(page: Page) -> list[tuple[str, str]]:
    """The words of the chart that lie on another one or on a dive; of the dives there are many."""
    boxes = page.evaluate(BOXES)
    assert len([box for box in boxes if box[0] == "dive"]) > 12
    return [
        (one[0], other[0])
        for one, other in combinations(boxes, 2)
        if (one[0], other[0]) != ("dive", "dive")
        and min(one[3], other[3]) - max(one[1], other[1]) > 0
        and min(one[4], other[4]) - max(one[2], other[2]) > 0
    ]


def of_this_width(page: Page, width: int) -> Locator:
    """The chart of a page that is opened on a phone of this width."""
    page.set_viewport_size({"width": width, "height": 844})
    page.reload()
    return chart(page)


def test_no_word_of_the_chart_lies_on_another_and_days_without_a_dive_are_as_wide_as_others(
    signed_in_phone: NewPhone, server: Server
) -> None:
    """So a break of the season is a gap."""
    change_season(server)
    phone = signed_in_phone(service_workers="block")
    page = phone.open("/boat/season")
    for width in (360, 1280, 390):
        found = of_this_width(page, width)
        expect(found).to_contain_text("dream")
        assert (width, words_that_meet(page), page.evaluate(CUT_OFF)) == (width, [], [])

    days = [date.fromisoformat(day) for done in (True, False) for day in deep_days(phone, done=done)]
    assert max((other - one).days for one, other in pairwise(days)) > 5, "the season has a break"
    xs = found.locator("g[transform]").evaluate_all(
        "(marks) => marks.map((one) => { const box = one.getBoundingClientRect(); return (box.left + box.right) / 2; })"
    )
    assert len(xs) == len(days)
    for_a_day = (xs[-1] - xs[0]) / (days[-1] - days[0]).days
    assert xs == pytest.approx([xs[0] + (day - days[0]).days * for_a_day for day in days], abs=1)
    expect(found.locator(".surface")).to_have_count(2)  # the surface is drawn for the days of the blocks only


def test_in_a_long_season_the_newest_dive_is_in_view_and_so_are_depths_and_goals(
    signed_in_phone: NewPhone, server: Server
) -> None:
    change_season(server, first_day="2026-01-05", last_day="2026-07-30")
    phone = signed_in_phone(service_workers="block")
    before = [day.isoformat() for day in (date.fromordinal(date(2026, 1, 5).toordinal() + 3 * at) for at in range(38))]
    phone.page.evaluate(SAVE, before)
    phone.sent()
    page = phone.open("/boat/season")
    newest = len(deep_days(phone, done=True)) - 1
    assert newest > 38

    for width in (360, 390):
        found = of_this_width(page, width)
        expect(found.locator("g[transform]").nth(newest)).to_be_in_viewport(ratio=0.9)
        for words in ("40", "floor", "dream"):
            expect(found.get_by_text(words, exact=True)).to_be_in_viewport(ratio=0.9)

    found.locator(".pane").evaluate("(one) => { one.scrollLeft = 0; }")
    page.evaluate(SAVE, ["2026-05-19"])  # a newer dive than those that the view was moved away from
    expect(found.locator("g[transform]").nth(newest + 1)).to_be_in_viewport(ratio=0.9)
