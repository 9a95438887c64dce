"""Measuring a clip: marks by touch and by keyboard, followed to figures that are saved in the log without a picture."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from support.axe import violations
from support.boat import BoatPhone
from support.clips import KICK, MARKS, add, ankle_at, clips, mark_all, touch

# Figures of an earlier day, as this page saved them then.
EARLIER = """async ([date, more]) => {
  const { save } = await import("/static/js/store/outbox.js");
  const figures = { knee_flexion_most: { value: 61, error: 4 } };
  return save({ kind: "measure", user: 1, fields: { date, dive: null, discipline: "CNF", style: "kick", clip_s: 4,
    fps: 30, smoothing_hz: 6, figures, note: "", ...more } });
}"""


def follow(page: Page) -> None:
    page.locator("#follow").click()
    expect(page.locator("#figures")).to_be_visible(timeout=120_000)


# Buttons that a wet finger would miss, and how far the page goes sideways.
SMALL = """() => [...document.querySelectorAll("main button, main summary, main input, main select, main a.button")]
  .filter((one) => one.checkVisibility() && !one.closest(".toggle"))
  .map((one) => [one.id || one.outerHTML.slice(0, 60), one.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5)).map(([what]) => what)"""
SIDEWAYS = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


def looks_right(page: Page) -> None:
    """Large enough and within a small phone, and readable in each look."""
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate(SMALL) == []
    assert page.evaluate(SIDEWAYS) <= 0
    assert violations(page) == []
    page.set_viewport_size({"width": 390, "height": 844})


def degrees(page: Page, code: str) -> tuple[int, int]:
    value, error = page.locator(f"#figure-{code} .figure-value").inner_text().replace("°", "").split(" ± ")
    return int(value), int(error)


def test_marks_are_followed_to_figures_that_are_saved_in_the_log_and_no_picture_with_them(phone: BoatPhone) -> None:
    """The made leg kicks once a second, and its knee bends from 10 to 50 degrees: both by its own formula."""
    dive = next(row for row in phone.kept("records") if row["kind"] == "dive" and row["fields"]["role"] == "drill")
    phone.context.route("**/sync", lambda route: route.abort("internetdisconnected"))
    phone.page.evaluate(EARLIER, ["2026-05-02", {}])  # by an app that kept no angles by phase
    phone.page.evaluate(EARLIER, ["2026-05-04", {"by_phase": {str(at): 150 + at for at in range(20)}}])
    phone.page.evaluate(EARLIER, ["2026-05-19", {"by_phase": {"3": 90}}])  # after the day of the clip
    page = add(phone, KICK, f"/boat/technique?dive={dive['record']}")
    mark_all(page)
    follow(page)
    most, error = degrees(page, "knee_flexion_most")
    assert abs(most - 50) <= 3
    assert 1 <= error <= 8
    mean, _ = degrees(page, "knee_flexion_mean")
    assert abs(mean - 30) <= 3
    hz = float(page.locator("#figure-kick_hz .figure-value").inner_text().split()[0])
    assert hz == pytest.approx(1, abs=0.03)
    expect(page.locator("#figure-kick_hz .figure-value")).to_contain_text(re.compile(r"^\d\.\d\d ± \d\.\d\d Hz$"))
    expect(page.locator("#kick-angle figcaption")).to_have_text(
        "Knee angle through one whole kick; 180° is straight. The band is your own before: 1 clip."
    )
    band = page.locator("#kick-angle path.band").get_attribute("d") or ""
    assert band.count("L") == 39  # there and back through the 20 parts of the clip of 4 May
    page.locator("#more-knee_flexion_most summary").click()
    expect(page.locator("#figure-knee_flexion_most")).to_contain_text("Yours before, on 4 May: 61° ± 4°.")
    name = re.compile(r"^Knee bend, most over the season: 2 May 61° ± 4°, 4 May 61° ± 4°, \d+ May \d+° ± \d°$")
    expect(page.get_by_role("img", name=name)).to_be_visible()
    published = page.locator("#more-knee_flexion_most")
    expect(published).to_contain_text("55° ± 5°: elite finswimmers, sprint at the surface, not freedivers")
    assert page.locator("#figure-speed_m_s").count() == 0  # no length is known yet
    page.get_by_label("Known length").fill("2")
    page.get_by_label("Known length").press("Tab")
    expect(page.get_by_label("Known length")).to_have_value("2")
    expect(page.locator("#figure-kick_amplitude_m .figure-value")).to_contain_text(" m")  # no more a share of the leg
    expect(page.locator("#figure-kick_amplitude_m")).to_contain_text("0.46 ± 0.08 m: young swimmers")

    looks_right(page)

    page.get_by_label("Note").fill("bent less than last week")
    page.get_by_role("button", name="Save the figures").click()
    expect(page.locator("#figures-saved")).to_contain_text("The figures are saved here.")
    *_, operation = phone.kept("outbox")
    fields = operation["fields"]
    assert (operation["kind"], fields["dive"], fields["date"], fields["discipline"], fields["style"]) == (
        "measure", dive["record"], dive["fields"]["date"], dive["fields"]["discipline"], "kick")  # fmt: skip
    assert fields["figures"]["knee_flexion_most"]["value"] == pytest.approx(most, abs=0.5)
    assert set(fields) == {
        "date", "dive", "discipline", "style", "clip_s", "fps", "smoothing_hz", "figures", "note", "by_phase",
    }  # fmt: skip
    assert (fields["fps"], fields["clip_s"]) == (30, pytest.approx(104 / 30, abs=0.01))
    angles = [fields["by_phase"][str(at)] for at in range(20)]
    assert all(isinstance(angle, int) for angle in angles)
    assert (min(angles), max(angles)) == (pytest.approx(130, abs=4), pytest.approx(170, abs=4))
    page.reload()
    expect(page.locator("#figures")).to_be_visible()
    expect(page.get_by_role("button", name="Save the figures again")).to_be_visible()
    assert clips(page)[0]["measured"] == operation["record"]

    page.get_by_text("About this clip").click()
    page.get_by_label("Diver, if it is not you").fill("Odd")
    page.get_by_label("Diver, if it is not you").press("Tab")
    page.get_by_role("button", name="Save the figures again").click()
    expect(page.locator("#figures-saved")).to_contain_text("another diver's figures: they are not saved into your log")
    assert len(phone.kept("outbox")) == 4
    phone.context.unroute("**/sync")
    page.evaluate("dispatchEvent(new Event('online'))")
    phone.sent()  # the server took all of it
    assert phone.kept("parked") == []


def test_marks_are_set_by_touch_button_and_key_following_can_be_cancelled_and_a_lost_point_is_never_guessed(
    phone: BoatPhone,
) -> None:
    page = add(phone, KICK)
    page.locator("#mark").click()
    touch(page, *MARKS["shoulder"])
    expect(page.get_by_text("There is no edge to follow at this place.")).to_have_count(0)
    place = page.locator(".stick-chosen-at")

    def at() -> tuple[float, float]:
        return float(place.get_attribute("cx") or 0), float(place.get_attribute("cy") or 0)

    assert at() == pytest.approx(MARKS["shoulder"], abs=1.5)
    x, y = at()
    page.get_by_role("button", name="One pixel right").click()
    page.get_by_role("button", name="One pixel up").click()
    assert at() == (x + 1, y - 1)
    page.locator("#marks-on").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowDown")
    assert at() == (x, y + 9)
    page.keyboard.press("Enter")
    expect(page.locator("#point-hip")).to_have_attribute("aria-pressed", "true")
    touch(page, 80, 120)  # nothing but water
    expect(page.get_by_text("There is no edge to follow at this place.")).to_be_visible()
    box = page.locator("#marks-on").bounding_box()
    assert box
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    expect(page.locator(".clip-glass")).to_be_visible()  # on the side where no finger is
    assert page.locator(".clip-glass").evaluate("(one) => one.classList.contains('at-right')")
    page.mouse.up()
    expect(page.locator(".clip-glass")).to_be_hidden()
    looks_right(page)
    page.get_by_role("button", name="Remove").click()
    expect(page.locator("#point-hip")).to_have_text("Hip")
    page.get_by_role("button", name="Follow these points").click()
    expect(page.get_by_text("Mark at least three points first.")).to_be_visible()
    page.get_by_role("button", name="Cancel").click()
    expect(page.locator("#mark")).to_be_focused()
    expect(page.get_by_role("button", name="Frame on")).to_be_visible()

    page.get_by_role("slider", name="Frame of").fill("44")
    page.get_by_role("button", name="End here").click()
    page.get_by_role("slider", name="Frame of").fill("0")
    page.wait_for_function("() => !document.querySelector('.clip-stage video').seeking")
    mark_all(page, ("shoulder", "hip", "knee", "ankle"))
    page.locator("#follow").click()
    page.get_by_role("button", name="Cancel").click()
    expect(page.get_by_text("Stopped. Nothing was changed.")).to_be_visible()
    assert clips(page)[0]["tracks"] is None

    page.locator("#mark").click()
    for name in ("shoulder", "hip", "knee"):
        page.locator(f"#point-{name}").click()
        touch(page, *MARKS[name])
    page.locator("#point-ankle").click()
    touch(page, 120, 250)  # water, as far from the knee as the ankle: soon the leg would change its length
    page.locator("#follow").click()
    expect(page.locator("#lost")).to_contain_text("The ankle was lost at frame", timeout=60_000)
    page.get_by_role("button", name="Go on from here").click()
    expect(page.get_by_text("Touch the point on the picture first.")).to_be_visible()
    frame = int(page.locator(".clip-count").inner_text().split()[1]) - 1
    touch(page, *ankle_at(frame))
    page.get_by_role("button", name="Go on from here").click()
    expect(page.locator("#figures")).to_be_visible(timeout=120_000)
    tracks = clips(page)[0]["tracks"]
    assert [track["index"] for track in tracks] == list(range(45))
    last = tracks[-1]["points"]["ankle"]
    assert (last["x"], last["y"]) == pytest.approx(ankle_at(44), abs=3)
