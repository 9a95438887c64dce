"""The buddy's page: what it shows, and above all what it does not."""

import json
from uuid import uuid4

import pytest
from support.phones import Phone, operation

from webapp import store
from webapp.actions import sharing, sites, storing, sync
from webapp.store import feeds
from webapp.web import filters

SIGNS = ("blood", "cough", "lmc", "blackout", "urge")
HEALTH = (*SIGNS, "squeeze", "stand-down", "doctor", "clearance", "hurt", "injury", "hard", "secret note")


@pytest.fixture
def link(planner_of_may, clock) -> str:
    return f"/share/{sharing.make_link(1, 'Ebba', clock(), shows_over=True)}"


def log(clock, **fields) -> None:
    """Log one dive of the first diver through the phone's door."""
    dive = {
        "date": "2027-05-10", "at": "09:10", "surfaced_at": None, "discipline": "FIM", "role": "deep", "target_m": 38,
        "reached_m": 38, "dive_s": 84, "effort": 4, "signs": [], "note": "", **fields,
    }  # fmt: skip
    operation = {
        "op": str(uuid4()), "schema": 1, "kind": "dive", "record": str(uuid4()), "action": "put", "fields": dive,
        "base": 0, "counter": 1, "made_at": "2027-05-10T09:10:00Z",
    }  # fmt: skip
    asked = {
        "schema": 1, "device": str(uuid4()), "epoch": None, "mark": 0, "today": "2027-05-10", "utc_offset_min": 0,
        "user": None, "operations": [operation],
    }  # fmt: skip
    answer = sync.sync(1, asked, clock())
    assert [result["status"] for result in answer["results"]] == ["stored"]


def test_the_list_shows_who_when_how_deep_and_how_long_from_today_on(stranger, link) -> None:
    page = stranger.get(link)

    assert page.status == 200
    assert "Dives of Runa Tidewell" in page.words
    assert "Mon 10 May 2027" in page.words
    assert "Sun 9 May 2027" not in page.words
    assert "38 m FIM deep dive about 1:" in page.words
    assert "Holm Rock" in page.words


def test_the_list_says_as_of_when_it_holds_and_what_it_is_not(stranger, link) -> None:
    page = stranger.get(link)

    assert "As of Mon 10 May 2027, 09:30 UTC" in page.words
    assert "Before each dive, on the boat, talk it through with the diver" in page.words


def test_the_list_for_the_phone_says_the_same_as_the_page(stranger, link) -> None:
    said = json.loads(stranger.get(link + "/list.json").html)

    assert said["app"] == "lineslate"
    assert said["days"][0]["date"] == "2027-05-10"
    assert said["days"][0]["dives"][0]["target_m"] == 36


def test_a_dive_that_was_done_is_marked(stranger, link, clock) -> None:
    log(clock)

    assert "done" in stranger.get(link).words


@pytest.mark.parametrize("signs", [["blood", "cough"], ["lmc"], ["blackout"], ["urge_at_bottom"]])
def test_nothing_of_the_divers_health_is_on_the_page_or_in_the_list(stranger, link, clock, signs) -> None:
    log(clock, signs=signs, effort=9, note="secret note")

    for address in (link, f"{link}/list.json"):
        said = stranger.get(address).html.lower()
        assert [word for word in HEALTH if word in said] == []


def test_a_day_that_is_over_says_so_at_its_top_without_the_cause(stranger, link, clock) -> None:
    assert "No more dives today" not in stranger.get(link).words
    log(clock, signs=["lmc"])
    page = stranger.get(link)

    assert "Mon 10 May 2027 No more dives today 38 m FIM deep dive" in page.words
    assert page.words.count("No more dives today") == 1
    days = json.loads(stranger.get(link + "/list.json").html)["days"]
    assert [one["date"] for one in days if one["over"]] == ["2027-05-10"]


def test_a_stand_down_shows_only_that_there_is_no_diving(stranger, link, clock) -> None:
    log(clock, signs=["blackout"])
    days = json.loads(stranger.get(link + "/list.json").html)["days"]

    assert all(not day["dives"] for day in days[1:])
    assert "No diving" in stranger.get(link).words


@pytest.mark.parametrize("end", ["", "/list.json"])
def test_the_page_and_the_list_are_kept_by_no_cache_on_the_way(stranger, link, end) -> None:
    assert stranger.get(link + end).headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("end", ["", "/list.json"])
