"""Rules that are each within their bounds: they give a sheet together, or are refused by name."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.story import season

from webapp.planner.plan import plan_of
from webapp.planner.together import sheet_of
from webapp.records.season import season_and_book
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook
from webapp.water.times import MeanSpeed

BOOK = read_rulebook()
SINGLE = [entry for entry in BOOK.entries if entry.columns is None]
AT_BOUNDS = st.fixed_dictionaries(
    {}, optional={entry.name: st.sampled_from((entry.min, entry.max)) for entry in SINGLE}
)
BODY = {"body_kg": 74, "total_l": 7.1, "residual_l": 1.8, "suit_l": 4.5, "suit_kg": 1, "lead_kg": 2}
FAR_APART = {"pace.swim_m_s": 2, "pace.fall_m_s": 0.3, "fall.from_m": 5, "speed.FIM": 1.6}


def faults_of(raw: dict[str, Any]) -> dict[str, str]:
    with pytest.raises(Refused) as refused:
        plan_of(raw, [], "2031-03-28", BOOK)
    return {fault.field: fault.says for fault in refused.value.faults}


@settings(max_examples=300)
@given(AT_BOUNDS, st.sampled_from([None, {}, BODY, {**BODY, "mouthfill": True, "alarms_m": [15, 30]}]))
def test_rules_at_their_bounds_give_a_sheet_or_are_refused_by_name(
    rules: dict[str, Any], diver: dict[str, Any] | None
) -> None:
    try:
        season_, book = season_and_book(season(rules=rules, diver=diver), BOOK)
        assert sheet_of(season_, book)["days"]
    except Refused as refused:
        named = [bool(fault.field and fault.says) for fault in refused.faults]
    else:
        named = [True]
    assert all(named)


def test_speeds_too_far_apart_to_be_scaled_are_refused_with_what_to_do() -> None:
    (field, says), *others = faults_of(season(rules=FAR_APART)).items()
    assert (field, others) == ("rules.pace.swim_m_s", [])
    assert "swimming down must be 0.05 to 4 m/s, not " in says
    assert says.endswith(
        "Bring the speeds of swimming, free fall and ascent closer together, or closer to the mean speeds"
    )


@pytest.mark.parametrize(
    ("rules", "field"),
    [
        ({"pace.swim_m_s": 0.3, "pace.fall_m_s": 2, "pace.ascent_m_s": 0.3, "speed.FIM": 1.6}, "rules.pace.fall_m_s"),
        ({"pace.swim_m_s": 0.3, "pace.fall_m_s": 0.3, "pace.ascent_m_s": 2, "speed.FIM": 1.6}, "rules.pace.ascent_m_s"),
        (FAR_APART, "rules.pace.swim_m_s"),
    ],
)
def test_the_fault_stands_at_the_speed_that_cannot_be_calculated(rules: dict[str, Any], field: str) -> None:
    assert list(faults_of(season(rules=rules))) == [field]


def test_a_speed_from_the_log_that_does_not_go_with_the_rules_leaves_the_plan_as_without_a_log() -> None:
    season_, book = season_and_book(season(rules={**FAR_APART, "speed.FIM": 0.4, "speed.CNF": 0.4}), BOOK)
    fast = {name: MeanSpeed(1.6, 3, "fast") for name in ("CWT", "CWTB", "CNF", "FIM", "VWT")}
    assert sheet_of(season_, book, fast) == sheet_of(season_, book)
