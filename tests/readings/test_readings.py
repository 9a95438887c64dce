"""What the physics means for one diver, in sentences: worked examples, what is missing, and what is out of range."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import sheet_of
from support.story import plan, season

from webapp.planner.cards import free_fall_of, speeds_of
from webapp.planner.plan import plan_of
from webapp.planner.reader.interval import pause_after
from webapp.planner.sheet import expected_s
from webapp.readings.readings import constants, readings_of, targets_of
from webapp.records.season import book_of, check_season
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook
from webapp.water.constants import CONSTANTS

BOOK = read_rulebook()
PLAIN_SEA = {"name": "", "bottom_m": 105, "salinity": 33.73, "temperature_c": 15, "latitude": 45}  # 1025 kg/m3
MEASURED = {"total_l": 7.0, "residual_l": 1.75}
REFERENCE = {**MEASURED, "body_kg": 75, "suit_l": 5.0, "suit_kg": 1.0, "lead_kg": 2.0}
PREDICTED = {"sex": "man", "height_cm": 180, "age_years": 30}
TARGETS = [("FIM", 40.0), ("FIM", 58.0)]


def read(
    diver: dict[str, Any] | None = None, targets: Any = TARGETS, site: dict[str, Any] = PLAIN_SEA, **fields: Any
) -> dict[str, Any]:
    raw = season(site=site, **({} if diver is None else {"diver": diver}), **fields)
    return readings_of(check_season(raw, BOOK), book_of(raw, BOOK), None, targets)


def words(part: dict[str, Any]) -> str:
    return " ".join([part["missing"] or "", *part["says"], *part["cautions"]])


def row(part: dict[str, Any], first: str, table: int = 0) -> list[str]:
    return next(cells for cells in part["tables"][table]["rows"] if cells[0].replace("\u00a0", " ") == first)


# ---- pressure


# source (computed with a constant density of 1025 kg/m3 and 9.80665 m/s2; good to 0.2 % of the gauge pressure)
@pytest.mark.parametrize(
    ("depth", "bar"), [("10", 2.0184), ("20", 3.0236), ("40", 5.034), ("60", 7.0443), ("100", 11.0651)]
)
def test_pressure_down_the_line(depth: str, bar: float) -> None:
    assert float(row(read()["pressure"], depth)[1]) == pytest.approx(bar, abs=0.03)


# source (computed; the fixed density of gauges is EN 13319, memory): a taped 100 m shows 100.63 m in the sea of 15 °C
# at 45 degrees and 97.91 m in a lake of 20 °C
@pytest.mark.parametrize(("water", "temperature_c", "shown"), [("salt", 15, 100.6), ("fresh", 20, 97.9)])
def test_what_a_gauge_shows_at_a_hundred_metres_of_rope(water: str, temperature_c: float, shown: float) -> None:
    site = {"name": "", "bottom_m": 100, "water": water, "temperature_c": temperature_c, "latitude": 45}
    part = read(site=site)["pressure"]
    assert row(part, "100")[2] == f"{shown:.1f}"
    assert f"at 100 m of rope it shows {shown:.1f} m" in words(part)


def test_the_table_of_pressures_ends_at_the_bottom() -> None:
    site = {**PLAIN_SEA, "bottom_m": 63.5}
    assert [cells[0] for cells in read(site=site)["pressure"]["tables"][0]["rows"]][-2:] == ["60", "63.5"]


def test_a_mountain_lake_has_less_air_on_it() -> None:
    site = {"name": "", "bottom_m": 40, "water": "fresh", "altitude_m": 1000}
    assert "with 0.899 bar of air" in words(read(site=site)["pressure"])  # source: ICAO standard atmosphere, memory


# ---- lungs


# source (equations seen on a hospital's page, Goldman and Becklake 1959; numbers computed from them)
@pytest.mark.parametrize(
    ("sex", "height_cm", "age_years", "total", "residual"),
    [
        ("man", 180, 30, 7.189, 1.932),
        ("man", 175, 40, 6.594, 1.966),
        ("woman", 168, 30, 5.585, 1.747),
        ("woman", 165, 40, 5.243, 1.741),
    ],
)
def test_predicted_lungs_say_that_they_are_an_average(
    sex: str, height_cm: float, age_years: float, total: float, residual: float
) -> None:
    part = read({"sex": sex, "height_cm": height_cm, "age_years": age_years})["lungs"]
    assert row(part, "Full breath (total capacity)")[1] == f"{total:.2f}"
    assert row(part, "Residual volume")[1] == f"{residual:.2f}"
    assert "an average of other people" in words(part)


def test_measured_lungs_go_before_predicted_ones() -> None:
    part = read({**PREDICTED, **MEASURED})["lungs"]
    assert "The volumes are measured" in words(part)
    assert row(part, "Full breath (total capacity)")[1:] == ["7.00", "± 0.35"]


# source (computed by Boyle's law; 6 L to 1.5 L at 30 m is a textbook's example, seen)
@pytest.mark.parametrize(
    ("diver", "start", "depth_m"),
    [
        ({"total_l": 6.0, "residual_l": 1.5}, "full", 30.2),
        ({"total_l": 6.0, "residual_l": 1.5, "relaxed_l": 3.0}, "exhaled", 10.1),
        ({"total_l": 9.5, "residual_l": 1.8, "packing_l": 2.0}, "packed", 54.3),
        ({"total_l": 7.5, "residual_l": 1.6, "packing_l": 2.0}, "packed", 49.8),
    ],
)
def test_where_the_gas_fills_only_residual_volume(diver: dict[str, Any], start: str, depth_m: float) -> None:
    markers = {marker["start"]: marker for marker in read(diver)["lungs"]["values"]["markers"]}
    assert markers[start]["depth_m"] == pytest.approx(depth_m, abs=0.15)


def test_each_marker_says_that_it_is_a_marker_and_how_far_it_spreads() -> None:
    part = read({"total_l": 6.0, "residual_l": 1.5, "relaxed_l": 3.0, "packing_l": 1.0})["lungs"]
    told = [sentence for sentence in part["says"] if "residual volume" in sentence]
    assert [re.search(r"a (full breath|passive exhale|packed breath)", says)[1] for says in told] == [
        "full breath",
        "passive exhale",
        "packed breath",
    ]
    assert all(says.endswith("A marker, not a limit.") and "covers about two in three divers" in says for says in told)
    assert "says nothing about how deep is safe" in words(part)
    assert "only with a coach present" in words(part)


# source (computed by Boyle's law): 7.0 L are 1.407 L at 40 m, 1.005 L at 60 m and 0.640 L at 100 m
@pytest.mark.parametrize(("depth_m", "litres"), [(40.0, 1.407), (60.0, 1.005), (100.0, 0.640)])
def test_what_is_left_of_a_breath_at_a_target(depth_m: float, litres: float) -> None:
    part = read({**MEASURED, "packing_l": 1.0}, [("CWT", depth_m)])["lungs"]
    _, full, packed = row(part, f"CWT {depth_m:g} m", 1)
    assert float(full) == pytest.approx(litres, abs=0.006)
    assert float(packed) == pytest.approx(litres * 8 / 7, abs=0.012)
    assert "the residual volume is 1.75 L" in part["tables"][1]["caption"]


# ---- buoyancy and lead


# source (computed from Archimedes and Boyle for a reference diver; body density by Siri 1961, memory)
@pytest.mark.parametrize(
    ("depth_m", "kgf", "word"),
    [(0, 6.7664, "up"), (10, 1.1004, "up"), (20, -0.7984, "down"), (30, -1.7497, "down"), (100, -3.5693, "down")],
)
def test_the_net_force_of_the_reference_diver(depth_m: float, kgf: float, word: str) -> None:
    part = read(REFERENCE)["buoyancy"]
    assert dict(part["values"]["rows"])[depth_m] == pytest.approx(kgf, abs=0.01)
    shown = row(part, f"{depth_m}")
    assert float(shown[1]) == pytest.approx(abs(kgf), abs=0.06)
    assert shown[2] == word


def test_the_neutral_depth_of_the_reference_diver() -> None:
    part = read(REFERENCE)["buoyancy"]
    assert part["values"]["neutral_m"] == pytest.approx(14.79, abs=0.03)  # source: computed
    assert "With 2 kg of lead and full lungs you are neutral at about 15 m." in words(part)


# source (computed): lead for a chosen neutral depth, in a suit of 5 L; None in a thin suit at 25 m would be -0.14 kg
@pytest.mark.parametrize(
    ("suit", "neutral_m", "lead_kg"),
    [
        ((5.0, 1.0), 10, 3.210),
        ((5.0, 1.0), 15, 1.958),
        ((5.0, 1.0), 20, 1.122),
        ((5.0, 1.0), 30, 0.076),
        ((2.5, 0.5), 15, 1.038),
        ((2.5, 0.5), 25, None),
    ],
)
def test_lead_for_the_neutral_depth_of_the_rulebook(suit: Any, neutral_m: float, lead_kg: float | None) -> None:
    diver = {**REFERENCE, "suit_l": suit[0], "suit_kg": suit[1]}
    part = read(diver, rules={"lead.neutral_m": neutral_m})["buoyancy"]
    if lead_kg is None:
        assert part["values"]["wanted_kg"] is None
        assert "not possible" in words(part)
        assert not re.search(r"[-\u2212]\d", words(part))
    else:
        assert part["values"]["wanted_kg"] == pytest.approx(lead_kg, abs=0.01)
        assert f"No more than about {lead_kg:.1f} kg of lead" in words(part)


def test_a_lake_takes_lead_off_and_the_sea_puts_it_back() -> None:
    told = words(read(REFERENCE, rules={"lead.neutral_m": 10})["buoyancy"])
    away, back = re.search(r"to fresh water: about ([\d.]+) kg less .* coming back, ([\d.]+) kg more", told).groups()
    assert away == back
    assert float(away) == pytest.approx(2, abs=0.3)  # source: fresh and salt differ by about 2 kg, computed


# source (computed): 7.58 m in water of 1000 kg/m3, which is a lake of 4 °C
def test_the_same_lead_in_a_lake_makes_the_neutral_depth_shallower() -> None:
    told = words(read(REFERENCE, site={**PLAIN_SEA, "temperature_c": 4})["buoyancy"])
    assert "With the same 2 kg of lead in fresh water, neutral depth: about 8 m." in told


def test_where_the_lake_alone_makes_the_diver_heavy_no_lead_is_made_up() -> None:
    told = words(read(REFERENCE)["buoyancy"])
    assert "Going from here to fresh water, neutral at 15 m: not possible: without any lead" in told


def test_in_water_between_sea_and_lake_both_ways_are_told() -> None:
    told = words(read(REFERENCE, site={**PLAIN_SEA, "salinity": 7})["buoyancy"])
    assert "Going from here to salt water" in told
    assert "kg more to be neutral" in told
    assert "Going from here to fresh water" in told


def test_too_much_lead_is_told_to_come_off() -> None:
    part = read({**REFERENCE, "lead_kg": 5})["buoyancy"]
    assert "That is shallower than the rulebook's 15 m: take lead off." in words(part)
    sinking = read({**REFERENCE, "lead_kg": 15})["buoyancy"]
    assert sinking["values"]["neutral_m"] is None
    assert "take lead off" in words(sinking)


def test_lead_is_never_told_without_its_cautions() -> None:
    for diver in (REFERENCE, {**REFERENCE, "lead_kg": None}):
        told = words(read(diver)["buoyancy"])
        assert "at the line" in told
        assert "ascent harder" in told
        assert "sinks when unconscious" in told


def test_the_free_fall_of_the_readings_is_that_of_the_dive_cards() -> None:
    level = {"best_m": 80, "start_m": 80, "goals": {}}
    raw = season(site={**PLAIN_SEA, "bottom_m": 105}, diver={**REFERENCE, "lead_kg": 3}, level=level)
    told = words(read({**REFERENCE, "lead_kg": 3})["buoyancy"])
    rung = sheet_of(raw)["disciplines"]["FIM"]["rungs"][-1]
    falls = [depth_m for kind, depth_m, _ in rung["card"]["down"] if kind == "free_fall"]
    assert re.search(rf"From about {falls[0]:.0f} m you sink .* the dive cards start the free fall there", told)


# ---- mouthfill


# source (computed from Boyle's law, own derivation; ρ 1025): charge at a depth, cavities, rest, deepest depth
@pytest.mark.parametrize(
    ("charge_ml", "charge_m", "cavity_ml", "reach_m"),
    [(200, 20, 20, 84.5), (250, 20, 20, 105.9), (250, 20, 40, 86.8), (150, 15, 20, 50.8), (250, 30, 20, 144.5)],
)
def test_how_far_a_charge_reaches_at_best(charge_ml: float, charge_m: float, cavity_ml: float, reach_m: float) -> None:
    rules = {"mouthfill.charge_ml": charge_ml, "mouthfill.charge_m": charge_m, "mouthfill.cavity_ml": cavity_ml}
    part = read({"mouthfill": True}, [("CWT", 50.0)], rules=rules)["mouthfill"]
    assert part["values"]["targets"][0]["reach_m"] == pytest.approx(reach_m, abs=0.2)
    assert re.search(r"CWT 50 m: \d+ mL left at 50 m if no gas is lost. Best-case limit: \d+ m\.", words(part))
    assert "upper bound" in words(part)
    assert "never force" in words(part)


def test_a_target_beyond_the_charge_names_a_larger_or_a_later_one() -> None:
    told = words(read({"mouthfill": True}, [("CWT", 100.0), ("CWT", 15.0)])["mouthfill"])
    assert re.search(r"CWT 100 m: \d+ mL left at 100 m if no gas is lost: too little, 50 mL are needed", told)
    assert "mL at 20 m, or this charge at" in told
    assert "CWT 15 m: not deeper than the charge at 20 m." in told


def test_no_mouthfill_is_reckoned_for_whoever_uses_none() -> None:
    part = read(REFERENCE)["mouthfill"]
    assert "You have not ticked that you use a mouthfill" in part["missing"]
    assert part["says"] == []


# ---- speeds and repetition


def test_speeds_say_where_they_come_from() -> None:
    deep = {"kind": "dive", "discipline": "FIM", "role": "deep", "target_m": 40.0, "reached_m": 40.0}
    log = [{**deep, "dive_s": 103, "signs": []} for _ in range(3)]  # 0.8 m/s and the turn
    checked = check_season(season(), BOOK)
    assert "FIM: 0.95 m/s from the rulebook, until 3 deep dives" in words(read()["speeds"])
    own = readings_of(checked, BOOK, speeds_of(log, BOOK), TARGETS)["speeds"]
    assert "FIM: 0.8 m/s, the median of your deep dives" in words(own)


def test_a_second_deep_dive_is_never_ranked_before_the_day_as_planned() -> None:
    part = read()["repetition"]
    places = dict(part["values"]["order"])
    assert places["with a second deep dive"] > places["as planned"] >= places["without drills"]
    assert "FIM deep dive 40 m, then 2 × CWT drill 22 m" in words(part)
    assert words(part).index("Least load:") < words(part).index("Most load: with a second deep dive")


def test_repetition_is_told_in_words_and_is_no_clearance() -> None:
    part = read()["repetition"]
    told = re.sub(r"\d+ (m\b|×|min\b)|instead of \d+|After dive \d+|then \d+", "", words(part))
    assert not re.search(r"\d", told), told
    assert "never permission to dive" in told


def test_the_coming_deep_day_is_read_with_the_depths_that_the_plan_has() -> None:
    raw = season(
        drill={"discipline": "CWT", "depth_m": 39, "dives": 2}, rules={"warm_up.dives": 1, "warm_up.depth_m": 37}
    )
    day = plan(raw)["days"][0]["dives"]
    assert [dive["target_m"] for dive in day] == [35.5, 40, 32, 32]
    part = readings_of(check_season(raw, BOOK), book_of(raw, BOOK), None, [("FIM", 40)])["repetition"]
    assert "FIM warm-up 35.5 m, then FIM deep dive 40 m, then 2 × CWT drill 32 m" in words(part)


def test_the_pause_in_the_readings_is_the_one_that_the_phone_gives_after_the_same_dives() -> None:
    raw = season(drill={"discipline": "CWT", "depth_m": 22, "dives": 2}, rules={"repetition.deep_m": 20})
    checked, book = check_season(raw, BOOK), book_of(raw, BOOK)
    part = readings_of(checked, book, None, [("FIM", 40)])["repetition"]
    sheet, surfaced_s, day = sheet_of(raw), 0.0, []
    for discipline, depth_m in (("FIM", 40), ("CWT", 22), ("CWT", 22)):
        dive_s = expected_s(discipline, depth_m, book)
        pause_s = pause_after(sheet, day)["seconds"] if day else 0
        surfaced_s += pause_s + dive_s
        day.append({"reached_m": depth_m, "dive_s": dive_s, "surfaced_s": surfaced_s})
    minutes = math.ceil(pause_after(sheet, day)["seconds"] / 60)
    assert f"at least {minutes} min: third dive to 20 m or deeper within 60 min: a longer pause." in words(part)


def test_a_day_whose_dives_make_no_pause_longer_is_told_so_with_no_second_figure() -> None:
    assert "No dive of that day makes the pause after a later one longer; longer is still better." in words(
        read()["repetition"]
    )
    assert "instead of" not in words(read()["repetition"])


# ---- nothing filled in, and out of range


def test_with_nothing_filled_in_every_part_says_what_is_missing_and_the_plan_is_there() -> None:
    parts = read(None)
    assert "sex, height, age" in parts["lungs"]["missing"]
    assert "the mass of your body and your lungs are not filled in" in parts["buoyancy"]["missing"]
    assert [name for name, part in parts.items() if part["missing"]] == ["lungs", "buoyancy", "mouthfill"]
    assert plan_of(season(), [], "2031-03-28", BOOK)["next"]["target_m"] == 40


@pytest.mark.parametrize(
    ("diver", "lacks"),
    [
        ({"sex": "man", "height_cm": 180}, "missing: age"),
        ({"age_years": 30}, "missing: sex, height)"),
        ({"relaxed_l": 3.0, "packing_l": 1.0}, "total capacity and residual volume"),
    ],
)
def test_half_filled_lungs_say_what_is_still_missing(diver: dict[str, Any], lacks: str) -> None:
    assert lacks in read(diver)["lungs"]["missing"]


def test_lungs_without_a_body_and_a_body_without_lead_say_so() -> None:
    assert read(MEASURED)["buoyancy"]["missing"] == "Not calculated: the mass of your body is not filled in."
    part = read({**REFERENCE, "lead_kg": None})["buoyancy"]
    assert "The lead you carry is not filled in" in words(part)
    assert part["tables"] == []


@pytest.mark.parametrize("depth_m", [-3.0, 5000.0, math.nan, math.inf])
def test_a_target_out_of_range_is_a_sentence_with_the_range_beside_the_others(depth_m: float) -> None:
    parts = read({**REFERENCE, "mouthfill": True}, [("FIM", 40.0), ("CWT", depth_m)])
    for name in ("lungs", "mouthfill"):
        assert f"CWT {depth_m:g} m is not calculated" in words(parts[name])
        assert "0 to 1000 m" in words(parts[name])
    assert row(parts["lungs"], "FIM 40 m", 1)
    alone = read(REFERENCE, [("CWT", depth_m)])["repetition"]
    assert "0 to 1000 m" in alone["missing"]


@pytest.mark.parametrize(
    ("field", "value", "range_words"),
    [
        ("height_cm", 17, "from 140 to 210"), ("height_cm", 1e9, "from 140 to 210"),
        ("age_years", 5, "from 18 to 80"), ("total_l", 70, "from 0.3 to 16"), ("residual_l", -1, "from 0.3 to 16"),
        ("packing_l", 9, "from 0 to 5"), ("body_kg", 750, "from 30 to 200"), ("body_kg", math.nan, "from 30 to 200"),
        ("body_density", 1065, "from 1 to 1.1"), ("suit_l", 99, "from 0 to 25"), ("suit_kg", -2, "from 0 to 15"),
        ("lead_kg", math.inf, "from 0 to 30"), ("lead_kg", "two", "from 0 to 30"),
        ("alarms_m", [-5], "from 0.5 to 200"), ("alarms_m", [5000], "from 0.5 to 200"),
        ("alarms_m", [math.nan], "from 0.5 to 200"), ("alarms_m", [10] * 9, "at most 8"),
        ("sex", "tall", "one of man, woman"),
    ],
)  # fmt: skip
def test_absurd_body_values_are_refused_with_the_range(field: str, value: Any, range_words: str) -> None:
    with pytest.raises(Refused) as refused:
        check_season(season(diver={field: value}), BOOK)
    assert any(fault.field.startswith(f"diver.{field}") and range_words in fault.says for fault in refused.value.faults)


@pytest.mark.parametrize(("field", "value"), [("altitude_m", 9000), ("salinity", -1), ("salinity", math.nan)])
def test_absurd_sites_are_refused_with_the_range(field: str, value: float) -> None:
    with pytest.raises(Refused) as refused:
        check_season(season(site={**PLAIN_SEA, field: value}), BOOK)
    assert [fault.field for fault in refused.value.faults] == [f"site.{field}"]
    assert re.search(r"from -?\d+ to \d+", refused.value.faults[0].says)


def test_a_packed_breath_larger_than_the_formulas_take_is_refused_before_it_reaches_a_card() -> None:
    diver = {"total_l": 14, "residual_l": 2, "packing_l": 4, "body_kg": 90, "lead_kg": 1}
    with pytest.raises(Refused, match="at most 16 L"):
        check_season(season(diver=diver), BOOK)


def test_a_volume_out_of_range_is_told_once() -> None:
    with pytest.raises(Refused) as refused:
        check_season(season(diver={"total_l": "x", "residual_l": 2}), BOOK)
    assert [fault.field for fault in refused.value.faults] == ["diver.total_l"]


def numbers(name: str) -> st.SearchStrategy[float]:
    low, high = BOOK.limit(name)
    return st.floats(low, high).map(lambda value: min(high, max(low, round(value, 2))))


DIVERS = st.fixed_dictionaries(
    {},
    optional={
        "sex": st.sampled_from(["man", "woman"]), "height_cm": numbers("height_cm"), "age_years": numbers("age_years"),
        "total_l": numbers("lung_l"), "residual_l": numbers("lung_l"), "relaxed_l": numbers("lung_l"),
        "packing_l": numbers("packing_l"), "body_kg": numbers("body_kg"), "body_density": numbers("body_density"),
        "suit_l": numbers("suit_l"), "suit_kg": numbers("suit_kg"), "lead_kg": numbers("lead_kg"),
        "mouthfill": st.booleans(), "alarms_m": st.lists(numbers("depth_m"), max_size=8),
    },
)  # fmt: skip
SITES = st.fixed_dictionaries(
    {"name": st.just(""), "bottom_m": numbers("bottom_m"), "water": st.sampled_from(["salt", "fresh"])},
    optional={name: numbers(name) for name in ("latitude", "temperature_c", "altitude_m", "salinity")},
)


@given(DIVERS, SITES)
def test_whatever_the_check_accepts_reads_in_finished_sentences_and_has_its_ladder(diver: Any, site: Any) -> None:
    raw = season(diver=diver, site=site)
    try:
        checked = check_season(raw, BOOK)
    except Refused:
        return  # lungs out of order, or a bottom too shallow for a ladder
    parts = readings_of(checked, BOOK, None, targets_of(checked, None))
    sheet_of(raw)
    json.dumps(parts, allow_nan=False)
    for part in parts.values():
        told = [*part["says"], *part["cautions"], *([part["missing"]] if part["missing"] else [])]
        assert told
        assert all(sentence.endswith(".") and "nan" not in sentence for sentence in told)


# ---- targets and constants


def test_readings_are_for_the_next_deep_target_and_the_goals_each_once() -> None:
    checked = check_season(season(), BOOK)
    assert targets_of(checked, {"discipline": "FIM", "target_m": 44}) == [("FIM", 44), ("FIM", 50), ("FIM", 58)]
    assert targets_of(check_season(season(level={"goals": {}}), BOOK), None) == [("FIM", 44)]


def test_every_constant_of_the_physics_is_told_with_its_source_and_how_far_it_was_checked() -> None:
    told = constants()
    assert len(told) == len(CONSTANTS)
    assert all(row["value"] and row["meaning"] and row["source"] and row["mark"] for row in told)
    assert next(row["value"] for row in told if row["name"] == "gravity equator") == "9.780318"


def test_a_packed_breath_is_never_counted_in_the_lead_the_neutral_depth_or_the_free_fall() -> None:
    """Own choice: lead for a packed breath would be too much on a day without packing."""
    plain, packed = (read({**REFERENCE, **more})["buoyancy"] for more in ({}, {"packing_l": 2}))
    for name in ("wanted_kg", "neutral_m", "rows"):
        assert packed["values"][name] == plain["values"][name]
    raws = [season(diver={**REFERENCE, **more}) for more in ({}, {"packing_l": 2})]
    falls = [free_fall_of(check_season(raw, BOOK), book_of(raw, BOOK)) for raw in raws]
    assert falls[0] == falls[1]


def test_a_stiff_suit_makes_the_neutral_depth_deeper_in_the_readings_and_on_the_card() -> None:
    soft, stiff = ({"rules": rules} for rules in ({}, {"suit.stiffness": 0.3}))
    neutral = [read(REFERENCE, **rules)["buoyancy"]["values"]["neutral_m"] for rules in (soft, stiff)]
    assert neutral[1] > neutral[0] + 1
    raws = [season(diver=REFERENCE, **rules) for rules in (soft, stiff)]
    falls = [free_fall_of(check_season(raw, BOOK), book_of(raw, BOOK)) for raw in raws]
    assert falls[1] > falls[0] + 1