def test_a_guessed_token_shows_nothing(stranger, link, end) -> None:
    assert stranger.get("/share/" + "A" * 43 + end).status == 404


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
@pytest.mark.parametrize("end", ["", "/list.json"])
def test_a_buddys_link_is_for_looking_alone(stranger, link, method, end) -> None:
    refused = getattr(stranger.client, method)(link + end, json={"revoked": True}, base_url="http://localhost")

    assert refused.status_code in (400, 403, 405)
    assert stranger.get(link).status == 200


HARBOUR = "198.51.100.4"


def guess(app, person, times: int = 1, address: str = HARBOUR) -> list[int]:
    """Try wrong tokens at one address, on the page and at the list in turn."""
    guesser, ends = person(app, address), ("", "/list.json")
    return [guesser.get(f"/share/guess{number}{ends[number % 2]}").status for number in range(times)]


def test_guessing_tokens_has_to_wait_longer_with_each_further_guess(app, person, link, clock) -> None:
    tries, waits = app.config["TOKEN_TRIES"], []
    assert guess(app, person, tries) == [404] * tries
    for _ in range(4):
        page = person(app, HARBOUR).get("/share/guess")
        assert page.status == 429
        waits.append(int(page.headers["Retry-After"]))
        clock.wait(seconds=waits[-1] + 1)
        assert guess(app, person) == [404]

    assert waits == [30, 60, 90, 120]


def test_while_a_guesser_waits_a_right_token_is_not_told_from_a_wrong_one(app, person, link) -> None:
    guess(app, person, 20)
    guesser = person(app, HARBOUR)

    assert guesser.get(link).html == guesser.get("/share/guess").html
    assert json.loads(guesser.get(f"{link}/list.json").html)["error"]["code"] == "too_often"


def test_a_guesser_slows_nobody_elsewhere_and_no_buddy_whose_link_has_worked_at_that_address(app, person, link) -> None:
    buddy = person(app, HARBOUR)
    assert buddy.get(link).status == 200
    guess(app, person, 30)

    assert [buddy.get(link + end).status for end in ("", "/list.json")] == [200, 200]
    assert person(app, "203.0.113.9").get(link).status == 200


def test_a_guesser_with_many_addresses_of_one_house_waits_all_the_same(app, person) -> None:
    statuses = [guess(app, person, 1, f"2001:db8:5:7::{number + 1:x}")[0] for number in range(21)]

    assert statuses == [404] * 20 + [429]


def test_a_buddy_who_looks_all_the_time_is_not_slowed_by_it(app, person, link, clock) -> None:
    buddy = person(app, HARBOUR)
    for _ in range(100):
        clock.wait(seconds=2)
        assert [buddy.get(link + end).status for end in ("", "/list.json")] == [200, 200]


def test_a_program_that_asks_for_one_list_without_pause_has_to_wait_and_other_links_do_not(
    app, person, link, clock
) -> None:
    app.extensions["throttles"]["share"].tries = 3
    other = f"/share/{sharing.make_link(1, 'Odd', clock())}"
    asker = person(app, HARBOUR)

    assert [asker.get(link).status for _ in range(4)] == [200, 200, 200, 429]
    assert asker.get(other).status == 200
    clock.wait(seconds=61)
    assert asker.get(link).status == 200


def test_a_link_taken_back_counts_as_a_guess_from_then_on(app, person, link, clock) -> None:
    buddy = person(app, HARBOUR)
    buddy.get(link)
    sharing.revoke(1, 1, clock())

    assert [buddy.get(link).status for _ in range(21)] == [404] * 20 + [429]


def test_no_token_gets_into_the_log_when_something_breaks(app, person, link, caplog, monkeypatch) -> None:
    token = link.rsplit("/", 1)[1]

    def broken(*_: object) -> None:
        raise RuntimeError("the planner fell over")

    monkeypatch.setattr(sharing, "_public", broken)
    page = person(app).get(link)

    assert page.status == 500
    assert "the planner fell over" in caplog.text
    assert token not in caplog.text + page.html


def test_the_shell_for_the_boat_holds_nobodys_data_and_may_be_kept(diver, planner_of_may, link) -> None:
    shell = diver.get("/share/offline-shell")

    assert shell.headers["Cache-Control"] == "no-cache"
    assert "Runa" not in shell.html
    assert "csrf" not in shell.html
    assert "Set-Cookie" not in shell.headers


def test_the_list_needs_no_script(stranger, link) -> None:
    page = stranger.get(link)

    assert "buddy-dives" in page.html
    assert all("src" in given for tag, given in page.tags if tag == "script")


