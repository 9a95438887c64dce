"""What people write stays text on the phone too: it never becomes an element or code."""

from __future__ import annotations

from typing import Any

from support.boat import MORNING, TODAY, BoatPhone, Server

from webapp import store
from webapp.actions import seasons, sharing

EVIL = "\"'><script>window.harmed = 1</script><img src=x onerror='window.harmed = 2'>{{7*7}}"
SAVE = """async ({ kind, fields }) => {
  const { save } = await import("/static/js/store/outbox.js");
  return await save({ kind, fields, user: 1 });
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
    seasons.save_season(1, season.id, EVIL, raw, MORNING)
    link = f"/share/{sharing.make_link(1, EVIL[:80], MORNING)}"
    store.close()
    phone.open("/boat/log")
    record = phone.page.evaluate(SAVE, {"kind": "dive", "fields": DIVE})
    phone.page.evaluate(SAVE, {"kind": "clearance", "fields": {"clearance": TODAY, "by": EVIL}})
    phone.page.evaluate(SAVE, {"kind": "dive", "fields": {**DIVE, "role": EVIL, "discipline": EVIL, "at": EVIL}})
    phone.says("needs a look")

    for path in (
        "/boat/log",
        f"/boat/dive?id={record}",
        "/boat/today",
        "/boat/season",
        "/boat/card",
        link,
        f"/history/{record}",
    ):
        page = phone.open(path)
        page.wait_for_timeout(300)
        assert page.locator("img[src=x], script:not([src])").count() == 0, path
        assert page.evaluate("window.harmed ?? null") is None, path
    phone.open("/boat/log").locator(f"[data-record='{record}'] summary").click()
    assert EVIL in phone.page.locator(f"[data-record='{record}'] .note").inner_text()
