"""A stored season that cannot be planned: every page that needs the plan says so and what to do, and none breaks."""

from __future__ import annotations

from typing import Any

import pytest

from webapp import store
from webapp.actions import seasons, sharing

FAR_APART = {"pace.swim_m_s": 2, "pace.fall_m_s": 0.3, "fall.from_m": 5, "speed.FIM": 1.6}
CELLS = {f"rule:{name}": str(value) for name, value in FAR_APART.items()}


@pytest.fixture
def stored(planner_of_may, app) -> Any:
    """A diver whose active season was stored before its rules were checked together."""
    with app.app_context():
        row = seasons.get_season(1, 1)
        with store.transaction():
            store.seasons.change_season(row.id, row.name, {**row.raw, "rules": FAR_APART}, "t")
    return planner_of_may


def test_the_plan_says_that_the_season_cannot_be_planned_and_which_rule_to_change(stored) -> None:
    page = stored.get("/seasons/1/plan")

    assert page.status == 409
    assert "This season cannot be planned as it is. Change it or its rules" in page.words
    assert "pace.swim_m_s" in page.words
    assert "Bring the speeds of swimming, free fall and ascent closer together" in page.words


def test_body_and_water_shows_its_form_and_says_why_there_are_no_readings(stored) -> None:
    page = stored.get("/diver/")

    assert page.status == 200
    assert page.form("body_kg")
    assert "This season cannot be planned as it is" in page.words
    assert "/rulebook/" in page.links


@pytest.mark.parametrize("address", ["/seasons/", "/seasons/1", "/rulebook/", "/sharing/", "/account/"])
def test_every_other_page_is_there_as_ever(stored, address: str) -> None:
    assert stored.get(address).status == 200


def test_a_fault_of_the_body_is_told_all_the_same(stored) -> None:
    page = stored.fill("/diver/", {"body_kg": "7500"})

    assert page.status == 400
    assert page.fault_of("body_kg")


def test_the_body_cannot_be_saved_into_it_before_its_rules_go_together(stored) -> None:
    page = stored.fill("/diver/", {"body_kg": "75"})

    assert page.status == 400
    assert "does not go with the other speeds" in page.words


def test_it_is_planned_again_once_its_rules_are_changed(stored) -> None:
    assert "are saved" in stored.fill("/rulebook/", {"rule:pace.swim_m_s": "1"}).words
    assert stored.get("/seasons/1/plan").status == 200


def test_a_buddy_is_told_that_the_plan_is_not_known_and_not_that_there_is_none(stored, stranger, clock, app) -> None:
    with app.app_context():
        link = f"/share/{sharing.make_link(1, 'Ebba', clock())}"

    assert "The plan of this season cannot be calculated at the moment: ask the diver" in stranger.get(link).words


def test_rules_that_do_not_go_together_are_refused_beside_the_rule_with_what_was_typed(planner_of_may) -> None:
    page = planner_of_may.fill("/rulebook/", CELLS)

    assert page.status == 400
    assert "not go with the other speeds" in page.fault_of("rule:pace.swim_m_s")
    assert page.form("csrf_token")["fields"]["rule:pace.fall_m_s"] == "0.3"
    assert planner_of_may.get("/seasons/1/plan").status == 200
