"""How the phone writes dates: in full and short, as the calendar has them."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from playwright.sync_api import Browser
from support.static_files import serving_static

STATIC = Path(__file__).parents[2] / "static"
WRITTEN = """(days) => import("/js/ui/words.js").then(({ longDay, shortDay, dayMonth }) =>
  days.map((day) => [longDay(day), shortDay(day), dayMonth(day)]))"""


def test_every_day_of_two_years_is_written_as_the_calendar_has_it_in_any_language_of_the_phone(
    chromium: Browser,
) -> None:
    days = [date(2027, 1, 1) + timedelta(days=number) for number in range(731)]
    with serving_static(STATIC) as address, chromium.new_context(locale="de-DE") as context:
        page = context.new_page()
        page.goto(f"{address}/css/base.css")
        written = page.evaluate(WRITTEN, [day.isoformat() for day in days])
    assert written == [
        [f"{day:%A} {day.day} {day:%B}", f"{day:%a} {day.day} {day:%b}", f"{day.day} {day:%b}"] for day in days
    ]
