"""What a forecast takes together, and the steps that several forecasts share: both leave its figures as they are."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from support.seasons import day
from support.story import season

from webapp.forecast.forecast import COARSE, forecast_of
from webapp.forecast.numbers import Places, Table, Table2
from webapp.forecast.spread import Parts
from webapp.forecast.steps import KnownSteps
from webapp.planner.reader.ladder import read
from webapp.planner.together import sheet_of
from webapp.records.season import season_and_book
from webapp.rulebook_file import read_rulebook

Json = dict[str, Any]
BOOK = read_rulebook()
LADDERS, PAUSES, STANDS = 40, 5, 4


def parts() -> Parts:
    chance = np.random.default_rng(7)
    ladders, pauses = chance.integers(LADDERS, size=600), chance.integers(PAUSES, size=600)
    each = chance.random(600) ** 8 * np.where(pauses == PAUSES - 1, 1e-4, 1)  # a pause that is rare at every depth
    return Parts(ladders, pauses, each / each.sum())


def stands(ladders: Any) -> Any:
    return ladders % STANDS


@pytest.mark.parametrize("most", [0.0, 1e-3, 0.05, 0.3])
def test_what_is_taken_together_stays_at_its_depth_with_its_goals(most: float) -> None:
    of = parts()
    ladders, pauses, at = of.targets(most, stands)
    stays = at < len(ladders)
    assert (stands(ladders[at[stays]]) == stands(of.ladders[stays])).all()
    assert of.each[~stays].sum() <= 1e-3 * most
    is_moved = (ladders[at[stays]] != of.ladders[stays]) | (pauses[at[stays]] != of.pauses[stays])
    assert of.each[stays][is_moved].sum() <= 1.5 * most
    assert len(set(zip(ladders.tolist(), pauses.tolist(), strict=True))) == len(ladders)


def test_the_more_is_taken_together_the_fewer_pairs_are_left_and_with_nothing_all_stay() -> None:
    left = [len(parts().targets(most, stands)[0]) for most in (0.0, 1e-3, 0.05, 0.3)]
    assert left[0] == len(set(zip(parts().ladders.tolist(), parts().pauses.tolist(), strict=True)))
    assert left == sorted(left, reverse=True)
    assert left[-1] < left[0] / 2


def forecast(raw: Json, known: KnownSteps | None = None) -> Json:
    checked, own = season_and_book(raw, BOOK)
    sheet = sheet_of(checked, own)
    return forecast_of(sheet, [], day(0), read(sheet, [], day(0)), own, COARSE, known)


def test_forecasts_that_share_their_steps_say_what_each_says_alone() -> None:
    changes = [season(), season(last_day=day(48)), season(level={"step_m": 1}), season(level={"repeats": 4}), season()]
    known = KnownSteps()
    assert [forecast(raw, known) for raw in changes] == [forecast(raw) for raw in changes]
    assert len(known.known) == 3  # a longer season has the same ladder under the same rules


def test_a_table_asks_once_for_each_number_and_grows_with_them() -> None:
    asked: list[object] = []
    table = Table(lambda key: asked.append(key) or key * 2)
    table2 = Table2(lambda key, other: asked.append((key, other)) or key + other)
    for keys in ([1, 5, 1], [5, 3000]):
        numbers = np.array(keys)
        assert table.of(numbers).tolist() == [2 * key for key in keys]
        assert table2.of(numbers, numbers + 40).tolist() == [2 * key + 40 for key in keys]
    assert sorted(map(str, asked)) == sorted(map(str, [1, 5, 3000, (1, 41), (5, 45), (3000, 3040)]))
    places: Places[str] = Places()
    assert [places.number(place) for place in ("a", "b", "a")] == [0, 1, 0]
