"""What a log adds to the chances of a clean dive: by hand, by closed forms, and beside a far finer calculation."""

from __future__ import annotations

from math import comb, exp
from typing import Any

import numpy as np
import pytest
from scipy.special import expit
from scipy.stats import beta, expon, lognorm, norm
from support.seasons import day, dive, sheet_of, without_cards

from webapp.forecast.chances import Chances, Scale, Seen, chance, chances_of, grid, posterior, scale_of, seen_in
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
ALWAYS = 1000.0  # a middle so deep that only the lapse keeps a dive from being clean
SHEET = without_cards(
    sheet_of(
        {
            "first_day": day(0), "last_day": day(40), "days_on": 3, "days_off": 1, "closed_days": [], "block_days": 60,
            "break_days": 0, "site": {"name": "Invented Bay", "bottom_m": 150}, "lead": ["FIM"], "drill": None,
            "disciplines": [
                {
                    "discipline": "FIM", "step_m": 2, "repeats": 2, "repeats_below_best": 1, "best_m": 48,
                    "comfortable_m": 46, "comfortable_on": day(-2), "goals": {"aim_m": 56},
                }
            ],
            "rules": {},
        }
    )
)  # fmt: skip


def seen(is_clean: bool, beyond: float = 0, weight: float = 1) -> Seen:
    return Seen(beyond, is_clean, weight, day(0))


def after(*dives: Seen, lapse: tuple[float, ...] = (0.1, 0.4)) -> list[float]:
    """Return the weights of points that differ by their lapse alone and had equal weights before."""
    points = np.array(lapse)
    prior, middle, slope = (np.full(len(points), value) for value in (1 / len(points), ALWAYS, 1.0))
    found: list[float] = posterior(prior, middle, slope, points, dives).tolist()
    return found


def at(n: int, **fields: Any) -> dict[str, Any]:
    return dive(**{"id": f"d{n}", "date": day(n), "target_m": 48, "reached_m": 48, **fields})


def of(*log: dict[str, Any], today: str = day(10)) -> list[Seen]:
    return seen_in(SHEET, log, "FIM", today, BOOK)


def test_one_clean_dive_moves_the_weights_as_bayes_rule_has_it() -> None:
    assert after(seen(True)) == pytest.approx([0.9 / 1.5, 0.6 / 1.5])
    assert after(seen(False)) == pytest.approx([0.1 / 0.5, 0.4 / 0.5])
    assert after(seen(True), seen(False)) == pytest.approx([0.09 / 0.33, 0.24 / 0.33])


def test_nothing_dived_leaves_the_prior() -> None:
    assert after() == [0.5, 0.5]
    middle, slope, lapse, prior = grid(BOOK)
    assert posterior(prior, middle, slope, lapse, []) == pytest.approx(prior)
    assert prior.sum() == pytest.approx(1)


def test_a_dive_of_half_weight_counts_as_its_square_root() -> None:
    assert after(seen(True, weight=0.5)) == pytest.approx([0.9**0.5 / (0.9**0.5 + 0.6**0.5), 1 - 0.55051], abs=1e-4)
    assert after(seen(True, weight=0.5), seen(True, weight=0.5)) == pytest.approx(after(seen(True)))


def test_half_of_what_the_lapse_leaves_is_clean_at_the_middle_and_a_huge_slope_makes_a_step() -> None:
    middle, slope, lapse = np.array([10.0]), np.array([0.2]), np.array([0.2])
    assert chance(10.0, middle, slope, lapse) == pytest.approx(0.4)
    assert chance(15.0, middle, slope, lapse) == pytest.approx(0.8 / (1 + exp(1)))
    assert chance(9.9, middle, np.array([1e6]), lapse) == pytest.approx(0.8)
    assert chance(10.1, middle, np.array([1e6]), lapse) == pytest.approx(0, abs=1e-9)


def test_deeper_is_never_more_often_clean_and_no_dive_is_clean_for_certain() -> None:
    middle, slope, lapse, prior = grid(BOOK)
    chances = Chances(middle, slope, lapse, prior, 0.1, 0.3, 0, 0.2)
    found = chances.clean(np.arange(-100.0, 100.0))
    assert (np.diff(found, axis=0) <= 0).all()
    assert 0 <= found.min() <= found.max() < 1


