"""Time a whole set of dive cards for 260 rungs beside a plain loop over gsw: `python tests/bench/water.py`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import gsw

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from webapp.water.card import Line, Marks, Overdue, Safety, make_card
from webapp.water.pressure import Water, pressure_table
from webapp.water.times import Pace

RUNGS = [0.5 * row for row in range(1, 261)]
LATITUDE, TEMPERATURE_C, SALINITY = 30.0, 22.0, 35.0
MOST_MS = 30.0


def our_cards() -> float:
    """Make the table of pressures and the card of each rung to 130 m, and return the last pressure in dbar."""
    water = Water(SALINITY, TEMPERATURE_C, LATITUDE)
    bars = pressure_table(130, 0.5, water)
    pace, line = Pace(1.0, 0.9, 1.0, 3, 20), Line(200, 0.5, 3)
    marks, safety, overdue = Marks(22, (30, 50)), Safety(1 / 3, 30, 25, 1.0, 5, 0.5), Overdue(0.2, 20)
    for rung in RUNGS:
        make_card(rung, pace, line, marks, safety, overdue, water)
    return (bars[-1] - water.surface_bar) * 10


def our_pressures() -> float:
    """Make the table of pressures only, and return the last one in dbar."""
    water = Water(SALINITY, TEMPERATURE_C, LATITUDE)
    return (pressure_table(130, 0.5, water)[-1] - water.surface_bar) * 10


def gsw_loop() -> float:
    """Integrate gsw's density and gravity once down the same 260 half metres: pressure only, no card."""
    absolute, dbar = SALINITY * 35.16504 / 35, 0.0
    for _ in RUNGS:
        half = dbar + 0.25 * gsw.rho_t_exact(absolute, TEMPERATURE_C, dbar) * gsw.grav(LATITUDE, dbar) / 1e4
        dbar += 0.5 * gsw.rho_t_exact(absolute, TEMPERATURE_C, half) * gsw.grav(LATITUDE, half) / 1e4
    return float(dbar)


def milliseconds(work: Callable[[], float], rounds: int = 15) -> tuple[float, float]:
    """Return the median time of some rounds in ms, and what the work returned."""
    times = []
    for _ in range(rounds):
        begin = perf_counter()
        result = work()
        times.append((perf_counter() - begin) * 1000)
    return sorted(times)[rounds // 2], result


def main() -> int:
    """Print both times and their ratio; fail when the cards take too long or the pressures differ."""
    plain_ms, plain_dbar = milliseconds(gsw_loop)
    table_ms, _ = milliseconds(our_pressures)
    ours_ms, ours_dbar = milliseconds(our_cards)
    print(f"pressures alone, 260 rungs      {table_ms:7.2f} ms")
    print(f"cards and pressures, 260 rungs  {ours_ms:7.2f} ms   (at most {MOST_MS:g} ms)")
    print(f"plain loop over gsw, pressures  {plain_ms:7.2f} ms")
    print(f"ratio pressures / gsw           {table_ms / plain_ms:7.2f}")
    print(f"ratio cards / gsw               {ours_ms / plain_ms:7.2f}")
    print(f"pressure at 130 m               {ours_dbar:.4f} against {plain_dbar:.4f} dbar")
    return int(ours_ms > MOST_MS or abs(ours_dbar / plain_dbar - 1) > 5e-4)


if __name__ == "__main__":
    raise SystemExit(main())
