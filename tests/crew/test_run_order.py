"""The run order of a crew, in a real browser: no rule broken, as good as proved, the same on every phone."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from crew.make_solved import MOST_DIVES, mark_of
from playwright.sync_api import Browser, Page
from support.crew_exact import best_worth
from support.crew_rules import Boat, faults, worth
from support.crews import LIMITS, NINE, boat_of, bound_boat, plain_boat, shuffled, warm_boat
from support.static_files import phone_modules

STATIC = Path(__file__).parents[2] / "static"
SOLVED = json.loads(Path(__file__).with_name("solved.json").read_text(encoding="utf-8"))
KNOWN = json.loads(Path(__file__).with_name("best_known.json").read_text(encoding="utf-8"))
Json = dict[str, Any]
MANY = range(2_000)
EIGHT = (6003, 6007, 6009, 6011, 6017, 6023, 6026, 6032, 6040, 6043, 6057, 6066)  # those that are proved quickly


@pytest.fixture(scope="module")
def crew(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "crew/order.js", "crew/why.js") as page:
        yield page


def orders(page: Page, boats: list[Json], name: str = "orderOf") -> list[Any]:
    call = """([name, text, limits]) => JSON.stringify(JSON.parse(text).map((boat) => {
      const found = window.reader[name](boat, limits);
      return found.rows ? found : [...found];
    }))"""
    found: list[Any] = json.loads(page.evaluate(call, [name, json.dumps(boats), LIMITS]))
    return found


def order(page: Page, boat: Json) -> Json:
    found: Json = orders(page, [boat])[0]
    return found


def worths(page: Page, boats: list[Json]) -> list[tuple[int, ...]]:
    return [worth(Boat(boat, LIMITS), found) for boat, found in zip(boats, orders(page, boats), strict=True)]


# ---------------------------------------------------------------- invented boats


def test_no_order_breaks_a_rule_on_two_thousand_boats(crew: Page) -> None:
    boats = [boat_of(number, 6) for number in MANY]
    broken = {number: found for number, boat, one in zip(MANY, boats, orders(crew, boats), strict=True)
              if (found := faults(Boat(boat, LIMITS), one))}  # fmt: skip
    assert broken == {}


def test_each_order_is_worth_what_the_solver_proved_to_be_the_best(crew: Page) -> None:
    boats = [boat_of(one["boat"], MOST_DIVES) for one in SOLVED]
    assert len(boats) >= 200
    assert [mark_of(boat) for boat in boats] == [one["mark"] for one in SOLVED], "solve the boats again"
    found = worths(crew, boats)
    assert [list(one) for one in found] == [one["worth"] for one in SOLVED]


def test_the_exact_search_finds_no_better_order_of_up_to_eight_dives(crew: Page) -> None:
    boats = [boat_of(number, 8, 7) for number in EIGHT] + [boat_of(number, 6, 3) for number in range(3_000, 3_040)]
    assert worths(crew, boats) == [best_worth(Boat(boat, LIMITS)) for boat in boats]


def test_with_warm_ups_no_order_breaks_a_rule_and_none_is_better_by_the_exact_search(crew: Page) -> None:
    many = [warm_boat(number) for number in range(8_000, 8_400)]
    found = orders(crew, many)
    assert [text for boat, one in zip(many, found, strict=True) for text in faults(Boat(boat, LIMITS), one)] == []
    first = [reason for one in found for row in one["rows"] for reason in row["reasons"]]
    assert len([one for one in first if one["code"] == "warm_first"]) > 50
    boats = [warm_boat(number, 6) for number in range(8_400, 8_450)]
    assert worths(crew, boats) == [best_worth(Boat(boat, LIMITS)) for boat in boats]


def test_as_few_dives_as_possible_are_left_out_where_official_times_and_places_exclude_each_other(crew: Page) -> None:
    boats = [bound_boat(number) for number in range(7_000, 7_080)]
    found = orders(crew, boats)
    assert sum(len(one["cannot"]) for one in found) > 80
    for boat, one in zip(boats, found, strict=True):
        assert faults(Boat(boat, LIMITS), one) == []
        assert worth(Boat(boat, LIMITS), one) == best_worth(Boat(boat, LIMITS))


def test_a_long_list_is_ordered_too_and_what_is_beyond_the_most_is_named(crew: Page) -> None:
    boats = [plain_boat(number, dives, 8) for number, dives in ((1, 24), (6, 60))]
    long, longest = orders(crew, boats)
    assert [faults(Boat(boat, LIMITS), one) for boat, one in zip(boats, (long, longest), strict=True)] == [[], []]
    assert (len(long["rows"]), len(longest["rows"])) == (24, 52)
    last = sorted(dive["id"] for dive in boats[1]["dives"])[52:]
    assert [(one["dive"], one["rule"]) for one in longest["cannot"]] == [(name, "too_many") for name in last]


def test_an_order_of_twelve_dives_is_within_a_hundredth_of_the_best_known(crew: Page) -> None:
    """The line as often and as far as known; the list at most a hundredth longer. Known from a beam of 3,000 lists."""
    boats = [plain_boat(one["boat"], 12, one["people"]) for one in KNOWN]
    for boat, found, known in zip(boats, orders(crew, boats), KNOWN, strict=True):
        value = worth(Boat(boat, LIMITS), found)
        assert list(value[:3]) == known["worth"][:3]
        assert found["rows"][-1]["ends"] - boat["at"] <= 1.01 * known["length"]
        assert value[4] <= 1.1 * known["worth"][4]


def test_every_phone_finds_the_same_order_whatever_the_sequence_of_its_lists(crew: Page) -> None:
    boats = [boat_of(number, 7, 4) for number in range(4_000, 4_040)]
    mixed = [shuffled(boat, seed) for seed, boat in enumerate(boats)]
    assert orders(crew, mixed) == orders(crew, boats)


def test_the_first_answer_comes_early_and_each_later_one_is_better(crew: Page) -> None:
    boats = [plain_boat(number, 10, 5) for number in range(12)]
    every, last = orders(crew, boats, "betterOrders"), orders(crew, boats)
    assert max(map(len, every)) > 1
    for boat, given, best in zip(boats, every, last, strict=True):
        values = [worth(Boat(boat, LIMITS), one) for one in given]
        assert values == sorted(set(values), reverse=True)
        assert given[-1] == best
        assert faults(Boat(boat, LIMITS), given[0]) == []


def test_the_first_answer_takes_a_part_of_the_time_that_the_best_one_takes(crew: Page) -> None:
    timed = """([text, limits]) => {
      let [first, all] = [0, 0];
      for (const boat of JSON.parse(text)) {
        const began = performance.now();
        const found = window.reader.betterOrders(boat, limits);
        found.next();
        first += performance.now() - began;
        for (const _ of found);
        all += performance.now() - began;
      }
      return first / all;
    }"""
    boats = [plain_boat(number, 12, 8) for number in range(4)]
    assert crew.evaluate(timed, [json.dumps(boats), LIMITS]) < 0.6


# ---------------------------------------------------------------- something happens


def test_what_runs_is_not_moved_when_something_happens(crew: Page) -> None:
    boats = [plain_boat(number, 6, 5) for number in range(30)]
    for boat, before in zip(boats, orders(crew, boats), strict=True):
        boat["running"] = {"dive": (now := before["rows"][0])["dive"], "began": now["begins"], "safety": now["safety"]}
        boat["at"] = now["begins"] + 1
        later = next(row for row in before["rows"][1:])
        diver = next(dive["person"] for dive in boat["dives"] if dive["id"] == later["dive"])
        next(person for person in boat["people"] if person["id"] == diver)["day_over"] = True
    for boat, found in zip(boats, orders(crew, boats), strict=True):
        assert faults(Boat(boat, LIMITS), found) == []  # also that what runs stands first, as it began
        assert found["rows"][0]["reasons"] == [{"code": "running", "values": {}}]
        over = {person["id"] for person in boat["people"] if person["day_over"]}
        assert set(found["removed"]) == over
        assert not {dive["id"] for dive in boat["dives"] if dive["person"] in over} & {
            row["dive"] for row in found["rows"][1:]
        }


def test_a_dive_that_takes_longer_than_expected_only_moves_what_follows(crew: Page) -> None:
    boat = crew_of("Ana", "Bo")
    boat["dives"] = [dive("a", "Ana", 20), dive("b", "Bo", 20)]
    boat["running"] = {"dive": "a", "began": NINE, "safety": ["Bo"]}
    for late in (0, 30):
        boat["at"] = NINE + late
        first, second = order(crew, boat)["rows"]
        assert (first["begins"], first["ends"]) == (NINE, NINE + max(late, 4))
        assert second["begins"] == first["ends"] + 4


# ---------------------------------------------------------------- cases worked out by hand
# set-up: 4 half minutes, and one tenth of a half minute for each metre moved; rest before and after safety duty: 30


def crew_of(*names: str, **each: Any) -> Json:
    person = {"may_meet_m": 15, "ready": True, "free_from": 0, "rested_from": 0, "safety_count": 0, "day_over": False}
    people = [{"id": name, "name": name, **person, **each} for name in names]
    return {"at": NINE, "line": {"depth_m": 20}, "people": people, "dives": [], "running": None}


def dive(name: str, person: str, depth_m: float, **more: Any) -> Json:
    by_hand = {"fixed_at": None, "pinned": None, "safety": None}
    return {"id": name, "person": person, "depth_m": depth_m, "half_minutes": 4, "pause": 10, "deep": None,
            **by_hand, **more}  # fmt: skip


def sequence(found: Json) -> list[str]:
    return [row["dive"] for row in found["rows"]]


def codes(row: Json) -> list[str]:
    return [reason["code"] for reason in row["reasons"]]


def test_dives_to_one_depth_follow_each_other_and_the_line_goes_one_way(crew: Page) -> None:
    boat = crew_of("Ana", "Bo", "Cleo")
    boat["dives"] = [dive("a", "Ana", 30), dive("b", "Bo", 25), dive("c", "Cleo", 30), dive("d", "Cleo", 20)]
    found = order(crew, boat)
    assert [row["line_to_m"] for row in found["rows"]] == [20, 25, 30, 30]
    assert (found["changes"], found["metres"]) == (2, 10)
    assert codes(found["rows"][0]) == ["line_stays"]
    assert found["rows"][1]["reasons"] == [
        {"code": "line_moves", "values": {"from_m": 20, "to_m": 25, "moved_m": 5}}
    ]  # fmt: skip


def test_the_deep_dives_of_a_diver_come_before_the_drills(crew: Page) -> None:
    boat = crew_of("Ana", "Bo")
    boat["dives"] = [dive("drill", "Ana", 20, deep=False), dive("target", "Ana", 30, deep=True)]
    found = order(crew, boat)
    assert sequence(found) == ["target", "drill"]
    assert {"code": "deep_first", "values": {"who": ["Ana"]}} in found["rows"][0]["reasons"]
    assert {"code": "pause", "values": {"who": ["Ana"], "until": NINE + 19}} in found["rows"][1]["reasons"]
    assert found["rows"][1]["waits"] == 5  # 9:02:30 the first begins; 10 of pause, of which the line takes 5


def test_the_warm_ups_of_a_diver_come_before_the_deep_dive_even_where_the_line_lies_at_the_deep_dive(
    crew: Page,
) -> None:
    """Common practice, no source: a warm-up comes first. The rest of somebody else's is left as it is."""
    boat = crew_of("Ana", "Bo")
    boat["line"]["depth_m"] = 30
    boat["dives"] = [dive("target", "Ana", 30, deep=True), dive("warm", "Ana", 15, warm_up=True),
                     dive("drill", "Ana", 30, deep=False), dive("other", "Bo", 30, deep=True)]  # fmt: skip
    found = order(crew, boat)
    assert [name for name in sequence(found) if name != "other"] == ["warm", "target", "drill"]
    reason = {"code": "warm_first", "values": {"who": ["Ana"]}}
    assert [row["dive"] for row in found["rows"] if reason in row["reasons"]] == ["warm"]
    boat["dives"][1]["warm_up"] = False
    assert sequence(order(crew, boat))[-1] == "warm"
    boat["dives"][1] |= {"warm_up": True, "pinned": 4}  # a place against the rule
    found = order(crew, boat)
    assert [(one["dive"], one["rule"]) for one in found["cannot"]] == [("warm", "pinned")]


