"""The rulebook: complete, bounded, and open to change only towards the stricter side of safety."""

from __future__ import annotations

import pytest

from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()


@pytest.mark.parametrize("entry", BOOK.entries, ids=lambda entry: entry.name)
def test_every_number_has_a_unit_a_meaning_a_source_and_lies_within_its_bounds(entry: object) -> None:
    assert entry.unit
    assert entry.meaning.endswith(".") or entry.meaning.endswith(")")
    assert entry.source
    assert entry.columns or entry.min <= entry.value <= entry.max
    BOOK.with_rules({entry.name: [{**row} for row in entry.value] if entry.columns else entry.value})


@pytest.mark.parametrize(
    ("name", "looser"),
    [
        ("hard.effort", 9), ("hard.in_a_row", 3), ("turned.in_a_row", 3), ("turned.second_try_share", 0.6),
        ("second_dive.share", 1), ("easy.share_of_best", 0.7), ("lmc.no_deep_days", 2), ("lmc.down_rungs", 1),
        ("blackout.stand_down_days", 6), ("hurt.chest_days", 13), ("hurt.neurological_days", 13),
        ("hurt.ear_days", 6), ("clean.deeper_m", 3),
        ("resume.share", 0.75), ("ladder.above_bottom_m", 0), ("ladder.lowest_m", 4), ("clean.tolerance_m", 1),
        ("interval.dive_times", 1), ("interval.deep_minutes", 10), ("interval.m_per_minute", 6),
        ("interval.dive_times_bar", 0.5), ("interval.deep_from_m", 70), ("repetition.deep_m", 50),
        ("repetition.dives", 4), ("repetition.within_min", 30), ("repetition.factor", 1.2),
        ("repetition.most_times", 2), ("repetition.many_m", 25), ("repetition.many_dives", 11),
        ("repetition.many_within_min", 90), ("card.least_clearance_m", 2), ("safety.margin_s", 9),
        ("safety.latest_share", 0.6), ("safety.meet_share", 0.3), ("overdue.share", 0.2), ("overdue.least_s", 20),
        ("lead.neutral_m", 9), ("clock.watch_s", 29), ("crew.safety_rest", 14), ("crew.deep_m", 31),
        ("crew.two_safeties_m", 51),
    ],
)  # fmt: skip
def test_a_safety_stop_cannot_be_made_looser(name: str, looser: float) -> None:
    with pytest.raises(Refused):
        BOOK.with_rules({name: looser})


def test_all_rules_out_of_bounds_are_named_at_once() -> None:
    with pytest.raises(Refused) as refused:
        BOOK.with_rules({"hard.effort": 11, "lmc.no_deep_days": 0.5, "spacing": [], "x": 1})
    assert [fault.field for fault in refused.value.faults] == [
        "rules.hard.effort",
        "rules.lmc.no_deep_days",
        "rules.spacing",
        "rules.x",
    ]


def test_a_table_has_to_rise_and_to_end_open() -> None:
    rows = [{"to_m": 60, "min_days": 1, "max_in_a_row": 2}, {"to_m": 50, "min_days": 1, "max_in_a_row": 2}]
    with pytest.raises(Refused) as refused:
        BOOK.with_rules({"spacing": [*rows, {"min_days": 2, "max_in_a_row": 1}]})
    assert [fault.field for fault in refused.value.faults] == ["rules.spacing"]
    with pytest.raises(Refused):
        BOOK.with_rules({"spacing": rows[:1]})


def test_the_shipped_book_is_not_changed_by_a_divers_own() -> None:
    assert BOOK.with_rules({"lmc.no_deep_days": 5}).value("lmc.no_deep_days") == 5
    assert BOOK.value("lmc.no_deep_days") == 3


def test_a_season_that_still_has_a_rule_of_before_is_read_as_if_it_had_none() -> None:
    own = BOOK.with_rules({"forecast.slope": 0.7, "forecast.middle_rungs": 4, "lmc.no_deep_days": 5})
    assert own.value("lmc.no_deep_days") == 5
    assert {entry.name for entry in own.entries} == set(BOOK.by_name)
    assert not set(BOOK.texts["retired"]) & set(BOOK.by_name)


def test_every_sign_names_a_verdict_and_every_care_text_exists() -> None:
    for sign in BOOK.texts["sign"].values():
        assert sign["verdict"] in BOOK.texts["verdict"]
        assert all(BOOK.texts["care"][key] for key in sign.get("care", []))
        assert sign["verdict"] not in ("hurt", "blackout") or BOOK.value(sign["days"]) >= 1


