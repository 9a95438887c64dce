"""A whole day of two divers on one boat without signal, and the sync at night.

The morning, the check, the clock, an overdue dive, a squeeze. Each diver has an own phone and account; each times the
other's dive.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.boat import MORNING, TODAY, BoatPhone, Server

from webapp import store
from webapp.actions import accounts, seasons
from webapp.cli import demo
from webapp.rulebook_file import read_rulebook
from webapp.web.app import create_app

MATE, SECRET = "Odd Brae", "brown kelp stands"

FILL_IN = """async (plan) => {
  const { readSlate } = await import("/static/js/store/slate.js");
  const { save } = await import("/static/js/store/outbox.js");
  const { season, user } = await readSlate();
  await save({ kind: "site", record: season.site, fields: plan, user: user.id });
}"""


@pytest.fixture
def mate(server: Server, new_phone: Callable[..., BoatPhone]) -> BoatPhone:
    """The phone of a second diver, with a season of their own."""
    app = create_app({"DATA_FILE": str(server.data)})
    with app.app_context():
        accounts.sign_up(MATE, SECRET, accounts.invite(1, MORNING), MORNING)
        raw = demo._season(MORNING.date() - timedelta(days=demo.DAYS_DONE))
        seasons.save_season(2, None, "First season at the wall", raw, MORNING)
    store.close()
    phone = new_phone()
    phone.sign_in(MATE, SECRET)
    return phone


def prepare(phone: BoatPhone, safety: str) -> None:
    """The morning, the check at the line, and the name of the safety diver: all before the target is shown."""
    page = phone.open("/boat/ready")
    for item in read_rulebook().texts["readiness"]:
        page.locator(f"#{item}").get_by_role("radio", name="2", exact=True).check()
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".saved")).to_be_visible()
    page = phone.open("/boat/check")
    for item in read_rulebook().texts["check"].values():
        page.get_by_role("checkbox", name=item["says"]).check()
    expect(page.locator("#items-head")).to_have_text("8 of 8 checked")
    page = phone.open("/boat/today")
    page.get_by_role("button", name="Change").click()
    expect(page.locator(".next .big")).to_have_count(0)
    page.get_by_label("Another name").fill(safety)
    page.get_by_role("button", name="Name the safety diver").click()
    expect(page.locator(".next .big")).to_be_visible()


def timed(page: Page, seconds: int) -> None:
    """Let the dive that the page shows take so long, then touch Surfaced."""
    page.clock.fast_forward(seconds * 1000)
    page.get_by_role("button", name="Surfaced").click()
    expect(page.get_by_text("Airway out of the water.")).to_be_visible()


def watched(page: Page) -> None:
    page.clock.fast_forward(31_000)


def of_dives(phone: BoatPhone) -> list[dict[str, Any]]:
    return [row["fields"] for row in phone.dives_today() if row["kind"] == "dive"]


def test_a_boat_day_of_two_divers_without_signal(phone: BoatPhone, mate: BoatPhone) -> None:
    both = (phone, mate)
    mate.page.evaluate(FILL_IN, demo.PLAN)
    mate.context.set_offline(True)
    phone.context.route("**/sync", lambda route: route.abort("internetdisconnected"))  # its pages are the mate's too
    prepare(phone, MATE)
    prepare(mate, demo.NAME)

    # the first diver dives; this phone stays with whoever watches the clock
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Dive clock").click()
    page.get_by_role("button", name="Dive started").click()
    timed(page, 101)
    watched(page)
    page.get_by_role("link", name="Log this dive").click()
    taken = page.get_by_label("Dive time").input_value()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (dive,) = of_dives(phone)
    assert 101 <= dive["dive_s"] <= 180  # the test's clock goes on meanwhile
    assert (f"{dive['dive_s'] // 60}:{dive['dive_s'] % 60:02}", dive["safety"]) == (taken, MATE)
    assert "time_from" not in dive
    surfaced = datetime.fromisoformat(dive["surfaced_at"])
    assert timedelta() < surfaced - MORNING < timedelta(minutes=10)

    # the second diver is overdue: the emergency steps stand there at once, without any touch
    page = mate.open("/boat/clock?plan=0")
    page.get_by_role("button", name="Dive started").click()
    page.clock.fast_forward(180_000)
    alert = page.get_by_role("alert").filter(has_text="OVERDUE")
    expect(alert).to_contain_text("Call for help at once.")
    expect(alert.get_by_role("link", name="Call +44 1632 960112")).to_have_attribute("href", "tel:+441632960112")
    expect(alert).to_contain_text("Radio VHF 16 · Oxygen: yellow box below the helm")
    alert.get_by_role("link", name="Emergency steps").click()
    expect(page.locator("#missing")).to_be_visible()
    page.go_back()
    page.get_by_role("button", name="Surfaced").click()
    watched(page)
    expect(page.locator("#boat-intervals")).to_contain_text(demo.NAME)  # who was safety, beside who dived
    page.get_by_role("link", name="Log this dive").click()
    page.locator("#signs").get_by_role("checkbox", name="Cough after the dive").check()
    page.get_by_label("Note").fill("held the line at the turn")
    page.get_by_role("button", name="Save").click()
    mate.saved()
    expect(page.locator(".caution").first).to_contain_text("a squeeze until a doctor says otherwise")
    expect(mate.open("/boat/care").locator("#care")).to_contain_text("Nothing makes them shorter.")
    assert mate.open("/boat/today").locator(".next-dive").count() == 0
    for one in both:
        assert len(one.kept("outbox")) >= 3  # the morning, the check, the dive

    # at night the signal is back
    for one in both:
        one.open("/boat/today")
        one.context.set_offline(False)
        one.context.unroute_all()
        one.page.evaluate("dispatchEvent(new Event('online'))")
        one.sent()
    with create_app({"DATA_FILE": str(phone.server.data)}).app_context():
        for user, said in ((1, []), (2, ["cough"])):
            log = [record for record in seasons.log_of(user) if record.get("date") == TODAY]
            (made,) = [fields for fields in log if "discipline" in fields]
            (day,) = [fields for fields in log if "sleep" in fields]
            assert made["signs"] == said
            assert (day["sleep"], len(day["checked"])) == (2, 8)
    store.close()
