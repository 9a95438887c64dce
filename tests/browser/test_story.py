"""The whole job at phone size: plan seen, dives logged without signal, targets moved, sent, shared with a buddy."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from support.boat import TODAY, BoatPhone, Server, kept_browser
from support.seasons import SIGNS

from webapp.planner.reader.ladder import read
from webapp.rulebook_file import read_rulebook


def log_deep(phone: BoatPhone, day: str, *, reached_m: float, effort: int | None) -> str:
    """Log the deep dive that Today offers on this day, and return what the page says after saving."""
    phone.context.clock.set_fixed_time(f"{day}T09:30:00Z")
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Log this dive").click()
    page.get_by_label("Dive time").fill("1:32")
    page.get_by_label("Depth reached").fill(f"{reached_m:g}")
    if effort is not None:
        page.locator(f"input[type=radio][value='{effort}']").check(force=True)
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#dive .saved")).to_be_visible()
    return page.locator("#dive").inner_text()


def next_target(page: Page) -> float:
    """The large target of Today, in metres."""
    return float(re.sub(r"[^\d.]", "", page.locator(".next-dive .big").inner_text()))


def server_next(page: Page) -> dict:
    """The next deep dive as the server's own reader gives it, asked for on the page's day."""
    story = page.evaluate(
        """async () => {
          const today = new Date().toISOString().slice(0, 10);
          const body = { schema: 1, device: crypto.randomUUID(), epoch: null, mark: 0, today, utc_offset_min: 0,
                         user: null, operations: [] };
          const answer = await fetch("/sync", { method: "POST", body: JSON.stringify(body),
                                                headers: { "Content-Type": "application/json" } });
          const { snapshot, changes } = await answer.json();
          const alive = changes.filter((one) => !one.deleted);
          const log = alive.map(({ fields, record, kind }) => ({ ...fields, id: record, kind }));
          return [snapshot.sheet, log, today];
        }"""
    )
    return read(*story)["next"]


@pytest.mark.keeps_app
def test_a_season_day_from_the_plan_to_the_buddy(
    chromium: Browser, server: Server, tmp_path: Path, new_phone: Callable[..., BoatPhone]
) -> None:
    profile = tmp_path / "profile"
    with kept_browser(chromium, profile, server) as phone:
        phone.sign_in()
        first_target = next_target(phone.page)

    with kept_browser(chromium, profile, server) as phone:
        # no signal, and the browser was restarted: three deep dives on three days
        phone.context.set_offline(True)
        assert first_target == next_target(phone.open("/boat/today"))
        day, targets = TODAY, []
        for word, short_m, effort in (("Clean", 0, None), ("Hard", 0, 9), ("Turned early", 6, None)):
            targets.append(plan_on(phone, day)["next"]["target_m"])
            said = log_deep(phone, day, reached_m=targets[-1] - short_m, effort=effort)
            assert word in said
            plan = plan_on(phone, day)
            assert plan["next"]["target_m"] == next_target_said(said)
            last, day = day, plan["next"]["date"]
        assert targets[0] == first_target
        phone.says("3 saved here, not sent yet.")

        # with signal again: everything is sent, and the server reads the same targets from the same log
        phone.context.set_offline(False)
        phone.says("All sent.")
        assert phone.kept("outbox") == []
        assert plan_on(phone, last)["next"] == server_next(phone.page)

        # a link for the buddy
        page = phone.open("/sharing/")
        page.get_by_role("button", name="Make a link").click()
        link = page.get_by_label("The new link, shown this once").input_value()

    buddy = new_phone()
    buddy.page.goto(link)
    expect(buddy.page.get_by_role("heading", level=1)).to_contain_text("Dives of")
    seen = buddy.page.locator("main").inner_text()
    assert "As of" in seen
    assert re.search(r"FIM deep", seen)
    for word in ("effort", "hard", "turned", "urge", "verdict"):
        assert word not in seen.lower()

    buddy.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    buddy.context.set_offline(True)
    buddy.page.reload()
    expect(buddy.page.get_by_role("heading", level=1)).to_contain_text("Dives of")
    expect(buddy.page.locator("main")).to_contain_text("FIM deep")
    expect(buddy.page.locator("[data-share=as-of]")).to_contain_text("As of")
    expect(buddy.page.locator("[data-share=kept]")).to_contain_text("No signal: this is the list as it was")


def plan_on(phone: BoatPhone, day: str) -> dict[str, Any]:
    """The plan of this day by the planner itself, from the sheet and the log that the phone keeps."""
    sheet = next(value["sheet"] for value in phone.kept("kept") if isinstance(value, dict) and value.get("sheet"))
    alive = [row for row in phone.kept("records") if not row.get("deleted")]
    log = [{**row["fields"], "id": row["record"], "kind": row["kind"]} for row in alive]
    return read(sheet, log, day)


def next_target_said(said: str) -> float:
    """The target that the page after saving names for the next deep dive."""
    match = re.search(r"Next deep dive\D*?([\d.]+)\s*m", said, re.S)
    assert match, said
    return float(match[1])


def test_the_signs_that_end_the_day_stand_first_and_each_sign_once(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    texts = read_rulebook().texts
    offered = [code for code in SIGNS if not texts["sign"][code].get("replaced")]
    verdict = {code: texts["verdict"][texts["sign"][code]["verdict"]] for code in offered}
    ends = {code for code in offered if "over" in verdict[code] | texts["sign"][code]}
    expect(page.get_by_role("button", name="Save")).to_be_visible()  # the form is drawn
    shown = page.locator("#dive input[name=signs]").evaluate_all("boxes => boxes.map((box) => box.value)")
    assert sorted(shown) == sorted(offered)
    boxes = page.get_by_role("group", name="These end the day", exact=True).get_by_role("checkbox")
    first = boxes.evaluate_all("boxes => boxes.map((box) => box.value)")
    assert first == shown[: len(first)]
    assert set(first) <= ends
    boxes = page.get_by_role("group", name="Other signs", exact=True).get_by_role("checkbox")
    assert not ends & set(boxes.evaluate_all("boxes => boxes.map((box) => box.value)"))
