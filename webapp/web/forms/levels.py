"""The part of the season form about one discipline."""

from collections.abc import Mapping
from typing import Any

from wtforms import BooleanField, StringField
from wtforms import Form as PlainForm

from webapp.records.model import GOALS

from . import typed
from .base import COUNT, DAY, DEPTH

LEVEL_NUMBERS = ("best_m", "comfortable_m", "start_m", "step_m", "repeats_below_best", "repeats")


class LevelForm(PlainForm):  # type: ignore[misc]  # WTForms brings no types
    """Where the diver stands in one discipline, and where they want to go."""

    dived = BooleanField("Part of this season")
    best_m = StringField("Best", render_kw=DEPTH)
    comfortable_m = StringField("Comfortable depth", render_kw=DEPTH)
    comfortable_on = StringField("Date of that dive", render_kw=DAY)
    start_m = StringField("Own start depth", render_kw=DEPTH)
    step_m = StringField("Step", render_kw=DEPTH)
    repeats_below_best = StringField("Clean dives for each depth below your best", render_kw=COUNT)
    repeats = StringField("Clean dives for each depth from your best on", render_kw=COUNT)
    floor_m = StringField("Floor", render_kw=DEPTH)
    aim_m = StringField("Aim", render_kw=DEPTH)
    dream_m = StringField("Dream", render_kw=DEPTH)

    def to_raw(self, code: str) -> dict[str, Any]:
        """Return one entry of SEASON.json's disciplines."""
        raw: dict[str, Any] = {name: typed.number(self[name].data) for name in LEVEL_NUMBERS}
        goals = {name: typed.number(self[name].data) for name in GOALS}
        return {
            "discipline": code,
            **raw,
            "comfortable_on": typed.words(self.comfortable_on.data),
            "goals": {name: depth_m for name, depth_m in goals.items() if depth_m is not None},
        }


def typed_level(level: Mapping[str, Any]) -> dict[str, Any]:
    """Return a stored level as the form's strings."""
    goals = {name: typed.show(typed.dig(level, f"goals.{name}")) for name in GOALS}
    numbers = {name: typed.show(level.get(name)) for name in (*LEVEL_NUMBERS, "comfortable_on")}
    return {"dived": True, **numbers, **goals}
