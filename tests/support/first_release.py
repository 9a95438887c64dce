"""The first release's own planner, run in a process of its own: a sheet, a log that it planned, and its plan."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

RELEASE = Path(__file__).parents[1] / "faults" / "releases" / "first.zip"
# Dives the season as planned, day by day, and reads the plan on each of those days. All is clean but the deep dives
# whose number is in `bad`, which holds what is different of them.
STORY = """
import json, sys
from datetime import date, timedelta
from webapp.demo import _season
from webapp.planner.ladder import read
from webapp.planner.plan import sheet_of
from webapp.rules import read_rulebook

changes, days, bad = json.loads(sys.argv[1]), int(sys.argv[2]), json.loads(sys.argv[3])
raw = {**_season(date(2026, 5, 2)), **changes}
sheet, log, plans = sheet_of(raw, read_rulebook()), [], []
for index in range(days):
    today = (date(2026, 5, 2) + timedelta(index)).isoformat()
    plan = read(sheet, log, today)
    plans.append([today, len(log), plan])
    for dive in next(day for day in plan["days"] if day["date"] == today)["dives"]:
        at = f"{9 + len(log) % 9:02}:30"
        made = {name: dive[name] for name in ("discipline", "role", "target_m")}
        deep = sum(one["role"] == "deep" for one in log)
        went = bad.get(str(deep), {}) if dive["role"] == "deep" else {}
        log.append({**made, "id": f"{len(log):04}", "date": today, "at": at, "surfaced_at": None,
                    "reached_m": dive["target_m"], "dive_s": 80, "effort": 3, "signs": [], "note": "", **went})
print(json.dumps({"sheet": sheet, "log": log, "plans": plans}))
"""


def unpacked(to: Path) -> Path:
    """The whole tree of the first release, in this folder."""
    with zipfile.ZipFile(RELEASE) as packed:
        packed.extractall(to)
    return to


def story(tree: Path, days: int, bad: dict[int, dict[str, Any]] | None = None, **changes: Any) -> dict[str, Any]:
    """What the first release made of its demo's season with these changes: sheet, log, and the plan of each day."""
    argv = [sys.executable, "-c", STORY, json.dumps(changes), str(days), json.dumps(bad or {})]
    done = subprocess.run(argv, cwd=tree, capture_output=True, text=True, check=True)
    found: dict[str, Any] = json.loads(done.stdout)
    return found
