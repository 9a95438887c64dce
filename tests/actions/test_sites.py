"""The site of a season: picked, made when there is none, kept when only the season changes, and sent to every phone."""

from __future__ import annotations

from typing import Any

from support.phones import NOW, SEASON, TODAY, Phone

from webapp import store
from webapp.actions import changing, histories, seasons, sites
from webapp.actions.changing import Holds
from webapp.store.values import User

WALL = {"name": "Skarn Wall", "latitude": 58.205758, "longitude": 10.5, "bottom_m": 80, "emergency_phone": "112"}
START = Holds(None, "", TODAY)


def known(user: User) -> dict[str, dict[str, Any]]:
    with store.reading():
        return sites.known(user.id)


def save(user: User, season_id: int | None = None, shown: str | None = None, **site: Any) -> dict[str, Any]:
    row = seasons.save_season(user.id, season_id, "Spring", {**SEASON, "site": site}, NOW, shown=shown)
    return dict(row.raw["site"])


def picked(user: User, send: Any, **fields: Any) -> str:
    """The id of a site that a phone has made."""
    phone = Phone()
    record = phone.put(kind="site", fields={**WALL, **fields})
    send(phone)
    assert phone.refused == []
    return record


def test_a_season_at_a_new_place_makes_its_site_which_every_phone_gets(runa: User, send: Any) -> None:
    other = Phone()
    send(other)
    site = save(runa, name="Invented Bay", bottom_m=60, water="salt", temperature_c=None)
    answer = send(other)

    assert other.shows() == {site["record"]: {"name": "Invented Bay", "bottom_m": 60, "water": "salt"}}
    assert answer["snapshot"]["season"]["site"] == site["record"]
    assert "record" not in answer["snapshot"]["sheet"]["site"]
    (step,) = histories.history(runa.id, site["record"])
    assert step.entry.asked.device == histories.SHORE


def test_a_second_season_at_the_same_place_has_the_same_site(runa: User) -> None:
    first, second = save(runa, name="Invented Bay", bottom_m=60), save(runa, name="invented bay ", bottom_m=55)
    assert first["record"] == second["record"]
    assert (second["bottom_m"], len(known(runa))) == (55, 1)


def test_a_season_without_the_name_of_a_place_has_no_site(runa: User) -> None:
    assert "record" not in save(runa, name=" ", bottom_m=60)
    assert known(runa) == {}


def test_what_a_picked_site_says_fills_the_fields_that_were_left_empty(runa: User, send: Any) -> None:
    record = picked(runa, send)
    site = save(runa, record=record, name="", bottom_m=70, latitude=None, temperature_c=None)
    assert site == {
        "record": record, "name": "Skarn Wall", "bottom_m": 70, "latitude": 58.205758, "temperature_c": None,
    }  # fmt: skip


def test_a_lake_that_is_picked_is_fresh_water_though_the_form_begins_with_salt(runa: User, send: Any) -> None:
    record = picked(runa, send, name="Odd Lake", water="fresh")
    assert save(runa, record=record, name="", water="salt")["water"] == "fresh"


def test_another_site_that_is_picked_replaces_what_the_form_showed_of_the_last_one(runa: User, send: Any) -> None:
    record = picked(runa, send)
    first = save(runa, name="Invented Bay", bottom_m=60)
    site = save(runa, 1, first["record"], record=record, name="Invented Bay", bottom_m=60, temperature_c=15)
    assert site == {
        "record": record, "name": "Skarn Wall", "bottom_m": 80, "latitude": 58.205758, "temperature_c": 15,
    }  # fmt: skip


def test_a_name_that_was_typed_counts_for_more_than_the_choice_that_was_left(runa: User) -> None:
    first = save(runa, name="Invented Bay", bottom_m=60)
    site = save(runa, 1, first["record"], record=first["record"], name="Odd Lake", bottom_m=40)
    assert site["record"] != first["record"]
    assert known(runa)[site["record"]]["name"] == "Odd Lake"


def test_a_site_renamed_on_a_phone_stays_the_site_of_its_season(runa: User, send: Any) -> None:
    first = save(runa, name="Invented Bay", bottom_m=60)
    phone = Phone()
    send(phone)
    phone.put(first["record"], {"name": "Invented Bay, north"}, kind="site")
    send(phone)
    assert save(runa, 1, first["record"], **first)["record"] == first["record"]
    assert save(runa, 1, name="Invented Bay", bottom_m=50)["record"] == first["record"]
    assert [site["name"] for site in known(runa).values()] == ["Invented Bay, north"]


def test_a_change_from_a_day_on_moves_the_season_to_another_site_and_its_phones_on_that_day(
    runa: User, send: Any
) -> None:
    first = save(runa, name="Invented Bay", bottom_m=60)
    record = picked(runa, send)
    typed = {**SEASON, "site": {**first, "record": record}}
    changing.change(runa.id, 1, "Spring", typed, Holds("2031-04-10", "", TODAY), NOW, TODAY, shown=first["record"])

    def site_on(day: str) -> str:
        return str(send(Phone(), today=day)["snapshot"]["season"]["site"])

    assert (site_on("2031-04-09"), site_on("2031-04-10")) == (first["record"], record)
    assert seasons.get_season(runa.id, 1).raw["changes"][0]["set"]["site"]["name"] == "Skarn Wall"


def test_a_phone_is_told_on_which_days_of_all_seasons_the_diver_is_at_the_site_of_today(runa: User, send: Any) -> None:
    first = save(runa, name="Invented Bay", bottom_m=60)
    record = picked(runa, send)
    typed = {**SEASON, "site": {**first, "record": record}}
    changing.change(runa.id, 1, "Spring", typed, Holds("2031-04-10", "", TODAY), NOW, TODAY, shown=first["record"])
    later = {
        **SEASON,
        "first_day": "2032-04-01",
        "last_day": "2032-04-20",
        "site": {"name": "Invented Bay", "bottom_m": 60},
    }
    seasons.save_season(runa.id, None, "Spring again", later, NOW)

    def days_at(day: str) -> list[list[str]]:
        return list(send(Phone(), today=day)["snapshot"]["season"]["days_at"])

    seasons.activate(runa.id, 2)
    at_bay = [[SEASON["first_day"], "2031-04-09"], ["2032-04-01", "2032-04-20"]]
    assert days_at("2032-04-02") == at_bay
    seasons.activate(runa.id, 1)
    assert days_at("2031-04-10") == [["2031-04-10", SEASON["last_day"]]]


def test_saving_a_season_as_it_was_shown_changes_nothing_of_its_site(runa: User) -> None:
    first = save(runa, name="Invented Bay", bottom_m=60)
    row, _ = changing.change(runa.id, 1, "Spring", {**SEASON, "site": {**first}}, START, NOW, TODAY)
    assert (row.raw["site"], row.raw.get("changes")) == (first, None)
    row, _ = changing.change(runa.id, 1, "Spring", {**SEASON}, Holds("2031-04-10", "", TODAY), NOW, TODAY)
    assert (row.raw["site"], row.raw.get("changes")) == (first, None)


def test_the_site_of_another_diver_cannot_be_picked(runa: User, send: Any) -> None:
    theirs = "00000000-0000-4000-8000-000000000009"
    site = save(runa, record=theirs, name="Invented Bay", bottom_m=60)
    assert site["record"] != theirs
    assert known(runa)[site["record"]]["name"] == "Invented Bay"
