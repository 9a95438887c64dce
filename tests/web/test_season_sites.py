"""The site of a season on its form: chosen without script, filled in, made when it is new."""

from __future__ import annotations

from typing import Any

import pytest
from support.phones import Phone

from webapp.actions import seasons, sites, sync

WALL = {
    "name": "Skarn <Wall>", "latitude": 58.205758, "longitude": 10.5, "bottom_m": 80, "water": "fresh",
    "emergency_phone": "112",
}  # fmt: skip


@pytest.fixture
def wall(planner_of_may: Any, clock: Any) -> str:
    """The id of a site that the phone has made, beside the season's own."""
    phone = Phone()
    record = phone.put(kind="site", fields=WALL)
    phone.take(sync.sync(1, phone.request(today="2027-05-10"), clock()))
    return record


def site_of(season_id: int = 1) -> dict[str, Any]:
    return dict(seasons.get_season(1, season_id).raw["site"])


def test_the_form_offers_the_divers_sites_with_that_of_the_season_chosen(planner_of_may: Any, wall: str) -> None:
    page = planner_of_may.get("/seasons/1")
    own = site_of()["record"]

    assert page.form("site_record")["fields"]["site_record"] == own
    assert [given["value"] for tag, given in page.tags if tag == "option" and given["value"] in (own, wall)] == [
        own, wall,
    ]  # fmt: skip
    assert "Skarn &lt;Wall&gt;" in page.html


def test_a_site_that_is_chosen_takes_the_place_of_what_the_form_showed_also_after_a_preview(
    planner_of_may: Any, wall: str
) -> None:
    shown = planner_of_may.fill("/seasons/1", {"do": "preview", "site_record": wall}, holding="site_record")
    assert "Plan" in shown.words
    page = planner_of_may.send(shown, "", {"do": "save", "holds-since": "start"}, holding="site_record")

    assert "is saved" in page.words
    site = site_of()
    assert (site["record"], site["name"], site["bottom_m"], site["water"]) == (wall, "Skarn <Wall>", 80, "fresh")


def test_another_name_on_the_form_makes_another_site(planner_of_may: Any) -> None:
    planner_of_may.fill("/seasons/1", {"do": "save", "site_name": "Odd Lake"}, holding="site_record")
    assert [site["name"] for site in sites.listed(1).values()] == ["Holm Rock", "Odd Lake"]


def test_the_first_season_has_no_site_to_choose_and_makes_its_own(diver: Any) -> None:
    page = diver.get("/seasons/new/all")
    assert "site_record" not in page.form("site_name")["fields"]


def test_a_season_that_is_saved_again_as_shown_makes_no_second_site(planner_of_may: Any) -> None:
    before = site_of()
    planner_of_may.fill("/seasons/1", {"do": "save"}, holding="site_record")
    assert site_of() == before
    assert len(sites.listed(1)) == 1
