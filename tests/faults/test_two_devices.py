"""Two devices away for days, two tabs at once, wrong clocks: both sides' work is kept, and the pages say so."""

from __future__ import annotations

from datetime import timedelta

import pytest
from playwright.sync_api import expect
from support.boat import MORNING, BoatPhone
from support.chaos import Chaos
from support.faulty import (
    DIVE,
    FaultyServer,
    NewPhone,
    Saved,
    all_on_shore,
    dives,
    nothing_lost,
    pour,
    save,
    send_now,
    until,
)

DAY_MS = 24 * 3_600_000
REMOVE = """async (record) => {
  const { remove } = await import("/static/js/store/outbox.js");
  const { getKept } = await import("/static/js/store/db.js");
  await remove({ record, user: (await getKept("user"))?.id ?? null });
}"""


def apart(phone: BoatPhone, tablet: BoatPhone, *fields: dict[str, object]) -> list[str]:
    """Give both the same dives, then take them out of range for days."""
    records = list(save(phone, *fields))
    phone.sent()
    send_now(tablet)
    until(tablet, lambda: set(records) <= {row["record"] for row in tablet.kept("records")})
    for device in (phone, tablet):
        device.context.set_offline(True)
    return records


def back(*devices: BoatPhone) -> None:
    """Bring devices back into range, one after the other."""
    for device in devices:
        device.context.set_offline(False)
        send_now(device)
        device.sent()


def shows(device: BoatPhone, record: str) -> tuple[object, ...]:
    row = next(row for row in device.kept("records") if row["record"] == record)
    return row["deleted"], row["fields"]["effort"], row["fields"]["note"]


def test_two_devices_apart_for_days_keep_different_fields_and_show_the_later_of_the_same_with_the_other_in_the_history(
    new_phone: NewPhone, server: FaultyServer
) -> None:
    phone, tablet = new_phone(), new_phone()
    different, same = apart(phone, tablet, *dives(2))
    for device, days in ((phone, 2), (tablet, 3)):
        device.page.clock.fast_forward(days * DAY_MS)
    save(phone, {"effort": 9}, record=different)
    save(tablet, {"note": "late turn"}, record=different)
    save(phone, {"note": "by phone"}, record=same)
    save(tablet, {"note": "by tablet"}, record=same)
    own: Saved = save(phone, *dives(3, at="11:00")) | save(tablet, *dives(3, at="12:00"))
    nothing_lost(own, server, phone, tablet)

    back(tablet, phone, tablet)
    assert [shows(device, different) for device in (phone, tablet)] == [(False, 9, "late turn")] * 2
    assert [shows(device, same)[2] for device in (phone, tablet)] == ["by phone"] * 2
    expect(phone.page.locator(f"[data-record='{same}']")).to_contain_text("Changed on another device too: Note.")
    kept = [fields for (fields,) in server.ask("select fields from journal where record = ? order by id", same)]
    assert "by tablet" in kept[1]
    all_on_shore(own, server, phone, tablet)


@pytest.mark.parametrize("first", ["the deletion", "the edit"])
def test_a_dive_deleted_on_one_device_and_edited_on_the_other_stays_whichever_comes_first(
    first: str, new_phone: NewPhone, server: FaultyServer
) -> None:
    phone, tablet = new_phone(), new_phone()
    (record,) = apart(phone, tablet, *dives(1))
    phone.page.evaluate(REMOVE, record)
    save(tablet, {"note": "it was cold"}, record=record)
    order = (phone, tablet) if first == "the deletion" else (tablet, phone)
    back(*order, *order)
    assert [shows(device, record) for device in order] == [(False, 3, "it was cold")] * 2
    assert not server.records()[record]["deleted"]
    assert server.ask("select count(*) from journal where record = ? and action = 'delete'", record) == [(1,)]


def test_one_half_filled_form_open_in_two_tabs_and_saved_in_both_makes_two_dives(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    tabs = [phone.page, phone.context.new_page()]
    notes = ["from the first tab", "from the second tab"]
    for page in tabs:
        page.goto(chaos.url + "/boat/dive")
        expect(page.get_by_role("button", name="Save")).to_be_visible()
    for page, note in zip(tabs, notes, strict=True):
        page.get_by_label("Note").fill(note)
    for page in tabs:
        page.get_by_role("button", name="Save").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Saved")
    phone.sent()
    assert sorted(row["note"] for row in server.records().values() if row.get("note") in notes) == notes


def test_two_tabs_that_log_and_send_at_once_end_with_one_of_each(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    other = BoatPhone(phone.context, chaos)  # type: ignore[arg-type]
    other.page = phone.context.new_page()
    other.open("/boat/log")
    saved: Saved = {}
    for at, fields in enumerate(dives(10)):
        saved |= save((phone, other)[at % 2], fields)
        for page in (phone.page, other.page):
            page.evaluate("void import('/static/js/sync/sync.js').then((sync) => sync.sendNow())")
    phone.sent()
    other.sent()
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
@pytest.mark.parametrize(
    ("zone", "hours"),
    [("UTC", 24), ("UTC", -24), ("UTC", 3 * 365 * 24), ("Pacific/Kiritimati", 0), ("Pacific/Pago_Pago", 0)],
    ids=["a day fast", "a day slow", "three years fast", "zone far east", "zone far west"],
)
def test_no_dive_is_refused_or_reordered_for_a_clock_that_is_wrong_or_a_change_of_zone(
    zone: str, hours: int, new_phone: NewPhone, server: FaultyServer
) -> None:
    phone = new_phone(timezone_id=zone)
    phone.page.clock.set_system_time(MORNING + timedelta(hours=hours))
    first = save(phone, *dives(1))
    phone.page.clock.set_system_time(MORNING - timedelta(hours=5))  # corrected in between, and too far
    second = save(phone, {**DIVE, "at": "09:40"})
    phone.sent()
    all_on_shore(first | second, server, phone)
    (edited,) = save(phone, {"effort": 8}, record=next(iter(first)))
    phone.sent()
    assert server.records()[edited]["effort"] == 8


def test_after_eight_weeks_away_a_phone_takes_hundreds_of_changes_and_its_own_go_out(
    new_phone: NewPhone, phone: BoatPhone, server: FaultyServer
) -> None:
    away = new_phone()
    away.context.set_offline(True)
    own = save(away, *dives(2))
    away.page.clock.fast_forward(56 * DAY_MS)
    news = pour(phone, dives(600, date="2026-05-01"))
    send_now(phone)
    phone.sent()
    away.context.set_offline(False)
    send_now(away)
    away.sent()
    until(away, lambda: news.keys() <= {row["record"] for row in away.kept("records")})
    all_on_shore(own | news, server, away, phone)
