"""A coach with ten students of three hundred dives each: every name stands, whatever is wrong with one of the plans."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from support.axe import violations
from support.boat import BoatPhone, Server
from support.faulty import NewPhone, send_now
from support.sharing import add_diver, give, log_of

from webapp.cli import demo

COACH = "Odd Fenning"
NAMES = ["Vera Nes", "Ebba Lind", "Tor Vass", "Ilka Moor", "Mira Sand", "Jon Reef", "Aya Holm", "Ben Skarn", "Una Dal"]
# the shared log once more under other names, each with so many dives; the plan of one cannot be read, one has none
COPY = """async ([log, names, count]) => {
  const { read, write } = await import("/static/js/store/db.js");
  const found = await read(["kept", "feeds", "feed_rows"], (stores) =>
    ({ feeds: stores.feeds.getAll(), rows: stores.feed_rows.getAll(), user: stores.kept.get("user") }));
  const { getKept } = await import("/static/js/store/db.js");
  const { keyOf } = await import("/static/js/store/keys.js");
  const by_person = await getKept(keyOf.person(found.user.id));
  const one = found.feeds.find(({ feed }) => feed === log);
  const dives = found.rows.filter(({ feed, kind }) => feed === log && kind === "dive");
  await write(["feeds", "feed_rows"], ({ feeds, feed_rows }) => names.forEach((name, at) => {
    const feed = `${log.slice(0, -1)}${at}-copy`;
    const snapshot = name === "Una Dal" ? null
      : name === "Ben Skarn" ? { ...one.snapshot, sheet: { days: "damaged" } } : one.snapshot;
    feeds.put({ ...one, feed, name, snapshot });
    const by = [{ by: "An earlier name", by_person }, { by: found.user.name, by_person: log },
      { by: found.user.name }];
    by.forEach((who, n) => feed_rows.put({ feed, record: `proposal-${n}`, kind: "proposal", told: null,
      known: { rev: 1, deleted: false,
        fields: { what: "comment", date: "2026-05-19", says: `words ${n}`, ...who } } }));
    for (let n = 0; n < count; n += 1) {
      const row = dives[n % dives.length];
      const record = `${String(n).padStart(8, "0")}-0000-4000-8000-${String(at).padStart(12, "0")}`;
      const time = `${String(8 + (n % 9)).padStart(2, "0")}:${String(n % 60).padStart(2, "0")}`;
      const fields = { ...row.known.fields, at: time };
      feed_rows.put({ ...row, feed, record, known: { ...row.known, fields } });
    }
  }));
}"""


@pytest.fixture
def coach(new_phone: NewPhone, server: Server) -> BoatPhone:
    add_diver(server, COACH)
    phone = new_phone(service_workers="block")
    phone.fill_in_sign_in("/boat/today", COACH)
    phone.says("Last sent")
    log = log_of(server, demo.NAME)
    give(server, log, COACH, "list", "log", "propose")
    send_now(phone)
    phone.page.evaluate(COPY, [log, NAMES, 300])
    phone.page.route("**/sync", lambda route: route.abort())  # the server would close logs that nobody shares
    return phone


# While another tab writes, no log can be read.
WRITING = """() => new Promise((resolve) => {
  const asked = indexedDB.open("lineslate");
  asked.onsuccess = () => {
    const store = asked.result.transaction("feed_rows", "readwrite").objectStore("feed_rows");
    window.writes = true;
    const goOn = () => (window.writes ? (store.get(["", ""]).onsuccess = goOn) : asked.result.close());
    goOn();
    resolve();
  };
})"""


def test_names_stand_while_the_logs_are_still_to_be_read(coach: BoatPhone) -> None:
    other = coach.context.new_page()
    other.goto(f"{coach.server.url}/boat/offline")
    other.evaluate(WRITING)
    page = coach.open("/boat/coach")
    expect(page.locator(".student h2")).to_have_text(sorted([*NAMES, demo.NAME]))
    expect(page.locator(".student-says").first).to_have_text("…")
    other.evaluate("() => { window.writes = false; }")
    expect(page.locator(".student-says").first).to_contain_text("Today: ")


def test_ten_students_stand_by_name_and_a_plan_that_cannot_be_read_takes_no_other_down(coach: BoatPhone) -> None:
    page = coach.open("/boat/coach")
    expect(page.locator("#progress > figure").first).to_be_attached()
    students = page.locator(".student")
    found = page.evaluate("""[...document.querySelectorAll(".student")].map((one) =>
      [one.querySelector("h2").textContent, one.querySelector(".student-says").textContent])""")
    assert [name for name, _ in found] == sorted([*NAMES, demo.NAME])  # by name: nothing ranks them
    says = dict(found)
    assert "This phone cannot read the plan" in says.pop("Ben Skarn")
    assert "No season is active" in says.pop("Una Dal")
    assert all("Today: FIM deep dive" in one for one in says.values())
    assert page.evaluate(
        "document.querySelectorAll('[id]').length === new Set([...document.querySelectorAll('[id]')]"
        ".map(({ id }) => id)).size"
    )
    assert violations(page) == []
    students.nth(1).get_by_role("link", name="Open").click()
    expect(page.locator(".student")).to_have_count(1)
    expect(page.locator("#propose")).to_be_visible()
    made = page.locator(".made li").evaluate_all("(all) => all.map((one) => [one.textContent, one.children.length])")
    assert sorted((text.split("Words ")[1][0], parts) for text, parts in made) == [("0", 2), ("1", 1), ("2", 2)]
    page.locator("#send-proposal").click()  # a cap without a depth and without a reason
    expect(page.get_by_role("alert").filter(has_text="2 things need a look")).to_be_visible()
    page.get_by_role("radio", name="A changed setting").check()
    page.locator("#setting").select_option("ladder.step_m")
    expect(page.locator("#value-hint")).to_have_text("From 0.5 to 10 m.")
    page.locator("#value").fill("50")
    page.locator("#send-proposal").click()
    expect(page.locator("#value-fault")).to_contain_text("must be from 0.5 to 10 m")
