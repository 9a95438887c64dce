"""The dive clock: calls at their second, what survives a reload, overdue, after surfacing, and the way to the log."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.axe import violations
from support.boat import READ_STORE, TODAY, BoatPhone, Server

Json = dict[str, Any]
NewPhone = Callable[..., BoatPhone]
HOLDS = "{ request: async () => Object.assign(new EventTarget(), { release: async () => {} }) }"
TICK_MS = 200  # how late the page may be
KEEP = """([name, value]) => new Promise((resolve, reject) => {
  const request = indexedDB.open("lineslate");
  request.onerror = () => reject(request.error);
  request.onsuccess = () => {
    const tx = request.result.transaction(["kept"], "readwrite");
    tx.objectStore("kept").put(value, name);
    tx.oncomplete = () => { request.result.close(); resolve(); };
  };
})"""
SMALL = """() => [...document.querySelectorAll("main a, main button, main summary, main input")]
  .filter((one) => one.checkVisibility()).map((one) => [one.outerHTML.slice(0, 90), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 47.5 || box.width < 47.5).map(([what]) => what)"""
# in one step: the page may be drawn anew between finding an element and measuring it
MIDDLE_OF = """(selector) => {
  const { left, top, width, height } = document.querySelector(selector).getBoundingClientRect();
  return [left + width / 2, top + height / 2];
}"""
SIZES = """() => [".clock-time", ".clock-next", ".next-at", "body"].map((selector) =>
  parseFloat(getComputedStyle(document.querySelector(selector)).fontSize))"""
WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


def card_of(phone: BoatPhone, depth_m: float = 44) -> Json:
    kept = next(one for one in phone.kept("kept") if isinstance(one, dict) and one.get("sheet"))
    rungs = kept["sheet"]["disciplines"]["FIM"]["rungs"]
    found: Json = next(one for one in rungs if one["depth_m"] == depth_m)["card"]
    return found


def now(page: Page) -> float:
    found: float = page.evaluate("Date.now()")
    return found


def still(page: Page) -> None:
    """From here on the time moves only when the test says so."""
    page.clock.pause_at(now(page) / 1000 + 2)


def opened(phone: BoatPhone, path: str = "/boat/clock?plan=0") -> Page:
    page = phone.open(path)
    expect(page.get_by_role("button", name="Dive started").first).to_be_visible()
    phone.says("sent")
    still(page)
    return page


def started(phone: BoatPhone, path: str = "/boat/clock?plan=0") -> Page:
    page = opened(phone, path)
    page.get_by_role("button", name="Dive started").click()
    expect(page.get_by_role("timer")).to_have_text("0:00")
    return page


def clocks(phone: BoatPhone) -> list[Json]:
    """The clocks as the phone keeps them."""
    lists = [one for one in phone.kept("kept") if isinstance(one, list) and one and "started_ms" in one[0]]
    return lists[0] if lists else []


def kept_one(phone: BoatPhone, name: str) -> Json:
    """The only clock, once this moment of it is on the disk."""
    phone.page.wait_for_function(
        f"""async () => JSON.parse(await ({READ_STORE})("kept"))
          .some((one) => Array.isArray(one) && one[0]?.[{name!r}])"""
    )
    (found,) = clocks(phone)
    return found


def tones(page: Page) -> list[Json]:
    found: list[Json] = json.loads(page.locator("#clock").get_attribute("data-tones") or "[]")
    return found


def said(page: Page) -> list[str]:
    return [words for words in page.locator(".clock-said, .overdue-head").all_inner_texts() if words]


def run_to(page: Page, start_ms: float, at_s: float) -> None:
    page.clock.run_for(start_ms + at_s * 1000 - now(page))


def test_each_call_comes_in_words_at_its_second_and_none_before(phone: BoatPhone) -> None:
    card = card_of(phone)
    page = started(phone)
    start = kept_one(phone, "started_ms")["started_ms"]
    wanted = sorted(
        [
            (card["meet"]["leave_s"], "Safety diver leaves"), (card["turn_s"], "Turn expected"),
            (card["meet"]["meet_s"], "Safety diver meets"), (card["total_s"], "Surface expected"),
        ]
    )  # fmt: skip
    # A phone is some 70 mm wide for 390 px: digits of 140 px are 18 mm high; at a quarter all of it can be read.
    time, call, at, body = page.evaluate(SIZES)
    assert (time >= 140, call >= 24, at >= 48, body >= 16) == (True,) * 4
    before: list[str] = []
    for at_s, words in wanted:
        run_to(page, start, at_s - 0.001)
        assert said(page) == before, at_s
        expect(page.locator(".clock-next")).to_contain_text(f"{words} in 0:01")
        run_to(page, start, at_s + TICK_MS / 1000)
        assert said(page) == [words]
        expect(page.get_by_role("status").filter(has_text=words)).to_be_visible()
        expect(page.get_by_role("timer")).to_have_text(f"{at_s // 60}:{at_s % 60:02}")
        before = [words]
    run_to(page, start, card["overdue_s"] - 0.001)
    expect(page.get_by_role("alert").filter(has_text="OVERDUE")).to_have_count(0)
    run_to(page, start, card["overdue_s"] + TICK_MS / 1000)
    alert = page.get_by_role("alert").filter(has_text="OVERDUE")
    expect(alert).to_contain_text("Start the plan that you agreed for a diver who does not come up.")
    expect(alert).to_contain_text("Your training and the plan of this site come before these lines.")
    link = alert.get_by_role("link", name="Emergency steps").bounding_box()
    assert link is not None
    assert link["y"] + link["height"] < 600  # seen at once
    assert alert.get_by_role("link").get_attribute("href") == "/boat/emergency#missing"
    expect(page.locator(".clock-over")).to_contain_text("over the expected 1:38")


def test_the_mark_stands_on_the_line_where_the_card_says(phone: BoatPhone) -> None:
    card = card_of(phone)
    page = started(phone)
    start = kept_one(phone, "started_ms")["started_ms"]
    (_, first_m, first_s), turn_s = card["down"][0], card["turn_s"]
    mark, plate = page.locator(".clock-drawing .diver"), page.locator(".clock-drawing .plate")
    surface, bottom = 16.0, float((re.search(r" ([\d.]+)h", plate.get_attribute("d") or "") or [0, 0])[1])
    moments = [(first_s / 2, first_m / 2), (first_s, first_m), (turn_s, 44), (card["total_s"], 0)]
    for at_s, depth_m in moments:
        run_to(page, start, at_s)
        page.clock.run_for(TICK_MS)
        found = re.search(r"translate\(\S+ ([\d.]+)\)", mark.get_attribute("transform") or "")
        assert found
        shown_m = (float(found[1]) - surface) / (bottom - surface) * 44
        assert shown_m == pytest.approx(depth_m, abs=0.6)  # a tick later
    expect(page.get_by_text("Estimate, not measured")).to_be_visible()
    expect(page.get_by_role("img", name="an estimate from the card")).to_be_visible()


@pytest.mark.keeps_app
def test_after_surfacing_comes_the_watch_and_one_touch_to_a_log_with_the_measured_times(
    server: Server, phone: BoatPhone
) -> None:
    page = started(phone)
    page.clock.run_for(47_400)
    page.get_by_role("button", name="At the bottom").click()
    down_s = round((kept_one(phone, "bottom_ms")["bottom_ms"] - kept_one(phone, "started_ms")["started_ms"]) / 1000)
    page.clock.run_for(54_000)
    page.get_by_role("button", name="Surfaced").click()
    surfaced = kept_one(phone, "surfaced_ms")["surfaced_ms"]
    page.get_by_text("Watch face and breathing").click()  # wet fingers touch twice: nothing lies there
    watch = page.locator(".clock-watch")
    for words in (
        "Airway out of the water.",
        "Watch the face and the breathing.",
        "At least 30 s",
        "Recovery breathing:",
    ):
        expect(watch.get_by_role("listitem").filter(has_text=words)).to_be_visible()
    page.clock.run_for(29_700)
    expect(page.get_by_role("link", name="Log this dive")).to_have_count(0)
    assert [one["call"] for one in tones(page)] == ["watched", "watched"]
    page.clock.run_for(500)
    page.get_by_role("button", name="Not up yet").click()  # a touch by mistake is undone
    page.clock.run_for(5_000)
    expect(page.get_by_role("timer")).to_have_text("2:16")
    assert kept_one(phone, "started_ms")["surfaced_ms"] is None
    page.get_by_role("button", name="Surfaced").click()
    surfaced = kept_one(phone, "surfaced_ms")["surfaced_ms"]
    page.clock.run_for(31_000)
    page.reload()
    server.stop()  # without signal from here
    page.get_by_role("link", name="Log this dive").click()
    expect(page.get_by_label("Dive time")).to_have_value("2:17")
    expect(page.locator("#more-of-dive").get_by_label("Time down")).to_have_value(str(down_s))
    page.reload()
    expect(page.get_by_label("Time surfaced")).to_have_value("08:02")
    expect(page.get_by_label("Depth reached")).to_have_value("44")
    page.clock.run_for(90_000)
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (dive,) = (row["fields"] for row in phone.dives_today())
    at = datetime.fromtimestamp(surfaced / 1000, UTC)
    assert dive["surfaced_at"] == f"{at:%Y-%m-%dT%H:%M:%SZ}"
    wanted = {"dive_s": 137, "at": f"{at:%H:%M}", "discipline": "FIM", "role": "deep", "target_m": 44, "reached_m": 44}
    assert {name: dive[name] for name in wanted} == wanted
    assert dive.get("time_from") is None
    page.wait_for_function(
        f"""async () => JSON.parse(await ({READ_STORE})("kept")).some((one) => Array.isArray(one) && one[0]?.logged)"""
    )
    phone.open("/boat/clock")
    page.clock.run_for(500)
    expect(page.get_by_role("button", name="Dive started")).to_be_visible()
    expect(page.get_by_role("timer")).to_have_count(0)
    rows = page.locator("#boat-intervals tbody tr")
    expect(rows).to_have_count(2)  # the diver once, though clock and log know it, and who was safety


@pytest.mark.keeps_app
def test_a_dive_that_runs_survives_reload_and_a_new_page_and_a_call_that_was_missed_is_never_made_late(
    server: Server, phone: BoatPhone
) -> None:
    # a Chromium without a window has no screen to keep on
    phone.context.add_init_script(f"Object.defineProperty(navigator, 'wakeLock', {{ value: {HOLDS} }});")
    page = started(phone)
    page.clock.run_for(20_000)
    kept_one(phone, "started_ms")
    server.stop()
    page.reload()
    page.clock.run_for(400)
    expect(page.get_by_role("timer")).to_have_text("0:20")
    expect(page.locator("#sound-says")).to_have_text("No sound yet: touch anywhere on this page.")
    assert tones(page) == []
    expect(page.locator("#clock-warns")).to_contain_text("No sound yet")  # seen beside the time, without scrolling
    page.get_by_role("timer").click()
    expect(page.locator("#clock-warns")).to_have_text("")
    page.wait_for_function("JSON.parse(document.querySelector('#clock').dataset.tones).length > 0")
    assert min(one["at_ms"] for one in tones(page)) > now(page)
    page.close()

    again = phone.page = phone.context.new_page()
    phone.open("/boat/clock")
    again.clock.run_for(40_000)
    again.clock.fast_forward(290_000)  # a locked phone: timers fire once
    again.clock.run_for(400)
    expect(again.locator(".clock-over")).to_have_text(re.compile(r"^4:1\d over the expected 1:38$"))
    expect(again.get_by_role("alert").filter(has_text="OVERDUE")).to_be_visible()
    again.get_by_role("timer").click()
    expect(again.locator("#sound-says")).to_have_text("Sound is on.")
    assert tones(again) == []  # nothing that is due sounds now


def test_a_phone_that_slept_plans_only_tones_that_are_still_to_come(phone: BoatPhone) -> None:
    page = started(phone)
    page.wait_for_function("JSON.parse(document.querySelector('#clock').dataset.tones).length > 0")
    assert {one["call"] for one in tones(page)} == {"leave", "turn", "meet", "back", "overdue"}
    page.clock.fast_forward(60_000)  # the audio clock stood still meanwhile
    page.clock.run_for(400)
    assert {one["call"] for one in tones(page)} == {"meet", "back", "overdue"}
    assert min(one["at_ms"] for one in tones(page)) > now(page)
    mute = page.get_by_role("button", name="Mute")
    mute.click()
    expect(mute).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#sound-says")).to_have_text("Sound and vibration are off: watch the words.")
    assert tones(page) == []
    page.clock.run_for(400)
    page.reload()
    page.clock.run_for(400)
    expect(page.locator("#sound-says")).to_have_text("Sound and vibration are off: watch the words.")
    mute.click()
    expect(page.locator("#sound-says")).to_have_text("Sound is on.")
    assert {one["call"] for one in tones(page)} == {"meet", "back", "overdue"}


def test_the_phone_shakes_once_for_a_call_and_not_for_one_that_it_slept_through(phone: BoatPhone) -> None:
    phone.context.add_init_script("window.shaken = []; navigator.vibrate = (one) => window.shaken.push(one);")
    page = started(phone)
    start = kept_one(phone, "started_ms")["started_ms"]
    run_to(page, start, card_of(phone)["meet"]["leave_s"] + 0.9)
    assert len(page.evaluate("window.shaken")) == 1
    page.clock.fast_forward(200_000)
    page.clock.run_for(1_000)
    assert len(page.evaluate("window.shaken")) == 1


def other(page: Page, name: str, time: str = "", safety: str = "") -> None:
    """Fill in somebody else's dive."""
    page.get_by_role("radio", name="Somebody else").check()
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_role("radio", name="CNF").check()
    page.get_by_label("Target (m)").fill("30")
    page.get_by_label("Expected dive time").fill(time)
    page.locator("#safety").fill(safety)


def test_two_dives_at_once_each_with_its_own_time_and_everyones_intervals_side_by_side(phone: BoatPhone) -> None:
    page = started(phone)
    page.clock.run_for(30_000)
    page.locator("#another > summary").click()
    other(page, "Mara", "1:20", "Ben and Lou")
    page.locator("#start-other").click()
    page.clock.run_for(10_000)
    expect(page.locator(".clock-panel h2")).to_have_text(["Mara: CNF deep dive, 30 m", "FIM deep dive, 44 m"])
    expect(page.get_by_role("timer")).to_have_text(["0:10", "0:40"])
    buttons = page.locator("#thumb button")
    expect(buttons).to_have_text([re.compile("Surfaced.*own FIM"), re.compile("Surfaced.*Mara")])
    sizes = page.evaluate(
        "[...document.querySelectorAll('.clock-time')].map((one) => parseFloat(getComputedStyle(one).fontSize))"
    )
    assert min(sizes) >= 90
    rows = page.locator("#boat-intervals tbody tr")
    expect(rows.filter(has_text="Ben")).to_contain_text("now")
    expect(rows.filter(has_text="Mara")).to_contain_text("in the water")
    buttons.last.click()
    buttons.first.click()  # two divers may surface together
    expect(page.locator(".clock-panel h2").first).to_have_text("FIM deep dive, 44 m")
    page.clock.run_for(31_000)
    page.get_by_role("button", name="Done Mara").click()
    expect(page.get_by_role("link", name="Log this dive")).to_be_visible()
    page.clock.run_for(60_000)
    expect(rows).to_have_count(5)  # and the safety diver of the own dive
    expect(rows.first).to_contain_text(re.compile(r"1:3\d.*44 m"))
    expect(rows.first).to_contain_text("at least 8:48 by the longest rule")  # one minute for each 5 m
    expect(rows.filter(has_text="Mara")).to_have_text(re.compile(r"Mara\s*1:3\d\s*30 m\s*–"))
    for name in ("Ben", "Lou"):
        expect(rows.filter(has_text=name)).to_have_text(re.compile(rf"{name}\s*–\s*1:3\d"))
    expect(page.locator("#boat-intervals")).not_to_contain_text(re.compile(r"\b(go|ready|safe to)\b", re.IGNORECASE))


def test_of_somebody_elses_dive_without_a_time_the_clock_only_counts_up_and_says_so(phone: BoatPhone) -> None:
    page = opened(phone, "/boat/clock")
    other(page, "Mara")
    expect(page.locator("#clock-form")).to_contain_text(
        "No expected times are known: the clock only counts up and never calls overdue."
    )
    page.get_by_label("Expected dive time").fill("soon")  # an error in typing holds up no dive that has begun
    page.locator("#start").click()
    page.clock.run_for(1_000)
    page.clock.fast_forward(1_800_000)
    page.clock.run_for(400)
    expect(page.get_by_role("timer")).to_have_text("30:01")
    expect(page.get_by_text("this clock only counts up and never calls overdue")).to_be_visible()
    expect(page.locator(".clock-overdue, .clock-drawing")).to_have_count(0)
    assert tones(page) == []
    box = page.get_by_role("timer").bounding_box()
    assert box is not None
    assert page.evaluate(WIDE) <= 0


def test_a_count_down_leads_into_the_dive_by_itself_and_its_start_can_be_corrected(phone: BoatPhone) -> None:
    page = opened(phone)
    page.get_by_label("or at the time of day").fill("07:00")
    page.get_by_role("button", name="Count down", exact=True).click()
    expect(page.locator("#official-says")).to_have_text("This time has passed.")
    page.get_by_role("button", name="Count down 1 min").click()
    official = kept_one(phone, "official_ms")["official_ms"]
    expect(page.get_by_role("timer")).to_have_text("−1:00")
    page.wait_for_function("JSON.parse(document.querySelector('#clock').dataset.tones).length > 0")
    first = next(one for one in tones(page) if one["call"] != "soon")
    assert (first["call"], first["at_ms"]) == ("official", official)
    run_to(page, official, -9.8)
    expect(page.locator(".clock-said")).to_have_text("10 s to the official time")
    run_to(page, official, 0.3)
    expect(page.get_by_role("timer")).to_have_text("0:00")
    expect(page.locator(".clock-said")).to_have_text("Official time: dive time runs")
    run_to(page, official, 20.1)
    page.locator(".clock-correct summary").click()
    page.get_by_role("button", name="The dive started 5 seconds earlier").click()
    expect(page.get_by_role("timer")).to_have_text("0:25")
    for _ in range(2):
        page.get_by_role("button", name="The dive started 5 seconds later").click()
    expect(page.get_by_role("timer")).to_have_text("0:15")
    page.get_by_role("button", name="Started just now").click()
    expect(page.get_by_role("timer")).to_have_text("0:00")
    page.get_by_role("button", name="The dive started 5 seconds later").click()
    expect(page.get_by_role("timer")).to_have_text("0:00")  # a dive never starts ahead of the clock
    page.clock.run_for(3_000)
    page.get_by_role("button", name="At the bottom").click()
    expect(page.locator(".clock-bottom")).to_have_text("Bottom 0:03, expected 0:49. Calls stay as they were.")
    page.get_by_role("button", name="Remove this clock").click()
    expect(page.get_by_role("timer")).to_have_count(1)
    page.get_by_role("button", name="Touch again to remove it").click()
    expect(page.get_by_role("timer")).to_have_count(0)


def test_a_touch_that_came_twice_starts_one_dive_and_ends_none(phone: BoatPhone) -> None:
    page = opened(phone)
    x, y = page.evaluate(MIDDLE_OF, "#start")
    for _ in range(3):
        page.mouse.click(x, y)
    page.clock.run_for(1_400)
    expect(page.get_by_role("timer")).to_have_text("0:01")
    assert [one["surfaced_ms"] for one in clocks(phone)] == [None]


def test_a_clock_set_back_is_said_in_words_and_shows_no_time(phone: BoatPhone) -> None:
    page = started(phone)
    kept_one(phone, "started_ms")
    page.clock.set_system_time(now(page) / 1000 - 3600)
    page.reload()
    page.clock.run_for(400)
    expect(page.get_by_role("timer")).to_have_text("?")
    expect(page.get_by_text("The phone's clock was set back")).to_be_visible()
    page.get_by_role("timer").click()
    assert tones(page) == []
    page.get_by_role("button", name="Surfaced").click()
    page.clock.run_for(31_000)
    page.get_by_role("link", name="Log this dive").click()
    expect(page.get_by_label("Dive time")).to_have_value("")


@pytest.mark.parametrize(
    ("has", "says"),
    [
        ("{ request: async () => { throw new DOMException('low battery', 'NotAllowedError'); } }",
         "This phone refuses to keep the screen on (low battery?). Touch the screen before it turns off."),
        (HOLDS, "The screen stays on while this page is in front."),
        (None, "This browser cannot keep the screen on. Set the phone's own screen time to its longest."),
    ],
    ids=["refused", "held", "cannot"],
)  # fmt: skip
def test_the_page_says_whether_the_screen_is_kept_on(phone: BoatPhone, has: str | None, says: str) -> None:
    name = "wakeLock"
    phone.context.add_init_script(
        f"delete Navigator.prototype.{name};"
        if has is None
        else f"Object.defineProperty(navigator, '{name}', {{ value: {has} }});"
    )
    page = started(phone)
    expect(page.locator("#screen-says")).to_have_text(says)
    expect(page.get_by_text("your watch's alarm is the alarm")).to_be_attached()
    page.get_by_role("button", name="Surfaced").wait_for()


def test_the_name_of_the_safety_diver_comes_from_today_and_can_be_typed(phone: BoatPhone) -> None:
    user = next(one for one in phone.kept("kept") if isinstance(one, dict) and set(one) >= {"id", "name"})
    phone.page.evaluate(KEEP, [f"safety:{user['id']}", {"date": TODAY, "names": {"0": "Tove"}}])
    page = opened(phone)
    expect(page.locator("#safety")).to_have_value("Tove")
    page.get_by_role("button", name="Dive started").click()
    expect(page.locator(".clock-words")).to_contain_text("Safety diver: Tove")
    page.locator(".clock-correct summary").click()
    page.locator(".clock-correct input").fill("Ben")
    page.clock.run_for(2_000)
    page.get_by_role("button", name="Surfaced").click()
    assert kept_one(phone, "surfaced_ms")["safety"] == "Ben"


def test_today_leads_to_the_clock_of_the_next_dive(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Dive clock").click()
    expect(page.locator(".clock-which")).to_have_text("FIM deep dive, 44 m")
    card = card_of(phone)
    figures = [f"{at // 60}:{at % 60:02}" for at in (card["meet"]["leave_s"], card["total_s"], card["overdue_s"])]
    expect(page.locator(".clock-figures dd")).to_have_text(figures)


def test_a_phone_without_a_season_can_time_a_dive_too(new_phone: NewPhone) -> None:
    phone = new_phone()
    page = phone.open("/boat/clock")
    phone.says("Nothing to send.")
    still(page)
    page.get_by_label("Expected dive time").fill("2:00")
    page.get_by_role("button", name="Dive started").click()
    page.clock.run_for(138_400)  # 120 s, and 15 % more
    expect(page.get_by_role("alert").filter(has_text="OVERDUE")).to_be_visible()
    page.get_by_role("button", name="Surfaced").click()
    expect(page.get_by_text("At least 30 s")).to_be_visible()


def test_the_clocks_are_removed_with_the_log_from_a_phone_that_is_handed_on(phone: BoatPhone) -> None:
    started(phone)
    kept_one(phone, "started_ms")
    page = phone.open("/account/")
    page.clock.resume()
    page.get_by_role("button", name="Sign out and remove the log from this phone").click()
    page.wait_for_url("**/boat/phone")
    page.get_by_role("button", name="Remove the log from this phone", exact=True).click()
    expect(page.locator("#phone-says")).to_contain_text("Removed.")
    assert clocks(phone) == []


def test_in_each_state_axe_finds_nothing_all_can_be_touched_and_nothing_goes_sideways(phone: BoatPhone) -> None:
    page = started(phone)

    def assert_well(state: str) -> None:
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        page.clock.resume()  # axe waits by timers
        assert violations(page) == [], state
        still(page)
        for width in (195, 320, 390):  # 195 is 390 at 200 %
            page.set_viewport_size({"width": width, "height": 844})
            assert page.evaluate(WIDE) <= 0, (state, width)
            assert page.evaluate(SMALL) == [], (state, width)
        for button in page.get_by_role("button").all():
            assert not re.search(r"\bgo\b", button.inner_text(), re.IGNORECASE)

    page.clock.run_for(50_000)
    assert_well("down")
    page.clock.run_for(70_000)
    assert_well("overdue")
    page.get_by_role("button", name="Surfaced").click()
    page.clock.run_for(400)
    assert_well("watch")
    page.locator("#start-other").click()
    page.clock.run_for(31_000)
    assert_well("two")