def test_rest_lies_between_safety_duty_and_an_own_deep_dive_both_ways(crew: Page) -> None:
    boat = crew_of("Ana", "Bo")
    boat["line"]["depth_m"] = 31
    boat["dives"] = [dive("a", "Ana", 31), dive("b", "Bo", 31)]
    first, second = order(crew, boat)["rows"]
    assert second["begins"] - first["ends"] == 30
    assert codes(second) == ["line_stays", "rest_after_safety", "safety_rests"]
    boat["dives"] = [dive("a", "Ana", 30), dive("b", "Bo", 30)]  # not deeper than the rule says
    first, second = order(crew, boat)["rows"]
    assert second["begins"] - first["ends"] <= 5


def test_a_dive_deeper_than_the_rule_has_two_safety_divers_or_names_who_is_missing(crew: Page) -> None:
    boat = crew_of("Ana", "Bo", "Cleo")
    boat["dives"] = [dive("a", "Ana", 50), dive("b", "Ana", 50.1)]
    one, two = sorted(order(crew, boat)["rows"], key=lambda row: row["dive"])
    assert (len(one["safety"]), two["safety"]) == (1, ["Bo", "Cleo"])
    assert {"code": "two_safeties", "values": {"deeper_m": 50}} in two["reasons"]
    boat["people"][2]["ready"] = False
    found = order(crew, boat)
    assert sequence(found) == ["a"]
    assert found["cannot"] == [
        {"dive": "b", "rule": "two_safeties", "who": ["Cleo"], "values": {"need": 2, "have": 1, "meet_m": 15}}
    ]


