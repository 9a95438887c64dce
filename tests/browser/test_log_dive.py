"""Logging a dive on the boat: few touches, nothing typed is lost, and the next step is shown at once."""

from __future__ import annotations

import json
import re

from playwright.sync_api import expect
from support.boat import BoatPhone
from support.faulty import until


def notes_left_unfinished(phone: BoatPhone) -> list[str]:
    """Return the notes of the forms that the phone has kept without a save."""
    return [one["typed"]["note"] for one in phone.kept("kept") if isinstance(one, dict) and "typed" in one]


def test_an_unfinished_form_of_an_unplanned_dive_does_not_come_in_place_of_a_planned_one(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive?plan=none")
    page.get_by_label("Note").fill("half")
    until(phone, lambda: "half" in notes_left_unfinished(phone))
    page = phone.open("/boat/today")
    target = page.locator(".next .big").inner_text().removesuffix("m")
    page.get_by_role("link", name="Log this dive").click()
    expect(page.get_by_label("Depth reached")).to_have_value(target)
    expect(page.get_by_text("This form was left unfinished")).to_have_count(0)
    page = phone.open("/boat/dive?plan=none")
    expect(page.get_by_label("Note")).to_have_value("half")


def test_a_clean_dive_as_planned_takes_at_most_four_touches_and_its_time(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    page.evaluate("window.name = '0'")
    page.context.add_init_script(
        "addEventListener('click', (event) => event.isTrusted && (window.name = Number(window.name) + 1), true)"
    )
    page.reload()

    page.get_by_role("link", name="Log this dive").click()
    page.get_by_label("Dive time").click()
    page.keyboard.type("1:31")
    page.get_by_role("button", name="Save").click()

    phone.saved()
    expect(page.locator(".verdict")).to_contain_text("Clean")
    assert int(page.evaluate("window.name")) <= 4
    assert [row["fields"]["dive_s"] for row in phone.dives_today()] == [91]


def test_after_saving_the_next_target_is_told_with_its_day_and_its_reason(phone: BoatPhone) -> None:
    phone.log_as_planned()

    expect(phone.page.get_by_text("The dive is saved here.")).to_be_visible()
    expect(phone.page.get_by_role("heading", name="Next deep dive")).to_be_visible()
    expect(phone.page.locator("#dive")).to_contain_text(
        re.compile(r"FIM deep dive, (tomorrow|\w+, \d+ May|\w+ \d+ May), clean dive \d of \d in a row")
    )
    expect(phone.page.locator("#dive")).to_contain_text("clean dive")


def test_a_turned_dive_shows_what_was_reached_when_it_is_saved_and_in_the_list_of_the_day(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Depth reached").fill("20")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    expect(page.locator("#saved-dive")).to_have_text("FIM deep dive, 44 m, turned at 20 m")
    page = phone.open("/boat/today")
    expect(page.locator(".dives li").first).to_contain_text("FIM deep dive, 44 m, turned at 20 m done")


def test_a_dive_that_went_as_planned_shows_its_target_alone(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Depth reached").fill("43,8")  # the rulebook's tolerance
    page.get_by_role("button", name="Save").click()
    phone.saved()
    expect(page.locator("#saved-dive")).to_have_text("FIM deep dive, 44 m")


def test_a_depth_far_below_the_target_asks_for_a_slip_and_can_be_saved_all_the_same(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    slip = page.locator("#reached_m-slip")
    for typed in ("44", "45,9", "20", "", "deep"):
        page.get_by_label("Depth reached").fill(typed)
        expect(slip).not_to_be_visible()
    page.get_by_label("Depth reached").fill("60")
    expect(slip).to_have_text("16 m deeper than the target: is this a typing error?")
    page.reload()
    expect(slip).to_have_text("16 m deeper than the target: is this a typing error?")
    page.get_by_role("button", name="Save").click()
    phone.saved()


def test_the_signs_are_one_touch_away_and_leave_no_step_in_the_history(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Log this dive").click()
    page.get_by_role("link", name="Signs").click()
    expect(page.get_by_role("checkbox", name="Blackout")).to_be_in_viewport(ratio=1)
    assert page.evaluate("document.activeElement.id") == "signs"
    page.go_back()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")


GRAVE = {
    "Cough after the dive": "emergency call now",
    "Loss of motor control (LMC)": "Keep a buddy beside you",
    "Blackout": "to a hospital today",
    "Numb, weak, dizzy, speech or sight changed": "Oxygen and an emergency call first",
}
TAKE_BACK = """async (record) => {
  const outbox = await import("/static/js/store/outbox.js");
  const { getKept } = await import("/static/js/store/db.js");
  await outbox.remove({ record, user: (await getKept("user")).id });
}"""


def test_a_grave_sign_ends_the_day_and_says_what_to_do(phone: BoatPhone) -> None:
    for sign, says in GRAVE.items():
        page = phone.open("/boat/dive")
        page.get_by_role("checkbox", name=sign).check()
        page.get_by_role("button", name="Save").click()
        phone.saved()
        expect(page.locator("#dive")).to_contain_text(says)

        page.get_by_role("link", name="Back to Today").click()
        expect(page.get_by_role("heading", name=re.compile("No diving|The day is over"))).to_be_visible()
        expect(page.locator("#today")).to_contain_text(says)
        expect(page.locator(".next-dive")).to_have_count(0)
        record = next(row["record"] for row in phone.dives_today() if not row["deleted"])
        page.evaluate(TAKE_BACK, record)


def test_a_sign_that_ends_the_day_edited_away_is_asked_about(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_role("checkbox", name="Blackout").check()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    says = page.get_by_text("It had a sign that ends a day of diving.")
    expect(says).to_have_count(0)

    page.get_by_role("link", name="Edit this dive").click()
    page.get_by_role("checkbox", name="Blackout").uncheck()
    page.get_by_label("What was wrong").fill("touched the wrong tile")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    expect(says).to_be_visible()


def test_a_half_filled_form_survives_a_reload(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Depth reached").fill("41,5")
    page.get_by_label("Dive time").fill("1:2")
    page.get_by_role("checkbox", name="Ears slow").check()
    page.get_by_role("radio", name="6", exact=True).check()
    page.get_by_label("Note").fill("cold <b>hands</b>")
    until(phone, lambda: "cold <b>hands</b>" in notes_left_unfinished(phone))
    page.reload()

    expect(page.get_by_text("This form was left unfinished")).to_be_visible()
    expect(page.get_by_label("Depth reached")).to_have_value("41,5")
    expect(page.get_by_label("Dive time")).to_have_value("1:02")
    expect(page.get_by_role("checkbox", name="Ears slow")).to_be_checked()
    expect(page.get_by_role("radio", name="6", exact=True)).to_be_checked()
    expect(page.get_by_label("Note")).to_have_value("cold <b>hands</b>")

    page.get_by_role("button", name="Start afresh").click()
    expect(page.get_by_label("Note")).to_have_value("")


def test_a_year_that_cannot_be_meant_is_told_before_anything_is_saved(phone: BoatPhone) -> None:
    """A date field holds the year 0202 while 2027 is half typed."""
    page = phone.open("/boat/dive")
    page.locator("details.what summary").click()
    page.get_by_label("Date", exact=True).fill("0202-05-01")
    page.get_by_role("button", name="Save").click()

    expect(page.locator("#date-fault")).to_contain_text("Date must be in the year 1900 or later")
    assert phone.kept("outbox") == []


def test_bad_input_shows_every_fault_beside_its_field_and_keeps_what_was_typed(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Depth reached").fill("forty")
    page.get_by_label("Dive time").fill("1:75")
    page.get_by_role("button", name="Save").click()

    expect(page.get_by_role("heading", name="2 things need a look")).to_be_visible()
    expect(page.locator("#reached_m-fault")).to_contain_text("Depth reached must be a depth in metres")
    expect(page.locator("#dive_s-fault")).to_contain_text("Dive time must be a time like 2:05")
    expect(page.get_by_label("Depth reached")).to_have_value("forty")
    expect(page.get_by_label("Depth reached")).to_have_attribute("aria-invalid", "true")
    assert phone.kept("outbox") == []

    page.get_by_label("Depth reached").fill("40")
    page.get_by_label("Dive time").fill("95")
    page.get_by_label("Note").click()
    expect(page.get_by_label("Dive time")).to_have_value("1:35")  # shown as it was understood
    page.get_by_role("button", name="Save").click()
    phone.saved()


def test_a_dive_time_may_be_typed_as_minutes_or_seconds(phone: BoatPhone) -> None:
    typed = {"2:05": 125, "125": 125, "2.05": 125, "2,05": 125, " 0:59 ": 59, "": None}
    read = "(typed) => import('/static/js/parts/dive_check.js').then((form) => typed.map(form.seconds))"
    assert phone.page.evaluate(read, list(typed)) == list(typed.values())


def test_wet_fingers_can_log_without_the_keyboard(phone: BoatPhone) -> None:
    """The first touch on a step takes the expected time; each further one moves it by five seconds."""
    page = phone.open("/boat/dive")
    page.get_by_role("button", name="One metre less").click()
    page.get_by_role("button", name="Five seconds more").click()
    expected = page.get_by_label("Dive time").input_value()
    page.get_by_role("button", name="Five seconds more").click()

    minutes, seconds = map(int, expected.split(":"))
    later = minutes * 60 + seconds + 5
    expect(page.get_by_label("Dive time")).to_have_value(f"{later // 60}:{later % 60:02}")
    expect(page.get_by_label("Depth reached")).to_have_value("43")


def test_a_time_that_a_touch_filled_in_is_not_taken_for_the_divers_own_until_it_is_changed(phone: BoatPhone) -> None:
    """Else the plan's expectation comes back as the diver's speed, and times the safety diver."""
    page = phone.open("/boat/dive")
    page.get_by_role("button", name="Five seconds more").click()
    expect(page.get_by_label("Dive time")).not_to_have_value("")
    until(phone, lambda: '"expected"' in json.dumps(phone.kept("kept")))
    page.reload()  # the unfinished form keeps where its time is from
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (dive,) = phone.dives_today()
    assert dive["fields"]["time_from"] == "expected"

    page.get_by_role("link", name="Edit this dive").click()
    page.get_by_role("button", name="Five seconds more").click()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (changed,) = phone.dives_today()
    assert changed["fields"]["time_from"] is None
    assert changed["fields"]["dive_s"] == dive["fields"]["dive_s"] + 5


def test_a_typed_time_is_the_divers_own(phone: BoatPhone) -> None:
    phone.log_as_planned("1:31")
    (dive,) = phone.dives_today()
    assert dive["fields"]["dive_s"] == 91
    assert "time_from" not in dive["fields"]


def test_two_quick_touches_on_save_make_one_dive(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    page.evaluate("() => { const save = document.getElementById('save'); save.click(); save.click(); }")
    phone.saved()
    assert len(phone.dives_today()) == 1


def test_when_the_phone_cannot_keep_the_dive_it_says_not_saved_and_holds_the_form(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Note").fill("keep me")
    page.evaluate(
        "() => { IDBObjectStore.prototype.add = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"
    )
    page.get_by_role("button", name="Save").click()

    expect(page.get_by_role("alert").filter(has_text="NOT saved")).to_be_visible()
    expect(page.get_by_label("Note")).to_have_value("keep me")
    assert phone.dives_today() == []


def test_a_handle_that_the_system_closed_is_opened_again_and_the_dive_is_saved(phone: BoatPhone) -> None:
    page = phone.context.new_page()
    page.add_init_script("""
      const begin = IDBDatabase.prototype.transaction;
      IDBDatabase.prototype.transaction = function (...asked) {
        if (window.closeOnce) { window.closeOnce = false; this.close(); }
        return begin.apply(this, asked);
      };
    """)
    phone.page.close()
    phone.page = page
    phone.open("/boat/dive")
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    page.evaluate("window.closeOnce = true")
    page.get_by_role("button", name="Save").click()
    phone.saved()


def test_a_warm_up_is_one_touch_from_today_and_never_takes_the_deep_dives_depth(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Log a warm-up").click()
    expect(page.locator("#what-words")).to_have_text("FIM warm-up, today")
    expect(page.get_by_label("Depth reached")).to_have_value("")
    page.get_by_label("Depth reached").fill("15")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    expect(page.locator("#saved-dive")).to_have_text("FIM warm-up, 15 m")
    assert [(row["fields"]["role"], row["fields"]["target_m"]) for row in phone.dives_today()] == [("warm-up", None)]


def test_another_kind_of_dive_takes_the_depth_that_the_plan_has_for_it_or_none(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.locator("details.what summary").click()
    depths = [page.get_by_label("Target depth"), page.get_by_label("Depth reached")]
    says = page.locator("#what-words")
    expect(says).to_have_text("FIM deep dive, target 44 m, today")

    page.get_by_role("radio", name="warm-up").check()
    for depth in depths:
        expect(depth).to_have_value("")
    expect(says).to_have_text("FIM warm-up, today")
    expect(page.locator("#dive_s-hint")).to_have_text("Like 2:05 or 125.")

    page.get_by_role("radio", name="deep dive").check()
    for depth in depths:
        expect(depth).to_have_value("44")
    expect(page.locator("#dive_s-hint")).to_contain_text("fills in the expected 1:")

    depths[1].fill("30")
    page.get_by_role("radio", name="warm-up").check()
    expect(depths[0]).to_have_value("")
    expect(depths[1]).to_have_value("30")  # typed by the diver


def test_after_saving_the_next_dive_of_the_day_and_the_pause_before_it_are_told(phone: BoatPhone) -> None:
    phone.log_as_planned("1:30")
    rest = phone.page.locator("#next-today")
    expect(rest).to_contain_text(re.compile(r"Next today: \w+ drill, \d+ m\."))
    expect(rest).to_contain_text("At least 8:48 of surface interval before the next dive, by the longest rule")
    expect(rest).to_contain_text("None of them makes a dive safe")
    phone.open("/boat/today")
    expect(phone.page.locator("#least")).to_have_text("at least 8:48 by the longest rule")