@pytest.mark.parametrize(("clean", "dives"), [(0, 0), (1, 1), (7, 9), (0, 4), (10, 10)])
def test_even_chances_follow_the_beta_distribution(clean: int, dives: int) -> None:
    """With any rate equally likely before, the posterior is beta(clean + 1, not clean + 1): closed forms and SciPy."""
    points = (np.arange(4000) + 0.5) / 4000
    log = [seen(True)] * clean + [seen(False)] * (dives - clean)
    weight, rate = np.array(after(*log, lapse=tuple(points))), 1 - points
    mean = (clean + 1) / (dives + 2)
    assert weight @ rate == pytest.approx(mean, abs=1e-6)
    assert weight @ (rate - mean) ** 2 == pytest.approx(mean * (1 - mean) / (dives + 3), abs=1e-6)
    # P(rate <= 1/2) of a beta with whole parameters is a sum of the binomial distribution
    below = sum(comb(dives + 1, more) for more in range(clean + 1, dives + 2)) / 2 ** (dives + 1)
    assert weight[rate <= 0.5].sum() == pytest.approx(below, abs=1e-3)
    for most in (0.2, 0.5, 0.9):
        assert weight[rate <= most].sum() == pytest.approx(beta(clean + 1, dives - clean + 1).cdf(most), abs=1e-3)


# What a log has, and how far off the coarse grid may be with it.
LOGS: dict[str, tuple[float, list[tuple[float, bool]]]] = {
    "nothing": (0.01, []),
    "all clean on the way up": (0.01, [(-10 + 2 * at, True) for at in range(10)]),
    "clean below the best, not beyond": (
        0.015,
        [(-7, True)] * 4 + [(-3.5, True)] * 3 + [(3.5, False), (0, True), (3.5, False)],
    ),
    "bad days at any depth": (0.01, [(-10, at % 3 > 0) for at in range(10)]),
}


@pytest.mark.parametrize(("most", "log"), LOGS.values(), ids=LOGS)
def test_the_coarse_grid_is_close_to_a_far_finer_one(most: float, log: list[tuple[float, bool]]) -> None:
    """The same prior over 40,000 points."""
    middle, slope, lapse, prior = grid(BOOK)
    weight = posterior(prior, middle, slope, lapse, [seen(is_clean, beyond) for beyond, is_clean in log])
    for beyond in (-7.0, 0.0, 7.0, 14.0):
        coarse = float(chance(beyond, middle, slope, lapse) @ weight)
        assert coarse == pytest.approx(fine(log, beyond), abs=most), beyond


def fine(log: list[tuple[float, bool]], beyond: float) -> float:
    """Return the mean chance of a clean dive: equally likely points of each unknown's distribution, as SciPy has it.

    Gauss quadrature with as many points is up to 0.04 off here: the likelihood is too steep for it.
    """
    value, quantiles = BOOK.value, (np.arange(34) + 0.5) / 34
    middle = norm(value("forecast.middle_percent"), value("forecast.middle_spread_percent")).ppf(quantiles)
    slope = lognorm(np.log(value("forecast.slope_factor")), scale=value("forecast.slope_percent")).ppf(quantiles)
    lapse = np.minimum(expon(scale=value("forecast.lapse")).ppf(quantiles), 0.9)
    m, s, a = np.meshgrid(middle, slope, lapse)
    likely = np.ones(m.shape)
    for at, is_clean in log:
        clean = (1 - a) * expit(s * (m - at))
        likely *= clean if is_clean else 1 - clean
    return float(np.sum((1 - a) * expit(s * (m - beyond)) * likely) / np.sum(likely))


def test_a_dive_counts_half_after_its_half_life_and_no_more_after_a_year() -> None:
    half = int(BOOK.value("forecast.half_life_days"))
    log = [at(0), at(-half), at(-2 * half), at(-400), at(1)]
    assert [one.weight for one in of(*log, today=day(0))] == pytest.approx([1, 0.5, 0.25])


def test_dives_of_one_day_weigh_together_as_much_as_one() -> None:
    found = of(at(10, id="a"), at(10, id="b", reached_m=30), at(9))
    assert [(one.weight, one.is_clean) for one in found[:2]] == [(0.5, True), (0.5, False)]
    assert found[2].weight == pytest.approx(0.5 ** (1 / BOOK.value("forecast.half_life_days")))