# as the facts of the trade were collected: value, unit and mark of each number that decides on a dive's safety
SAFETY = (
    ("safety.meet_share", 0.34, "share of the target", "school pages (seen); common practice"),
    ("safety.meet_most_m", 15, "m", "a handout of safety rules (seen)"),
    ("safety.latest_share", 0.5, "share of the dive time", "a handout of safety rules (seen)"),
    ("safety.margin_s", 10, "s", "own choice, no source"),
    ("overdue.share", 0.15, "share of the dive time", "own choice, no source"),
    ("overdue.least_s", 15, "s", "own choice, no source"),
    ("card.least_clearance_m", 3, "m", "own choice, no source"),
    ("repetition.deep_m", 40, "m", "own choice, no source"),
    ("repetition.dives", 3, "dives", "own choice, no source"),
    ("repetition.within_min", 60, "min", "own choice, no source"),
    ("repetition.many_m", 20, "m", "own choice, no source"),
    ("repetition.many_dives", 10, "dives", "own choice, no source"),
    ("repetition.many_within_min", 120, "min", "own choice, no source"),
    ("repetition.factor", 1.5, "x the pause", "own choice, no source"),
    ("repetition.most_times", 3, "x the pause", "own choice, no source"),
    ("interval.dive_times", 2, "x dive time", None),
    ("interval.dive_times_bar", 1, "x dive time x absolute pressure in bar", None),
    ("interval.m_per_minute", 5, "m per minute", "common practice"),
    ("interval.deep_from_m", 60, "m", None),
    ("interval.deep_minutes", 15, "min", None),
    ("ladder.repeats", 3, "clean dives", None),
    ("ladder.repeats_below_best", 1, "clean dives", None),
    ("ladder.beyond_best_repeats", 2, "clean dives", "common practice"),
    ("ladder.not_clean", 2, "dives", None),
    ("ladder.of_last", 3, "dives", None),
    ("ladder.more_after_down", 1, "clean dives", "own choice, no source"),
    ("ladder.most_beyond_best_m", 5, "m", "own choice, no source"),
    ("start.most_beyond_best_m", 5, "m", "common practice"),
    ("spacing.counts_share", 0.5, "share of the target", "common practice"),
    ("return.near_share", 0.8, "share of the comfortable depth", "common practice"),
    ("return.repeats", 1, "clean dives", "common practice"),
    ("return.step_factor", 2, "x the step", "common practice"),
    ("run_in.after_days", 5, "days", "common practice"),
    ("run_in.rungs", 1, "rungs", "common practice"),
    ("taxing.effort", 7, "of 10", "common practice"),
    ("taxing.min_days", 2, "days", "common practice"),
    ("taxing.rising_dives", 3, "dives", "own choice, no source"),
    ("hard.effort", 8, "of 10", "common practice"),
    ("turned.second_try_share", 0.5, "share of the target", "common practice"),
    ("second_dive.share", 0.9, "share of the deep target", "common practice"),
    ("easy.share_of_best", 0.6, "share of best", "common practice"),
    ("lmc.no_deep_days", 3, "days", "common practice"),
    ("lmc.down_rungs", 2, "rungs", "common practice"),
    ("lmc.clean_dives", 2, "clean dives", "common practice"),
    ("lmc.again_days", 28, "days", "common practice"),
    ("lmc.again_days_off", 7, "days", "common practice"),
    ("sore.ear_days", 2, "days", "common practice"),
    ("sore.sinus_days", 3, "days", "common practice"),
    ("day.sick_rungs", 2, "rungs", "common practice"),
    ("day.ears_rungs", 1, "rungs", "common practice"),
    ("blackout.stand_down_days", 7, "days", "common practice"),
    ("hurt.chest_days", 14, "days", "common practice"),
    ("hurt.neurological_days", 14, "days", "common practice"),
    ("hurt.ear_days", 7, "days", "common practice"),
    ("resume.share", 0.7, "share of the rung", "common practice"),
)


@pytest.mark.parametrize(("name", "value", "unit", "source"), SAFETY)
def test_a_number_of_safety_has_the_value_and_the_mark_that_were_collected(
    name: str, value: float, unit: str, source: str | None
) -> None:
    entry = BOOK.entry(name)
    assert (entry.value, entry.unit) == (value, unit)
    assert source in (None, entry.source)


TABLES = {
    "spacing": [(50, 1, 3), (75, 1, 2), (90, 2, 1), (None, 3, 1)],
    "start.time_away": [(21, 1.0), (42, 0.85), (84, 0.75), (365, 0.60), (None, 0.45)],
    "ladder.pace": [(0.8, 10), (0.95, 5), (None, 3)],
}


@pytest.mark.parametrize(("name", "rows"), TABLES.items())
def test_a_table_of_the_plan_has_the_rows_that_were_chosen(name: str, rows: list[tuple[float | None, ...]]) -> None:
    """Common practice, no source: of these tables only that there is one was collected, not its edges."""
    entry = BOOK.entry(name)
    assert entry.source == "common practice"
    assert rows == [tuple(row.get(column) for column in entry.columns) for row in entry.value]


def test_reasons_outside_the_diver_are_current_gear_and_others_and_no_more() -> None:
    outside = {name for name, why in BOOK.texts["turned_why"].items() if why.get("outside")}
    assert outside == {"current", "line", "called_off"}


def test_the_check_at_the_line_asks_for_line_weight_plate_lanyard_counter_ballast_oxygen_radio_and_rescue() -> None:
    """The line: AIDA, Summary of the rules (lanyard); Näslund, set-up checklist, 2008 (counter-ballast, weight). The
    rest: common practice, no source. The safety diver is named beside them, for each deep dive."""
    items = read_rulebook().texts["check"]
    wanted = {"line": "bottom", "weight": "Bottom weight", "plate": "plate", "lanyard": "Lanyard",
              "counter": "Counter-ballast", "oxygen": "Oxygen on board", "radio": "Phone or radio",
              "rescue": "Rescue practised this season"}  # fmt: skip
    assert set(wanted) <= set(items)
    assert all(words in items[code]["says"] for code, words in wanted.items())
