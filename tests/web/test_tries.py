"""Tries are counted before anything slow is done, and by a clock that never goes back."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any

from flask import Flask

AT_ONCE, ALLOWED = 16, 8


def test_of_many_wrong_passwords_at_the_same_moment_no_more_are_tried_than_allowed(
    diver: Any, app: Flask, person: Any
) -> None:
    guessers = [person(app, "198.51.100.4") for _ in range(AT_ONCE)]
    pages = [guesser.get("/account/sign-in") for guesser in guessers]
    together = Barrier(AT_ONCE)

    def guess(at: int) -> int:
        typed = {"name": "Runa Tidewell", "password": f"a wrong guess {at}"}
        together.wait()
        return int(guessers[at].send(pages[at], "/account/sign-in", typed).status)

    with ThreadPoolExecutor(AT_ONCE) as pool:
        statuses = list(pool.map(guess, range(AT_ONCE)))
    assert sorted(statuses) == [400] * ALLOWED + [429] * (AT_ONCE - ALLOWED)


def test_a_clock_that_is_put_back_makes_nobody_wait_for_weeks(diver: Any, app: Flask, person: Any, clock: Any) -> None:
    guesser = person(app, "198.51.100.4")
    for number in range(ALLOWED):
        guesser.sign_in(password=f"a wrong guess {number}")
    clock.put_back(days=30)
    page = guesser.sign_in()
    assert page.status == 429
    assert int(page.headers["Retry-After"]) <= 120
    clock.wait(seconds=121)
    assert guesser.sign_in().status == 200


def test_right_passwords_of_a_whole_boat_never_make_its_address_wait(diver: Any, app: Flask, person: Any) -> None:
    app.extensions["throttles"]["sign_in_address"].tries = 3
    assert [person(app).sign_in().status for _ in range(5)] == [200] * 5


def test_slips_with_a_right_invitation_leave_no_count_behind(diver: Any, app: Flask, person: Any) -> None:
    app.extensions["throttles"]["token"].tries = 2
    page = diver.press("/account/", "/account/invite")
    link = next(given["value"] for tag, given in page.tags if given.get("id") == "invitation")
    link = link.split("localhost", 1)[-1]
    newcomer = person(app, "198.51.100.9")
    for _ in range(4):
        assert newcomer.sign_up("Ebba Kettle", "short", link).status == 400
    assert newcomer.sign_up("Ebba Kettle", "pale sand sinks", link).status == 200
