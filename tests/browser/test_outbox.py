"""Nothing that was saved is lost or doubled: a row leaves the outbox only when the server's own answer names it."""

from __future__ import annotations

import itertools
import json
import sqlite3
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Response, Route, expect
from support.boat import MORNING, TODAY, BoatPhone, Server, operations

from webapp.actions import accounts
from webapp.web.app import create_app

SAVE_RAW = """async (fields) => {
  const outbox = await import("/static/js/store/outbox.js");
  const { getKept } = await import("/static/js/store/db.js");
  const user = (await getKept("user"))?.id ?? null;
  return outbox.save({ kind: "dive", fields, user });
}"""
DIVE: dict[str, Any] = {
    "date": TODAY, "at": "09:10", "surfaced_at": None, "discipline": "CNF", "role": "drill", "target_m": 18,
    "reached_m": 18, "dive_s": 50, "effort": 3, "signs": [], "note": "",
}  # fmt: skip
NewPhone = Callable[..., BoatPhone]


def save(phone: BoatPhone, **changes: Any) -> str:
    """Save a dive as the form does, without the form."""
    return str(phone.page.evaluate(SAVE_RAW, {**DIVE, **changes}))


def send_now(phone: BoatPhone) -> None:
    phone.page.evaluate("import('/static/js/sync/sync.js').then((sync) => sync.sendNow())")


def on_server(server: Server) -> list[dict[str, Any]]:
    """Today's dives as the server holds them."""
    with sqlite3.connect(server.data) as connection:
        rows = connection.execute("select record, fields, deleted from record where kind = 'dive'").fetchall()
    connection.close()
    dives = [{"record": record, "deleted": bool(deleted), **json.loads(fields)} for record, fields, deleted in rows]
    return [dive for dive in dives if dive["date"] == TODAY]


def test_an_answer_lost_after_the_server_kept_the_dive_is_asked_for_again_and_nothing_is_doubled(
    phone: BoatPhone, server: Server
) -> None:
    lost, healed = [], []

    def lose_once(route: Route) -> None:
        if healed or not operations(route.request):
            route.continue_()
            return
        if not lost:
            lost.append(route.fetch().status)
        route.abort("connectionreset")  # the phone's own tries too: on a slow machine one may come before the check

    phone.open("/boat/log")
    phone.context.route("**/sync", lose_once)
    save(phone)
    phone.says("1 saved here, not sent yet.")
    phone.says("They will be sent later.")
    assert lost == [200]
    assert len(phone.kept("outbox")) == 1

    healed.append(True)
    phone.page.locator(".boat-foot summary").click()
    phone.page.get_by_role("button", name="Send now").click()
    phone.sent()
    assert [dive["reached_m"] for dive in on_server(server)] == [18]


@pytest.mark.keeps_app
def test_a_row_that_the_answer_does_not_name_stays(phone: BoatPhone, server: Server) -> None:
    phone.open("/boat/log")
    phone.context.set_offline(True)
    first, second = save(phone), save(phone, at="09:40")

    forgetful = [True]

    def forget_the_second(route: Route) -> None:
        if not forgetful:
            route.continue_()
            return
        answer = route.fetch()
        said = answer.json()
        unnamed = {one["op"] for one in operations(route.request) if one["record"] == second}
        said["results"] = [result for result in said["results"] if result["op"] not in unnamed]
        said["changes"] = []
        route.fulfill(response=answer, json=said)

    phone.context.route("**/sync", forget_the_second)
    phone.context.set_offline(False)
    phone.says("1 saved here, not sent yet.")
    forgetful.clear()
    assert [second] == [row["record"] for row in phone.kept("outbox")]

    send_now(phone)
    phone.sent()
    assert {first, second} == {dive["record"] for dive in on_server(server)}


OTHER_ANSWERS = [
    (200, "text/html", "<h1>Welcome to the harbour Wi-Fi</h1>"),
    (200, "application/json", '{"results": [], "ok": true}'),
    (200, "application/json", '{"app": "linesl'),
    (302, "text/html", ""),
    (511, "text/html", "sign in to the network"),
    (500, "application/json", '{"error": {"code": "broken", "says": "Something went wrong.", "faults": []}}'),
    (429, "application/json", '{"error": {"code": "too_often", "says": "Wait.", "faults": []}}'),
]


