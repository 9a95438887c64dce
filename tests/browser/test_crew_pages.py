"""The crew's day and who is next, on a phone without signal."""

from __future__ import annotations

import os
import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.axe import violations
from support.boat import TODAY, BoatPhone
from support.boat_crew import ALL, BO, CLEO, CREW, ME, aboard, feeds_of, named_id, plant, shown, turn
from support.faulty import until

NAME = """async () => (await (await import("/static/js/store/db.js")).getKept("user")).name"""
CLOCKS = """async () => {
  const { getKept } = await import("/static/js/store/db.js");
  const { keyOf } = await import("/static/js/store/keys.js");
  return getKept(keyOf.clocks((await getKept("user"))?.id));
}"""
LOGGED_BY = """async () => {
  const { write, whenAll, getKept } = await import("/static/js/store/db.js");
  await write(["records"], ({ records }) => whenAll({ rows: records.getAll() }, ({ rows }) => {
    const row = rows.find(({ kind, fields }) => kind === "dive" && fields.date === "2026-05-20");
    records.put({ ...row, fields: { ...row.fields, logged_by: "Bo", confirmed: false } });
  }));
}"""
SHOTS = os.environ.get("LINESLATE_TEST_SHOTS")


def shoot(page: Page, name: str) -> None:
    if not SHOTS:
        return
    for width, height in ((390, 844), (1280, 900)):
        page.set_viewport_size({"width": width, "height": height})
        for theme in ("day", "night"):
            page.evaluate("(theme) => document.documentElement.setAttribute('data-theme', theme)", theme)
            page.screenshot(path=Path(SHOTS) / f"{name}-{width}-{theme}.png", full_page=width == 390)
    page.evaluate("document.documentElement.removeAttribute('data-theme')")
    page.set_viewport_size({"width": 390, "height": 844})


def of(phone: BoatPhone, row: dict[str, Any]) -> dict[str, Any]:
    """What this dive of the list says now."""
    found: dict[str, Any] = next(one["fields"] for one in shown(phone, "turn") if one["record"] == row["record"])
    return found


def opened(phone: BoatPhone, page: str) -> Page:
    found = phone.open(f"/boat/{page}")
    expect(found.locator(f"#{page}-title")).to_be_visible()
    return found


def order_of(page: Page) -> list[str]:
    expect(page.locator(".crew-row").first).to_be_visible()
    return page.locator(".crew-row .crew-head strong").all_inner_texts()


def test_without_a_crew_the_pages_say_how_to_come_to_one(phone: BoatPhone) -> None:
    for name in ("crew", "next"):
        page = opened(phone, name)
        expect(page.get_by_role("main").get_by_role("link", name="Crews")).to_have_attribute("href", "/crews/")
        expect(page.locator("#thumb")).to_be_hidden()


