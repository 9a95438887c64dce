"""What stands out of a planned dive is said wherever it is shown: deeper than the best, a goal reached, its focus."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from support.boat import MORNING, PHONE, TODAY, BoatPhone, Server, copied

from webapp import store
from webapp.actions import seasons, sharing

PAST = 90 * 86_400_000  # in milliseconds: the season has ended
SEASON: dict[str, Any] = {
    "first_day": TODAY, "last_day": "2026-06-10", "closed_days": [],
    "blocks": [{
        "first_day": TODAY, "last_day": "2026-06-10", "main": "FIM", "days_on": 3, "days_off": 1,
        "drills": [{"discipline": "FIM", "depth_m": 15, "dives": 1, "focus": "slow turn"}],
    }],
    "site": {"name": "Skarn Wall", "bottom_m": 63},
    "disciplines": [{
        "discipline": "FIM", "best_m": 49, "start_m": 50, "step_m": 2, "repeats": 2,
        "goals": {"floor_m": 50, "aim_m": 58},
    }],
}  # fmt: skip


@pytest.fixture
def server(demo_file: Any, signed_in: list[Any], tmp_path: Any) -> Iterator[Server]:
    """A server on which the demo's diver has a season that begins deeper than the best, at a goal."""
    data = copied(demo_file, tmp_path)
    store.open_store(data)
    row = seasons.save_season(1, None, "Gate", json.loads(json.dumps(SEASON)), MORNING)
    seasons.activate(1, row.id)
    store.close()
    running = Server(data)
    yield running
    running.stop()


def test_a_new_best_and_a_goal_are_said_after_the_dive_on_saved_and_today(phone: BoatPhone) -> None:
    phone.log_as_planned()
    for place in ("#dive", ".dives"):
        said = phone.page.locator(place)
        expect(said).to_contain_text("Deeper than your best so far: 50 m.")
        expect(said).to_contain_text("Goal of 50 m reached (floor).")
        phone.open("/boat/today")


def test_a_dive_deeper_than_the_best_says_so_on_every_page_of_the_boat(phone: BoatPhone) -> None:
    says = "eeper than your best of 49 m"
    page = phone.open("/boat/today")
    expect(page.locator(".next-dive")).to_contain_text(f"D{says}, reaches 50 m (floor).")
    expect(page.locator(".dives li").last).to_contain_text("slow turn")
    expect(phone.open("/boat/card?discipline=FIM&depth=50").locator("#card")).to_contain_text(f"D{says}")
    page = phone.open("/boat/season")
    expect(page.locator("#day-today")).to_contain_text(f"d{says}, reaches 50 m (floor)")
    expect(page.locator("#season")).to_contain_text("The ladder ends at 58 m, your deepest goal.")


def test_the_list_says_what_stands_out_of_a_dive_that_is_not_the_next(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive?role=warm-up")
    page.get_by_label("Depth reached").fill("12")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    expect(phone.open("/boat/today").locator(".dives")).to_contain_text("deeper than your best of 49 m")


def test_a_buddy_reads_of_the_target_that_it_is_deeper_than_the_best_and_nothing_of_the_best(
    chromium: Browser, server: Server
) -> None:
    store.open_store(server.data)
    link = f"/share/{sharing.make_link(1, 'Ebba', MORNING)}"
    store.close()
    for options in ({}, {"java_script_enabled": False}):
        context = chromium.new_context(**{**PHONE, **options})
        page = context.new_page()
        if not options:
            page.clock.install(time=MORNING)
        page.goto(server.url + link)
        first = page.locator(".buddy-dives li").first
        expect(first).to_contain_text("deeper than the best so far")
        expect(first).not_to_contain_text("49")
        context.close()


def test_after_the_last_day_today_leads_to_what_was_reached_and_to_the_next_season(
    signed_in_phone: Callable[..., BoatPhone],
) -> None:
    phone = signed_in_phone()
    phone.page.clock.fast_forward(PAST)
    page = phone.open("/boat/today")
    ended = page.get_by_role("region", name="The season is over")
    expect(ended).to_contain_text("Gate ended on Wednesday 10 June.")
    expect(ended.get_by_role("link", name="Plan the next season")).to_have_attribute("href", "/seasons/new")
    ended.get_by_role("link", name="What was reached").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Season")