def test_no_other_answer_takes_anything_out_of_the_outbox(phone: BoatPhone, server: Server) -> None:
    """A captive portal, a redirect to a sign-in, half an answer, a server in trouble."""
    pending = list(OTHER_ANSWERS)

    def other(route: Route) -> None:
        if not pending:
            route.continue_()
            return
        status, content_type, body = pending.pop(0)
        moved = {"Location": "/account/sign-in"} if status == 302 else {}
        route.fulfill(status=status, headers={"Content-Type": content_type, **moved}, body=body)

    phone.open("/boat/log")
    phone.context.route("**/sync", other)
    save(phone)
    while pending:
        phone.says("They will be sent later.")
        assert len(phone.kept("outbox")) == 1
        assert on_server(server) == []
        send_now(phone)
    send_now(phone)
    phone.sent()
    assert len(on_server(server)) == 1


def test_signed_out_while_away_logging_goes_on_and_all_goes_out_after_sign_in(phone: BoatPhone, server: Server) -> None:
    phone.context.clear_cookies()
    phone.log_as_planned()
    phone.says("Sign in to send them. Logging works without it.")
    assert len(phone.kept("outbox")) == 1
    phone.sign_in()
    phone.sent()
    assert len(on_server(server)) == 1


@pytest.mark.keeps_app
def test_a_refused_dive_is_parked_with_its_reason_and_holds_up_no_other(phone: BoatPhone, server: Server) -> None:
    phone.open("/boat/log")
    phone.context.set_offline(True)
    bad = save(phone, reached_m=1500)
    good = save(phone, at="09:40")
    phone.context.set_offline(False)
    phone.says("1 record needs a look.")
    assert [good] == [dive["record"] for dive in on_server(server)]

    entry = phone.page.locator(f"[data-record='{bad}']")
    expect(entry.locator(".state")).to_have_text("needs a look")
    expect(entry.get_by_text("Depth reached must be a number from")).to_be_visible()  # without a touch
    entry.get_by_role("link", name="Edit").click()
    expect(phone.page.locator("#reached_m-fault")).to_contain_text("Depth reached must be a number from")
    phone.page.get_by_label("Depth reached").fill("15")
    phone.page.get_by_role("button", name="Save").click()
    phone.sent()
    assert {(bad, 15), (good, 18)} == {(dive["record"], dive["reached_m"]) for dive in on_server(server)}
    assert phone.kept("parked") == []


@pytest.mark.keeps_app
def test_a_batch_that_is_too_much_is_halved_until_it_goes(phone: BoatPhone, server: Server) -> None:
    sizes = []

    def at_most_two(route: Route) -> None:
        sizes.append(len(operations(route.request)))
        if sizes[-1] > 2:
            route.fulfill(status=413, body="too large")
        else:
            route.continue_()

    phone.open("/boat/log")
    phone.context.set_offline(True)
    records = [save(phone, at=f"09:{at:02}") for at in range(7)]
    phone.context.route("**/sync", at_most_two)
    phone.context.set_offline(False)
    phone.sent()
    assert max(sizes) == 7
    assert sorted(records) == sorted(dive["record"] for dive in on_server(server))


def test_an_edit_made_while_its_dive_is_on_the_way_stays_queued_and_wins(phone: BoatPhone, server: Server) -> None:
    phone.open("/boat/log")
    held: list[Route] = []

    def hold_the_dive(route: Route) -> None:
        if operations(route.request) and not held:
            held.append(route)
        else:
            route.continue_()

    phone.context.route("**/sync", hold_the_dive)
    record = save(phone)
    while not held:
        phone.page.wait_for_timeout(20)
    edit = SAVE_RAW.replace('kind: "dive", fields', f'kind: "dive", record: "{record}", fields')
    phone.page.evaluate(edit, {"effort": 7})
    held[0].continue_()

    phone.sent()
    assert [dive["effort"] for dive in on_server(server)] == [7]
    assert [row["fields"]["effort"] for row in phone.dives_today()] == [7]


def test_two_tabs_that_log_at_once_send_each_dive_once(phone: BoatPhone, server: Server) -> None:
    phone.open("/boat/log")
    other = phone.context.new_page()
    other.goto(phone.page.url)
    pages = (phone.page, other)
    records = [page.evaluate(SAVE_RAW, {**DIVE, "at": f"09:{at:02}"}) for at in range(3) for page in pages]
    phone.sent()
    assert sorted(records) == sorted(dive["record"] for dive in on_server(server))