PLAN = {
    "latitude": 58.20575, "longitude": -10.5, "emergency_phone": "112", "hospital_phone": "+00 (0)5550 100",
    "hospital": "Brae <Hospital>", "oxygen_where": "under the bench", "meeting_point": "north quay",
    "radio_channel": "VHF 16", "salinity": 31, "note": "closed at night",
}  # fmt: skip


def fill_in_plan(clock, **fields) -> None:
    """Fill in the emergency plan of the season's site through the phone's door."""
    phone = Phone()
    phone.put(next(iter(sites.listed(1))), fields, kind="site")
    phone.take(sync.sync(1, phone.request(today="2027-05-10"), clock()))
    assert phone.refused == []


def test_the_emergency_plan_of_the_site_is_folded_on_the_page_with_numbers_to_dial(stranger, link, clock) -> None:
    fill_in_plan(clock, **PLAN)
    page = stranger.get(link)

    assert "If something goes wrong Holm Rock." in page.words
    assert [given["href"] for tag, given in page.tags if tag == "a" and given.get("class") == "call"] == [
        "tel:112", "tel:+005550100",
    ]  # fmt: skip
    for words in ("58° 12.345′ N", "10° 30.000′ W", "under the bench", "north quay", "VHF 16", "Brae &lt;Hospital&gt;"):
        assert words in page.html
    assert 'id="site-plan">' in page.html
    assert not any("open" in given for tag, given in page.tags if tag == "details")


def test_the_list_for_the_phone_has_the_plan_field_by_field_and_nothing_of_the_water(stranger, link, clock) -> None:
    assert json.loads(stranger.get(link + "/list.json").html)["plan"] is None
    fill_in_plan(clock, **PLAN)
    plan = json.loads(stranger.get(link + "/list.json").html)["plan"]

    assert plan == {"name": "Holm Rock", **{name: PLAN[name] for name in PLAN if name != "salinity"}}


def test_a_page_whose_site_has_no_plan_says_nothing_of_one(stranger, link) -> None:
    assert "If something goes wrong" not in stranger.get(link).words


@pytest.mark.parametrize(
    ("number", "dialled"),
    [
        ("112", "112"),
        ("+00 (0)5550 100-20", "+00555010020"),
        ("(0555) 01.99", "05550199"),
        ("0 (0) 5", "005"),
        ("", ""),
    ],
)
def test_a_phone_dials_digits_with_the_plus_of_a_country_without_the_nought_that_is_for_home(number, dialled) -> None:
    assert filters.dialled(number) == dialled


def test_today_stands_on_top_with_the_bottom_and_the_pause_before_the_cautions(stranger, link, clock) -> None:
    log(clock, surfaced_at="2027-05-10T09:10:20Z")
    words = stranger.get(link).words
    places = [words.index(part) for part in (
        "bottom at ", "Today, Mon 10 May 2027", "Pause since the last dive surfaced Mon 10 May 2027, 09:10 UTC",
        "A minimum is not permission to dive.", "38 m FIM deep dive", "Before each dive, on the boat", "Tue 11 May",
    )]  # fmt: skip

    assert places == sorted(places)
    pause = json.loads(stranger.get(link + "/list.json").html)["pause"]
    minutes = f"{pause['seconds'] // 60}:{pause['seconds'] % 60:02}"
    assert f"at least {minutes} by the longest rule" in words


def test_the_page_without_script_has_the_crew_as_the_list_has_it(stranger, planner_of_may, clock) -> None:
    link = f"/share/{sharing.make_link(1, 'Ebba', clock(), shows_crew=True)}"
    assert json.loads(stranger.get(link + "/list.json").html)["crew"] == []
    with store.transaction():
        crew = feeds.add_feed("crew", 1, "2027-05-10T09:00:00Z")
        me = feeds.log_name(1)
        aboard = {"date": "2027-05-10", "person": me, "name": "Runa <T>", "guest": False, "ready": True, "over": False}
        turn = {"date": "2027-05-10", "person": me, "discipline": "FIM", "role": "deep", "depth_m": 38, "dive_s": 84}
        made = [operation(kind="aboard", fields=aboard), operation(kind="turn", fields=turn, counter=2)]
        storing.store_batch(crew.id, 1, str(uuid4()), made, "2027-05-10T09:00:00Z", 0, crew.kind)
    page = stranger.get(link)

    assert "Aboard: Runa &lt;T&gt;." in page.html
    assert "38 m Runa <T> FIM deep dive" in page.words or "38 m Runa &lt;T&gt; FIM deep dive" in page.words
    (listed,) = json.loads(stranger.get(link + "/list.json").html)["crew"]
    assert [one["depth_m"] for one in listed["turns"]] == [38]