def test_a_safety_diver_may_go_as_deep_as_the_diver_is_met(crew: Page) -> None:
    """34 hundredths of the depth, at most 15 m (a school's page; a handout of safety rules): 30 m is met at 10.2 m."""
    boat = crew_of("Ana", "Bo")
    boat["people"][1]["may_meet_m"] = 10.2
    boat["dives"] = [dive("a", "Ana", 30)]
    assert sequence(order(crew, boat)) == ["a"]
    for limit in (10.1, None):
        boat["people"][1]["may_meet_m"] = limit
        [left] = order(crew, boat)["cannot"]
        assert (left["rule"], left["values"]) == ("safety", {"need": 1, "have": 0, "meet_m": 10.2})
    boat["people"][1]["may_meet_m"], boat["dives"][0]["depth_m"] = 15, 120  # two would be needed, the cap holds
    assert order(crew, boat)["cannot"][0]["values"] == {"need": 2, "have": 1, "meet_m": 15}


def test_official_times_are_kept_and_what_cannot_be_kept_is_said(crew: Page) -> None:
    boat = crew_of("Ana", "Bo", "Cleo")
    boat["dives"] = [
        dive("a", "Ana", 20, fixed_at=NINE + 40),
        dive("b", "Bo", 20),
        dive("c", "Cleo", 20, fixed_at=NINE),
    ]
    found = order(crew, boat)
    assert {row["dive"]: row["begins"] for row in found["rows"]}["a"] == NINE + 40
    assert found["cannot"] == [{"dive": "c", "rule": "fixed_time", "who": [], "values": {"at": NINE}}]
    boat["dives"][2]["fixed_at"] = NINE + 42  # in the middle of the other
    boat["dives"][2]["pinned"] = 3  # given up rather than the other
    found = order(crew, boat)
    assert sequence(found) == ["b", "a"]
    assert found["cannot"][0]["rule"] == "fixed_time"


