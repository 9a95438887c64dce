"""What a run order saves against deepest first with waiting, and how long it takes: `python tests/bench/run_order.py`.

In a real browser, on boats of 6 to 12 dives and 3 to 8 people, at full speed and slowed down 4 times. The habit that it
is compared with: the deepest dive first, each diver's deep dives before the drills, everybody waits for whoever comes
next, and the safety divers who can begin first. Exits 1 when 12 dives take longer than the goals.
"""

from __future__ import annotations

import os
import statistics
import sys
from itertools import combinations
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from playwright.sync_api import Page  # noqa: E402
from support.browsers import running_browser  # noqa: E402
from support.crew_rules import Boat, faults, worth  # noqa: E402
from support.crews import LIMITS, plain_boat  # noqa: E402
from support.static_files import phone_modules  # noqa: E402

SIZES, BOATS, SLOWER = (6, 8, 10, 12), 20, 4
FIRST_MS, ALL_MS = 100, 1000  # goals for 12 dives, slowed down
Json = dict[str, Any]
TIMED = """([boats, limits]) => boats.map((boat) => {
  const began = performance.now();
  const given = window.reader.betterOrders(boat, limits);
  given.next();
  const first = performance.now() - began;
  for (const _ of given);
  return [first, performance.now() - began];
})"""
FOUND = "([boats, limits]) => boats.map((boat) => window.reader.orderOf(boat, limits))"


def deepest_first(raw: Json) -> Json:
    """Return the order of the habit, as rows."""
    boat = Boat(raw, LIMITS)
    left = [boat.dives[name] for name in boat.coming if not boat.is_out(boat.dives[name])]
    free, line_m = boat.line_free, boat.line_m
    known = [dict(one) for one in (boat.free, boat.deep_free, boat.rested, boat.duties)]
    rows: list[Json] = []
    while left:
        dive = max((one for one in left if not waits_for_deep(one, left)), key=lambda one: (one["depth_m"], one["id"]))
        left.remove(dive)
        ready = max(raw["at"], free + boat.set_up(line_m, dive["depth_m"]))
        begins, safety = start_of(boat, dive, ready, known)
        free, line_m = begins + dive["half_minutes"], dive["depth_m"]
        rows.append({"dive": dive["id"], "begins": begins, "ends": free, "safety": safety})
        boat.after(dive, free, safety, *known)
    return {"rows": rows}


def waits_for_deep(dive: Json, left: list[Json]) -> bool:
    """Tell whether a drill's diver still has a deep dive to do, or a deep dive's diver a warm-up."""
    mine = [one for one in left if one["person"] == dive["person"]]
    if dive["deep"] is True:
        return any(one.get("warm_up") for one in mine)
    return dive["deep"] is False and any(one["deep"] is True for one in mine)


def start_of(boat: Boat, dive: Json, ready: int, known: list[Json]) -> tuple[int, list[str]]:
    """Return when a dive begins at the earliest, and with whom as safety."""
    free, deep, rested, duties = known
    own = max(ready, free[dive["person"]], deep[dive["person"]] if boat.beyond(dive) else 0)
    ways = [(max([own, *[rested[name] for name in names]]), sum(duties[name] for name in names), names)
            for names in combinations(boat.able(dive), boat.need(dive))]  # fmt: skip
    begins, _, names = min(ways)
    return begins, list(names)


def boats_of(size: int) -> list[Json]:
    """Return the invented boats with so many dives."""
    return [plain_boat(number, size, 3 + number % 6) for number in range(BOATS)]


def saved(page: Page, size: int) -> None:
    """Print what the order saves on boats of this size."""
    minutes, metres, changes, longer = [], [], [], 0
    boats = boats_of(size)
    for raw, found in zip(boats, page.evaluate(FOUND, [boats, LIMITS]), strict=True):
        assert faults(Boat(raw, LIMITS), found) == []
        habit = deepest_first(raw)
        mine, other = worth(Boat(raw, LIMITS), found), worth(Boat(raw, LIMITS), habit)
        minutes.append((habit["rows"][-1]["ends"] - found["rows"][-1]["ends"]) / 2)
        metres.append((other[2] - mine[2]) / 10)
        changes.append(other[1] - mine[1])
        longer += minutes[-1] < 0
    print(
        f"  {size:2} dives: {statistics.mean(minutes):5.1f} minutes (at most {max(minutes):.0f}; longer on {longer} of "
        f"{BOATS}), {statistics.mean(metres):5.1f} m of line, {statistics.mean(changes):4.1f} changes less"
    )


def took(page: Page, size: int) -> tuple[float, float]:
    """Print the times of boats of this size; return the median ones of the first and of the last answer."""
    times = page.evaluate(TIMED, [boats_of(size), LIMITS])
    first, last = ([one[at] for one in times] for at in (0, 1))
    middle = statistics.median(first), statistics.median(last)
    print(
        f"  {size:2} dives: first answer {middle[0]:4.0f} ms (at most {max(first):4.0f}), "
        f"best {middle[1]:4.0f} ms (at most {max(last):4.0f})"
    )
    return middle


def main() -> int:
    """Measure and print; 1 beyond the goals."""
    with running_browser() as browser, phone_modules(browser, ROOT / "static", "crew/order.js") as page:
        print(f"Saved against deepest first with waiting, mean of {BOATS} boats:")
        for size in SIZES:
            saved(page, size)
        slow = page.context.new_cdp_session(page)
        middle = (0.0, 0.0)
        for rate in (1, SLOWER):
            slow.send("Emulation.setCPUThrottlingRate", {"rate": rate})
            print(f"Times, slowed down {rate} times, load {os.getloadavg()[0]:.1f}:")
            for size in SIZES:
                middle = took(page, size)
    return int(middle[0] > FIRST_MS or middle[1] > ALL_MS)


if __name__ == "__main__":
    sys.exit(main())
