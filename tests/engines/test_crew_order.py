"""The phones of a crew find the same order of diving, whatever their engine."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

from engines.conftest import ENGINES, noon_zone
from playwright.sync_api import Browser
from support.crews import LIMITS, boat_of, shuffled
from support.static_files import phone_modules, serving_static

STATIC = Path(__file__).parents[2] / "static"
BOATS = [boat_of(number, 8, 4) for number in range(9_100, 9_112)]
ORDER = """async (boats, limits) => {
  const { orderOf } = await import("/js/crew/order.js");
  const { namedId } = await import("/js/plan/named_id.js");
  const orders = JSON.parse(boats).map((boat) => orderOf(boat, JSON.parse(limits)));
  return JSON.stringify({ orders, id: namedId("guest", "crew", "ilka é") });
}"""


def test_the_order_of_diving_is_the_same_in_every_engine(
    engine: str, chromium: Browser, tmp_path: Path, moment: datetime
) -> None:
    with phone_modules(chromium, STATIC, "crew/order.js") as page:
        here = page.evaluate(f"([boats, limits]) => ({ORDER})(boats, limits)", [json.dumps(BOATS), json.dumps(LIMITS)])
    mixed = [shuffled(boat, number) for number, boat in enumerate(BOATS)]
    with (
        serving_static(STATIC) as address,
        ENGINES[engine](tmp_path, noon_zone(moment)) as opened,
        opened() as browser,
    ):
        browser.go(f"{address}/css/base.css")
        there = browser.ask(ORDER, json.dumps(mixed), json.dumps(LIMITS))
    assert json.loads(there) == json.loads(here)
