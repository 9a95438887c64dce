"""The dive clock's arithmetic against the ladder's cards: calls, the estimated mark on the line, tones, phases."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from support.seasons import sheet_of
from support.static_files import phone_modules
from support.story import season

from webapp.rulebook_file import read_rulebook

STATIC = Path(__file__).parents[2] / "static"
Json = dict[str, Any]
RUNGS: list[Json] = [
    rung
    for diver in ({"mouthfill": True, "alarms_m": [11, 33]}, {})
    for ladder in sheet_of(season(diver=diver))["disciplines"].values()
    for rung in ladder["rungs"]
]
HAND: Json = {
    "depth_m": 40, "line_m": 41, "down": [["free_fall", 20, 16]], "turn_s": 40, "meet_m": 10, "meet_s": 70,
    "total_s": 80, "leave_s": 36, "overdue_s": 95,
}  # fmt: skip


@pytest.fixture(scope="module")
def clock(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "timing/dive_clock.js", "timing/tones.js", "ui/sound.js") as page:
        yield page


def ask(page: Page, name: str, *values: Any) -> Any:
    call = "([name, text]) => JSON.stringify(window.reader[name](...JSON.parse(text)) ?? null)"
    return json.loads(page.evaluate(call, [name, json.dumps(values)]))


def each(page: Page, name: str, many: list[list[Any]]) -> list[Any]:
    call = "([name, text]) => JSON.stringify(JSON.parse(text).map((one) => window.reader[name](...one) ?? null))"
    found: list[Any] = json.loads(page.evaluate(call, [name, json.dumps(many)]))
    return found


def times_of(rung: Json) -> Json:
    card, meet = rung["card"], rung["card"]["meet"]
    names = ("line_m", "down", "turn_s", "total_s", "overdue_s")
    return {
        "depth_m": rung["depth_m"], **{name: card[name] for name in names}, "leave_s": meet["leave_s"],
        "meet_s": meet["meet_s"], "meet_m": meet["depth_m"],
    }  # fmt: skip


def between(times: Json, t_s: float) -> float:
    """Where the card has the diver: the surface at the start and at the end, else on the way from mark to mark."""
    turn = (times["turn_s"], times["depth_m"])
    way = [(0, 0), *[(at_s, at_m) for _, at_m, at_s in times["down"]], turn]
    way += [(times["meet_s"], times["meet_m"]), (times["total_s"], 0)]
    for (from_s, from_m), (to_s, to_m) in pairwise(way):
        if from_s < t_s <= to_s:
            return float(from_m + (to_m - from_m) * (t_s - from_s) / (to_s - from_s))
    return 0.0


def test_the_times_of_a_clock_are_those_of_the_card(clock: Page) -> None:
    assert each(clock, "timesOfCard", [[rung] for rung in RUNGS]) == [times_of(rung) for rung in RUNGS]


@pytest.mark.parametrize(("t_s", "depth_m"), [(-5, 0), (0, 0), (8, 10), (16, 20), (28, 30), (40, 40), (55, 25), (75, 5),
                                              (80, 0), (300, 0)])  # fmt: skip
def test_the_mark_is_half_way_between_two_marks_at_half_time(clock: Page, t_s: float, depth_m: float) -> None:
    """Calculated by hand: 20 m at 16 s, the plate at 40 s, 10 m at 70 s, the surface at 80 s."""
    assert ask(clock, "markAt", HAND, t_s) == pytest.approx(depth_m)


def test_the_mark_is_where_every_card_of_the_ladder_says_at_every_half_second(clock: Page) -> None:
    asked = [[times, half / 2] for times in map(times_of, RUNGS) for half in range(2 * times["total_s"] + 20)]
    assert len(asked) > 5_000
    assert each(clock, "markAt", asked) == pytest.approx([between(*one) for one in asked], abs=1e-9)


def test_a_measured_arrival_moves_the_mark_on_its_way_up_and_no_call(clock: Page) -> None:
    """46 instead of 40 s: the diver is at the plate then, and half way up to 10 m 15 s later."""
    found = each(clock, "markAt", [[HAND, t_s, 46] for t_s in (23, 46, 61, 86)])
    assert found == pytest.approx([20, 40, 25, 0])
    with_bottom = {"times": HAND, "started_ms": 1_000, "official_ms": None, "bottom_ms": 47_000}
    assert ask(clock, "bottomOf", with_bottom) == 46
    assert ask(clock, "allCalls", with_bottom) == ask(clock, "callsOf", HAND)


def test_without_a_card_there_is_no_mark_and_no_call(clock: Page) -> None:
    assert ask(clock, "markAt", None, 10) is None
    assert ask(clock, "callsOf", None) == []


def test_no_call_comes_before_its_second_and_each_comes_in_it(clock: Page) -> None:
    for times in map(times_of, RUNGS):
        calls = ask(clock, "callsOf", times)
        wanted = {
            "leave": times["leave_s"], "turn": times["turn_s"], "meet": times["meet_s"], "back": times["total_s"],
            "overdue": times["overdue_s"],
        }  # fmt: skip
        assert {one["call"]: one["at_s"] for one in calls} == wanted
        assert [one["at_s"] for one in calls] == sorted(one["at_s"] for one in calls)
        moments = [at_s + off for at_s in wanted.values() for off in (-0.001, 0, 0.5)]
        for t_s, found in zip(moments, each(clock, "around", [[calls, t_s] for t_s in moments]), strict=True):
            come = [one for one in calls if one["at_s"] <= t_s]
            left = [one for one in calls if one["at_s"] > t_s]
            assert found == {"last": come[-1] if come else None, "next": left[0] if left else None}


def test_of_a_typed_time_only_surface_and_overdue_are_called_and_safety_when_it_was_typed_too(clock: Page) -> None:
    """Overdue as on the cards, see `webapp.water.card`: rounded down, by the rulebook's share and least seconds."""
    book = read_rulebook()
    share, least = book.value("overdue.share"), book.value("overdue.least_s")
    numbers = {"overdue_share": share, "overdue_least_s": least}
    for total in range(1, 600, 7):
        times = ask(clock, "timesTyped", {"total_s": total, "leave_s": None}, numbers)
        calls = [(one["call"], one["at_s"]) for one in ask(clock, "callsOf", times)]
        assert calls == [("back", total), ("overdue", math.floor(total + max(least, share * total)))]
        assert ask(clock, "markAt", times, 5) is None
    times = ask(clock, "timesTyped", {"total_s": 130, "leave_s": 60}, numbers)
    assert [(one["call"], one["at_s"]) for one in ask(clock, "callsOf", times)] == [
        ("leave", 60), ("back", 130), ("overdue", 149),
    ]  # fmt: skip


