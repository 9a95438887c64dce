"""A season that the server cannot plan: the phone says so and goes on with the last plan that it was sent."""

from __future__ import annotations

from playwright.sync_api import expect
from support.boat import MORNING, BoatPhone, Server

from webapp import store
from webapp.actions import seasons
from webapp.web.app import create_app

FAR_APART = {"pace.swim_m_s": 2, "pace.fall_m_s": 0.3, "fall.from_m": 5, "speed.FIM": 1.6, "speed.least_dives": 50}


def with_rules(server: Server, rules: dict[str, float]) -> None:
    """Store rules as before they were checked together."""
    app = create_app({"DATA_FILE": str(server.data), "SECRET_KEY": "for tests only", "NOW": lambda: MORNING})
    with app.app_context():
        row = seasons.list_seasons(1)[0]
        with store.transaction():
            store.seasons.change_season(row.id, row.name, {**row.raw, "rules": rules}, "t")


def test_today_says_that_the_season_cannot_be_planned_and_goes_on_with_its_last_plan(
    server: Server, phone: BoatPhone
) -> None:
    with_rules(server, FAR_APART)
    page = phone.open("/boat/today")
    expect(page.locator("#not-planned")).to_contain_text("This season cannot be planned as it is.")
    expect(page.locator("#not-planned")).to_contain_text("does not go with the other speeds")
    expect(page.get_by_role("heading", name="Next: FIM deep dive")).to_be_visible()
    phone.log_as_planned()
    expect(phone.open("/boat/today").get_by_role("region", name="Surface interval")).to_be_visible()

    with_rules(server, {})
    page.reload()
    expect(page.locator("#not-planned")).to_have_count(0)
    expect(page.get_by_role("region", name="Surface interval")).to_be_visible()
