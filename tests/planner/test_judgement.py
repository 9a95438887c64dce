"""The book's rules on invented divers, few of them: how these answer to depth is our own assumption."""

from __future__ import annotations

from statistics import fmean

from bench.judgement import STORIES, VARIANTS, Season, seasons_of

PLAIN, TOO_DEEP, BREAK = STORIES
BY_NAME = {variant.name: variant for variant in VARIANTS}
DIVERS = 30


def seasons(story: object, name: str, capacity_m: float = 60, divers: int = DIVERS) -> list[Season]:
    return list(seasons_of(story, capacity_m, BY_NAME[name], divers))


def test_with_the_books_rules_fewer_dives_are_not_clean_than_with_one_clean_dive_for_each_rung() -> None:
    book, hasty = seasons(PLAIN, "book"), seasons(PLAIN, "one everywhere")
    assert fmean(one.not_clean for one in book) < fmean(one.not_clean for one in hasty) - 10
    assert fmean(one.deepest_beyond_m for one in book) < fmean(one.deepest_beyond_m for one in hasty)


def test_after_a_break_of_60_days_the_first_dive_is_less_deep_beyond_the_capacity_than_without_time_away() -> None:
    book, fresh = seasons(BREAK, "book", divers=12), seasons(BREAK, "no time away", divers=12)
    assert max(one.first_beyond_m for one in book) < 0 < fmean(one.first_beyond_m for one in fresh)
