import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from support.phones import DIVE, NOW, SEASON, Phone

from webapp import store
from webapp.actions import planning, seasons, sharing
from webapp.actions.errors import NotFound
from webapp.planner.reader.interval import needed
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook
from webapp.store import users
from webapp.store.values import User

NOTE = "left ear felt odd"


@pytest.fixture
def season(runa: User) -> int:
    return seasons.save_season(runa.id, None, "Spring", SEASON, NOW).id


def shared(runa: User, now: datetime = NOW, **shows: bool) -> dict[str, Any]:
    return sharing.shared_days(sharing.make_link(runa.id, "Ivo", now, **shows), now)


def day(list_: dict[str, Any], date: str) -> dict[str, Any]:
    return next(one for one in list_["days"] if one["date"] == date)


@pytest.mark.usefixtures("season")
def test_a_buddy_sees_who_dives_where_and_the_dives_from_today_on(runa: User, send: Any) -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2031-04-01"})
    send(phone)

    seen = shared(runa)

    assert (seen["diver"], seen["season"], seen["site"]) == ("Runa", "Spring", "Invented Bay")
    assert (seen["as_of"], seen["last_sync"]) == ("2031-04-01T08:00:00Z", "2031-04-01T08:00:00Z")
    assert seen["days"][0]["date"] == "2031-04-01"
    assert seen["days"][-1]["date"] == "2031-05-20"
    dives = [(dive["discipline"], dive["role"], dive["target_m"], dive["done"]) for dive in seen["days"][0]["dives"]]
    assert dives == [("FIM", "deep", 38, True), ("CNF", "drill", 15, False), ("CNF", "drill", 15, False)]
    assert seen["days"][0]["dives"][0]["safety"] is None  # nothing is prepared for a dive that is over
    coming = next(one for one in seen["days"][1:] if one["kind"] == "deep")["dives"][0]
    assert 60 < coming["expected_s"] < 120
    assert list(read_rulebook().texts["cautions"]["share"]) == seen["cautions"] != []


@pytest.mark.usefixtures("season")
def test_a_dive_that_was_made_shows_its_own_target_and_an_unplanned_one_is_listed_too(runa: User, send: Any) -> None:
    phone = Phone()
    phone.put(
        fields={**DIVE, "date": "2031-04-01", "role": "warm-up", "target_m": None, "reached_m": 15, "at": "08:00"}
    )
    phone.put(fields={**DIVE, "date": "2031-04-01", "target_m": 36, "reached_m": 36, "at": "09:00"})
    send(phone)

    made = [dive for dive in shared(runa)["days"][0]["dives"] if dive["done"]]

    assert sorted((dive["role"], dive["target_m"]) for dive in made) == [("deep", 36), ("warm-up", 15)]


@pytest.mark.usefixtures("season")
@pytest.mark.parametrize("sign", sorted(read_rulebook().texts["sign"]))
def test_no_health_detail_is_ever_shared(runa: User, send: Any, sign: str) -> None:
    book = read_rulebook()
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2031-03-31", "effort": 9, "signs": [sign], "note": NOTE})
    phone.put(fields={**DIVE, "date": "2031-04-01", "effort": 9, "signs": [sign], "note": NOTE})
    phone.put(kind="clearance", fields={"clearance": "2031-04-20", "by": "Dr Ames"})
    send(phone)

    text = json.dumps(shared(runa)).lower()

    words = [
        "verdict",
        "stand",
        "care",
        "cleared",
        "doctor",
        "dr ames",
        "hard",
        "turned",
        NOTE,
        sign,
        "flags",
        "effort",
    ]
    words += [book.texts["sign"][sign]["says"].lower()]
    words += [verdict["says"].lower() for verdict in book.texts["verdict"].values()]
    assert [word for word in words if word in text] == []


@pytest.mark.usefixtures("season")
def test_a_stand_down_day_says_no_diving_and_nothing_else(runa: User, send: Any) -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2031-03-31", "signs": ["blackout"]})
    send(phone)

    assert day(shared(runa), "2031-04-01") == {
        "date": "2031-04-01",
        "kind": "no diving",
        "why": "no diving",
        "over": False,
        "dives": [],
    }


