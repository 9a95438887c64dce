"""The buddy's page on the day itself: what runs, counted every second, with and without signal."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.axe import violations
from support.boat import MORNING, BoatPhone, Server
from support.phones import DIVE, Phone, new_id, operation

from webapp import store
from webapp.actions import sharing, storing, sync
from webapp.store import feeds

NewPhone = Callable[..., BoatPhone]
TODAY, AT = "2026-05-20", "2026-05-20T07:00:00Z"
OLDER = """async () => {
  const { keep, kept } = await import("/static/js/store/lists.js");
  const { pause, today, bottom_m, crew, ...older } = await kept(location.pathname);
  await keep(location.pathname, older);
}"""
KEPT = """async () => Boolean((await (await import("/static/js/store/lists.js")).kept(location.pathname))?.crew)"""
SEEN = """() => ({
  wide: document.documentElement.scrollWidth - innerWidth,
  tops: ["today", "cautions", "crew", "plan", "days"].map((name) =>
    Math.round(document.querySelector(`[data-share="${name}"]`).getBoundingClientRect().top)),
})"""


def dived(surfaced_at: str) -> None:
    """The diver has made the deep dive of today and has synced; a crew of three has a list."""
    phone = Phone()
    phone.put(fields={**DIVE, "date": TODAY, "at": surfaced_at[11:16], "surfaced_at": surfaced_at})
    answer = sync.sync(1, phone.request(today=TODAY, utc_offset_min=0), MORNING)
    assert [one["status"] for one in answer["results"]] == ["stored"]


def crewed() -> None:
    """Today's list of a crew, with the diver and a guest."""
    with store.transaction():
        crew, me, guest = feeds.add_feed("crew", 1, AT), feeds.person_of(1).person, new_id()
        plain: dict[str, Any] = {"date": TODAY, "ready": True, "guest": False, "over": False}
        rows = [
            ("aboard", {**plain, "person": me, "name": "Runa"}),
            ("aboard", {**plain, "person": guest, "name": "Ebba", "guest": True, "may_meet_m": 20}),
            ("turn", {"date": TODAY, "person": me, "discipline": "FIM", "role": "deep", "depth_m": 38, "dive_s": 84}),
        ]
        made = [operation(kind=kind, fields=fields, counter=at) for at, (kind, fields) in enumerate(rows)]
        answers = storing.store_batch(crew.id, 1, new_id(), made, AT, 0, crew.kind).answers
        assert {one["status"] for one in answers} == {"stored"}


@pytest.fixture
def page(new_phone: NewPhone, server: Server) -> Page:
    store.open_store(server.data)
    dived("2026-05-20T07:50:20Z")
    crewed()
    link = f"/share/{sharing.make_link(1, 'Ebba', MORNING, shows_crew=True)}"
    store.close()
    return new_phone(viewport={"width": 390, "height": 844}).open(link)


@pytest.mark.keeps_app
def test_a_buddy_sees_the_pause_run_and_today_on_top_without_signal_too_and_in_an_older_list_nothing_is_missed(
    page: Page,
) -> None:
    pause = page.locator(".buddy-pause")
    expect(pause.locator(".buddy-since")).to_have_text(re.compile(r"^9:[45]\d$"))
    page.clock.run_for(10 * 60_000)
    expect(pause.locator(".buddy-since")).to_have_text(re.compile(r"^(19:[45]|20:[0-3])\d$"))
    expect(pause).to_contain_text("A minimum is not permission to dive.")
    expect(page.locator("[data-share=today] h2")).to_have_text("Today, Wednesday 20 May")
    expect(page.locator("[data-share=about]")).to_contain_text("bottom at ")
    expect(page.locator("[data-share=crew]")).to_contain_text("Runa")
    seen = page.evaluate(SEEN)
    assert seen == {"wide": seen["wide"], "tops": sorted(seen["tops"])}
    assert seen["wide"] <= 0
    assert violations(page) == []
    page.set_viewport_size({"width": 320, "height": 600})
    assert page.evaluate(SEEN)["wide"] <= 0

    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function(KEPT)
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("status")).to_contain_text("No signal: this is the list as it was")
    expect(page.locator(".buddy-since")).to_have_text(re.compile(r"^(19|20):\d\d$"))
    expect(page.locator("[data-share=crew]")).to_contain_text("Ebba")
    page.clock.run_for(60 * 60_000)
    expect(page.locator(".buddy-pause")).to_contain_text("minimum interval reached")
    page.clock.fast_forward("04:00:00")
    expect(page.locator(".buddy-pause")).to_be_hidden()

    page.evaluate(OLDER)
    page.reload()
    expect(page.locator("[data-share=today] h2")).to_have_text("Today, Wednesday 20 May")
    expect(page.locator(".buddy-dives b").first).to_have_text("done")
    assert [page.locator(one).count() for one in (".buddy-pause", "[data-share=crew] > *")] == [0, 0]


@pytest.mark.keeps_app
def test_the_pause_and_the_crews_order_of_yesterday_are_not_shown_today(page: Page) -> None:
    expect(page.locator(".buddy-pause")).to_be_visible()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function(KEPT)
    page.context.set_offline(True)
    page.clock.fast_forward("24:00:00")

    expect(page.locator("[data-share=today] h2")).to_have_text("Today, Thursday 21 May")
    assert [page.locator(one).count() for one in (".buddy-pause", "[data-share=crew] > *")] == [0, 0]


def test_a_buddy_sees_who_is_next_in_the_crews_order_and_its_countdown(page: Page) -> None:
    crew = page.locator("[data-share=crew]")
    expect(crew.get_by_text("Nobody is next in the order.").or_(crew.locator("#next-who"))).to_be_visible()
    expect(crew.locator("#next-who")).to_have_text("Runa")
    expect(crew.locator("#next-safety")).to_contain_text("Safety: Ebba, meets at")
    expect(crew.locator("#next-line")).to_have_text("Line: set to 38 m")
    expect(crew.locator("#next-left")).to_have_text(re.compile(r"^\d+:\d\d$"))
    assert crew.get_by_role("button").count() == 0
    assert violations(page) == []
