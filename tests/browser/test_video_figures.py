"""The figures of a clip against divers whose joints, rate and ways are known, and against published worked values."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from math import pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page
from support.static_files import phone_modules
from support.swimmer import SHANK, THIGH, Film, Spot, angles, camera, on_the_line, seen

STATIC = Path(__file__).parents[2] / "static"
Tracks = list[dict[str, Any]]
LENGTHS = {"line": 300.0, "leg": THIGH + SHANK, "body": 110 + THIGH + SHANK}  # pixels, of the invented diver


@pytest.fixture(scope="module")
def measuring(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "video/figures.js") as page:
        yield page


def ask(page: Page, name: str, *values: Any) -> Any:
    call = "([name, text]) => JSON.stringify(window.reader[name](...JSON.parse(text)) ?? null)"
    return json.loads(page.evaluate(call, [name, json.dumps(values)]))


def figures(page: Page, tracks: Tracks, **options: Any) -> dict[str, dict[str, Any]]:
    return {one["code"]: one for one in ask(page, "figuresOf", tracks, {"style": "kick", **options})}


Place = Callable[[float], dict[str, Spot]]


def filmed(places: Place, film: Film, noise: float = 0.0) -> Tracks:
    """The tracks that a camera sees which shakes and rolls as the film says, with noise on each point."""
    random = np.random.default_rng(film.seed)

    def points(t: float) -> dict[str, Any]:
        spots = {name: np.array(seen(spot, camera(film, t))) for name, spot in places(t).items()}
        return {name: dict(zip("xy", (spot + random.normal(0, noise, 2)).tolist(), strict=True))
                for name, spot in spots.items()}  # fmt: skip

    return [{"index": at, "t_s": t, "points": points(t)} for at, t in enumerate(film.times.tolist())]


def swimmer(film: Film, noise: float = 0.0) -> Tracks:
    return filmed(lambda t: on_the_line(film, t), film, noise)


def going(film: Film, t: float) -> dict[str, Spot]:
    """The diver goes 90 pixels a second down the line, and the camera stays."""
    return {name: (x, y if "line" in name else y + 90 * t) for name, (x, y) in on_the_line(film, t).items()}


def over_a_cycle(film: Film) -> tuple[list[dict[str, float]], list[dict[str, Spot]]]:
    times = np.linspace(0, 1 / film.hz, 2000, endpoint=False).tolist()
    return [angles(film, t) for t in times], [on_the_line(film, t) for t in times]


FILM = Film(seed=5, seconds=6, shake=6, roll=5)


def test_the_joints_the_rate_and_the_ways_are_those_of_the_diver(measuring: Page) -> None:
    bent, spots = over_a_cycle(FILM)
    found = figures(measuring, swimmer(FILM, noise=0.5))
    swing = np.ptp([one["fin"][0] for one in spots]) / (THIGH + SHANK)
    expected = {
        "knee_flexion_most": (max(one["knee"] for one in bent), 2),
        "knee_flexion_mean": (np.mean([one["knee"] for one in bent]), 2),
        "hip_angle_mean": (180 - np.mean([abs(one["thigh"] - one["trunk"]) for one in bent]), 2),
        "fin_bend_most": (max(abs(one["fin"]) for one in bent), 2),
        "trunk_sway": (6, 0.5),  # 3 degrees to each side
        "kick_hz": (FILM.hz, 0.02 * FILM.hz),
        "kick_amplitude": (swing, 0.02 * swing),
    }
    for code, (value, near) in expected.items():
        assert found[code]["value"] == pytest.approx(value, abs=near), code
    assert {code: one["unit"] for code, one in found.items()} == {
        "knee_flexion_most": "deg", "knee_flexion_mean": "deg", "hip_angle_mean": "deg", "hip_offset": "share",
        "trunk_sway": "deg", "fin_bend_most": "deg", "kick_hz": "Hz", "kick_amplitude": "share",
        "kick_symmetry_time": "share", "kick_symmetry_amplitude": "share",
    }  # fmt: skip


def test_the_hip_is_behind_the_body_line_when_the_leg_is_foremost(measuring: Page) -> None:
    _, spots = over_a_cycle(FILM)
    front = max(spots, key=lambda one: one["ankle"][0] - one["hip"][0])
    (sx, sy), (hx, hy), (ax, ay) = (front[name] for name in ("shoulder", "hip", "ankle"))
    behind = ((ax - sx) * (hy - sy) - (ay - sy) * (hx - sx)) / np.hypot(ax - sx, ay - sy)
    found = figures(measuring, swimmer(FILM, noise=0.3))["hip_offset"]
    assert found["value"] == pytest.approx(abs(behind) / (THIGH + SHANK), abs=0.01)
    assert front["hip"][0] < sx + (ax - sx) * (hy - sy) / (ay - sy)  # the front is on the right: it is behind


@pytest.mark.parametrize("turned", ["head up", "to the left", "both"])
def test_the_figures_are_the_same_whichever_way_the_diver_faces(measuring: Page, turned: str) -> None:
    def places(t: float) -> dict[str, Spot]:
        x, y = -1 if turned != "head up" else 1, -1 if turned != "to the left" else 1
        spots = {name: (200 + x * (a - 200), 240 + y * (b - 240)) for name, (a, b) in going(FILM, t).items()}
        if y < 0:
            spots["line_top"], spots["line_low"] = spots["line_low"], spots["line_top"]
        return spots

    still = Film(seed=5, seconds=6)
    known = {"length_m": 1.5, "length_of": "line"}
    usual = figures(measuring, filmed(lambda t: going(FILM, t), still), **known)
    found = figures(measuring, filmed(places, still), **known)
    assert len(usual) == 13
    assert {code: one["value"] for code, one in found.items()} == pytest.approx(
        {code: one["value"] for code, one in usual.items()}, abs=1e-6
    )


def paced(hz: float, swing_m: float, speed_m_s: float, forward: float = 0.5, front: float = 0.5) -> Place:
    """A diver who goes down a line with depth marks 2 m apart, 100 pixels a metre; legs of 0.8 m.

    The fin goes `forward` of the time forward, and `front` of its way is in front of the body.
    """

    def places(t: float) -> dict[str, Spot]:
        cycle = hz * t % 1
        up = (1 - np.cos(pi * cycle / forward)) / 2 if cycle < forward else None
        share = up if up is not None else (1 + np.cos(pi * (cycle - forward) / (1 - forward))) / 2
        fin = 100 * swing_m * (share - 1 + front)
        y = 400 + 100 * speed_m_s * t
        body = {"shoulder": (200.0, y + 50), "hip": (200.0, y), "knee": (203.0, y - 40), "ankle": (200.0, y - 80)}
        return {**body, "fin": (float(200 + fin), y - 150), "line_top": (60.0, 100.0), "line_low": (60.0, 300.0)}

    return places


WORKED = ((0.6, 0.55, 1.0, 0.330), (0.8, 0.40, 1.2, 0.2667), (2.00, 0.46, 1.08, 0.852))


@pytest.mark.parametrize(("hz", "swing_m", "speed_m_s", "strouhal"), WORKED)
def test_the_strouhal_number_is_rate_times_whole_swing_by_speed(
    measuring: Page, hz: float, swing_m: float, speed_m_s: float, strouhal: float
) -> None:
    """St = f A / U with the whole swing A, as by Floryan, Van Buren & Smits, PNAS 2018.

    The first two are worked by hand; the last are the means of young swimmers' dolphin kicks, whose own mean is
    0.83 +- 0.08 (Wadrzyk et al., Human Movement 2017;18(4):27-33).
    """
    film = Film(seed=8, seconds=7, fps=60, roll=4, shake=3)
    found = figures(measuring, filmed(paced(hz, swing_m, speed_m_s), film, 0.3), length_m=2, length_of="line")
    assert found["strouhal"]["value"] == pytest.approx(strouhal, rel=0.02)
    assert found["speed_m_s"]["value"] == pytest.approx(speed_m_s, rel=0.01)
    assert found["kick_amplitude"]["value"] == pytest.approx(swing_m, rel=0.02)
    assert found["kick_amplitude"]["unit"] == "m"
    assert (strouhal != 0.852) or abs(found["strouhal"]["value"] - 0.83) < 0.08


@pytest.mark.parametrize(("hz", "per_kick_m"), [(1.6, 0.50), (0.96, 0.83), (0.80, 1.00), (0.64, 1.25)])
def test_the_way_of_each_kick_is_speed_by_rate(measuring: Page, hz: float, per_kick_m: float) -> None:
    """At 0.8 m/s barefoot, with small and large fins, with a monofin: Zamparo et al., Eur J Appl Physiol
    2006;96:459-470 (0.50 m printed, the others derived from the printed rates)."""
    found = figures(measuring, filmed(paced(hz, 0.4, 0.8), Film(seed=8, seconds=7, roll=4), 0.3), length_m=2)
    assert found["per_kick_m"]["value"] == pytest.approx(per_kick_m, abs=0.01)


def test_front_and_back_of_a_kick_are_told_apart_in_time_and_way(measuring: Page) -> None:
    for forward, front in ((0.5, 0.5), (0.35, 0.5), (0.5, 0.65), (0.6, 0.3)):
        places = paced(0.8, 0.5, 1.0, forward, front)
        found = figures(measuring, filmed(places, Film(seed=8, seconds=8, roll=4), 0.3))
        for code, share in (("kick_symmetry_time", forward), ("kick_symmetry_amplitude", front)):
            assert found[code]["value"] == pytest.approx(share, abs=0.02), code
            assert abs(found[code]["value"] - share) < 3 * found[code]["error"] + 0.005, code


def test_front_and_back_are_seen_from_the_trunk_of_a_diver_who_leans_against_the_line(measuring: Page) -> None:
    def leaning(t: float) -> dict[str, Spot]:
        spots = paced(0.8, 0.5, 0.0, front=0.4)(t)
        x, y = spots["hip"]
        turn = np.exp(1j * np.radians(12))
        body = {name: complex(a - x, b - y) * turn for name, (a, b) in spots.items() if "line" not in name}
        return {**spots, **{name: (float(x + way.real), float(y + way.imag)) for name, way in body.items()}}

    found = figures(measuring, filmed(leaning, Film(seed=8, seconds=8)))
    assert found["kick_symmetry_amplitude"]["value"] == pytest.approx(0.4, abs=0.02)


def test_a_kick_that_is_wholly_behind_the_body_has_no_share_in_front(measuring: Page) -> None:
    for front in (-0.2, 1.3):
        found = figures(measuring, filmed(paced(0.8, 0.5, 1.0, 0.5, front), Film(seed=8, seconds=8)))
        assert "kick_symmetry_amplitude" not in found
        assert found["kick_symmetry_time"]["value"] == pytest.approx(0.5, abs=0.02)


@pytest.mark.parametrize("cycles", [3.3, 3.5, 3.8, 4.2])
def test_a_mean_is_that_of_whole_kicks_wherever_the_clip_was_cut(measuring: Page, cycles: float) -> None:
    found = figures(measuring, swimmer(Film(seed=5, seconds=cycles / 0.9)))
    assert found["knee_flexion_mean"]["value"] == pytest.approx(24, abs=0.4)


@pytest.mark.parametrize("length_of", ["line", "leg", "body"])
def test_any_known_length_gives_the_same_metres(measuring: Page, length_of: str) -> None:
    film = Film(seed=5, seconds=6)

    known = {"length_m": LENGTHS[length_of] / 100, "length_of": length_of}
    found = figures(measuring, filmed(lambda t: going(film, t), film), **known)
    assert found["speed_m_s"]["value"] == pytest.approx(0.9, rel=0.01)
    assert found["per_kick_m"]["value"] == pytest.approx(1.0, rel=0.01)


def test_a_diver_who_stays_at_one_depth_has_no_way_of_each_kick(measuring: Page) -> None:
    found = figures(measuring, swimmer(FILM, 0.3), length_m=3)
    assert found["speed_m_s"]["value"] < 0.05
    assert not {"per_kick_m", "strouhal"} & set(found)


def test_a_mark_on_the_line_that_was_set_anew_is_no_jump_of_the_diver(measuring: Page) -> None:
    """The camera follows: after 3 seconds the next two depth marks are marked, 2 metres further down."""
    tracks = filmed(paced(0.8, 0.4, 1.0), Film(seed=8, seconds=6))
    for track in tracks[90:]:
        for name in ("line_top", "line_low"):
            track["points"][name]["y"] += 200
    tracks[90]["marked"] = ["line_top", "line_low"]
    found = figures(measuring, tracks, length_m=2)
    assert found["speed_m_s"]["value"] == pytest.approx(1.0, rel=0.01)
    del tracks[90]["marked"]
    assert figures(measuring, tracks, length_m=2)["speed_m_s"]["value"] < 0.8  # so the note of it counts


def test_without_a_length_nothing_in_metres_and_without_a_line_nothing_against_it(measuring: Page) -> None:
    tracks = swimmer(FILM)
    metres = {"speed_m_s", "per_kick_m", "strouhal"}
    assert not metres & set(figures(measuring, tracks))
    for track in tracks:
        del track["points"]["line_top"]
    found = figures(measuring, tracks, length_m=0.9, length_of="leg")
    assert not (metres | {"trunk_sway", "kick_amplitude"}) & set(found)
    assert {"kick_hz", "knee_flexion_most"} <= set(found)
    for track in tracks:
        track["points"] = {name: spot for name, spot in track["points"].items() if name in ("hip", "ankle")}
    assert set(figures(measuring, tracks)) == {"kick_hz"}
    assert figures(measuring, []) == {}


def test_under_three_kicks_only_the_deepest_bends_are_told(measuring: Page) -> None:
    found = figures(measuring, swimmer(Film(seed=5, seconds=2.5)), length_m=3)
    assert set(found) == {"knee_flexion_most", "fin_bend_most"}
    assert ask(measuring, "phases", swimmer(Film(seed=5, seconds=2.5))) == []


def test_points_that_were_lost_for_a_while_leave_a_gap_and_change_little(measuring: Page) -> None:
    tracks = swimmer(FILM, 0.3)
    for track in tracks[40:52]:
        del track["points"]["knee"]
    for track in tracks[90:100]:
        del track["points"]["fin"]
    found, whole = figures(measuring, tracks), figures(measuring, swimmer(FILM, 0.3))
    assert set(found) == set(whole)
    assert found["kick_hz"]["value"] == pytest.approx(whole["kick_hz"]["value"], rel=0.02)
    assert found["knee_flexion_most"]["value"] == pytest.approx(whole["knee_flexion_most"]["value"], abs=1)


def test_the_uncertainty_of_a_joint_is_that_of_its_marks(measuring: Page) -> None:
    """2 pixels on limbs of 120 pixels near a straight joint: 2 / 120 * sqrt(1 + 1 + 4) = 2.3 degrees."""

    def places(t: float) -> dict[str, Spot]:
        bend = np.radians(4 + 2 * np.sin(2 * pi * t))
        return {"hip": (200, 100), "knee": (200, 220),
                "ankle": (float(200 - 120 * np.sin(bend)), float(220 + 120 * np.cos(bend)))}  # fmt: skip

    tracks = filmed(places, Film(seed=1, seconds=5))
    errors = {px: figures(measuring, tracks, mark_error_px=px)["knee_flexion_most"]["error"] for px in (0, 1, 2)}
    assert errors[2] == pytest.approx(2.34, abs=0.05)
    assert errors[1] == pytest.approx(errors[2] / 2, abs=0.02)
    assert errors[0] < 0.05


def test_the_error_of_marking_is_what_repeated_marks_differ_by(measuring: Page) -> None:
    random = np.random.default_rng(4)
    repeats = [
        [dict(zip("xy", random.normal(place, 1.7, 2).tolist(), strict=True)) for _ in range(5)]
        for place in (100, 300, 250, 50, 80, 900)
    ]
    spread = [np.var([[mark["x"], mark["y"]] for mark in marks], axis=0, ddof=1) for marks in repeats]
    assert ask(measuring, "markError", repeats) == pytest.approx(np.sqrt(np.mean(spread)))
    assert ask(measuring, "markError", [[{"x": 1, "y": 2}]]) == 2  # not repeated: what is usual


def test_stated_uncertainties_hold_the_truth_about_as_often_as_they_say(measuring: Page) -> None:
    """Each mark is set beside its place by a random 2 pixels, once for the whole clip."""
    bent, _ = over_a_cycle(FILM)
    random = np.random.default_rng(17)
    off = []
    for _ in range(40):
        tracks = swimmer(FILM, 0.3)
        for name in tracks[0]["points"]:
            dx, dy = random.normal(0, 2, 2)
            for track in tracks:
                track["points"][name]["x"] += dx
                track["points"][name]["y"] += dy
        most = figures(measuring, tracks, mark_error_px=2)["knee_flexion_most"]
        off.append(abs(most["value"] - max(one["knee"] for one in bent)) / most["error"])
    assert 0.85 <= np.mean(np.array(off) < 2) <= 1
    assert np.mean(np.array(off) < 0.5) < 0.6


def test_the_phase_runs_from_one_foremost_moment_to_the_next(measuring: Page) -> None:
    found = ask(measuring, "phases", filmed(paced(0.8, 0.5, 1.0, forward=0.3), Film(seed=8, seconds=6)))
    assert len(found) > 100
    for one in found:
        assert (one["phase"] + 0.3 - 0.8 * one["t_s"] + 0.5) % 1 - 0.5 == pytest.approx(0, abs=0.02)
        assert 0 <= one["phase"] < 1


@pytest.mark.parametrize("fps", [30, 60])
def test_pulls_have_a_rate_and_a_length(measuring: Page, fps: int) -> None:
    """Hand over hand: while a hand holds the line, the body goes 0.9 m past it at 0.75 m/s on the mean."""
    hz, reach_m, speed = 0.5, 0.9, 0.75

    def places(t: float) -> dict[str, Spot]:
        y = 300 + 100 * speed * t
        hand = y + 60 + 50 * reach_m * float(np.cos(2 * pi * hz * t))
        return {"shoulder": (180.0, y), "hip": (180.0, y - 50), "hand_low": (100.0, hand), "line_top": (100.0, 50.0),
                "line_low": (100.0, 250.0)}  # fmt: skip

    tracks = filmed(places, Film(seed=3, seconds=8, fps=fps, roll=4, shake=4), 0.4)
    found = figures(measuring, tracks, style="pull", length_m=2)
    assert {code: one["value"] for code, one in found.items()} == pytest.approx(
        {"pull_hz": hz, "pull_m": reach_m, "speed_m_s": speed}, rel=0.02
    )
    assert set(figures(measuring, tracks, style="pull")) == {"pull_hz"}
    at = ask(measuring, "phases", tracks, "pull")  # from one furthest reach to the next: the hand is there at 0 s
    assert len(at) >= 4 * fps - 1
    assert all((one["phase"] - hz * one["t_s"] + 0.5) % 1 - 0.5 == pytest.approx(0, abs=0.03) for one in at)


def test_a_camera_that_turns_or_comes_nearer_is_noticed(measuring: Page) -> None:
    def stretched(x_share: float, y_share: float) -> Tracks:
        def places(t: float) -> dict[str, Spot]:
            return {
                name: (200 + (x - 200) * (1 + x_share * t), 240 + (y - 240) * (1 + y_share * t))
                for name, (x, y) in on_the_line(FILM, t).items()
            }

        return filmed(places, Film(seed=5, seconds=6, roll=5, shake=5), 0.4)

    assert ask(measuring, "cameraWarning", stretched(0, 0)) is None
    assert ask(measuring, "cameraWarning", stretched(0.05, 0.05)) == "camera_distance"
    assert ask(measuring, "cameraWarning", stretched(-0.12, 0)) == "camera_angle"
    assert ask(measuring, "cameraWarning", []) is None


def test_a_fin_that_was_not_marked_is_replaced_by_the_ankle(measuring: Page) -> None:
    tracks = swimmer(FILM, 0.2)
    for track in tracks:
        del track["points"]["fin"]
    found = figures(measuring, tracks)
    assert found["kick_hz"]["value"] == pytest.approx(FILM.hz, rel=0.02)
    _, spots = over_a_cycle(FILM)
    swing = np.ptp([one["ankle"][0] for one in spots]) / (THIGH + SHANK)
    assert found["kick_amplitude"]["value"] == pytest.approx(swing, rel=0.02)
    assert "fin_bend_most" not in found