@pytest.mark.usefixtures("season")
def test_when_the_day_is_over_the_open_dives_go_off_the_list(runa: User, send: Any) -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2031-04-01", "signs": ["lmc"]})
    send(phone)

    days = shared(runa, shows_over=True)["days"]
    today = days[0]

    assert [one["over"] for one in days] == [True] + [False] * (len(days) - 1)
    assert today["why"] == "no more diving today"
    assert [(dive["role"], dive["done"]) for dive in today["dives"]] == [("deep", True)]


@pytest.mark.usefixtures("season")
def test_a_buddy_is_not_told_that_the_day_is_over_unless_the_diver_chose_it(runa: User, send: Any) -> None:
    """The dives that will not be made go off the list all the same: nobody prepares them."""
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2031-04-01", "signs": ["lmc"]})
    send(phone)

    seen = shared(runa)

    assert not any(one["over"] for one in seen["days"])
    assert [(dive["role"], dive["done"]) for dive in seen["days"][0]["dives"]] == [("deep", True)]
    assert seen["days"][0]["why"] == "a deep dive, then drills"
    assert seen["pause"] is None
    assert "no more" not in json.dumps(seen)
    assert [(link.shows_over, link.shows_crew) for link in sharing.links(runa.id)] == [(False, False)]


@pytest.mark.usefixtures("season")
def test_the_pause_after_the_last_dive_is_as_the_rules_say_and_counts_the_dives_before_it(
    runa: User, send: Any
) -> None:
    assert shared(runa)["pause"] is None
    phone = Phone()
    today = {**DIVE, "date": "2031-04-01"}
    phone.put(fields={**today, "surfaced_at": "2031-04-01T08:30:20Z"})
    phone.put(fields={**today, "date": "2031-03-31", "surfaced_at": "2031-03-31T12:00:00Z"})
    send(phone, utc_offset_min=120)
    deep = shared(runa)["pause"]
    drill = {**today, "role": "drill", "discipline": "CNF", "target_m": 15, "reached_m": 15, "dive_s": None}
    phone.put(fields={**drill, "at": "10:32"})
    phone.put(fields={**drill, "at": None})  # nobody knows when
    send(phone, utc_offset_min=120)

    assert deep == {"surfaced_at": "2031-04-01T08:30:20Z", "seconds": pause_s(runa, 38, 82)}
    after = shared(runa)["pause"]
    assert after["surfaced_at"] == "2031-04-01T08:32:00Z"  # 10:32 where the diver is
    assert after["seconds"] == deep["seconds"] - 100  # of the deep dive, still running
    assert set(after) == {"surfaced_at", "seconds"}


def pause_s(diver: User, reached_m: float, dive_s: float) -> int:
    """The longest pause that any rule of the season asks for after this dive."""
    with store.reading():
        current = planning.current_of(diver.id, "2031-04-01")
    assert current is not None
    return int(needed(current.sheet["interval"], reached_m, dive_s)[0]["seconds"])


@pytest.mark.usefixtures("season")
def test_a_buddy_reads_how_deep_the_bottom_is_at_todays_site(runa: User) -> None:
    assert (shared(runa)["site"], shared(runa)["bottom_m"]) == ("Invented Bay", 60)


@pytest.mark.usefixtures("season")
def test_today_is_the_divers_own_day(runa: User, send: Any) -> None:
    late = NOW.replace(hour=23)
    send(Phone(), utc_offset_min=120)
    assert shared(runa, late)["days"][0]["date"] == "2031-04-02"

    send(Phone(), utc_offset_min=-120)
    assert shared(runa, late)["days"][0]["date"] == "2031-04-01"


def test_without_a_season_or_a_sync_the_list_is_empty_and_says_so(runa: User) -> None:
    seen = shared(runa)

    assert (seen["season"], seen["site"], seen["days"], seen["last_sync"]) == (None, None, [], None)
    assert seen["cautions"]


def test_a_link_works_until_it_is_taken_back(runa: User) -> None:
    token = sharing.make_link(runa.id, "Ivo", NOW)
    (link,) = sharing.links(runa.id)
    assert (link.label, link.seen_at) == ("Ivo", None)
    sharing.shared_days(token, NOW + timedelta(days=1))
    assert sharing.links(runa.id)[0].seen_at == "2031-04-02T08:00:00Z"

    sharing.revoke(runa.id, link.id, NOW)

    assert sharing.links(runa.id) == []
    for attempt in (lambda: sharing.shared_days(token, NOW), lambda: sharing.revoke(runa.id, link.id, NOW)):
        with pytest.raises(NotFound):
            attempt()