@pytest.mark.keeps_app
def test_two_devices_that_change_different_fields_of_one_dive_both_keep_theirs(
    signed_in_phone: NewPhone, phone: BoatPhone, server: Server
) -> None:
    phone.open("/boat/log")
    record = save(phone)
    phone.sent()
    tablet = signed_in_phone()
    tablet.open("/boat/log")
    edit = SAVE_RAW.replace('kind: "dive", fields', f'kind: "dive", record: "{record}", fields')
    for device, fields in ((phone, {"effort": 9}), (tablet, {"note": "late turn"})):
        device.context.set_offline(True)
        device.page.evaluate(edit, fields)
    for device in (phone, tablet, phone):
        device.context.set_offline(False)
        send_now(device)
        device.sent()

    assert [(dive["effort"], dive["note"]) for dive in on_server(server)] == [(9, "late turn")]
    expect(phone.page.locator(f"[data-record='{record}'] .note")).to_have_text("late turn")


@pytest.mark.keeps_app
def test_another_diver_on_the_same_phone_neither_sees_nor_sends_what_waits(phone: BoatPhone, server: Server) -> None:
    app = create_app({"DATA_FILE": str(server.data)})
    with app.app_context():
        first = accounts.sign_in("Runa Tidewell", "slow kelp drifts", MORNING)
        token = accounts.invite(first.id, MORNING)
        accounts.sign_up("Okko Brandt", "a quiet second diver", token, MORNING)
    phone.open("/boat/log")
    phone.context.set_offline(True)
    save(phone)
    phone.context.clear_cookies()  # before the signal is back, or the first diver's dive is sent at once
    phone.context.set_offline(False)
    phone.sign_in("Okko Brandt", "a quiet second diver")

    page = phone.open("/boat/log")
    expect(page.get_by_text("Nothing logged yet.")).to_be_visible()
    page.locator(".boat-foot summary").click()
    expect(page.get_by_text("1 change of another diver stays on this phone")).to_be_visible()
    assert on_server(server) == []

    phone.context.clear_cookies()
    phone.sign_in()
    phone.sent()
    assert len(on_server(server)) == 1


def test_after_the_server_was_restored_from_a_backup_the_phone_offers_again_what_it_lacks(
    phone: BoatPhone, server: Server
) -> None:
    phone.open("/boat/log")
    record = save(phone)
    phone.sent()
    with sqlite3.connect(server.data) as connection:
        connection.execute("delete from record where record = ?", (record,))
        connection.execute("delete from journal where record = ?", (record,))
        connection.execute("update meta set value = 'after the restore' where name = 'epoch'")
    connection.close()

    send_now(phone)
    for _ in range(100):
        if on_server(server):
            break
        phone.page.wait_for_timeout(50)
    phone.sent()
    assert [record] == [dive["record"] for dive in on_server(server)]
    assert len(phone.kept("records")) > 30, "and it still has all the others"


@pytest.mark.keeps_app
def test_unsent_dives_can_be_taken_as_a_file_without_signal(phone: BoatPhone) -> None:
    phone.open("/boat/log")
    phone.context.set_offline(True)
    record = save(phone, note="in the file")
    phone.says("1 saved here, not sent yet.")
    phone.page.locator(".boat-foot summary").click()
    with phone.page.expect_download() as download:
        phone.page.get_by_role("button", name="Save unsent records as a file").click()
    file = json.loads(download.value.path().read_text(encoding="utf-8"))

    assert file["app"] == "lineslate"
    assert [(record, "in the file")] == [(one["record"], one["fields"]["note"]) for one in file["operations"]]
    assert [record] == [one["record"] for one in file["records"]]


def test_without_a_server_the_phone_asks_less_and_less_often(phone: BoatPhone) -> None:
    asked: list[float] = []

    def refuse(route: Route) -> None:
        asked.append(phone.page.evaluate("Date.now()") / 1000)
        route.abort("connectionrefused")

    phone.open("/boat/log")
    phone.context.route("**/sync", refuse)
    save(phone)
    phone.says("They will be sent later.")
    for _ in range(40):
        phone.page.clock.fast_forward(10_000)
        phone.page.wait_for_timeout(30)
    gaps = [later - earlier for earlier, later in itertools.pairwise(asked)]
    assert len(gaps) >= 3
    assert gaps[-1] > 2 * gaps[0]


def test_the_sheet_travels_once_and_a_later_answer_is_small_enough_for_a_weak_signal(phone: BoatPhone) -> None:
    sizes: list[int] = []  # as sent, compressed

    def weigh(response: Response) -> None:
        if response.url.endswith("/sync"):
            sizes.append(int(response.headers["content-length"]))

    before = phone.page.get_by_role("heading", level=1).inner_text()
    phone.page.on("response", weigh)
    phone.log_as_planned()
    phone.sent()
    phone.open("/boat/today")
    expect(phone.page.get_by_role("heading", level=1)).to_have_text(before)
    phone.page.reload()
    expect(phone.page.locator("main")).to_contain_text("FIM")
    assert sizes
    assert min(sizes) < 2_000, sizes
