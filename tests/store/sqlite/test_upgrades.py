"""A file of the first released schema, with data in it as that version wrote it, comes to the present whole.

`first_schema.sql` is frozen: two divers, a conflict, a deletion, a refused edit, a link taken back and one that holds.
"""

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from types import ModuleType
from typing import Any
from uuid import UUID

import pytest
from support.phones import DIVE, NOW, TODAY, operation

from webapp import store
from webapp.actions import accounts, histories, seasons, sharing, sync
from webapp.store.sqlite import migrate
from webapp.store.sqlite.migrate import Step, steps, upgrade

FIRST = Path(__file__).with_name("first_schema.sql")
TOKEN = "sGXkZmn9ZaNiQgmmxfCqUrbipr4XYwdn"  # of the link that holds
DEEP, DRILL, GONE = (f"00000000-0000-0000-0000-00000000000{end}" for end in "357")
BOAT = "00000000-0000-0000-0000-000000000001"


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """The old file, as it lay on the disk."""
    file = tmp_path / "lineslate.sqlite3"
    with closing(sqlite3.connect(file)) as connection:
        connection.executescript(FIRST.read_text(encoding="utf-8"))
    return file


@pytest.fixture
def upgraded(old: Path) -> Any:
    store.open_store(old)
    yield old
    store.close()


