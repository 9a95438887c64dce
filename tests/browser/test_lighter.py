"""No result gets lighter without a word: edits and deletions on the phone ask what was wrong, and keep the answer."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.boat import BoatPhone

ASKS = "What was wrong with the first entry?"


def logged(phone: BoatPhone, sign: str | None) -> str:
    """Log the planned dive with this sign; return its record."""
    page = phone.open("/boat/dive")
    if sign:
        page.get_by_role("checkbox", name=sign).check()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (row,) = [row for row in phone.dives_today() if row["kind"] == "dive"]
    return str(row["record"])


def kept(phone: BoatPhone, record: str) -> dict[str, Any]:
    return next(dict(row) for row in phone.kept("records") if row["record"] == record)


def line(phone: BoatPhone, record: str) -> Page:
    page = phone.open("/boat/log")
    page.locator(f".rows > [data-record='{record}'] summary").click()
    return page


@pytest.mark.parametrize(
    "sign", ["Blackout", "Loss of motor control", "Mild ear ache", "Ears stuck", "Pressure on the chest", "Ears slow"]
)
def test_an_edit_that_makes_the_result_lighter_is_saved_with_a_reason_only(phone: BoatPhone, sign: str) -> None:
    record = logged(phone, sign)
    page = phone.open(f"/boat/dive?id={record}")
    asks = page.get_by_label(ASKS)
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    expect(asks).not_to_be_visible()
    page.get_by_role("checkbox", name=sign).uncheck()
    expect(asks).to_be_visible()
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#lighter_why-fault")).to_contain_text("is missing")
    assert kept(phone, record)["fields"]["signs"] != []

    asks.fill("touched the wrong tile")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    fields = kept(phone, record)["fields"]
    assert (fields["signs"], fields["lighter_why"]) == ([], "touched the wrong tile")
    expect(page.locator("#dive")).to_contain_text("Changed to a lighter result: touched the wrong tile.")


def test_a_grave_sign_that_gives_way_to_another_of_the_same_verdict_is_asked_about_too(phone: BoatPhone) -> None:
    record = logged(phone, "Cough after the dive")
    page = phone.open(f"/boat/dive?id={record}")
    page.get_by_role("checkbox", name="Wheeze").check()
    expect(page.get_by_label(ASKS)).not_to_be_visible()
    page.get_by_role("checkbox", name="Cough after the dive").uncheck()
    expect(page.get_by_label(ASKS)).to_be_visible()


def test_an_edit_that_makes_nothing_lighter_is_not_asked_about(phone: BoatPhone) -> None:
    record = logged(phone, None)
    page = phone.open(f"/boat/dive?id={record}")
    page.get_by_role("radio", name="9", exact=True).check()
    expect(page.get_by_label(ASKS)).not_to_be_visible()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    assert "lighter_why" not in kept(phone, record)["fields"]
    page = phone.open(f"/boat/dive?id={record}")
    page.get_by_role("radio", name="3", exact=True).check()  # hard becomes clean
    expect(page.get_by_label(ASKS)).to_be_visible()


def test_a_deletion_keeps_its_reason_in_the_history_before_the_dive_goes(phone: BoatPhone) -> None:
    record = logged(phone, "Cough after the dive")
    phone.open("/boat/log")
    phone.sent()
    page = line(phone, record)
    page.get_by_role("button", name="Delete").first.click()
    page.get_by_role("button", name="Delete it").click()  # without a reason
    assert kept(phone, record)["deleted"] is False
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_label(ASKS)).to_have_count(0)

    page.locator(f"#delete-{record}").click()
    page.get_by_label(ASKS).fill("logged for my buddy")
    page.get_by_role("button", name="Delete it").click()
    expect(page.get_by_text("It had a sign that ends a day of diving.")).to_be_visible()
    assert kept(phone, record)["deleted"] is True
    phone.sent()
    page = phone.open(f"/history/{record}")
    steps = page.locator("ol.cards > li")
    expect(steps.nth(1)).to_contain_text("Why the result is lighter")
    expect(steps.nth(1)).to_contain_text("logged for my buddy")
    expect(steps.nth(2)).to_contain_text("Deleted")


def test_a_deletion_undone_at_once_leaves_no_reason_on_the_dive(phone: BoatPhone) -> None:
    record = logged(phone, "Blackout")
    page = line(phone, record)
    page.locator(f"#delete-{record}").click()
    page.get_by_label(ASKS).fill("slip")
    page.get_by_role("button", name="Delete it").click()
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(f"#delete-{record}")).to_be_focused()
    row = kept(phone, record)
    assert (row["deleted"], row["fields"]["lighter_why"]) == (False, "")


def test_a_clean_dive_is_deleted_at_once(phone: BoatPhone) -> None:
    record = logged(phone, None)
    page = line(phone, record)
    page.locator(f"#delete-{record}").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
