"""A boat day of a crew: three phones, four divers and a guest, no signal from morning to evening, and one rescue.

Everything is invented. What the phones wrote meets on shore: all are equal to the server, and nothing is lost.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.boat import TODAY, BoatPhone, Server
from support.faulty import NewPhone, send_now, until
from support.sharing import add_diver, add_feed, ask, give, log_of

from webapp.cli import demo

RUNA, BO, CLEO, DOV = demo.NAME, "Bo Sandvik", "Cleo Marsh", "Dov Hale"
SAVE = """async ([feed, kind, record, fields]) => {
  const { saveIn } = await import("/static/js/store/feeds.js");
  const { getKept } = await import("/static/js/store/db.js");
  return saveIn({ feed, kind, record: record ?? undefined, fields, user: await getKept("user") });
}"""
READ = """async () => {
  const { readFeeds } = await import("/static/js/store/feeds.js");
  const { getKept } = await import("/static/js/store/db.js");
  const { crews } = await readFeeds(await getKept("user"));
  return crews[0].rows.map(({ record, kind, fields }) => [record, kind, fields]);
}"""
WAITING = """async () => {
  const { readFeeds } = await import("/static/js/store/feeds.js");
  const { getKept } = await import("/static/js/store/db.js");
  return (await readFeeds(await getKept("user"))).crews[0].rows.filter(({ waiting }) => waiting).length;
}"""


class Crew:
    """The crew on the server, and phones of its divers, signed in and without signal.

    A phone that does not keep the app gets its pages from the server, and only its sync finds no signal.
    """

    def __init__(
        self, server: Server, new_phone: NewPhone, signed_in: list[Any], names: tuple[str, ...], keeps: bool
    ) -> None:
        self.server, self.keeps = server, keeps
        self.logs = {name: add_diver(server, name) for name in (BO, CLEO, DOV)} | {RUNA: log_of(server, RUNA)}
        self.feed = add_feed(server, "crew", 1, "Low tide")
        for name in (BO, CLEO, DOV):
            give(server, self.feed, name, "crew")
        give(server, self.logs[DOV], BO, "list", "write")
        self.phones = {name: self._phone(name, new_phone, signed_in) for name in names}
        for phone in self.phones.values():
            self.away(phone)

    def away(self, phone: BoatPhone) -> None:
        if phone.keeps_app:
            phone.context.set_offline(True)
        else:
            phone.context.route("**/sync", lambda route: route.abort("internetdisconnected"))

    def ashore(self, phone: BoatPhone) -> None:
        if phone.keeps_app:
            phone.context.set_offline(False)
        else:
            phone.context.unroute("**/sync")

    def _phone(self, name: str, new_phone: NewPhone, signed_in: list[Any]) -> BoatPhone:
        keeps = self.keeps and name != CLEO  # whose pages nobody opens: it only writes and sends
        phone = new_phone(service_workers="allow" if keeps else "block")
        if name == RUNA:
            phone.visit(signed_in)
        else:
            phone.fill_in_sign_in("/boat/today", name)
            phone.says("Last sent")
        if not keeps:
            return phone
        phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        phone.open("/boat/crew")  # from the second visit on all pages are kept
        for path in ("/boat/crew", "/boat/next", "/boat/hand"):
            phone.keeps(path)
        return phone

    def write(self, name: str, kind: str, fields: dict[str, Any], record: str | None = None) -> str:
        return str(self.phones[name].page.evaluate(SAVE, [self.feed, kind, record, fields]))

    def rows(self, name: str) -> list[Any]:
        return sorted(self.phones[name].page.evaluate(READ))


@pytest.fixture
def crew(server: Server, new_phone: NewPhone, signed_in: list[Any], request: pytest.FixtureRequest) -> Crew:
    """The phones that a test names, or all three; those that keep the app where it is marked so."""
    keeps = request.node.get_closest_marker("keeps_app") is not None
    return Crew(server, new_phone, signed_in, getattr(request, "param", (RUNA, BO, CLEO)), keeps)


def dive(person: str, depth_m: float, dive_s: int, **more: Any) -> dict[str, Any]:
    nothing = dict.fromkeys(("fixed_at", "pinned", "safety", "began_at", "ended_at", "result", "reached_m", "dive"))
    return {"date": TODAY, "person": person, "discipline": "FIM", "role": "deep", "depth_m": depth_m,
            "dive_s": dive_s, "pause_s": 600, **nothing, **more}  # fmt: skip


def order_of(phone: BoatPhone) -> list[str]:
    page = phone.open("/boat/crew")
    expect(page.locator(".crew-row").first).to_be_visible()
    return page.locator(".crew-row").evaluate_all("(rows) => rows.map((row) => row.dataset.turn)")


def hand(giver: BoatPhone, taker: BoatPhone, tmp_path: Path, to: str | None = None) -> str:
    """Give the day from phone to phone as a file; return what the taker is told."""
    page = giver.open("/boat/hand")
    if to:
        page.get_by_label("For").select_option(label=to)
        expect(page.get_by_label("For")).not_to_have_value("")
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    path = tmp_path / saved.value.suggested_filename
    saved.value.save_as(path)
    assert re.fullmatch(rf"crew-day-{TODAY}\.txt", path.name)
    other = taker.open("/boat/hand")
    other.get_by_label("Open a received file").set_input_files(path)
    says = other.locator("#hand-says")
    expect(says).to_contain_text(re.compile("Taken in from|Nothing new"))
    return says.inner_text()


def in_the_water(page: Page, name: str) -> None:
    page.get_by_role("button", name=f"In the water: {name}").click()
    if name == BO:  # the phone's own diver: it leads into the dive clock
        page.wait_for_url("**/boat/clock")
        page.goto(page.url.replace("/boat/clock", "/boat/next"))
    expect(page.get_by_role("button", name=f"Back at the surface: {name}")).to_be_visible()


def back(page: Page, name: str) -> None:
    page.clock.fast_forward(120_000)
    page.get_by_role("button", name=f"Back at the surface: {name}").click()
    expect(page.locator("#ask-result")).to_be_visible()
    page.clock.fast_forward(2_000)  # a second touch within that time would not count


@pytest.mark.keeps_app
def test_a_day_of_four_divers_and_a_guest_without_signal_ends_equal_on_all_phones_and_on_the_server(
    crew: Crew, tmp_path: Path
) -> None:
    runa, bo = crew.phones[RUNA], crew.phones[BO]
    page = runa.open("/boat/crew")
    page.get_by_role("button", name=re.compile("^Add my .* of today")).click()
    expect(page.locator(".crew-person")).to_have_count(1)
    for name in (BO, CLEO, DOV):
        page.get_by_role("button", name=f"Add {name}").click()
        expect(page.locator(".crew-person", has_text=name)).to_have_count(1)
    page.get_by_label("A guest without an account").fill("Ilka Moor")
    page.get_by_role("button", name="Add the guest").click()
    expect(page.locator(".crew-person")).to_have_count(5)
    for person in page.locator(".crew-person").all():
        name = person.locator("strong").inner_text()
        person.locator(".toggle").click()
        person.get_by_text(f"Change {name}").click()
        person.get_by_label("May meet a diver").fill("30")
        person.get_by_label("May meet a diver").press("Tab")
        expect(person).to_contain_text("may meet a diver at 30 m at most")
    crew.write(RUNA, "turn", dive(crew.logs[DOV], 30, 110))

    # the first file: what Runa has put together, and one dive that Bo had planned meanwhile
    own = crew.write(BO, "turn", dive(crew.logs[BO], 40, 130))
    assert "Taken in from Runa Tidewell" in hand(runa, bo, tmp_path)
    assert "Nothing new" in hand(runa, bo, tmp_path)
    assert "Taken in from Bo Sandvik: 1 change" in hand(bo, runa, tmp_path)
    assert crew.rows(RUNA) == crew.rows(BO)
    assert order_of(runa) == order_of(bo)
    assert own in order_of(bo)

    # Cleo has no file: her phone knows nothing of it, and she writes what she does
    crew.write(CLEO, "turn", dive(crew.logs[CLEO], 35, 120))
    assert len(crew.rows(CLEO)) == 1

    # the line keeper's phone is Bo's: two dives, the second of them needs a rescue
    page = bo.open("/boat/next")
    first = next_name(page)
    in_the_water(page, first)
    back(page, first)
    page.locator("#result-done").click()
    expect(page.locator("#ask-result")).to_have_count(0)
    page = bo.open("/boat/next")
    second = next_name(page)
    in_the_water(page, second)
    back(page, second)
    page.locator("#result-rescue").click()
    page.wait_for_url("**/boat/emergency")
    left = order_of(bo)
    persons = {record: fields["person"] for record, kind, fields in crew.rows(BO) if kind == "turn"}
    rescued = next(
        fields["person"] for _, kind, fields in crew.rows(BO) if kind == "turn" and fields["result"] == "rescue"
    )
    assert rescued not in {persons[turn] for turn in left}, "the day is over for who was rescued"

    # Dov's dive is logged for him by Bo, who may; Dov has no phone on board
    record = str(bo.page.evaluate(SAVE, [crew.logs[DOV], "dive", None, {
        "date": TODAY, "at": "09:40", "discipline": "FIM", "role": "deep", "target_m": 30, "reached_m": 30,
        "dive_s": 112, "effort": 4, "signs": [], "note": "", "logged_by": BO, "confirmed": False,
    }]))  # fmt: skip
    assert "Taken in from Bo Sandvik" in hand(bo, runa, tmp_path)
    assert crew.rows(RUNA) == crew.rows(BO)
    assert not [op for op in runa.kept("feed_ops") if op["record"] == record], "a dive of another is no part of the day"

    # the evening, on shore: in another sequence than on the boat
    for name in (CLEO, RUNA, BO, CLEO, RUNA, BO):
        phone = crew.phones[name]
        crew.ashore(phone)
        send_now(phone)
        until(phone, lambda phone=phone: not phone.kept("outbox"))
        until(phone, lambda phone=phone: phone.page.evaluate(WAITING) == 0)
    for name in (CLEO, RUNA, BO):
        send_now(crew.phones[name])
    stored = sorted(
        [record, kind, json.loads(fields)]
        for record, kind, fields in ask(
            crew.server,
            "SELECT record, record.kind, fields FROM record JOIN feed ON feed.id = feed_id"
            " WHERE feed.name = ? AND NOT deleted",
            crew.feed,
        )
    )
    for name in (RUNA, BO, CLEO):
        until(crew.phones[name], lambda name=name: crew.rows(name) == stored)
        assert crew.phones[name].kept("parked") == []
    assert {kind for _, kind, _ in stored} == {"aboard", "guest", "turn"}

    # every operation is in a history, once, and says who sent it
    sent = {op["op"] for phone in crew.phones.values() for op in phone.kept("feed_ops") if op["feed"] == crew.feed}
    sql = "SELECT op, user.name FROM journal JOIN feed ON feed.id = feed_id JOIN user ON user.id = author_id"
    journal = ask(crew.server, f"{sql} WHERE feed.name = ?", crew.feed)
    assert sorted(op for op, _ in journal) == sorted(sent)
    assert (
        {CLEO, RUNA} <= {name for _, name in journal} <= {RUNA, BO, CLEO}
    )  # a file's go with whoever has signal first
    ((fields, author),) = ask(
        crew.server,
        "SELECT record.fields, user.name FROM record JOIN journal USING (record) JOIN user ON user.id = author_id"
        " WHERE record.record = ?",
        record,
    )
    assert (json.loads(fields)["logged_by"], author) == (BO, BO)


def next_name(page: Page) -> str:
    expect(page.locator("#in-and-out")).to_contain_text(re.compile("^In the water: "))
    return page.locator("#in-and-out").inner_text().removeprefix("In the water: ")


@pytest.mark.parametrize("crew", [(RUNA, BO)], indirect=True)
def test_files_of_one_day_taken_in_any_sequence_give_the_same_day(crew: Crew, tmp_path: Path) -> None:
    """Two phones change the same dive; an older file after a newer one changes nothing."""
    runa, bo = crew.phones[RUNA], crew.phones[BO]
    turn = crew.write(RUNA, "turn", dive(crew.logs[DOV], 30, 110))
    runa.open("/boat/hand")
    older = text_of(runa)
    take(bo, older)
    runa.page.clock.fast_forward(60_000)
    bo.page.clock.fast_forward(120_000)
    crew.write(RUNA, "turn", {"depth_m": 28, "pinned": 1}, turn)
    crew.write(BO, "turn", {"depth_m": 26}, turn)  # a minute later: it counts
    take(runa, text_of(bo))
    take(bo, text_of(runa))
    before = crew.rows(BO)
    assert before == crew.rows(RUNA)
    ((_, _, fields),) = before
    assert (fields["depth_m"], fields["pinned"]) == (26, 1)
    assert "Nothing new" in take(bo, older)
    assert crew.rows(BO) == before

    for name in (BO, RUNA, BO):  # the later change reaches the server first, the older one after it
        phone = crew.phones[name]
        crew.ashore(phone)
        send_now(phone)
        until(phone, lambda phone=phone: not phone.kept("outbox"))
    for name in (RUNA, BO):
        send_now(crew.phones[name])
        assert [fields["depth_m"] for _, _, fields in crew.rows(name)] == [26]


@pytest.mark.parametrize("crew", [(RUNA, BO)], indirect=True)
def test_a_file_says_nothing_that_its_bearer_may_not_write(crew: Crew) -> None:
    """A text made by hand: a dive for somebody else, a made-up version of a record, a change of an unknown kind."""
    runa, bo = crew.phones[RUNA], crew.phones[BO]
    turn = crew.write(RUNA, "turn", dive(crew.logs[DOV], 30, 110))
    page = runa.open("/boat/hand")
    made = page.evaluate(
        """async ([feed, log, turn]) => {
          const { dayOf } = await import("/static/js/store/handed.js");
          const { dayText } = await import("/static/js/plan/day_file.js");
          const { newId } = await import("/static/js/store/ids.js");
          const day = await dayOf({ feed, name: "Low tide" }, "2026-05-20", { name: "x" });
          const op = { ...day.ops[0], feed: log, kind: "dive", record: newId(), op: newId() };
          const odd = { ...day.ops[0], kind: "clearance", record: newId(), op: newId() };
          const fields = { ...day.ops[0].fields, depth_m: 99 };
          const row = { record: turn, kind: "turn", rev: 900, fields, deleted: false };
          return dayText({ ...day, rows: [row], ops: [day.ops[0], op, odd] });
        }""",
        [crew.feed, crew.logs[CLEO], turn],
    )
    take(bo, made)
    assert not [row for row in bo.kept("outbox") if row.get("feed") == crew.logs[CLEO]]
    crew.ashore(bo)
    send_now(bo)
    until(bo, lambda: not bo.kept("outbox"))
    until(bo, lambda: [fields["depth_m"] for _, kind, fields in crew.rows(BO) if kind == "turn"] == [30])
    (parked,) = bo.kept("parked")
    assert (parked["kind"], [fault["field"] for fault in parked["faults"]]) == ("clearance", ["kind"])


@pytest.mark.parametrize("crew", [(CLEO,)], indirect=True)
def test_a_member_who_was_removed_while_offline_keeps_what_they_typed_and_loses_the_crew(crew: Crew) -> None:
    cleo = crew.phones[CLEO]
    turn = crew.write(CLEO, "turn", dive(crew.logs[CLEO], 35, 120))
    give(crew.server, crew.feed, CLEO)
    crew.ashore(cleo)
    send_now(cleo)
    until(cleo, lambda: not cleo.kept("outbox"))
    (parked,) = cleo.kept("parked")
    assert (parked["record"], parked["fields"]["depth_m"]) == (turn, 35)
    assert [cleo.kept(store) for store in ("feeds", "feed_rows", "feed_ops")] == [[], [], []]
    expect(cleo.open("/boat/crew").get_by_text("No crew is on this phone yet.")).to_be_visible()


def text_of(phone: BoatPhone) -> str:
    page = phone.open("/boat/hand")
    page.get_by_role("button", name="Show as text").click()
    return page.get_by_label("The day as text").input_value()


def take(phone: BoatPhone, text: str) -> str:
    page = phone.open("/boat/hand")
    page.get_by_label("Or paste the text").fill(text)
    page.get_by_role("button", name="Take in the text").click()
    says = page.locator("#hand-says")
    expect(says).to_contain_text(re.compile("Taken in from|Nothing new"))
    return says.inner_text()