def test_a_day_is_put_together_on_one_phone_and_its_order_says_why(phone: BoatPhone) -> None:
    yesterday = turn(BO, 33, 90, date="2026-05-19")
    plant(phone, [yesterday])
    page = opened(phone, "crew")
    expect(page.get_by_text("The list only puts dives in order.")).to_be_visible()
    expect(page.get_by_text("No dive is in the order yet.")).to_be_visible()

    page.get_by_role("button", name=re.compile("^Add my .* of today")).click()
    expect(page.locator("#crew-cannot")).to_contain_text("Not ready yet")
    page.get_by_role("button", name="Add Bo").click()
    for name in ("Ilka", " ilka "):
        page.get_by_label("A guest without an account").fill(name)
        page.get_by_role("button", name="Add the guest").click()
        expect(page.locator(".crew-person", has_text="Ilka (guest)")).to_have_count(1)
        expect(page.get_by_label("A guest without an account")).to_have_value("")
    assert len(shown(phone, "guest")) == 1
    for person in page.locator(".crew-person").all():
        name = person.locator("strong").inner_text()
        person.locator(".toggle").click()
        person.get_by_text(f"Change {name}").click()
        person.get_by_label("May meet a diver").fill("20")
        person.get_by_label("May meet a diver").press("Tab")
        expect(person).to_contain_text("may meet a diver at 20 m at most")
    assert [row["fields"]["ready"] for row in shown(phone, "aboard")] == [True] * 3

    page.get_by_role("button", name="Start, line, roles").click()
    page.get_by_label("Start").fill("09:00")
    page.get_by_label("The line is set").fill("60")
    page.get_by_label("Line keeper").select_option(label="Ilka")
    page.locator("#crew-form-save").click()
    expect(page.locator("#crew-day-says")).to_contain_text("start 09:00 · line to 60 m at most · line keeper Ilka")
    page.get_by_role("button", name="Add a dive", exact=True).click()
    page.get_by_label("Who").select_option(label="Bo")
    page.locator("#crew-form-save").click()
    expect(page.locator("#crew-form-says")).to_contain_text("Depth (m) must be a depth in metres")
    page.locator("#discipline .toggle", has_text="FIM").click()
    page.get_by_label("Depth (m)").fill("70")
    page.get_by_label("Expected dive time").fill("2:30")
    page.locator("#crew-form-save").click()
    expect(page.locator("#crew-cannot")).to_contain_text("Deeper than the line may be set today: 60 m.")
    page.locator("#crew-cannot").get_by_role("button", name="Edit").click()
    page.get_by_label("Depth (m)").fill("30")
    page.locator("#crew-form-save").click()
    expect(page.locator("#crew-cannot")).to_have_count(0)
    expect(page.locator("#crew-form")).to_have_count(0)
    assert "Bo" in order_of(page)
    of_bo = page.locator(".crew-row", has=page.locator(".crew-head", has_text="Bo"))
    of_bo.get_by_text("Why here, and change it").click()
    expect(page.locator(".crew-row details[open]")).to_contain_text("The line")
    expect(page.locator(".crew-row details[open]")).to_contain_text("No surface interval is given before this dive")
    shoot(page, "crew")
    assert violations(page) == []


SITE = """async () => {
  const { readSlate } = await import("/static/js/store/slate.js");
  const { save } = await import("/static/js/store/outbox.js");
  const { season, user } = await readSlate();
  await save({ kind: "site", record: season.site, fields: { emergency_phone: "112", oxygen_by: "Bo" }, user: user.id });
}"""


def test_a_crew_is_given_the_plan_of_a_site_and_a_phone_without_a_plan_of_its_own_shows_it(phone: BoatPhone) -> None:
    plan = {"name": "Odd Lake", "emergency_phone": "113", "radio_channel": "VHF 12"}
    plant(phone, [{"record": named_id("theirs"), "kind": "crew_site", "fields": plan}])
    page = phone.open("/boat/emergency")  # the own site has no number yet
    expect(page.locator("#site-name")).to_have_text("Odd Lake")
    expect(page.locator("#plan-of")).to_have_text("The plan of Skarn crew.")
    expect(page.locator("#call-emergency_phone")).to_have_attribute("href", "tel:113")

    page = phone.open("/boat/clock?plan=0")
    page.get_by_role("button", name="Dive started").click()
    page.clock.fast_forward(300_000)
    overdue = page.get_by_role("alert").filter(has_text="OVERDUE")
    expect(overdue.get_by_role("link", name="Call 113")).to_be_visible()
    expect(overdue).to_contain_text("Radio VHF 12")

    page = opened(phone, "crew")
    expect(page.locator("#give-plan")).to_have_count(0)
    page.evaluate(SITE)
    page.get_by_role("button", name="Give the crew the plan of Skarn Wall").click()
    expect(page.locator("#give-plan")).to_have_count(0)
    (given,) = [row["fields"] for row in shown(phone, "crew_site") if row["fields"]["name"] == "Skarn Wall"]
    assert (given["emergency_phone"], given["oxygen_by"], given["bottom_m"]) == ("112", "Bo", 55)
    shoot(page, "crew-plans")
    page.get_by_role("button", name="Remove the plan of Skarn Wall").click()
    page.get_by_role("button", name="Touch again to remove the plan of Skarn Wall").click()
    expect(page.locator("#give-plan")).to_be_visible()
    assert [row["fields"]["name"] for row in shown(phone, "crew_site")] == ["Odd Lake"]

    page = phone.open("/boat/emergency")  # the own plan comes first, the crew's can be chosen
    expect(page.locator("#site-name")).to_have_text("Skarn Wall")
    page.get_by_label("Other site").select_option(label="Odd Lake, Skarn crew")
    expect(page.locator("#call-emergency_phone")).to_have_attribute("href", "tel:113")
    shoot(page, "crew-emergency")