def test_calls_before_an_official_time_are_not_made_for_a_dive_that_was_started_by_touch(clock: Page) -> None:
    waiting = {"times": HAND, "started_ms": None, "official_ms": 100_000}
    found = [(one["call"], one["at_s"]) for one in ask(clock, "allCalls", waiting)]
    assert found[:4] == [("soon", -60), ("soon", -30), ("soon", -10), ("official", 0)]
    assert ask(clock, "allCalls", {**waiting, "started_ms": 90_000}) == ask(clock, "callsOf", HAND)


@pytest.mark.parametrize(
    ("moments", "ms", "phase"),
    [
        ({"official_ms": 60_000}, 0, "count"),
        ({"official_ms": 60_000}, 60_000, "down"),
        ({"started_ms": 0.5}, 94_000, "down"),
        ({"started_ms": 0.5}, 95_001, "overdue"),
        ({"started_ms": 0.5, "times": None}, 9_000_000, "down"),
        ({"started_ms": 0.5, "surfaced_ms": 80_000}, 80_000, "watch"),
        ({"started_ms": 0.5, "surfaced_ms": 80_000}, 109_999, "watch"),
        ({"started_ms": 0.5, "surfaced_ms": 80_000}, 110_000, "up"),
        ({"started_ms": 0.5, "surfaced_ms": 80_000, "done": True}, 81_000, "away"),
        ({"started_ms": 0.5, "surfaced_ms": 80_000, "logged": "id"}, 200_000, "away"),
        ({"started_ms": 5_000}, 0, "ahead"),
        ({"started_ms": 0.5, "surfaced_ms": 80_000}, 60_000, "ahead"),
        ({"started_ms": 90_000, "surfaced_ms": 80_000}, 81_000, "watch"),
    ],
)
def test_the_phases_of_a_dive(clock: Page, moments: Json, ms: float, phase: str) -> None:
    empty = {"times": HAND, "started_ms": None, "official_ms": None, "surfaced_ms": None}
    assert ask(clock, "phaseOf", {**empty, **moments}, ms, 30) == phase


