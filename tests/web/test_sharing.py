"""Links that a diver gives to buddies and takes back."""

from pathlib import Path
from urllib.parse import urlsplit


def made_link(page) -> str:
    link = next(given["value"] for tag, given in page.tags if tag == "input" and given.get("id") == "made")
    return urlsplit(link).path


def test_a_link_is_shown_once_and_opens_the_list_without_an_account(planner_of_may, stranger) -> None:
    link = made_link(planner_of_may.fill("/sharing/", {"label": "Ebba, safety"}))

    assert "Dives of Runa Tidewell" in stranger.get(link).words
    assert "Ebba, safety" in planner_of_may.get("/sharing/").words
    assert link not in planner_of_may.get("/sharing/").html


def test_a_link_taken_back_shows_nothing_any_more(planner_of_may, stranger) -> None:
    link = made_link(planner_of_may.fill("/sharing/", {"label": "Ebba"}))
    page = planner_of_may.press("/sharing/", "/sharing/1/revoke")

    assert "taken back" in page.words
    assert "Ebba" not in page.words
    assert 404 == stranger.get(link).status == stranger.get(link + "/list.json").status


def test_only_the_diver_can_take_a_link_back(planner_of_may, app, person, stranger) -> None:
    link = made_link(planner_of_may.fill("/sharing/", {"label": "Ebba"}))
    invited = planner_of_may.press("/account/", "/account/invite")
    address = next(given["value"] for tag, given in invited.tags if given.get("id") == "invitation")
    other = person(app)
    other.sign_up("Odd Brae", link="/account/sign-up?" + urlsplit(address).query)
    token = other.get("/sharing/").form("label")["fields"]["csrf_token"]

    assert other.post("/sharing/1/revoke", {"csrf_token": token}).status == 404
    assert stranger.get(link).status == 200


def test_the_token_is_not_in_the_data_file(planner_of_may, settings) -> None:
    token = made_link(planner_of_may.fill("/sharing/", {"label": "Ebba"})).rsplit("/", 1)[1]
    held = b"".join(file.read_bytes() for file in Path(settings["DATA_FILE"]).parent.glob("lineslate.sqlite3*"))

    assert len(token) >= 22  # 128 bits and more in base64
    assert b"Ebba" in held
    assert token.encode() not in held


def test_a_label_that_is_too_long_is_named_and_kept(planner_of_may) -> None:
    page = planner_of_may.fill("/sharing/", {"label": "x" * 500})

    assert page.status == 400
    assert page.fault_of("label")
    assert page.form("label")["fields"]["label"] == "x" * 500


def test_what_a_link_shows_of_the_day_and_the_crew_is_chosen_when_it_is_made(planner_of_may) -> None:
    made_link(planner_of_may.fill("/sharing/", {"label": "Ebba"}))
    assert "Shows" not in planner_of_may.get("/sharing/").words
    made_link(planner_of_may.fill("/sharing/", {"label": "Odd", "shows_over": "y", "shows_crew": "y"}))
    words = planner_of_may.get("/sharing/").words

    assert "Shows when the day is over. Shows the order of diving of the crew" in words