def test_a_dive_is_moved_pinned_and_given_a_safety_by_hand(phone: BoatPhone) -> None:
    plant(phone, [*ALL, turn(BO, 30, 1), turn(CLEO, 30, 2), turn(ME, 20, 3, role="drill")])
    page = opened(phone, "crew")
    before = order_of(page)
    last = page.locator(".crew-row").last
    last.get_by_text("Why here, and change it").click()
    last.get_by_role("button", name="Move up").click()
    expect(page.locator(".crew-row").nth(1).locator("strong").first).to_have_text(before[2])
    expect(page.locator(".crew-row").nth(1)).to_contain_text("pinned")
    expect(page.locator(".crew-row").nth(1)).to_contain_text("Pinned to place 2.")
    moved = page.locator(".crew-row", has_text="pinned")
    moved.get_by_role("button", name="Unpin").click()
    expect(page.get_by_text("Pinned to place 2.")).to_have_count(0)
    row = page.locator(".crew-row", has=page.locator(".crew-head", has_text="Mika"))
    if not row.get_by_role("button", name="Pin here").is_visible():
        row.get_by_text("Why here, and change it").click()
    row.locator(".toggle", has_text="Cleo").click()
    expect(row).to_contain_text("Safety named by hand: Cleo.")
    expect(row).to_contain_text("Safety: Cleo, meets at")
    mine = [one for one in shown(phone, "turn") if one["fields"]["person"] == ME]
    assert mine[0]["fields"]["safety"] == [CLEO]


SLOW_S = 60  # the clock of a page goes on while a busy machine works


def seconds(page: Page) -> int:
    """What the running clock shows."""
    minutes, rest = page.locator("#running-time").inner_text().split(":")
    return 60 * int(minutes) + int(rest)


def test_a_dive_begins_and_ends_on_the_next_page_and_is_logged_for_its_diver(phone: BoatPhone) -> None:
    plant(phone, [*ALL, turn(BO, 30, 1, pinned=1), turn(CLEO, 32, 2)], ["list", "log", "write"])
    page = opened(phone, "next")
    expect(page.locator("#next-who")).to_have_text("Bo")
    expect(page.locator("#next-line")).to_have_text("Line: set to 30 m")
    expect(page.locator("#next-safety")).to_contain_text(re.compile(r"Safety: .+ meets? at [\d.]+\sm"))
    page.get_by_role("button", name="In the water: Bo").click()
    expect(page.locator(".next-running .next-who")).to_have_text("Bo")
    expect(page.locator("#next-line")).to_have_text("Line: 30 m → 32 m")
    expect(page.locator("#running-time")).to_have_text(re.compile(r"0:\d\d"))
    before_s = seconds(page)
    page.clock.fast_forward(95_000)
    expect(page.locator("#running-time")).to_have_text(re.compile(r"[1-9]:\d\d"))
    after_s = seconds(page)
    assert 0 <= after_s - before_s - 95 < SLOW_S
    shoot(page, "next")
    assert violations(page) == []
    page.get_by_role("button", name="Back at the surface: Bo").click()
    expect(page.locator("#ask-result")).to_contain_text("Bo: CWT deep dive, 30 m")
    shoot(page, "result")
    page.clock.fast_forward(2_000)
    page.get_by_role("button", name="As planned").click()
    expect(page.locator("#log-for")).to_contain_text("Log this dive for Bo")
    shoot(page, "log-for")
    assert violations(page) == []
    page.get_by_label("Depth reached").fill("29.5")
    page.clock.fast_forward(2_000)
    page.get_by_role("button", name="Log it").click()
    expect(page.locator("#log-for")).to_have_count(0)
    (log,) = feeds_of(phone)["logs"]
    (dive,) = log["rows"]
    fields = dive["fields"]
    assert (fields["reached_m"], fields["confirmed"], fields["signs"]) == (29.5, False, [])
    assert 0 <= fields["dive_s"] - after_s < SLOW_S
    assert fields["logged_by"] == phone.page.evaluate(NAME)
    record, done = next((row["record"], row["fields"]) for row in shown(phone, "turn") if row["fields"]["person"] == BO)
    assert dive["record"] == named_id("dive", record)  # the same on whichever phone it is logged
    assert (done["result"], done["dive"], done["reached_m"]) == ("done", dive["record"], 29.5)
    assert len(done["safety"]) >= 1
    clocks = phone.page.evaluate(CLOCKS)
    assert [(one["name"], bool(one["surfaced_ms"])) for one in clocks] == [("Bo", True)]