def test_a_pinned_dive_keeps_its_place_and_the_rest_is_ordered_around_it(crew: Page) -> None:
    boat = crew_of("Ana", "Bo", "Cleo")
    boat["dives"] = [dive("a", "Ana", 20), dive("b", "Bo", 25), dive("c", "Cleo", 30, pinned=1), dive("d", "Ana", 30)]
    found = order(crew, boat)
    assert sequence(found) == ["c", "d", "b", "a"]
    assert codes(found["rows"][0])[0] == "pinned"
    boat["dives"][0]["pinned"] = boat["dives"][1]["pinned"] = 9  # behind the end: the last places, by id
    assert sequence(order(crew, boat)) == ["c", "d", "a", "b"]
    boat["dives"][3]["pinned"] = 1  # a place that is taken: the next one
    assert sequence(order(crew, boat)) == ["c", "d", "a", "b"]


def test_a_place_against_a_rule_is_given_up_with_its_dive(crew: Page) -> None:
    boat = crew_of("Ana", "Bo")
    boat["dives"] = [dive("drill", "Ana", 20, deep=False, pinned=1), dive("target", "Ana", 30, deep=True)]
    found = order(crew, boat)
    assert sequence(found) == ["target"]
    assert found["cannot"] == [{"dive": "drill", "rule": "pinned", "who": ["Ana"], "values": {"place": 1}}]


def test_safety_divers_named_by_hand_are_taken_and_one_who_cannot_is_named(crew: Page) -> None:
    boat = crew_of("Ana", "Bo", "Cleo", safety_count=0)
    boat["people"][1]["safety_count"] = 5
    boat["dives"] = [dive("a", "Ana", 20, safety=["Bo"])]
    [row] = order(crew, boat)["rows"]
    assert row["safety"] == ["Bo"]
    assert {"code": "named", "values": {"who": ["Bo"]}} in row["reasons"]
    boat["people"][1]["may_meet_m"] = 5
    assert order(crew, boat)["cannot"] == [
        {"dive": "a", "rule": "named_safety", "who": ["Bo"], "values": {"meet_m": 6.8}}
    ]


def test_safety_duty_goes_to_whoever_had_the_least_of_it(crew: Page) -> None:
    boat = crew_of("Ana", "Bo", "Cleo", "Dov")
    for person, count in zip(boat["people"], (0, 2, 1, 3), strict=True):
        person["safety_count"] = count
    boat["dives"] = [dive("a", "Ana", 20), dive("b", "Ana", 20), dive("c", "Ana", 20)]
    found = order(crew, boat)
    assert found["duties"] == {"Ana": 0, "Bo": 3, "Cleo": 3, "Dov": 3}
    assert found["fairness"] == 27