def dump(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        return list(connection.iterdump())


def dives_of(user_id: int) -> list[dict[str, Any]]:
    return [record for record in seasons.log_of(user_id) if record["kind"] == "dive"]


def ask(**changes: Any) -> dict[str, Any]:
    plain = {
        "schema": 1, "device": BOAT, "epoch": None, "mark": 0, "today": TODAY, "utc_offset_min": 120, "user": 1,
        "operations": [],
    }  # fmt: skip
    return sync.sync(1, {**plain, **changes}, NOW)


def test_the_frozen_file_has_the_first_schema_alone(old: Path) -> None:
    with closing(sqlite3.connect(old)) as connection:
        assert connection.execute("SELECT number FROM migration").fetchall() == [(1,)]


def test_every_row_of_every_table_is_still_there_and_the_file_is_as_new(upgraded: Path, tmp_path: Path) -> None:
    migrate.upgrade(tmp_path / "new.sqlite3")

    def shape(file: Path) -> set[tuple[str, str]]:
        with closing(sqlite3.connect(file)) as connection:
            tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
            return {
                (table, column[1]) for table in tables for column in connection.execute(f"PRAGMA table_info({table})")
            }

    rows = [line for line in FIRST.read_text(encoding="utf-8").splitlines() if line.startswith("INSERT")]
    with closing(sqlite3.connect(upgraded)) as connection:
        names = ("invitation", "journal", "meta", "phone", "record", "season", "share_link", "sign_in", "user")
        counts = {name: connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in names}  # noqa: S608
    assert shape(tmp_path / "new.sqlite3") == shape(upgraded)
    sites = {"journal": 1, "record": 1}  # of the one season that names a place
    assert counts == {
        name: sum(line.startswith(f'INSERT INTO "{name}"') for line in rows) + sites.get(name, 0) for name in names
    }


def test_the_diver_signs_in_and_has_log_season_and_history_as_before(upgraded: Path) -> None:
    assert accounts.sign_in("runa tidewell", "slow kelp drifts", NOW).id == 1
    assert {dive["id"]: (dive["effort"], dive["reached_m"]) for dive in dives_of(1)} == {
        DEEP: (7, 38),
        DRILL: (4, 15),
    }
    assert [(row.name, row.active) for row in seasons.list_seasons(1)] == [("Spring at Invented Bay", True)]
    assert seasons.current(1, TODAY).plan["days"]
    assert [(step.entry.status, step.lost) for step in histories.history(1, DEEP)] == [
        ("stored", ()),
        ("stored", ("effort",)),
        ("stored", ()),
    ]
    assert [step.entry.status for step in histories.history(1, DRILL)] == ["stored", "refused"]


def test_a_password_hashed_by_the_old_method_is_hashed_anew_at_sign_in(upgraded: Path) -> None:
    def hashed() -> str:
        with closing(sqlite3.connect(upgraded)) as connection:
            return str(connection.execute("SELECT password_hash FROM user WHERE id = 1").fetchone()[0])

    before = hashed()
    accounts.sign_in("Runa Tidewell", "slow kelp drifts", NOW)

    assert not before.startswith(accounts.METHOD + "$")
    assert hashed().startswith(accounts.METHOD + "$")
    assert accounts.sign_in("Runa Tidewell", "slow kelp drifts", NOW).id == 1


def test_a_link_given_before_still_opens_and_has_no_end(upgraded: Path) -> None:
    assert sharing.shared_days(TOKEN, NOW)["diver"] == "Runa Tidewell"
    assert [(link.label, link.expires_at) for link in sharing.links(1)] == [("Odd", None)]


def test_a_phone_goes_on_from_its_mark_and_what_it_sends_again_is_answered_as_before(upgraded: Path) -> None:
    first = ask()
    again = operation(DEEP, op="00000000-0000-0000-0000-000000000004", fields=dict(DIVE), counter=1)
    answer = ask(epoch=first["epoch"], mark=first["mark"], operations=[again])

    dives = [change for change in first["changes"] if change["kind"] == "dive"]
    assert {change["record"]: change["deleted"] for change in dives} == {
        DEEP: False, DRILL: False, GONE: True,
    }  # fmt: skip
    assert first["epoch"] == "44f98e6686c767f67720d3b2145dfd11"
    assert [(one["status"], one["rev"]) for one in answer["results"]] == [("stored", 1)]
    assert answer["changes"] == []


def saved_by_the_first_version(file: Path, **parts: Any) -> None:
    """Give the active season of the old file other parts, as the first version would have stored them."""
    with closing(sqlite3.connect(file)) as connection, connection:
        raw = json.loads(connection.execute("SELECT raw_json FROM season WHERE id = 1").fetchone()[0])
        connection.execute("UPDATE season SET raw_json = ? WHERE id = 1", (json.dumps({**raw, **parts}),))


def stored(file: Path) -> list[dict[str, Any]]:
    with closing(sqlite3.connect(file)) as connection:
        return [json.loads(text) for (text,) in connection.execute("SELECT raw_json FROM season ORDER BY id")]


def test_every_old_season_says_that_it_was_made_with_the_first_edition_and_is_else_as_before(old: Path) -> None:
    before = stored(old)
    upgrade(old, steps()[:4])

    assert [{**raw, "book": 1} for raw in before] == stored(old)


def sites_of(file: Path) -> list[tuple[int, str, dict[str, Any], int]]:
    with closing(sqlite3.connect(file)) as connection:
        whose = "SELECT owner_id, record, fields, record.seq FROM record JOIN feed ON feed.id = feed_id"
        rows = connection.execute(f"{whose} WHERE record.kind = 'site' ORDER BY record.seq")
        return [(user, record, json.loads(fields), seq) for user, record, fields, seq in rows]


def test_each_season_that_is_not_deleted_gets_the_record_of_its_site_with_journal_and_change_number(old: Path) -> None:
    upgrade(old)
    ((user, record, fields, seq),) = sites_of(old)
    active, given_up = (raw["site"] for raw in stored(old))

    assert (user, fields, seq) == (1, {"name": "Invented Bay", "bottom_m": 60}, 7)  # the sixth was the last before
    assert active == {"name": "Invented Bay", "bottom_m": 60, "record": record}
    assert "record" not in given_up
    store.open_store(old)
    (step,) = histories.history(1, record)
    assert (step.entry.asked.device, step.entry.after) == (histories.SHORE, fields)
    assert ask()["snapshot"]["season"]["site"] == record
    assert "record" not in ask()["snapshot"]["sheet"]["site"]
    store.close()


def test_two_places_of_a_season_are_two_sites_and_the_same_place_again_is_one(old: Path) -> None:
    bay, lake = {"name": "Invented Bay", "bottom_m": 60}, {"name": "Odd Lake", "bottom_m": 40, "water": "fresh"}
    changes = [
        {"from": "2031-04-05", "set": {"site": lake}},
        {"from": "2031-04-09", "set": {"site": {**bay, "name": " invented bay"}}},
        {"from": "2031-04-12", "set": {"days_on": 3}},
    ]
    saved_by_the_first_version(old, changes=changes)
    upgrade(old)
    season = stored(old)[0]
    first, second, third = season["site"], *(change["set"]["site"] for change in season["changes"][:2])

    assert [fields["name"] for _, _, fields, _ in sites_of(old)] == ["Invented Bay", "Odd Lake"]
    assert first["record"] == third["record"] != second["record"]
    store.open_store(old)
    assert ask(today="2031-04-06")["snapshot"]["season"]["site"] == second["record"]
    store.close()


@pytest.mark.parametrize("site", [{"bottom_m": 60}, {"name": " ", "bottom_m": 60}, None, "Invented Bay"])
def test_a_season_without_the_name_of_a_place_gets_no_site_and_stays_as_it_was(old: Path, site: Any) -> None:
    saved_by_the_first_version(old, site=site)
    upgrade(old)
    assert sites_of(old) == []
    assert stored(old)[0]["site"] == site


def test_a_phone_that_has_read_all_before_the_upgrade_is_sent_the_site_after_it(old: Path) -> None:
    with closing(sqlite3.connect(old)) as connection:
        epoch = connection.execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()[0]
    store.open_store(old)
    answer = ask(epoch=epoch, mark=6)
    again = ask(epoch=epoch, mark=answer["mark"])
    store.close()

    assert [(change["kind"], change["fields"]["name"]) for change in answer["changes"]] == [("site", "Invented Bay")]
    assert again["changes"] == []


def test_an_edit_of_a_migrated_site_is_stored_like_any_other(old: Path) -> None:
    store.open_store(old)
    record = sites_of(old)[0][1]
    unused = "00000000-0000-0000-0001-000000000000"  # the frozen file has the ids with which each run begins
    asked = operation(record, kind="site", fields={"emergency_phone": "112"}, base=1, op=unused)
    (result,) = ask(operations=[asked])["results"]
    store.close()

    assert (result["status"], result["rev"], result["conflict"]) == ("stored", 2, [])
    assert sites_of(old)[0][2] == {"name": "Invented Bay", "bottom_m": 60, "emergency_phone": "112"}


@pytest.mark.parametrize(
    ("level", "rules", "repeats"),
    [({}, {}, 2), ({"repeats": None}, {}, 2), ({"repeats": 4}, {}, 4), ({}, {"ladder.repeats": 3}, 3)],
)
def test_an_old_season_keeps_the_clean_dives_that_it_was_planned_with(
    old: Path, level: dict[str, Any], rules: dict[str, Any], repeats: int
) -> None:
    fim = {"discipline": "FIM", "best_m": 41, "start_m": 38, "goals": {"aim_m": 48}}
    saved_by_the_first_version(old, disciplines=[{**fim, **level}], rules=rules)
    store.open_store(old)
    current = seasons.current(1, TODAY)
    store.close()

    assert {**fim, "repeats": repeats} == stored(old)[0]["disciplines"][0]
    assert {rung["needs"] for rung in current.sheet["disciplines"]["FIM"]["rungs"]} == {repeats}


def test_an_old_season_whose_start_is_far_beyond_its_best_goes_on_being_planned_from_the_deepest_start_there_is(
    old: Path,
) -> None:
    saved_by_the_first_version(old, disciplines=[{"discipline": "FIM", "best_m": 41, "start_m": 55}])
    store.open_store(old)
    plan = seasons.current(1, TODAY).plan
    store.close()

    assert max(dive["target_m"] for day in plan["days"] for dive in day["dives"] if dive["role"] == "deep") == 46
    assert stored(old)[0]["disciplines"][0]["start_m"] == 55


def test_a_copy_of_the_old_file_is_made_first_for_its_owner_only(old: Path) -> None:
    before = dump(old)
    upgrade(old)
    copy = old.with_name(f"{old.name}.before-0002")

    assert before == dump(copy)
    assert copy.stat().st_mode & 0o777 == 0o600


def test_a_migration_that_fails_on_real_data_leaves_the_old_file_untouched_and_usable(old: Path) -> None:
    module = ModuleType("m9999_made_up")
    module.up = lambda connection: connection.execute("CREATE UNIQUE INDEX x ON record (kind)")  # type: ignore[attr-defined]
    before = dump(old)

    with pytest.raises(sqlite3.IntegrityError):
        upgrade(old, (*steps(), Step(9999, "m9999_made_up", module)))

    assert before == dump(old)
    assert upgrade(old) == tuple(step.name for step in steps()[1:])


def test_an_old_backup_can_be_restored_into_the_present(old: Path, tmp_path: Path) -> None:
    from webapp.store.sqlite.copies import restore

    shutil.copy(old, tmp_path / "kept.sqlite3")
    restore(tmp_path / "kept.sqlite3", tmp_path / "present.sqlite3")
    store.open_store(tmp_path / "present.sqlite3")

    assert len(dives_of(1)) == 2
    assert ask()["epoch"] != "44f98e6686c767f67720d3b2145dfd11"
    store.close()


def test_each_diver_gets_the_feed_of_their_log_with_its_change_number_and_every_entry_its_author(old: Path) -> None:
    upgrade(old)
    with closing(sqlite3.connect(old)) as connection:
        users = [number for (number,) in connection.execute("SELECT id FROM user ORDER BY id")]
        feeds = connection.execute("SELECT name, kind, owner_id, seq FROM feed ORDER BY owner_id").fetchall()
        last = "SELECT owner_id, max(record.seq) FROM record JOIN feed ON feed.id = feed_id GROUP BY 1"
        highest = dict(connection.execute(last).fetchall())
        strangers = "SELECT count(*) FROM journal JOIN feed ON feed.id = feed_id WHERE author_id IS NOT owner_id"
        assert connection.execute(strangers).fetchone() == (0,)
        assert connection.execute("SELECT count(*) FROM member").fetchone() == (0,)
    assert [(kind, owner) for _, kind, owner, _ in feeds] == [("log", user) for user in users]
    assert {owner: seq for _, _, owner, seq in feeds if owner in highest} == highest
    assert len({UUID(name) for name, *_ in feeds}) == len(users) > 1


def test_the_feeds_of_an_old_file_get_no_title_and_there_are_no_offers(old: Path) -> None:
    upgrade(old)
    with closing(sqlite3.connect(old)) as connection:
        assert connection.execute("SELECT DISTINCT title FROM feed").fetchall() == [("",)]
        assert connection.execute("SELECT count(*) FROM offer").fetchone() == (0,)


def test_a_diver_who_leaves_takes_feed_records_and_journal_with_them_and_nobody_elses(old: Path) -> None:
    upgrade(old)
    tables = ("feed", "record", "journal", "season")

    def counted(connection: sqlite3.Connection) -> list[int]:
        return [connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in tables]  # noqa: S608

    with closing(sqlite3.connect(old)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        feeds, *others = counted(connection)
        connection.execute("DELETE FROM user WHERE id = 2")
        assert counted(connection)[0] == feeds - 1
        connection.execute("DELETE FROM user WHERE id = 1")
        assert others[0] > 0
        assert counted(connection) == [0, 0, 0, 0]
