"""A drill from the boat to the evening and to the next morning, and what a second phone has of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.boat import BoatPhone
from support.clips import CLIPS, choose, clips, played, touch

FILM: dict[str, Any] = json.loads((CLIPS / "kicks.json").read_text(encoding="utf-8"))
CUE = "Small bend of the knee"
IN_VIEW = """(selector) => {
  const one = document.querySelector(selector), { left, top, width, height } = one.getBoundingClientRect();
  return [top + 4, top + height - 4].every((y) => one.contains(document.elementFromPoint(left + width / 2, y)));
}"""


def set_focus(page: Page) -> None:
    page.locator(".focus-line a").click()
    page.locator("#form-CNF").get_by_role("radio", name=CUE).check()
    page.locator("#from-today-CNF").click()
    expect(page.locator("#focus-CNF + .focus-now")).to_have_text(CUE)


def log_drill(phone: BoatPhone) -> str:
    """Log the drill that is next, rated and filmed; return its id."""
    page = phone.open("/boat/today")
    expect(page.locator(".focus-line")).to_contain_text(f"Focus: {CUE}")
    page.locator("#log-dive").click()
    page.locator("#focus_rate").get_by_role("radio", name="Partly").check()
    page.get_by_label("Filmed by").fill("Ilka Moor")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (drill,) = [row for row in phone.dives_today() if row["fields"].get("role") == "drill"]
    return str(drill["record"])


def mark(page: Page, name: str, frame: int) -> None:
    touch(page, *FILM["places"][frame][name], (FILM["width"], FILM["height"]))


def follow_with_a_lost_point(page: Page) -> None:
    """Mark the diver of the film; a hand hides the knee for a while, and it is marked anew where it is."""
    page.locator("#mark").click()
    for name in FILM["places"][0]:
        page.locator(f"#point-{name}").click()
        mark(page, name, 0)
    page.locator("#follow").click()
    lost, figures = page.locator("#lost"), page.locator("#figures")
    expect(lost).to_contain_text("The knee was lost at frame", timeout=60_000)
    page.wait_for_function(IN_VIEW, arg="#lost")
    while True:
        frame = int(page.locator(".clip-count").inner_text().split()[1]) - 1
        assert FILM["hidden"]["start"] <= frame <= FILM["hidden"]["end"]
        mark(page, "knee", frame)
        page.get_by_role("button", name="Go on from here").click()
        expect(lost.or_(figures)).to_be_visible(timeout=60_000)
        if figures.is_visible():
            return


def bend_of(page: Page) -> str:
    """The deepest bend of the knee as the page of the clip says it."""
    return page.locator("#figure-knee_flexion_most .figure-value").inner_text()


def look_in_the_evening(phone: BoatPhone) -> None:
    page = phone.page
    page.clock.set_system_time("2026-05-20T19:30:00Z")
    page = phone.open("/boat/focus?discipline=CNF")
    page.get_by_label("What I saw on today's video").fill("the knee leads, the foot is late")
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator("#evening")).to_contain_text("kept")


def shows_the_day(phone: BoatPhone, drill: str, bend: str) -> None:
    """The focus with its rating, what was seen, and the figures of the drill: by the log alone."""
    page = phone.open("/boat/focus?discipline=CNF")
    expect(page.locator("#focus-CNF + .focus-now")).to_have_text(CUE)
    expect(page.locator("#saw")).to_have_value("the knee leads, the foot is late")
    page.locator("#focus-CNF ~ details summary").first.click()
    expect(page.locator("#focus-CNF ~ details li").first).to_contain_text(
        "Wed 20 May, 18 m: Partly, filmed by Ilka Moor"
    )
    page = phone.open(f"/boat/technique?dive={drill}")
    expect(page.locator("#dive-figures")).to_contain_text(f"Knee bend, most {bend}")


def stands_on_today(phone: BoatPhone, day: str) -> None:
    """On the next day, before its first dive, the focus stands at each drill of the day."""
    phone.page.clock.set_system_time(f"{day}T06:30:00Z")
    page = phone.open("/boat/today")
    drills = page.locator(".dives li", has_text="CNF drill")
    expect(drills).to_have_count(2)
    for at in range(2):
        expect(drills.nth(at)).to_contain_text(CUE)


@pytest.mark.keeps_app
def test_a_drill_is_filmed_and_measured_without_signal_and_its_focus_is_carried_to_the_next_day_and_phone(
    phone: BoatPhone, new_phone: Callable[..., BoatPhone]
) -> None:
    page = phone.open("/boat/technique")
    phone.keeps("/boat/technique")
    phone.log_as_planned()
    phone.context.set_offline(True)
    set_focus(phone.open("/boat/today"))
    page.clock.fast_forward("00:20:00")
    drill = log_drill(phone)

    page.get_by_role("link", name="Clips and figures").click()
    choose(page, CLIPS / "kicks.webm")
    page.wait_for_url("**/boat/technique?clip=*")
    follow_with_a_lost_point(played(page))
    assert clips(page)[0]["dive"] == drill
    assert set(clips(page)[0]["tracks"][-1]["points"]) == set(FILM["places"][0])
    bend = bend_of(page)
    assert abs(int(bend.split("°")[0]) - 43) <= 2  # the film's diver bends the knee by 24 degrees and 19 more
    page.get_by_role("button", name="Save the figures").click()
    expect(page.locator("#figures-saved")).to_contain_text("The figures are saved here.")
    look_in_the_evening(phone)
    stands_on_today(phone, "2026-05-21")

    page.clock.set_system_time("2026-05-20T20:00:00Z")
    phone.context.set_offline(False)
    phone.open("/boat/today")
    phone.sent()
    other = new_phone(service_workers="block")
    other.sign_in()
    shows_the_day(other, drill, bend)
    assert clips(other.page) == []  # figures, not frames
    expect(other.page.locator("#no-clips")).to_be_visible()
    stands_on_today(other, "2026-05-21")
