"""The door, the pages for whoever is signed in or out, and what every page keeps to."""

import re

import pytest

IN = [
    "/account/",
    "/seasons/",
    "/seasons/new",
    "/seasons/new/all",
    "/seasons/1",
    "/seasons/1/plan",
    "/outlook/",
    "/diver/",
    "/rulebook/",
    "/sharing/",
    "/people/",
    "/crews/",
]
OUT = ["/account/sign-in", "/account/sign-up", "/rulebook/", "/share/offline-shell"]
CLOSED = [path for path in IN if path not in OUT]


def test_the_door_leads_to_today(stranger) -> None:
    page = stranger.get("/")

    assert (page.status, page.headers["Location"]) == (302, "/boat/today")


def test_the_server_says_that_it_is_up(stranger) -> None:
    assert '"ok":true' in stranger.get("/healthz").html.replace(" ", "")


@pytest.mark.parametrize("path", CLOSED)
def test_a_page_of_ones_own_leads_a_stranger_to_sign_in_and_shows_nothing(stranger, path: str) -> None:
    page = stranger.get(path)

    assert page.status == 302
    assert page.headers["Location"].startswith("/account/sign-in?next=")


@pytest.mark.parametrize("path", IN)
def test_every_page_opens_for_a_diver_and_keeps_to_the_frame(planner_of_may, path: str) -> None:
    keeps_to_the_frame(planner_of_may.get(path))


@pytest.mark.parametrize("path", OUT)
def test_every_open_page_opens_for_a_stranger_and_keeps_to_the_frame(stranger, path: str) -> None:
    keeps_to_the_frame(stranger.get(path))


def keeps_to_the_frame(page) -> None:
    """One h1, one main, a skip link to it, a language, unique ids, each field named, nothing inline."""
    assert page.status == 200
    assert [sum(1 for tag, _ in page.tags if tag == one) for one in ("h1", "main")] == [1, 1]
    assert page.links[0] == "#main"
    assert "main" in page.ids
    assert '<html lang="en"' in page.html
    assert 'name="viewport"' in page.html
    assert sorted(set(page.ids)) == sorted(page.ids)
    labelled = {given["for"] for tag, given in page.tags if tag == "label"}
    for tag, given in page.tags:
        assert not [name for name in given if name == "style" or name.startswith("on")], (tag, given)
        assert tag != "style"
        if tag in ("input", "select", "textarea") and given.get("type") != "hidden":
            assert given.get("id") in labelled or given.get("aria-label"), given
    assert not re.search(r"<script(?![^>]*\ssrc=)", page.html)


def test_the_look_a_person_chose_is_in_the_first_byte(stranger) -> None:
    stranger.client.set_cookie("theme", "night")

    assert 'data-theme="night"' in stranger.get("/account/sign-in").html


def test_a_look_that_does_not_exist_is_not_put_into_the_page(stranger) -> None:
    stranger.client.set_cookie("theme", "x onload=alert(1)")

    assert "data-theme=" not in stranger.get("/account/sign-in").html