def test_a_touch_by_mistake_is_taken_back_and_the_diver_is_in_the_water_again_or_not_at_all(phone: BoatPhone) -> None:
    plant(phone, [*ALL, turn(BO, 30, 1, pinned=1), turn(CLEO, 32, 2)])
    page = opened(phone, "next")
    page.get_by_role("button", name="In the water: Bo").click()
    page.clock.fast_forward(60_000)
    page.get_by_role("button", name="Back at the surface: Bo").click()
    page.clock.fast_forward(5_000)
    page.get_by_role("button", name="A mistake: still in the water").click()
    expect(page.locator("#ask-result")).to_have_count(0)
    expect(page.locator(".next-running .next-who")).to_have_text("Bo")
    expect(page.locator("#running-time")).to_have_text(re.compile(r"1:0[5-9]"))  # it never stopped
    assert [one["surfaced_ms"] for one in phone.page.evaluate(CLOCKS)] == [None]

    page.get_by_text("Touched by mistake").click()
    page.get_by_role("button", name="Bo is not in the water").click()
    expect(page.get_by_role("button", name="In the water: Bo")).to_be_visible()
    assert [row["fields"]["began_at"] for row in shown(phone, "turn")] == [None, None]
    expect(page.locator(".next-running")).to_have_count(0)
    assert phone.page.evaluate(CLOCKS) == []
    assert violations(page) == []


def test_of_two_dives_that_two_phones_began_the_one_whose_end_nobody_noted_is_asked_for(phone: BoatPhone) -> None:
    began = {"began_at": f"{TODAY}T07:50:00Z"}, {"began_at": f"{TODAY}T07:59:30Z"}
    plant(phone, [*ALL, turn(BO, 30, 1, **began[0]), turn(CLEO, 32, 2, **began[1]), turn(ME, 20, 3)])
    page = opened(phone, "next")
    expect(page.locator(".next-running .next-who")).to_have_text("Cleo")
    expect(page.locator("#ask-end")).to_contain_text("Bo: CWT deep dive, 30 m")
    expect(page.locator("#ask-end")).to_contain_text("Look for the diver first.")
    assert violations(page) == []
    page.locator("#ask-end").get_by_role("button", name="Back at the surface").click()
    expect(page.locator("#ask-result")).to_contain_text("Bo: CWT deep dive, 30 m")
    page.clock.fast_forward(2_000)
    page.get_by_role("button", name="Hard").click()
    expect(page.locator("#ask-result")).to_have_count(0)

    page = opened(phone, "crew")
    page.get_by_text("Dives that are over (1)").click()
    page.get_by_role("button", name="Not this result Bo").click()
    expect(page.get_by_text("no result yet")).to_be_visible()
    expect(opened(phone, "next").locator("#ask-result")).to_contain_text("Bo: CWT deep dive, 30 m")


def test_after_a_rescue_the_emergency_page_opens_and_the_day_is_over_for_the_diver(phone: BoatPhone) -> None:
    rows = [turn(BO, 30, 1, pinned=1), turn(CLEO, 32, 2), turn(BO, 15, 3, role="drill")]
    plant(phone, [*ALL, *rows])
    page = opened(phone, "next")
    page.get_by_role("button", name="In the water: Bo").click()
    page.clock.fast_forward(60_000)
    page.get_by_role("button", name="Back at the surface: Bo").click()
    page.clock.fast_forward(2_000)
    page.get_by_role("button", name=re.compile("help needed")).click()
    page.wait_for_url("**/boat/emergency")
    page = opened(phone, "next")
    expect(page.locator("#next-who")).to_have_text("Cleo")
    expect(page.get_by_text("day over", exact=True)).to_be_visible()
    assert [row["fields"]["over"] for row in shown(phone, "aboard") if row["fields"]["person"] == BO] == [True]


