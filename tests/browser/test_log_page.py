"""The log: a line a dive; edit, delete, undo, restore; nothing disappears without a trace, and text stays text."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from playwright.sync_api import expect
from support.boat import BoatPhone

# In one go: the list is drawn anew while the phone syncs.
WEEK_HEIGHT = """() => document.querySelectorAll("#log ul")[6].getBoundingClientRect().bottom
  - document.querySelector("#log h3").getBoundingClientRect().top"""


def test_a_week_of_diving_is_a_line_a_dive_under_slim_heads_of_its_days(phone: BoatPhone) -> None:
    page = phone.open("/boat/log")
    heads = page.locator("#log h3")
    expect(heads.first).to_have_text("Mon 18 May")
    dives = [row["fields"] for row in phone.kept("records") if row["kind"] == "dive"]
    days = sorted({dive["date"] for dive in dives}, reverse=True)[:7]
    week = [dive for dive in dives if dive["date"] in days]
    assert len(week) >= 18

    seventh = page.locator("#log ul").nth(6)
    expect(seventh.locator("> li")).to_have_count(len([dive for dive in week if dive["date"] == days[6]]))
    height = page.evaluate(WEEK_HEIGHT)
    assert height <= 50 * len(week) + 40 * len(days)
    small = page.locator("#log summary").evaluate_all(
        "(all) => all.filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 48).length"
    )
    assert small == 0


def test_a_line_tells_the_dive_and_opens_to_all_of_it_by_keyboard(phone: BoatPhone) -> None:
    page = phone.open("/boat/log")
    entry = page.locator("li", has_text="turned, good decision")
    line = entry.locator("summary")
    expect(line).to_have_text(re.compile(r"^\s*10:10\s+FIM deep dive\s+40\.3 m\s+turned early\s+1:30\s*$"))
    expect(line.locator("svg.mark")).to_be_visible()
    for hidden in (entry.locator(".note"), entry.locator(".state"), entry.get_by_text("Edit")):
        expect(hidden).to_be_hidden()

    line.focus()
    page.keyboard.press("Enter")
    expect(entry.locator(".note")).to_be_visible()
    for words in ("planned 48 m", "effort 6", "ears slow", "Turned early: ", "sent"):
        expect(entry.get_by_text(words).last).to_be_visible()
    for role, name in (("link", "Edit"), ("link", "History"), ("button", "Delete")):
        expect(entry.get_by_role(role, name=f"{name} FIM deep dive, 40.3 m")).to_be_visible()


def test_a_touch_is_heard_although_the_list_changes_under_the_finger(phone: BoatPhone) -> None:
    page = phone.open("/boat/log")
    line = page.locator("li", has_text="turned, good decision").locator("summary")
    line.hover()
    page.mouse.down()
    page.evaluate("""async () => {
      const { CHANGED, tellHere } = await import("/static/js/store/news.js");
      const { readSlate } = await import("/static/js/store/slate.js");
      tellHere(CHANGED);
      for (let turn = 0; turn < 3; turn += 1) await readSlate(); // longer than a drawing takes
    }""")
    page.mouse.up()
    expect(line.locator("..")).to_have_attribute("open", "")


@pytest.mark.keeps_app
def test_only_a_dive_that_is_not_sent_yet_says_so_in_its_line(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    phone.log_as_planned()
    page = phone.open("/boat/log")
    expect(page.locator("#log h3").first).to_have_text("Today, Wed 20 May")
    expect(page.locator(".state").filter(visible=True)).to_have_text(["saved here"])
    phone.context.set_offline(False)
    phone.sent()
    expect(page.locator(".state").filter(visible=True)).to_have_count(0)


def test_a_line_that_was_opened_stays_open_when_the_page_is_drawn_anew(phone: BoatPhone) -> None:
    page = phone.open("/boat/log")
    line = page.locator("#log summary").nth(1)
    line.click()
    page.locator("#log li").evaluate_all("(all) => all.forEach((one) => { one.dataset.before = true; })")
    page.evaluate("import('/static/js/store/news.js').then(({ CHANGED, tellHere }) => tellHere(CHANGED))")
    expect(page.locator("[data-before]")).to_have_count(0)
    expect(line).to_be_focused()
    expect(page.locator("#log details[open]")).to_have_count(1)


def test_a_deleted_dive_comes_back_by_undo_and_later_from_the_deleted_ones(phone: BoatPhone) -> None:
    phone.log_as_planned()
    record = phone.dives_today()[0]["record"]
    page = phone.open("/boat/log")
    entry = page.locator(f".rows > [data-record='{record}']")

    entry.locator("summary").click()
    entry.get_by_role("button", name="Delete").click()
    expect(page.locator("#deleted summary")).to_have_text(re.compile(r"Deleted \(1\)"))
    page.get_by_role("button", name="Undo").click()
    expect(entry.get_by_role("button", name="Delete")).to_be_focused()

    entry.get_by_role("button", name="Delete").click()
    expect(page.get_by_role("button", name="Undo")).to_be_focused()  # its time limit starts now
    page.clock.fast_forward("00:11")
    expect(page.get_by_role("button", name="Undo")).to_have_count(0)
    page.reload()
    page.locator("#deleted summary").click()
    page.get_by_role("button", name="Restore").click()
    expect(page.locator("#deleted")).to_have_count(0)
    phone.sent()
    assert [row["deleted"] for row in phone.dives_today()] == [False]
    assert [row["known"]["deleted"] for row in phone.dives_today()] == [False]


def test_deleting_a_dive_takes_it_out_of_the_plan_and_undo_puts_it_back(phone: BoatPhone) -> None:
    phone.open("/boat/dive").get_by_role("checkbox", name="Blackout").check()
    phone.page.get_by_role("button", name="Save").click()
    phone.saved()
    record = phone.dives_today()[0]["record"]

    page = phone.open("/boat/log")
    entry = page.locator(f".rows > [data-record='{record}']")
    entry.locator("summary").click()
    entry.get_by_role("button", name="Delete").click()
    page.get_by_label("What was wrong").fill("logged twice")
    page.get_by_role("button", name="Delete it").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    expect(phone.open("/boat/today").locator(".next-dive")).to_be_visible()
    page = phone.open("/boat/log")
    page.locator("#deleted summary").click()
    page.get_by_role("button", name="Restore").click()
    expect(page.locator("#deleted")).to_have_count(0)
    expect(phone.open("/boat/today").get_by_role("heading", name="No diving")).to_be_visible()


def test_deleting_a_dive_with_a_sign_that_ends_the_day_says_so_for_as_long_as_the_page_stands(phone: BoatPhone) -> None:
    phone.log_as_planned()
    phone.open("/boat/dive").get_by_role("checkbox", name="Blood in the spit").check()
    phone.page.get_by_role("button", name="Save").click()
    phone.saved()
    page = phone.open("/boat/log")
    says = page.get_by_text("It had a sign that ends a day of diving.")

    bloody = page.locator(".rows > li", has_text="Blood")
    bloody.locator("summary").click()
    bloody.get_by_role("button", name="Delete").click()
    page.get_by_label("What was wrong").fill("not mine")
    page.get_by_role("button", name="Delete it").click()
    expect(says).to_be_visible()
    page.clock.fast_forward("00:30")
    expect(says).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(bloody).to_be_visible()

    other = page.locator(".rows > li", has_not_text="Blood").first
    other.locator("summary").click()
    other.get_by_role("button", name="Delete").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    expect(says).to_have_count(0)


@pytest.mark.keeps_app
def test_an_edit_sends_only_the_fields_that_changed(phone: BoatPhone) -> None:
    phone.log_as_planned()
    phone.sent()
    phone.context.set_offline(True)
    page = phone.open("/boat/log")
    page.locator(".rows summary").first.click()
    page.locator(".rows").get_by_role("link", name="Edit").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Edit: FIM deep dive")
    page.get_by_label("Note").fill("soft turn")
    page.get_by_role("button", name="Save").click()
    phone.saved()

    assert [row["fields"] for row in phone.kept("outbox")] == [{"note": "soft turn"}]
    assert [row["base"] for row in phone.kept("outbox")] == [1]


def test_what_a_diver_typed_stays_text(phone: BoatPhone) -> None:
    phone.log_with("Note", "<img src=x onerror='document.title=1'><b>deep</b>")
    page = phone.open("/boat/log")
    expect(page.locator(".note").first).to_have_text("<img src=x onerror='document.title=1'><b>deep</b>")
    expect(page.locator(".note *")).to_have_count(0)


def hurt_an_ear(phone: BoatPhone) -> None:
    phone.open("/boat/dive").get_by_role("checkbox", name="Ear pain").check()
    phone.page.get_by_role("button", name="Save").click()
    phone.saved()


def test_a_clearance_of_the_day_of_the_event_or_before_is_refused_and_the_first_date_that_counts_is_named(
    phone: BoatPhone,
) -> None:
    hurt_an_ear(phone)
    page = phone.open("/boat/season")
    phone.sent()  # the page is redrawn when the answer comes, and a touch at that moment is lost
    date = page.get_by_label("Date of the clearance")
    expect(date).to_have_value("")
    page.get_by_label("Cleared by").fill("Dr. Vell Okamo")
    for early in ("2026-05-20", "2026-05-02"):
        date.fill(early)
        page.get_by_role("button", name="Record the clearance").click()
        expect(page.locator("#clearance-fault")).to_have_text(
            "Date of the clearance does not count: the first date that counts is Thursday 21 May,"
            " the day after it happened."
        )
        expect(date).to_have_attribute("aria-invalid", "true")
    assert [row for row in phone.kept("records") if row["kind"] == "clearance"] == []

    page.clock.fast_forward("24:00:00")
    page.reload()
    expect(date).to_have_value("2026-05-21")


RECORD = """async (days) => {
  const outbox = await import("/static/js/store/outbox.js");
  const { getKept } = await import("/static/js/store/db.js");
  const user = (await getKept("user")).id, by = "Dr. Ilse Norr";
  for (const clearance of days) await outbox.save({ kind: "clearance", fields: { clearance, by }, user });
}"""


def test_the_clearances_recorded_are_listed_with_whether_they_count(phone: BoatPhone) -> None:
    hurt_an_ear(phone)
    page = phone.open("/boat/season")
    phone.sent()  # the page is redrawn when the answer comes, and a touch at that moment is lost
    page.clock.fast_forward("49:00:00")
    page.reload()
    expect(page.locator("#clearances")).to_have_count(0)
    page.evaluate(RECORD, ["2026-05-20"])  # from another device, or from before this event
    expect(page.locator("#clearances li")).to_have_text(
        "Wednesday 20 May, by Dr. Ilse Norr: does not count: the first date that counts is Thursday 21 May,"
        " the day after it happened."
    )
    expect(page.locator("#clearance-form")).to_be_visible()
    page.evaluate(RECORD, ["2026-05-22"])
    expect(page.locator("#clearances li")).to_have_count(2)
    expect(page.locator("#clearances li").last).to_have_text("Friday 22 May, by Dr. Ilse Norr: counts.")


def test_a_half_filled_clearance_survives_leaving_the_page(phone: BoatPhone) -> None:
    hurt_an_ear(phone)
    page = phone.open("/boat/season")
    phone.sent()
    phone.says("All sent.")  # an answer redraws the page
    page.get_by_label("Cleared by").fill("Dr. Vell Okamo")
    for _ in range(100):
        if "Dr. Vell Okamo" in str(phone.kept("kept")):
            break
        page.wait_for_timeout(50)
    phone.open("/boat/log")
    page = phone.open("/boat/season")
    expect(page.get_by_label("Cleared by")).to_have_value("Dr. Vell Okamo")


def test_a_clearance_ends_a_stand_down_and_does_not_shorten_its_days(phone: BoatPhone) -> None:
    hurt_an_ear(phone)
    page = phone.open("/boat/season")
    phone.sent()  # the page is redrawn when the answer comes, and a touch at that moment is lost
    page.clock.fast_forward("49:00:00")
    page.reload()
    phone.says("All sent.")  # an answer redraws the page
    page.get_by_role("button", name="Record the clearance").click()
    expect(page.locator("#by-fault")).to_contain_text("is missing: the name of the doctor who cleared you")

    page.get_by_label("Cleared by").fill("Dr. Vell Okamo")
    page.get_by_role("button", name="Record the clearance").click()
    expect(page.locator("#clearance-form")).to_have_count(0)
    expect(page.get_by_role("heading", name="No diving")).to_be_visible()  # it does not shorten the days
    phone.sent()
    page.clock.fast_forward(timedelta(days=5) // timedelta(milliseconds=1))
    page.reload()
    expect(page.locator(".days")).not_to_have_count(0)
    expect(page.get_by_role("heading", name="No diving")).to_have_count(0)
    assert [row["fields"]["by"] for row in phone.kept("records") if row["kind"] == "clearance"] == ["Dr. Vell Okamo"]
