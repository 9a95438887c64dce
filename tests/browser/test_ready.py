"""The morning: four items against the diver's own median, what rules out a deep dive, and a proposal that the diver
decides on.

Hooper's items are compared one by one and never added up: common practice, no source.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page, expect
from support.boat import TODAY, BoatPhone
from support.static_files import phone_modules

STATIC = Path(__file__).parents[2] / "static"
ITEMS = ("sleep", "fatigue", "stress", "soreness")
READY = {"worse": 2, "items": 2, "days": 28, "least": 5}
SAY = """async (mornings) => {
  const { save } = await import("/static/js/store/outbox.js");
  const { dayId } = await import("/static/js/plan/day_word.js");
  const { getKept } = await import("/static/js/store/db.js");
  const { id } = await getKept("user");
  for (const fields of mornings) await save({ kind: "day", record: dayId(id, fields.date), fields, user: id });
}"""

COUNT = """addEventListener("click", ({ isTrusted, detail }) => {
  if (isTrusted && detail > 0) localStorage.setItem("touches", Number(localStorage.getItem("touches")) + 1);
}, { capture: true })"""


@pytest.fixture(scope="module")
def pure(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "plan/readiness.js") as page:
        yield page


def ago(days: int) -> str:
    return (date.fromisoformat(TODAY) - timedelta(days=days)).isoformat()


def usual_mornings(phone: BoatPhone) -> None:
    """Six mornings that were all the same: sleep 3, the others 2."""
    same = {"sleep": 3, "fatigue": 2, "stress": 2, "soreness": 2}
    phone.page.evaluate(SAY, [{"date": ago(days), **same} for days in range(1, 7)])


def said_today(phone: BoatPhone) -> dict[str, Any]:
    (fields,) = [row["fields"] for row in phone.kept("records") if row["fields"].get("date") == TODAY and
                 row["kind"] == "day" and not row["deleted"]]  # fmt: skip
    return dict(fields)


def touch(page: Page, **items: int) -> None:
    for item, value in items.items():
        page.locator(f"#{item}").get_by_role("radio", name=str(value), exact=True).check()


@settings(max_examples=60, deadline=None)
@given(values=st.lists(st.integers(1, 7), max_size=12))
def test_the_median_is_that_of_pythons_statistics(pure: Page, values: list[int]) -> None:
    expected = statistics.median(values) if values else None
    assert pure.evaluate("(values) => window.reader.median(values)", values) == expected


def worse(pure: Page, morning: dict[str, Any], mornings: list[dict[str, Any]]) -> list[dict[str, Any]]:
    call = "([morning, mornings, items, ready]) => window.reader.worse(morning, mornings, items, ready)"
    return list(pure.evaluate(call, [{"date": TODAY, **morning}, mornings, list(ITEMS), READY]))


def test_an_item_is_worse_from_two_above_its_own_median_of_the_last_28_days_and_only_with_five_mornings(
    pure: Page,
) -> None:
    five = [{"date": ago(days), "sleep": 3, "stress": 6} for days in (1, 2, 3, 27, 28)]
    assert worse(pure, {"sleep": 5, "stress": 7}, five) == [{"item": "sleep", "value": 5, "usual": 3}]
    assert worse(pure, {"sleep": 4, "stress": 7}, five) == []  # each item by itself: a bad usual hides nothing
    assert worse(pure, {"sleep": 7}, five[:4]) == []  # four mornings are too few
    assert worse(pure, {"sleep": 7}, [*five[:4], {"date": ago(29), "sleep": 3}]) == []  # the 29th day does not count
    assert worse(pure, {"sleep": 7}, [*five[:4], {"date": TODAY, "sleep": 7}]) == []  # nor does today itself
    mixed = [{"date": ago(n + 1), "sleep": value} for n, value in enumerate((1, 2, 3, 4, 5, 6))]  # median 3.5
    assert worse(pure, {"sleep": 6}, mixed) == [{"item": "sleep", "value": 6, "usual": 3.5}]
    assert worse(pure, {"sleep": 5}, mixed) == []
    assert worse(pure, {"sleep": 1}, five) == []  # far better than usual is not worse
    assert worse(pure, {}, five) == []
    unsaid = [{"date": ago(n + 5), "stress": 1} for n in range(3)]  # mornings on which nothing was said of sleep
    assert worse(pure, {"sleep": 5}, five[:4] + unsaid) == []
    assert worse(pure, {"sleep": 5}, five + unsaid) == [{"item": "sleep", "value": 5, "usual": 3}]


def test_an_easy_day_is_proposed_for_two_items_until_the_diver_has_decided(pure: Page) -> None:
    call = "([morning, found, ready]) => window.reader.isProposed(morning, found, ready)"

    def proposed(morning: dict[str, Any], items: int = 2) -> bool:
        return bool(pure.evaluate(call, [morning, [{"item": "sleep"}] * items, READY]))

    assert [proposed({}, items) for items in (0, 1, 2, 3)] == [False, False, True, True]
    assert proposed({"easy": False, "not_easy_why": "", "not_ready": []})
    for decided in ({"easy": True}, {"not_easy_why": "slept well"}, {"not_ready": ["fever"]}):
        assert not proposed(decided)


@pytest.mark.keeps_app
def test_a_morning_as_usual_takes_six_touches_and_changes_nothing(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    target = page.locator(".next .big").inner_text()
    phone.context.set_offline(True)
    page.add_init_script(COUNT)
    page.evaluate(COUNT)
    page.locator("#to-ready").click()
    touch(page, sleep=3, fatigue=2, stress=2, soreness=1)
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".saved")).to_have_text("Saved here.")
    assert page.evaluate("localStorage.getItem('touches')") == "6"
    expect(page.locator("#easy-day")).to_have_count(0)
    assert said_today(phone) == {"date": TODAY, "sleep": 3, "fatigue": 2, "stress": 2, "soreness": 1}
    page.locator("#to-today").click()
    expect(page.locator(".next .big")).to_have_text(target)
    expect(page.locator("#to-ready")).to_have_text("This morning ✓")


def test_two_items_worse_than_usual_propose_an_easy_day_which_the_diver_takes_or_declines_with_a_reason(
    phone: BoatPhone,
) -> None:
    usual_mornings(phone)
    page = phone.open("/boat/ready")
    expect(page.locator("#sleep")).to_contain_text("your usual 3")
    touch(page, sleep=5, fatigue=4, stress=2, soreness=2)
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#easy-day")).to_contain_text("sleep 5 (usual 3), fatigue 4 (usual 2)")
    expect(page.locator("#effect + p")).to_contain_text("FIM deep dive")  # proposed, not decided

    page = phone.open("/boat/today")  # the proposal waits there too
    page.get_by_role("button", name="Keep the plan").click()
    expect(page.locator("#not_easy_why-fault")).to_have_text("A reason is missing.")
    page.locator("#not_easy_why").fill("slept on the boat")
    page.get_by_role("button", name="Keep the plan").click()
    expect(page.locator("#easy-day")).to_have_count(0)
    assert said_today(phone)["not_easy_why"] == "slept on the boat"
    expect(page.locator(".next .big")).to_be_visible()
    page.goto(phone.server.url + "/boat/log")
    page.locator("summary", has_text="About the day").first.click()
    expect(page.locator(".log-more").first).to_contain_text("Kept the plan: slept on the boat")


def test_an_easy_day_that_was_taken_leaves_technique_only_and_can_be_taken_back(phone: BoatPhone) -> None:
    usual_mornings(phone)
    page = phone.open("/boat/ready")
    touch(page, sleep=7, stress=4)
    page.get_by_role("button", name="Save").click()
    page.get_by_role("button", name="Make it an easy day").click()
    expect(page.locator("#effect + p")).to_have_text("Easy day")
    page.locator("#to-today").click()
    expect(page.locator(".day-kind")).to_contain_text("Easy day, as you asked".removeprefix("Easy day"))
    page.get_by_role("link", name="Change it").click()
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator("#word-does")).to_contain_text("FIM deep dive")
    assert said_today(phone)["sleep"] == 7  # the morning stays


def test_what_rules_out_a_deep_dive_leaves_nothing_to_override(phone: BoatPhone) -> None:
    usual_mornings(phone)
    page = phone.open("/boat/ready")
    touch(page, sleep=7, stress=7)
    page.locator("#not_ready").get_by_role("checkbox", name="Blocked nose, ears or sinuses").check()
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#effect + p")).to_have_text("Easy day")
    expect(page.locator("#easy-day")).to_have_count(0)
    page.locator("#to-today").click()
    expect(page.locator(".day-kind")).to_contain_text("no deep dive today (blocked nose, ears or sinuses)")
    expect(page.locator(".next-dive")).not_to_contain_text("deep dive")
    expect(page.locator(".dives")).not_to_contain_text("deep dive")
    assert said_today(phone)["not_ready"] == ["congestion"]
