"""The dive form: it asks what belongs to the dive as typed and nothing else; its signs are quick to find."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect
from support.boat import TODAY, BoatPhone

OLD_DIVE = """async (fields) => {
  const { save } = await import("/static/js/store/outbox.js");
  const { getKept } = await import("/static/js/store/db.js");
  return save({ kind: "dive", fields, user: (await getKept("user")).id });
}"""
FIELDS: dict[str, Any] = {
    "date": TODAY, "at": "07:30", "surfaced_at": None, "discipline": "FIM", "role": "deep", "target_m": 30,
    "reached_m": 30, "dive_s": 80, "effort": None, "signs": [], "note": "",
}  # fmt: skip


def form(phone: BoatPhone, query: str = "") -> Page:
    page = phone.open(f"/boat/dive{query}")
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    return page


def save(phone: BoatPhone) -> dict[str, Any]:
    phone.page.get_by_role("button", name="Save").click()
    phone.saved()
    newest = max(phone.dives_today(), key=lambda row: row["fields"].get("logged_at", ""))
    return dict(newest["fields"])


def test_why_a_dive_was_turned_is_asked_only_while_it_is_short_of_its_target(phone: BoatPhone) -> None:
    page = form(phone)
    why = page.get_by_role("group", name="Why turned")
    expect(why).not_to_be_visible()
    page.get_by_label("Depth reached").fill("20")
    why.get_by_role("radio", name="Current").check()
    target = page.get_by_label("Target depth").input_value()
    page.get_by_label("Depth reached").fill(target)
    expect(why).not_to_be_visible()
    page.get_by_label("Depth reached").fill("30")
    expect(why.get_by_role("radio", name="Current")).to_be_checked()
    assert save(phone)["turned_why"] == "current"
    expect(page.locator("#dive")).to_contain_text("for an outside reason")

    page.get_by_role("link", name="Edit this dive").click()
    page.get_by_label("Depth reached").fill(target)
    page.get_by_label("What was wrong").fill("typed the depth of another dive")
    assert save(phone)["turned_why"] is None


def test_where_contractions_began_is_optional_and_no_deeper_than_the_dive(phone: BoatPhone) -> None:
    page = form(phone)
    page.get_by_text("More about this dive").click()
    page.get_by_label("Contractions began at").fill("99")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#contractions_m-fault")).to_contain_text("Contractions began at is deeper than the dive went")
    page.get_by_label("Contractions began at").fill("21,5")
    assert save(phone)["contractions_m"] == 21.5
    page = phone.open("/boat/log")
    page.locator(".log-line").first.click()
    expect(page.locator(".log-more").first).to_contain_text("contractions from 21.5 m")


def test_the_moment_of_logging_is_set_once_and_kept_when_the_dive_is_edited(phone: BoatPhone) -> None:
    form(phone)
    fields = save(phone)
    assert fields["logged_at"] == "2026-05-20T08:00:00Z"[:14] + fields["logged_at"][14:]
    assert "turned_why" not in fields
    assert "contractions_m" not in fields
    phone.page.clock.fast_forward("02:00:00")
    phone.page.get_by_role("link", name="Edit this dive").click()
    phone.page.get_by_label("Note").fill("again")
    assert save(phone)["logged_at"] == fields["logged_at"]


def test_a_second_deep_dive_without_a_time_is_asked_for_it_and_can_be_saved_all_the_same(phone: BoatPhone) -> None:
    phone.log_as_planned()
    page = form(phone, "?plan=none")
    page.get_by_role("radio", name="FIM").check()
    page.get_by_role("radio", name="deep dive").check()
    page.get_by_label("Depth reached").fill("20")
    asks = page.locator("#at-missing")
    expect(asks).not_to_be_visible()
    page.get_by_label("Time surfaced").fill("")
    expect(asks).to_have_text("A second deep dive of this day: when did you surface from it?")
    page.get_by_role("radio", name="warm-up").check()
    expect(asks).not_to_be_visible()
    page.get_by_role("radio", name="deep dive").check()
    page.get_by_role("button", name="Save").click()
    phone.saved()


def test_blood_asks_where_and_ear_ache_how_strong(phone: BoatPhone) -> None:
    page = form(phone)
    blood = page.get_by_role("group", name="Blood ends the day: where was it?")
    assert sorted(blood.locator("label").all_inner_texts()) == [
        "Blood from the ear", "Blood from the nose", "Blood in the mask", "Blood in the spit",
    ]  # fmt: skip
    ears = page.get_by_role("group", name="Ear ache ends the day: how strong?")
    assert ears.locator("label").all_inner_texts() == [
        "Mild ear ache, gone within the hour", "Ear pain, strong or lasting",
    ]  # fmt: skip


def test_lmc_and_blackout_are_no_neighbours(phone: BoatPhone) -> None:
    for width in (320, 390, 760):
        phone.page.set_viewport_size({"width": width, "height": 844})
        page = form(phone)
        one, other = (
            page.locator(f"#signs label:has(input[value={code}])").bounding_box() for code in ("lmc", "blackout")
        )
        assert one
        assert other
        apart_x = max(one["x"], other["x"]) - min(one["x"] + one["width"], other["x"] + other["width"])
        apart_y = max(one["y"], other["y"]) - min(one["y"] + one["height"], other["y"] + other["height"])
        assert max(apart_x, apart_y) > max(one["height"], 48), width  # at least one whole tile between them


def test_a_sign_that_others_have_replaced_is_not_offered_but_stays_on_a_dive_that_has_it(phone: BoatPhone) -> None:
    page = form(phone)
    expect(page.get_by_role("checkbox", name="Blood", exact=True)).to_have_count(0)
    record = page.evaluate(OLD_DIVE, {**FIELDS, "signs": ["blood"]})
    page = form(phone, f"?id={record}")
    expect(page.get_by_role("checkbox", name="Blood", exact=True)).to_be_checked()
    page.get_by_label("Note").fill("still there")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (row,) = phone.dives_today()
    assert row["fields"]["signs"] == ["blood"]
    assert "logged_at" not in row["fields"]


def test_ears_that_were_stuck_limit_the_rest_of_the_day_and_say_so_at_once(phone: BoatPhone) -> None:
    page = form(phone)
    page.get_by_role("checkbox", name="Ears stuck").check()
    page.get_by_label("Dive time").fill("1:10")
    save(phone)
    for place in ("#dive", "#today"):
        expect(page.locator(place)).to_contain_text("Ears stuck: nothing deeper than 10 m today.")
        expect(page.locator(place)).to_contain_text("do not force it")
        phone.open("/boat/today")
    expect(page.get_by_role("heading", name="For the rest of today")).to_be_visible()
    for drill in page.locator(".dives .in-list").all_inner_texts():
        assert "drill, 18 m" not in drill


def test_pressure_on_the_chest_ends_the_day_and_says_what_to_do_at_once(phone: BoatPhone) -> None:
    page = form(phone)
    page.get_by_role("group", name="These end the day").get_by_role("checkbox", name="Pressure on the chest").check()
    save(phone)
    for place in ("#dive", "#today"):
        expect(page.locator(place)).to_contain_text("The day is over after pressure on the chest at depth.")
        expect(page.locator(place)).to_contain_text("can be the first sign of a squeeze")
        phone.open("/boat/today")
    expect(page.locator(".next-dive")).to_have_count(0)
