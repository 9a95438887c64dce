"""The network fails in every way it can: cut, silent, doubled, captive; what was saved stays until it has arrived."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Route, expect
from support.boat import BoatPhone
from support.chaos import (
    CAPTIVE_PAGE,
    CAPTIVE_REDIRECT,
    CUT_BEFORE_ANSWER,
    HOLD,
    PASS,
    REFUSE,
    SILENCE,
    TOO_LARGE,
    Chaos,
    Fault,
)
from support.faulty import FaultyServer, NewPhone, all_on_shore, dives, nothing_lost, pour, save, send_now, until

CUTS = [
    *(Fault("cut_up", at=at) for at in (0, 1, 700, 20_000)),
    *(Fault("cut_answer", at=at) for at in (0, 1, 160, 3_000)),
    REFUSE,
    CUT_BEFORE_ANSWER,
]
IMPATIENT = """
  AbortSignal.timeout = ((real) => (ms) => real.call(AbortSignal, window.patient ? ms : 500))(AbortSignal.timeout);
"""
CACHED = """async () => {
  const found = [];
  for (const name of await caches.keys()) found.push([name, (await (await caches.open(name)).keys()).length]);
  return found;
}"""


def away(phone: BoatPhone, count: int) -> dict[str, dict[str, object]]:
    """Log dives without signal."""
    phone.context.set_offline(True)
    return pour(phone, dives(count))


@pytest.mark.same_phone
def test_a_batch_cut_at_any_byte_on_its_way_there_or_back_arrives_in_the_end_and_once(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    saved = away(phone, 150)  # the batch that is cut, and one after it
    chaos.next(*CUTS)
    phone.context.set_offline(False)
    while chaos.coming:
        send_now(phone)
        nothing_lost(saved, server, phone)
    send_now(phone)
    phone.sent()
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_a_batch_whose_answer_was_lost_and_that_grew_meanwhile_is_taken_in_whole(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    chaos.always = CUT_BEFORE_ANSWER  # until the checks below are done: the phone tries again by itself
    saved = save(phone, *dives(1))
    until(phone, lambda: saved.keys() <= server.records().keys())
    phone.says("1 saved here, not sent yet. Lineslate's server does not answer.")
    chaos.always = PASS
    saved |= save(phone, *dives(1, at="10:00"))
    send_now(phone)
    phone.sent()
    all_on_shore(saved, server, phone)


def test_hundreds_of_dives_that_are_too_much_at_once_are_halved_and_then_more_again(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    saved = away(phone, 300)
    chaos.next(TOO_LARGE, TOO_LARGE, TOO_LARGE)
    phone.context.set_offline(False)
    phone.sent()
    sizes = [len(one.operations) for one in chaos.seen if one.operations]
    assert sizes[:8] == [100, 50, 25, 12, 24, 48, 96, 100]
    sent = [one["counter"] for seen in chaos.seen if seen.fault == "pass" for one in seen.operations]
    assert sent == sorted(sent), "in the order in which they were made"
    all_on_shore(saved, server, phone)


def test_one_dive_that_is_too_large_even_alone_needs_a_look_and_holds_up_no_other(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    saved = away(phone, 3)
    chaos.next(TOO_LARGE, TOO_LARGE)
    phone.context.set_offline(False)
    phone.says("1 record needs a look.")
    until(phone, lambda: phone.kept("outbox") == [])
    nothing_lost(saved, server, phone)
    assert len(saved.keys() & server.records().keys()) == 2
    expect(phone.page.locator(".reasons")).to_contain_text("is too large to be sent")


@pytest.mark.same_phone
def test_a_server_that_takes_the_call_and_says_nothing_is_given_up_and_asked_for_less_later(
    new_phone: NewPhone, chaos: Chaos, server: FaultyServer
) -> None:
    phone = new_phone(before=lambda page: page.add_init_script(IMPATIENT))
    saved = away(phone, 40)
    chaos.always = SILENCE  # until the checks below are done: the phone tries again by itself
    phone.context.set_offline(False)
    phone.says("40 saved here, not sent yet. The signal is too weak for now. They will be sent later.")
    nothing_lost(saved, server, phone)
    chaos.always = PASS
    phone.page.evaluate("window.patient = true")
    send_now(phone)
    phone.sent()
    sizes = [len(one.operations) for one in chaos.seen if one.operations]
    assert sizes[0] == 40
    assert max(sizes[1:]) == 20
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_behind_a_harbours_sign_in_page_the_app_opens_as_ever_and_nothing_of_it_is_kept(
    new_phone: NewPhone, chaos: Chaos, server: FaultyServer
) -> None:
    """One harbour answers with its page, another one leads to it."""
    phone = new_phone(service_workers="allow")
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    for portal in (CAPTIVE_PAGE, CAPTIVE_REDIRECT):
        before = phone.page.evaluate(CACHED)
        chaos.paths, chaos.always = re.compile("."), portal
        page = phone.open("/boat/today")
        expect(page.get_by_role("heading", level=1)).to_have_text("Today")
        saved = save(phone, *dives(1))
        phone.says("1 saved here, not sent yet. Lineslate's server does not answer.")
        phone.page.evaluate("navigator.serviceWorker.ready.then((known) => known.update()).catch(() => true)")
        assert before == phone.page.evaluate(CACHED)
        nothing_lost(saved, server, phone)
        assert len(phone.kept("outbox")) == 1

        chaos.heal()
        send_now(phone)
        phone.sent()
        all_on_shore(saved, server, phone)
        phone.open("/boat/today")
        phone.keeps("/boat/technique")  # the last of the pages that come from the second visit on, as soon as they can


@pytest.mark.same_phone
def test_a_phone_that_wrongly_believes_to_be_offline_sends_when_the_diver_asks(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    phone.page.add_init_script("Object.defineProperty(Navigator.prototype, 'onLine', { get: () => false });")
    phone.open("/boat/log")
    saved = save(phone, *dives(1))
    phone.says("1 saved here, not sent yet. They will be sent when there is signal.")
    phone.page.locator(".boat-foot summary").click()
    phone.page.get_by_role("button", name="Send now").click()
    phone.sent()
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_a_page_closed_while_its_batch_is_on_the_way_leaves_the_next_page_to_finish(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    chaos.next(HOLD)
    saved = save(phone, *dives(3))
    until(phone, lambda: chaos.held)
    phone.page.close()
    chaos.release()
    phone.page = phone.context.new_page()
    phone.open("/boat/log")
    phone.sent()
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_an_answer_that_names_what_was_never_sent_takes_nothing_out(phone: BoatPhone, server: FaultyServer) -> None:
    def strange(route: Route) -> None:
        answer = route.fetch()
        said = answer.json()
        for result in said["results"]:
            result["op"] = "00000000-0000-4000-8000-000000000000"
        route.fulfill(response=answer, json={**said, "changes": []})

    phone.context.route("**/sync", strange)
    saved = save(phone, *dives(2))
    phone.says("2 saved here, not sent yet.")
    send_now(phone)
    assert len(phone.kept("outbox")) == 2
    phone.context.unroute_all(behavior="wait")  # the phone's own retry may be under way
    send_now(phone)
    phone.sent()
    all_on_shore(saved, server, phone)