def test_only_deep_dives_to_a_target_in_this_discipline_tell_something() -> None:
    others = [
        at(1, role="warm-up"), at(2, role="drill"), at(3, discipline="CWT"), at(4, target_m=None),
        at(5, reached_m=30, turned_why="current"),
    ]  # fmt: skip
    assert of(*others) == []
    assert of({"id": "c", "kind": "clearance", "clearance": day(1), "by": "Dr. Invented"}) == []
    [turned] = of(at(5, reached_m=30, turned_why="ears"))
    assert not turned.is_clean


RISE = BOOK.value("forecast.rise_percent")


def test_a_dive_lies_so_many_percent_of_the_pressure_beyond_the_best_as_its_target() -> None:
    """At 48 m there are 5.8 bar: one percent more are 0.58 m."""
    found = of(at(1, target_m=48 + 5.8, reached_m=48), at(1, id="b", target_m=48 - 2.9))
    assert [one.beyond for one in found] == pytest.approx([10 + RISE, -5 + RISE])


def test_three_metres_more_are_less_for_a_deep_diver_and_a_typed_step_plays_no_part() -> None:
    assert [Scale(best_m, 2).beyond(best_m + 3) for best_m in (20, 40, 90)] == pytest.approx([10, 6, 3])
    assert Scale(40, 1).beyond(45) == Scale(40, 5).beyond(45) == pytest.approx(10)
    assert Scale(40, 5).rungs(30) == -2


def test_each_day_of_deep_dives_makes_an_earlier_dive_count_as_a_harder_one_of_today() -> None:
    """Two dives of one day are one day; a day without a deep dive of this discipline is none."""
    log = [at(1), at(2, discipline="CWT"), at(4, id="a"), at(4, id="b"), at(9)]
    assert [one.beyond for one in of(*log)] == pytest.approx([3 * RISE, 2 * RISE, 2 * RISE, RISE])


def test_the_middle_rises_with_the_days_to_come() -> None:
    chances = Chances(*(np.array([value]) for value in (10.0, 0.2, 0.1, 1.0)), 0.1, 0.3, 0, 0.5)
    beyond = np.array([12.0])
    assert chances.clean(beyond) == pytest.approx(0.9 / (1 + exp(0.4)))
    assert chances.clean(beyond, 4) == pytest.approx(0.45)


def test_days_near_the_best_are_counted_not_dives_and_not_shallow_ones() -> None:
    near = BOOK.value("forecast.near_rungs") * scale_of(SHEET["disciplines"]["FIM"]).rung_m
    log = [at(1, id="a"), at(1, id="b"), at(2, target_m=48 - near, reached_m=48), at(3, target_m=47.9 - near)]
    assert chances_of(SHEET, log, "FIM", day(10), BOOK).near_days == 2


def test_shares_of_taxing_and_hard_dives_begin_with_the_books_and_add_each_dive() -> None:
    value = BOOK.value
    taxing, calm, hard, turned = (value(f"forecast.{name}_prior") for name in ("taxing", "calm", "hard", "turned"))
    none = chances_of(SHEET, [], "FIM", day(10), BOOK)
    assert (none.taxing, none.hard) == (taxing / (taxing + calm), hard / (hard + turned))
    log = [at(1, effort=7), at(2, effort=3), at(3), at(4, effort=9), at(5, reached_m=30, turned_why="ears")]
    some = chances_of(SHEET, log, "FIM", day(10), BOOK)
    assert (some.taxing, some.hard) == ((taxing + 1) / (taxing + calm + 2), (hard + 1) / (hard + turned + 2))


def test_ten_clean_days_deeper_let_the_next_depth_be_clean_more_often() -> None:
    def mean(*log: dict[str, Any]) -> float:
        chances = chances_of(SHEET, log, "FIM", day(20), BOOK)
        assert chances.weight.sum() == pytest.approx(1)
        return float((chances.clean(np.array([7.0])) @ chances.weight)[0])

    clean = mean(*(at(n, target_m=50, reached_m=50) for n in range(10)))
    assert mean(*(at(n, target_m=50, reached_m=40) for n in range(10))) < mean() < clean