def test_the_own_dive_leads_to_its_clock_and_whoever_gave_no_right_logs_it_themselves(phone: BoatPhone) -> None:
    plant(phone, [*ALL, turn(ME, 30, 1, pinned=1), turn(BO, 20, 2)], ["list"])
    page = opened(phone, "next")
    page.get_by_role("button", name="In the water: Mika").click()
    page.wait_for_url("**/boat/clock")
    expect(page.locator(".clock-panel")).to_be_visible()
    page = opened(phone, "next")
    page.get_by_role("button", name="Back at the surface: Mika").click()
    page.clock.fast_forward(2_000)
    page.get_by_role("button", name="As planned").click()
    expect(page.locator("#log-own")).to_have_attribute("href", re.compile(r"^/boat/dive\?clock="))
    page.locator("#log-own").click()
    expect(page.get_by_label("Depth reached")).to_have_value("30")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    page = opened(phone, "next")
    expect(page.locator("#next-who")).to_have_text("Bo")
    expect(page.locator("#log-own")).to_have_count(0)
    page.get_by_role("button", name="In the water: Bo").click()
    page.clock.fast_forward(60_000)
    page.get_by_role("button", name="Back at the surface: Bo").click()
    page.clock.fast_forward(2_000)
    page.get_by_role("button", name="As planned").click()
    expect(page.locator("#next-result")).to_contain_text("Bo logs this dive on their own phone.")


TAKE = """async ([feed, person, record, fields]) => {
  const { takeDay } = await import("/static/js/store/handed.js");
  const { getKept } = await import("/static/js/store/db.js");
  const { newId } = await import("/static/js/store/ids.js");
  const op = { feed: person, op: newId(), record, kind: "dive", action: "put", fields, base: 0, n: 1, by: "Bo",
    made_at: "2026-05-20T08:30:00Z" };
  const day = { feed, title: "Skarn crew", date: "2026-05-20", by: "Bo", rows: [], ops: [op] };
  await takeDay(day, await getKept("user"));
}"""
SEEN = {"date": TODAY, "at": "08:01", "discipline": "FIM", "role": "deep", "target_m": 38, "reached_m": 37,
        "dive_s": None, "effort": None, "signs": ["lmc"], "note": "", "logged_by": "Bo",
        "confirmed": False}  # fmt: skip


def test_an_own_dive_of_the_list_that_ends_on_its_own_pages_ends_there_too_and_is_one_dive_whoever_logs_it(
    phone: BoatPhone,
) -> None:
    """It is logged on the form, without a clock."""
    plant(phone, [*ALL, turn(BO, 20, 2)], ["list", "write"])
    page = opened(phone, "crew")
    page.get_by_role("button", name=re.compile("^Add my .* of today")).click()
    expect(page.locator(".crew-row", has=page.locator(".crew-head", has_text="Mika")).first).to_be_visible()
    mine = [row for row in shown(phone, "turn") if row["fields"]["person"] == ME]
    deep = next(row for row in mine if row["fields"]["role"] == "deep")
    phone.log_as_planned("1:30")
    until(phone, lambda: of(phone, deep)["dive"])
    told, (dive,) = of(phone, deep), phone.dives_today()
    assert dive["record"] == told["dive"] == named_id("dive", deep["record"])
    assert (told["ended_at"], told["reached_m"]) == (dive["fields"]["surfaced_at"], dive["fields"]["reached_m"])
    began, ended = (datetime.fromisoformat(told[name]) for name in ("began_at", "ended_at"))
    assert (ended - began).seconds == 90

    phone.page.evaluate(TAKE, [CREW, ME, dive["record"], SEEN])
    (both,) = phone.dives_today()
    assert (both["fields"]["reached_m"], both["fields"]["signs"]) == (37, ["lmc"])  # the later shows
    assert (both["fields"]["dive_s"], both["fields"]["logged_by"]) == (90, "Bo")  # who does not say takes nothing
    phone.page.evaluate(TAKE, [CREW, ME, dive["record"], {**SEEN, "signs": [], "logged_by": "Cleo"}])
    assert [one["fields"]["signs"] for one in phone.dives_today()] == [["lmc"]]

    phone.context.route("**/crew_turn.js", lambda route: route.abort())  # a phone that did not keep it
    page = phone.open("/boat/dive?plan=none&role=drill")
    page.locator(".toggle", has_text="CWT").first.click()
    page.get_by_label("Depth reached").fill("12")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    assert len(phone.dives_today()) == 2


