"""What people write stays text on the phone too: it never becomes an element or code."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect
from support.boat import MORNING, TODAY, BoatPhone, Server

from webapp import store
from webapp.actions import seasons, sharing
from webapp.records.site import PHONES, PLAN_TEXTS

EVIL = "\"'><script>window.harmed = 1</script><img src=x onerror='window.harmed = 2'>{{7*7}}"
SAVE = """async ({ kind, record, fields }) => {
  const { save } = await import("/static/js/store/outbox.js");
  return await save({ kind, record, fields, user: 1 });
}"""
DIVE: dict[str, Any] = {
    "date": TODAY, "at": "09:10", "surfaced_at": None, "discipline": "CNF", "role": "drill", "target_m": 18,
    "reached_m": 18, "dive_s": 42, "effort": 3, "signs": [], "note": EVIL,
}  # fmt: skip


def test_no_text_of_a_diver_becomes_an_element_or_code_on_any_page_of_the_boat(
    phone: BoatPhone, server: Server
) -> None:
    store.open_store(server.data)
    season = seasons.list_seasons(1)[0]
    raw = {**season.raw, "site": {**season.raw["site"], "name": EVIL}}
    site = seasons.save_season(1, season.id, EVIL, raw, MORNING).raw["site"]["record"]
    link = f"/share/{sharing.make_link(1, EVIL[:80], MORNING)}"
    store.close()
    expect(phone.open("/boat/emergency").locator("#site-name")).to_have_text(EVIL)
    phone.open("/boat/log")
    record = phone.page.evaluate(SAVE, {"kind": "dive", "fields": DIVE})
    phone.page.evaluate(SAVE, {"kind": "clearance", "fields": {"clearance": TODAY, "by": EVIL}})
    phone.page.evaluate(SAVE, {"kind": "dive", "fields": {**DIVE, "role": EVIL, "discipline": EVIL, "at": EVIL}})
    plan = dict.fromkeys((*PLAN_TEXTS, *PHONES, "note"), EVIL)
    phone.page.evaluate(SAVE, {"kind": "site", "record": site, "fields": plan})
    phone.says("2 records need a look")
    page = phone.open(f"/boat/site?id={site}")
    page.get_by_label("Phone of the hospital").fill("112")
    page.get_by_label("Phone of the chamber").fill("")
    page.get_by_label("Local emergency number").fill("")
    page.get_by_role("button", name="Save").click()
    phone.says("1 record needs a look")

    for path in (
        "/boat/log",
        f"/boat/dive?id={record}",
        "/boat/today",
        "/boat/season",
        "/boat/card",
        "/boat/emergency",
        f"/boat/site?id={site}",
        link,
        f"/history/{record}",
    ):
        page = phone.open(path)
        if path.startswith("/boat/"):
            phone.says("needs a look")  # the page is drawn
        expect(page.locator("main h1")).to_be_visible()
        assert page.locator("img[src=x], script:not([src])").count() == 0, path
        assert page.evaluate("window.harmed ?? null") is None, path
    assert EVIL in phone.open("/boat/emergency").locator(".plan-facts").inner_text()
    phone.open("/boat/log").locator(f"[data-record='{record}'] summary").click()
    assert EVIL in phone.page.locator(f"[data-record='{record}'] .note").inner_text()
