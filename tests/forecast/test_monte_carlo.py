"""The exact spread beside seasons that are drawn by chance and dived through the real reader.

2,000 seasons of each story, to be quick; `tests/bench/outlook.py drawn` compares 20,000 of each.
"""

from __future__ import annotations

import pytest
from support.drawn import STORIES, agrees, season

SEASONS = 2000


@pytest.mark.parametrize("best_m", STORIES.values(), ids=STORIES)
def test_seasons_drawn_by_chance_end_where_the_exact_spread_says(best_m: float) -> None:
    agrees(season(best_m), SEASONS)