def test_who_is_not_ready_or_done_for_the_day_neither_dives_nor_is_safety(crew: Page) -> None:
    boat = crew_of("Ana", "Bo", "Cleo")
    boat["people"][1]["ready"], boat["people"][2]["day_over"] = False, True
    boat["dives"] = [dive("a", "Ana", 20), dive("b", "Bo", 20), dive("c", "Cleo", 20), dive("d", "Nobody", 20)]
    found = order(crew, boat)
    assert (found["rows"], found["removed"]) == ([], ["Cleo"])
    assert {one["dive"]: (one["rule"], one["who"]) for one in found["cannot"]} == {
        "a": ("safety", ["Bo", "Cleo"]), "b": ("not_ready", ["Bo"]), "c": ("day_over", ["Cleo"]),
        "d": ("unknown_diver", ["Nobody"]),
    }  # fmt: skip


def test_a_boat_without_dives_has_an_empty_order(crew: Page) -> None:
    found = order(crew, crew_of("Ana"))
    assert (found["rows"], found["cannot"], found["wait"], found["changes"]) == ([], [], 0, 0)


# ---------------------------------------------------------------- why


def test_each_reason_and_each_rule_has_its_sentence(crew: Page) -> None:
    from webapp.web.words import crew_words

    words, room = crew_words(), STATIC / "js" / "crew"
    code = "".join(
        (room / name).read_text(encoding="utf-8") for name in ("order.js", "why.js", "rules.js", "boat_of.js")
    )
    assert set(re.findall(r'\bcode: "(\w+)"', code)) == set(words["why"])
    assert set(re.findall(r'rule: (?:\w+ === 1 \? )?"(\w+)"', code)) | {"two_safeties", "around", "pinned"} == set(
        words["cannot"]
    ) - {"missing"}


def test_a_reason_is_said_with_names_times_and_metres(crew: Page) -> None:
    from webapp.web.words import crew_words

    words = crew_words()
    people = [{"id": "1", "name": "Ana"}, {"id": "2", "name": "Bo"}]
    cases = {
        ("why", "pause"): ({"who": ["1"], "until": NINE + 19}, "Surface interval until 09:09: Ana."),
        ("why", "line_moves"): (
            {"from_m": 20, "to_m": 25.5, "moved_m": 5.5}, "The line moves by 5.5 m, from 20 m to 25.5 m.",
        ),
        ("cannot", "named_safety"): (
            {"who": ["2", "1"], "meet_m": 6.8},
            "Named as safety, but not ready, or not able to meet at 6.8 m: Bo, Ana.",
        ),
        ("cannot", "fixed_time"): ({"at": 120}, "The official time 01:00 cannot be kept."),
    }  # fmt: skip
    for (part, code), (values, says) in cases.items():
        given = [{"code": code, "values": values}, words[part], people]
        assert crew.evaluate("(given) => window.reader.said(...given)", given) == says


def test_every_reason_of_an_order_can_be_said_in_full(crew: Page) -> None:
    from webapp.web.words import crew_words

    words, boats = crew_words(), [boat_of(number, 7, 3) for number in range(200, 260)]
    call = """([reasons, words]) => reasons.map((one) => window.reader.said(one, words, []))"""
    found = orders(crew, boats)
    why = [reason for one in found for row in one["rows"] for reason in row["reasons"]]
    left = [{"code": one["rule"], "values": {**one["values"], "who": one["who"]}} for one in
            (one for each in found for one in each["cannot"])]  # fmt: skip
    for reasons, part in ((why, "why"), (left, "cannot")):
        said = crew.evaluate(call, [reasons, words[part]])
        assert said
        assert [one for one in said if "{" in one or "undefined" in one] == []


def test_the_room_holds_no_number_of_the_trade() -> None:
    """Only counting, powers of two, and what makes a half minute and a tenth of a metre."""
    for path in (STATIC / "js" / "crew").glob("*.js"):
        code = re.sub(r"//[^\n]*|/\*[\s\S]*?\*/|\"[^\"\n]*\"|`[^`]*`", "", path.read_text(encoding="utf-8"))
        named = re.findall(r"^(?:export )?const [A-Z_]+ = .*$", code, re.M)
        rest = code
        for line in named:
            rest = rest.replace(line, "")
        assert set(re.findall(r"(?<![\w.])\d[\d.]*", rest)) <= {"0", "1", "2"}, path.name