def test_a_token_is_long_kept_as_a_hash_only_and_not_to_be_guessed(runa: User, file: Path) -> None:
    token = sharing.make_link(runa.id, "Ivo", NOW)
    assert len(token) >= 32
    assert token != sharing.make_link(runa.id, "Ivo", NOW)
    store.close()
    assert token.encode() not in file.read_bytes()

    for guess in ("", token[:-1], token + "x", token.swapcase(), "%", "\ud800", "x" * 10_000):
        with pytest.raises(NotFound):
            sharing.shared_days(guess, NOW)


def test_nobody_takes_back_another_divers_link(runa: User) -> None:
    with store.transaction():
        ivo = users.add_user("Ivo", "ivo", "none", "t")
    token = sharing.make_link(runa.id, "Mara", NOW)
    (link,) = sharing.links(runa.id)

    for user_id, link_id in ((ivo.id, link.id), (runa.id, link.id + 1), (runa.id, 0), (runa.id, 10**30)):
        with pytest.raises(NotFound):
            sharing.revoke(user_id, link_id, NOW)
    assert sharing.shared_days(token, NOW)["diver"] == "Runa"


@pytest.mark.parametrize("label", ["x" * 81, "two\nlines"])
def test_a_label_is_one_short_line(runa: User, label: str) -> None:
    with pytest.raises(Refused) as refused:
        sharing.make_link(runa.id, label, NOW)

    assert refused.value.faults[0].field == "label"


@pytest.mark.usefixtures("season")
def test_a_buddy_reads_when_safety_leaves_and_when_a_dive_is_overdue(runa: User) -> None:
    dive = shared(runa)["days"][0]["dives"][0]
    assert dive["target_m"] == dive["safety"]["line_m"]
    assert 0 < dive["safety"]["leave_s"] < dive["safety"]["meet_s"] < dive["expected_s"] < dive["safety"]["overdue_s"]


def test_a_drill_is_timed_by_the_divers_own_speed_at_any_depth(runa: User, send: Any) -> None:
    """18 m showed a longer time than 17.5 m: a depth that is no rung was timed by the rulebook."""
    raw = {**SEASON, "drill": {"discipline": "FIM", "depth_m": 17.5, "dives": 1}}
    seasons.save_season(runa.id, None, "Spring", raw, NOW)
    phone = Phone()
    for number in range(6):
        phone.put(fields={**DIVE, "date": f"2031-03-{20 + number}", "target_m": 30, "reached_m": 30, "dive_s": 100})
    send(phone)

    drills = [dive for one in shared(runa)["days"] for dive in one["dives"] if dive["role"] == "drill"]

    assert {dive["expected_s"] for dive in drills if dive["target_m"] == 17.5} == {expected(17.5, 30 * 2 / 97)}


def expected(depth_m: float, m_s: float) -> int:
    """Both ways at this speed, and three seconds for the turn."""
    return round(2 * depth_m / round(m_s, 2) + 3)


@pytest.mark.usefixtures("season")
def test_a_day_off_is_shared_without_its_reason(runa: User, send: Any) -> None:
    phone = Phone()
    phone.put(kind="day", fields={"date": "2031-04-01", "no_diving": "ears", "note": NOTE})
    send(phone)

    seen = shared(runa)

    assert day(seen, "2031-04-01") == {
        "date": "2031-04-01", "kind": "no diving", "why": "no diving", "over": False, "dives": [],
    }  # fmt: skip
    assert "ears" not in json.dumps(seen).lower()
    assert NOTE not in json.dumps(seen)


@pytest.mark.usefixtures("season")
def test_a_target_deeper_than_the_best_says_so_without_the_best(runa: User) -> None:
    dives = [dive for one in shared(runa)["days"] for dive in one["dives"] if dive["role"] == "deep"]
    assert {dive["says"] for dive in dives if dive["target_m"] <= 41} == {""}
    assert {dive["says"] for dive in dives if dive["target_m"] == 42} >= {"deeper than the best so far"}
    assert {name for dive in dives for name in dive} == {
        "discipline", "role", "target_m", "expected_s", "says", "safety", "done",
    }  # fmt: skip