def test_clocks_of_earlier_days_go_but_for_one_that_still_runs(clock: Page) -> None:
    list_ = [
        {"id": "a", "day": "2026-05-19", "surfaced_ms": 5},
        {"id": "b", "day": "2026-05-19", "surfaced_ms": None},
        {"id": "c", "day": "2026-05-20", "surfaced_ms": 5},
    ]
    assert [one["id"] for one in ask(clock, "keptOn", list_, "2026-05-20")] == ["b", "c"]


@pytest.mark.parametrize("kept", [None, "x", {}, [None, 3, {"id": "a"}, {"id": 4, "started_ms": 1}]])
def test_what_a_failing_disk_left_of_the_list_is_no_clock(clock: Page, kept: Any) -> None:
    assert ask(clock, "wholeOf", kept) == []
    assert ask(clock, "wholeOf", [*(kept or []), {"id": "a", "started_ms": 1}] if isinstance(kept, list) else []) == (
        [{"id": "a", "started_ms": 1}] if isinstance(kept, list) else []
    )


def test_each_call_has_tones_of_its_own_and_none_sounds_before_its_call(clock: Page) -> None:
    calls = ask(clock, "callsOf", HAND)
    tones = ask(clock, "tonesOf", calls, 0)
    firsts = {one["call"]: one["at_s"] for one in reversed(tones)}
    assert firsts == {one["call"]: one["at_s"] for one in calls}
    shapes = {call: [(t["length_s"], t["hz"]) for t in tones if t["call"] == call] for call in firsts}
    assert len({json.dumps(shape) for shape in shapes.values()}) == len(calls)
    assert len(shapes["overdue"]) > 20  # an alarm, and no beep
    for t_s in (36, 50, 70.5, 94.9):
        late = {one["call"] for one in ask(clock, "tonesOf", calls, t_s)}
        assert late == {one["call"] for one in calls if one["at_s"] > t_s}
    assert ask(clock, "tonesOf", calls, 95) == []


RENDER = """async ([tones, seconds]) => {
  const rate = 8000, offline = new OfflineAudioContext(1, rate * seconds, rate);
  window.reader.play(offline, tones);
  const samples = (await offline.startRendering()).getChannelData(0);
  const loud = [];  // from when to when something sounds
  for (let at = 0, last = -rate; at < samples.length; at += 1) {
    if (Math.abs(samples[at]) < 0.05) continue;
    if (at - last > rate * 0.02) loud.push([at / rate, at / rate]);
    loud.at(-1)[1] = at / rate;
    last = at;
  }
  return loud;
}"""


def test_what_sounds_is_what_was_planned_by_the_numbers_of_an_offline_audio_context(clock: Page) -> None:
    tones = ask(clock, "tonesOf", ask(clock, "callsOf", HAND), 30)
    seconds = 126  # the alarm begins at 95 s and ends 30 s later
    heard = clock.evaluate(RENDER, [tones, seconds])
    planned = [(one["at_s"], one["at_s"] + one["length_s"]) for one in tones]
    assert len(heard) == len(planned)
    for (on, off), (from_s, to_s) in zip(heard, planned, strict=True):
        assert on == pytest.approx(from_s, abs=0.005)
        assert off == pytest.approx(to_s, abs=0.005)
        assert on >= from_s