def test_the_clock_of_an_own_dive_of_the_list_ends_it_there_and_takes_a_mistake_back(phone: BoatPhone) -> None:
    plant(phone, [*ALL, turn(ME, 33, 1), turn(ME, 30, 3, discipline="FIM")])
    page = opened(phone, "clock")
    page.locator("#clock-which .toggle", has_text="CWT").first.click()
    page.get_by_label("Target (m)").fill("33")
    page.get_by_role("button", name="Dive started").click()
    page.clock.fast_forward(95_000)
    page.get_by_role("button", name="Surfaced").click()
    mine = shown(phone, "turn")[0]
    until(phone, lambda: of(phone, mine)["ended_at"])
    began, ended = (datetime.fromisoformat(of(phone, mine)[name]) for name in ("began_at", "ended_at"))
    assert (ended - began).seconds in range(94, 98)
    page.clock.fast_forward(3_000)
    page.get_by_role("button", name="Not up yet").click()
    until(phone, lambda: not of(phone, mine)["ended_at"])
    page.clock.fast_forward(20_000)
    page.get_by_role("button", name="Surfaced").click()
    until(phone, lambda: of(phone, mine)["ended_at"])
    page.clock.fast_forward(120_000)
    page.get_by_role("link", name="Log this dive").click()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    until(phone, lambda: of(phone, mine)["dive"])
    assert [one["record"] for one in phone.dives_today()] == [named_id("dive", mine["record"])]
    assert [row["fields"]["ended_at"] for row in shown(phone, "turn")[1:]] == [None]

    # the line keeper has noted the second dive; the one that is still to come stays where it is
    page = opened(phone, "clock")
    page.locator("#clock-which .toggle", has_text="CWT").first.click()
    page.get_by_label("Target (m)").fill("33")
    page.get_by_role("button", name="Dive started").click()
    page.clock.fast_forward(95_000)
    now = datetime.fromisoformat(page.evaluate("new Date().toISOString()"))
    noted = {f"{name}_at": f"{now - timedelta(seconds=ago):%Y-%m-%dT%H:%M:%SZ}" for name, ago in
             (("began", 93), ("ended", 4))}  # fmt: skip
    plant(phone, [second := turn(ME, 33, 4, **noted), third := turn(ME, 33, 5)])
    page.get_by_role("button", name="Surfaced").click()
    page.clock.fast_forward(120_000)
    page.get_by_role("link", name="Log this dive").click()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    until(phone, lambda: of(phone, second)["dive"])
    assert {one["record"] for one in phone.dives_today()} == {named_id("dive", row["record"]) for row in (mine, second)}
    assert (of(phone, second)["ended_at"], of(phone, third)["ended_at"]) == (noted["ended_at"], None)


def test_a_dive_that_another_logged_is_shown_so_until_its_diver_says_that_it_is_right(phone: BoatPhone) -> None:
    phone.context.route("**/sync", lambda route: route.abort())  # an answer would put back what is planted here
    phone.log_as_planned()
    phone.page.evaluate(LOGGED_BY)
    page = phone.open("/boat/log")
    line = page.locator(".log-line", has_text="logged by another")
    line.click()
    expect(page.get_by_text("Logged by Bo. Is it right?")).to_be_visible()
    page.get_by_role("button", name="That is right").click()
    expect(page.get_by_text("Logged by Bo. Is it right?")).to_have_count(0)
    expect(line).to_have_count(0)
    assert [row["fields"]["confirmed"] for row in phone.dives_today() if row["fields"].get("logged_by")] == [True]


@pytest.mark.parametrize("name", ["crew", "next"])
def test_nothing_goes_sideways_with_a_crew_on_a_narrow_screen(phone: BoatPhone, name: str) -> None:
    long = "Wilhelmina-Anneliese"
    plant(phone, [*ALL, aboard("guest", 9, name=long, guest=True), turn("guest", 30.5, 1), turn(BO, 30, 2),
                  turn(ME, 35, 3, began_at=f"{TODAY}T07:59:30Z", safety=[BO])])  # fmt: skip
    page = opened(phone, name)
    expect(page.get_by_text(long).first).to_be_visible()
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    for width in (320, 640):  # the least width, and 1280 px at 200 %
        page.set_viewport_size({"width": width, "height": 700})
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, (name, width, wide)
