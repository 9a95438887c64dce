import pytest
from support.phones import DIVE, NOW, SEASON, Phone

from webapp import store
from webapp.actions import seasons
from webapp.actions.errors import NotFound
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook
from webapp.store import users
from webapp.store.values import User

TODAY = "2031-04-01"
EDITION = read_rulebook().edition


@pytest.fixture
def ivo(runa: User) -> User:
    with store.transaction():
        return users.add_user("Ivo", "ivo", "none", "t")


def save(user: User, name: str = "Spring", **changes: object) -> int:
    return seasons.save_season(user.id, None, name, {**SEASON, **changes}, NOW).id


def active(user: User) -> list[int]:
    return [row.id for row in seasons.list_seasons(user.id) if row.active]


def test_a_season_comes_back_as_it_was_typed_and_the_first_is_active(runa: User) -> None:
    first, second = save(runa, "  Spring "), save(runa, "Autumn")

    row = seasons.get_season(runa.id, first)
    site = {**SEASON["site"], "record": row.raw["site"]["record"]}
    assert (row.name, row.raw, row.active) == ("Spring", {**SEASON, "book": EDITION, "site": site}, True)
    assert [one.name for one in seasons.list_seasons(runa.id)] == ["Spring", "Autumn"]
    assert [first] == active(runa)
    assert not seasons.get_season(runa.id, second).active


def test_a_new_season_says_with_which_edition_of_the_rulebook_it_was_made_and_an_older_one_keeps_its_own(
    runa: User,
) -> None:
    new, older = save(runa), save(runa, book=1)
    seasons.save_season(runa.id, older, "Spring", SEASON, NOW)

    assert [seasons.get_season(runa.id, one).raw["book"] for one in (new, older)] == [EDITION, 1]


def test_a_season_with_faults_is_not_saved_and_every_fault_is_told(runa: User) -> None:
    with pytest.raises(Refused) as refused:
        save(runa, " ", days_on=0, lead=["CWT"], site={"name": "x", "bottom_m": 1})

    assert {"name", "days_on", "lead[0]", "site.bottom_m"} == {one.field for one in refused.value.faults}
    assert seasons.list_seasons(runa.id) == []


def test_a_rule_out_of_bounds_hides_no_other_fault_of_the_season(runa: User) -> None:
    with pytest.raises(Refused) as refused:
        save(runa, days_on=0, rules={"lmc.no_deep_days": -1, "no.such_rule": 1})

    assert {"days_on", "rules.lmc.no_deep_days", "rules.no.such_rule"} == {one.field for one in refused.value.faults}


def test_a_change_is_seen_by_the_plan_at_once_even_within_the_same_second(runa: User) -> None:
    season_id = save(runa)
    before = seasons.current(runa.id, TODAY)
    seasons.save_season(runa.id, season_id, "Spring", {**SEASON, "first_day": "2031-03-29"}, NOW)
    after = seasons.current(runa.id, TODAY)

    assert before is not None
    assert after is not None
    assert (before.sheet["first_day"], after.sheet["first_day"]) == ("2031-03-28", "2031-03-29")


def test_a_new_season_becomes_active_when_the_active_one_is_over_and_not_before(runa: User) -> None:
    first = save(runa)
    last_day = seasons.get_season(runa.id, first).raw["last_day"]
    seasons.save_season(runa.id, None, "Summer", SEASON, NOW, today=last_day)
    assert active(runa) == [first]
    third = seasons.save_season(runa.id, None, "Next", SEASON, NOW, today="2099-01-01").id
    assert active(runa) == [third]


def test_an_active_season_that_a_change_made_longer_is_not_over_on_its_first_last_day(runa: User) -> None:
    change = {"from": SEASON["last_day"], "set": {"last_day": "2031-12-31"}, "why": "invented"}
    first = save(runa, changes=[change])
    seasons.save_season(runa.id, None, "Next", SEASON, NOW, today="2031-12-31")
    assert active(runa) == [first]


def test_only_one_season_is_active_and_the_plan_follows_it(runa: User) -> None:
    save(runa)
    second = save(runa, "Autumn")

    assert seasons.activate(runa.id, second).active

    assert [second] == active(runa)
    current = seasons.current(runa.id, TODAY)
    assert current is not None
    assert current.row.name == "Autumn"


def test_a_deleted_season_can_be_brought_back_and_the_log_stays(runa: User, send: object) -> None:
    season_id = save(runa)
    seasons.delete_season(runa.id, season_id, NOW)

    assert seasons.list_seasons(runa.id) == []
    assert seasons.current(runa.id, TODAY) is None
    with pytest.raises(NotFound):
        seasons.get_season(runa.id, season_id)

    seasons.restore_season(runa.id, season_id, NOW)
    assert [season_id] == active(runa)


def test_a_season_brought_back_does_not_push_the_active_one_aside(runa: User) -> None:
    first, second = save(runa), save(runa, "Autumn")
    seasons.activate(runa.id, second)
    seasons.delete_season(runa.id, first, NOW)
    seasons.restore_season(runa.id, first, NOW)

    assert [second] == active(runa)


def test_nobody_reaches_another_divers_season(runa: User, ivo: User) -> None:
    season_id = save(runa)
    seasons.delete_season(runa.id, save(runa, "Autumn"), NOW)

    for attempt in (
        lambda: seasons.get_season(ivo.id, season_id),
        lambda: seasons.save_season(ivo.id, season_id, "Mine", SEASON, NOW),
        lambda: seasons.activate(ivo.id, season_id),
        lambda: seasons.delete_season(ivo.id, season_id, NOW),
        lambda: seasons.restore_season(ivo.id, season_id + 1, NOW),
        lambda: seasons.get_season(runa.id, 10**30),
        lambda: seasons.restore_season(runa.id, season_id, NOW),
    ):
        with pytest.raises(NotFound):
            attempt()
    assert (seasons.get_season(runa.id, season_id).name, bool(active(runa))) == ("Spring", True)


def test_a_preview_saves_nothing_and_plans_what_is_typed(runa: User) -> None:
    plan = seasons.preview(SEASON, [], TODAY)

    assert plan["next"]["target_m"] == 38
    assert seasons.list_seasons(runa.id) == []
    with pytest.raises(Refused):
        seasons.preview({**SEASON, "days_on": 0}, [], TODAY)


def test_the_log_is_in_the_order_of_diving_whatever_the_order_of_arrival(runa: User, send: object) -> None:
    phone = Phone()
    for date, at in (("2031-03-30", "11:00"), ("2031-03-30", None), ("2031-03-29", "15:00"), ("2031-03-30", "09:05")):
        phone.put(fields={**DIVE, "date": date, "at": at})
    phone.put(kind="clearance", fields={"clearance": "2031-03-29", "by": "Dr Ames"})
    send(phone)  # type: ignore[operator]

    log = seasons.log_of(runa.id)

    assert [one.get("at") for one in log] == [None, "15:00", None, "09:05", "11:00"]
    assert [one.get("date", one.get("clearance")) for one in log[:3]] == ["2031-03-29", "2031-03-29", "2031-03-30"]
