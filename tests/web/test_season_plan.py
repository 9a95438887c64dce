"""The plan of a season on shore: what stands beside its targets, and with which edition it was made."""

import re

from support.phones import Phone

from webapp.actions import seasons, sync


def stored(app, **changes) -> None:
    """Change parts of the stored season."""
    with app.app_context():
        row = seasons.get_season(1, 1)
        seasons.save_season(1, 1, row.name, {**row.raw, **changes}, app.config["NOW"]())


def test_a_target_says_beside_it_that_it_is_deeper_than_the_best_and_which_goal_it_reaches(planner_of_may) -> None:
    page = planner_of_may.get("/seasons/1/plan")

    assert "deeper than your best of 41 m" in page.words
    assert "reaches 44 m (floor)" in page.words
    assert re.search(r"Comfortable at 38\.5 m , best 41 m \. The ladder ends at 52 m, your deepest goal\.", page.words)


def test_a_drill_says_what_it_is_for(planner_of_may, app) -> None:
    drills = [
        {"discipline": "CNF", "depth_m": 16, "dives": 1, "focus": "soft turn"},
        {"discipline": "CNF", "depth_m": 16, "dives": 1, "focus": "long glide"},
    ]
    block = {"first_day": "2027-05-03", "last_day": "2027-05-30", "main": "FIM", "days_on": 2, "days_off": 1}
    old = dict.fromkeys(("days_on", "days_off", "block_days", "break_days", "lead", "drill"))
    stored(app, **old, blocks=[{**block, "drills": drills}])
    page = planner_of_may.get("/seasons/1/plan")

    assert "CNF drill 16 m : soft turn CNF drill 16 m : long glide" in page.words


def test_days_off_that_a_diver_asked_for_say_so_once(planner_of_may, clock) -> None:
    phone = Phone()
    phone.put(kind="day", fields={"date": "2027-05-10", "to": "2027-05-16", "no_diving": "sick"})
    phone.take(sync.sync(1, phone.request(today="2027-05-10"), clock()))
    page = planner_of_may.get("/seasons/1/plan")

    assert page.words.count("No diving, as you said: sick") == 1
    assert page.html.count('data-kind="off"') > 1
    assert page.html.count(">No diving</p>") >= 1


def test_a_season_says_with_which_edition_of_the_rulebook_it_was_made_when_there_is_a_newer_one(
    planner_of_may, app
) -> None:
    assert "Made with edition" not in planner_of_may.get("/seasons/1/plan").words
    stored(app, book=1)
    assert (
        "Made with edition 1 of the rulebook ; the current one is edition 2."
        in planner_of_may.get("/seasons/1/plan").words
    )
