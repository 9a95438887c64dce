"""The focus loop without signal: a focus, rated after each drill, looked at in the evening, and the next one."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, expect
from support.boat import TODAY, BoatPhone
from support.clips import add, played

MEASURED = """async ([dive, date]) => {
  const { getKept } = await import("/static/js/store/db.js");
  const { save } = await import("/static/js/store/outbox.js");
  const figures = { knee_flexion_most: { value: 40.6, error: 2.8 }, kick_hz: { value: 0.8, error: 0.002 } };
  const fields = { date, dive, discipline: "CNF", style: "kick", clip_s: 4, fps: 30, smoothing_hz: 6, figures,
    note: "knees too deep" };
  return save({ kind: "measure", user: (await getKept("user")).id, fields });
}"""


def log_drill(phone: BoatPhone, rate: str | None, filmed_by: str = "") -> dict[str, Any]:
    page = phone.open("/boat/today")
    page.locator("#log-dive").click()
    if rate:
        page.locator("#focus_rate").get_by_role("radio", name=rate, exact=True).check()
    if filmed_by:
        page.get_by_label("Filmed by").fill(filmed_by)
    page.get_by_role("button", name="Save").click()
    phone.saved()
    drills = [row["fields"] for row in phone.dives_today() if row["fields"].get("role") == "drill"]
    return dict(drills[-1] if len(drills) == 1 else max(drills, key=lambda fields: fields["logged_at"]))


@pytest.mark.keeps_app
def test_a_focus_is_carried_from_today_to_the_drill_to_the_evening_and_to_tomorrow(phone: BoatPhone) -> None:
    phone.log_as_planned()
    phone.keeps("/boat/focus")
    phone.context.set_offline(True)
    page = phone.open("/boat/today")
    expect(page.locator(".focus-line")).to_contain_text("Focus: arms long, glide")  # the plan's, until one is set
    page.locator(".focus-line a").click()
    page.locator("#form-CNF").get_by_role("radio", name="Long glide before the next stroke").check()
    page.locator("#from-today-CNF").click()
    expect(page.locator("#focus-CNF + .focus-now")).to_have_text("Long glide before the next stroke")

    page = phone.open("/boat/today")
    expect(page.locator(".focus-line")).to_contain_text("Focus: Long glide before the next stroke")
    expect(page.locator(".dives li", has_text="CNF drill").last).to_contain_text("Long glide before the next stroke")
    expect(phone.open("/boat/card?discipline=CNF").locator(".focus-line")).to_contain_text("Long glide before")
    page.clock.fast_forward("00:20:00")
    drill = log_drill(phone, "Partly", "Ilka Moor")
    assert (drill["focus_rate"], drill["filmed_by"]) == ("partly", "Ilka Moor")
    (focus,) = [row for row in phone.kept("records") if row["kind"] == "focus"]
    assert drill["focus"] == focus["record"]
    page = phone.open("/boat/log")
    page.locator(".log-line").first.click()
    expect(page.locator(".log-more").first).to_contain_text(
        "focus: Long glide before the next stroke · partly · filmed by Ilka Moor"
    )

    phone.open("/boat/today").locator("#to-focus").click()
    page.get_by_label("What I saw on today's video").fill("legs too early")
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator("#evening")).to_contain_text("kept")
    page.locator(f"#history-{focus['record']} summary").click()
    expect(page.locator(f"#history-{focus['record']}")).to_contain_text("Wed 20 May, 18 m: Partly, filmed by Ilka Moor")
    page.locator("#next-CNF summary").click()
    page.locator("#says-CNF").fill("Legs <i>after</i> the glide")
    page.locator("#from-tomorrow-CNF").click()
    expect(page.locator("#focus-CNF ~ p").filter(has_text="From tomorrow")).to_contain_text(
        "Legs <i>after</i> the glide"
    )
    expect(page.locator("#focus-CNF + .focus-now")).to_have_text("Long glide before the next stroke")
    page.clock.set_system_time("2026-05-21T08:00:00Z")
    page = phone.open("/boat/focus?discipline=CNF")
    expect(page.locator("#focus-CNF + .focus-now")).to_have_text("Legs <i>after</i> the glide")

    phone.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    phone.sent()  # the server took every kind of it


def test_the_history_of_a_focus_has_its_drills_with_ratings_clips_and_figures_also_after_the_next_focus(
    phone: BoatPhone,
) -> None:
    phone.log_as_planned()
    phone.context.route("**/sync", lambda route: route.abort("internetdisconnected"))  # the log alone has it
    page = phone.open("/boat/focus?discipline=CNF")
    page.locator("#form-CNF").get_by_role("radio", name="Long glide before the next stroke").check()
    page.locator("#from-today-CNF").click()
    expect(page.locator("#focus-CNF + .focus-now")).to_have_text("Long glide before the next stroke")
    drills = []
    for rate, filmed_by in (("Partly", "Ilka Moor"), ("There", "Odd Nilsen")):
        page.clock.fast_forward("00:20:00")
        log_drill(phone, rate, filmed_by)
        (new,) = {row["record"] for row in phone.dives_today() if row["fields"].get("role") == "drill"} - {*drills}
        drills.append(new)
    first, second = drills
    add(phone, at=f"/boat/technique?dive={first}")
    page.evaluate(MEASURED, [first, TODAY])
    (focus,) = [row["record"] for row in phone.kept("records") if row["kind"] == "focus"]

    def history() -> Locator:
        found = phone.open("/boat/focus?discipline=CNF").locator(f"#history-{focus}")
        found.locator("summary").click()
        return found

    here = history()
    expect(here.locator("summary")).to_have_text("Since Wed 20 May: 2 drills, 1 measured")
    expect(here.locator("li").first).to_contain_text("There, filmed by Odd Nilsen")  # the newest first
    expect(here.locator(f"#drill-{second}")).to_contain_text("No clip of it is on this phone.")
    measured = here.locator(f"#drill-{first}")
    expect(measured).to_contain_text("Partly, filmed by Ilka Moor")
    expect(measured).to_contain_text("Knee bend, most 41° ± 3°")
    expect(measured).to_contain_text("Kicks a second 0.80 ± 0.01 per second")
    expect(measured).to_contain_text("knees too deep")
    measured.get_by_role("link", name="Clip page_numbers.mp4").click()
    played(page)

    phone.open("/boat/technique")
    page.get_by_role("button", name="Delete page_numbers.mp4").or_(
        page.get_by_role("button", name="Delete CNF")
    ).click()
    page.get_by_role("button", name="Delete it from this phone").click()
    expect(page.locator("#technique-says")).to_contain_text("Deleted from this phone")
    measured = history().locator(f"#drill-{first}")
    expect(measured).to_contain_text("Its clip was on another phone, or was deleted.")
    expect(measured).to_contain_text("Knee bend, most 41° ± 3°")
    expect(measured.get_by_role("link")).to_have_count(0)

    page.locator("#next-CNF summary").click()
    page.locator("#says-CNF").fill("legs after the glide")
    page.locator("#from-today-CNF").click()
    page.locator("#before-CNF > summary").click()
    earlier = page.locator(f"#before-CNF #history-{focus}")
    expect(earlier.locator("summary")).to_have_text(
        "Long glide before the next stroke, from Wed 20 May: 2 drills, 1 measured"
    )


def test_a_drill_is_saved_without_a_word_about_its_focus_and_another_dive_is_not_asked(phone: BoatPhone) -> None:
    page = phone.open("/boat/focus?discipline=FIM")
    page.locator("#form-FIM").get_by_role("button", name="From today").click()
    expect(page.locator("#says-FIM-fault")).to_contain_text("is missing: own words, or a cue")
    page.locator("#says-FIM").fill("long pulls")
    page.locator("#from-today-FIM").click()
    expect(page.locator("#focus-FIM + .focus-now")).to_have_text("long pulls")
    page = phone.open("/boat/dive")  # the deep dive
    expect(page.locator("#focus-part")).to_be_hidden()
    page.locator(".what summary").click()
    page.get_by_role("radio", name="drill").check()
    expect(page.locator("#focus-words")).to_have_text("Focus: long pulls")
    page.get_by_label("Depth reached").fill("15")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (fields,) = [row["fields"] for row in phone.dives_today() if row["fields"].get("role")]
    assert not {"focus_rate", "filmed_by"} & set(fields)
    assert fields["date"] == TODAY
