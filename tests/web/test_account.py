"""Accounts: who may make one, sign in, sign out, invite."""

from urllib.parse import urlsplit

import pytest
from flask import Flask

from webapp.actions import accounts


def invitation(page: object) -> str:
    """Return the path of the invitation link that the page shows."""
    link = next(given["value"] for tag, given in page.tags if tag == "input" and given.get("id") == "invitation")  # type: ignore[attr-defined]
    parts = urlsplit(link)
    return f"{parts.path}?{parts.query}"


def test_the_first_account_is_free_and_leads_to_the_season(stranger) -> None:
    page = stranger.sign_up()

    assert page.status == 200
    assert "Set up a season" in page.words
    assert "Your account is ready" in page.words


def test_a_second_account_needs_an_invitation(diver, app, person) -> None:
    page = person(app).sign_up("Odd Brae")

    assert page.status == 400
    assert "invit" in page.words
    assert page.form("name")["fields"]["name"] == "Odd Brae"


def test_an_invitation_makes_one_account_and_no_more(diver, app, person) -> None:
    link = invitation(diver.press("/account/", "/account/invite"))

    assert person(app).sign_up("Odd Brae", link=link).status == 200
    assert person(app).sign_up("Ebba Kell", link=link).status == 400


def test_an_invitation_link_is_shown_once_and_not_a_second_time(diver) -> None:
    link = invitation(diver.press("/account/", "/account/invite"))

    assert link.split("invite=")[1] not in diver.get("/account/").html


def test_sign_out_and_sign_in_again(diver) -> None:
    assert "signed out" in diver.press("/account/", "/account/sign-out").words
    assert diver.get("/account/").status == 302

    diver.sign_in()

    assert "Runa Tidewell" in diver.get("/account/").words


def test_a_wrong_password_is_one_plain_fault_that_does_not_tell_which_was_wrong(diver, app, person) -> None:
    other = person(app)
    wrong_password = other.sign_in(password="not this one")
    wrong_name = other.sign_in(name="Nobody Here")

    assert 400 == wrong_password.status == wrong_name.status
    assert wrong_password.html.count('class="fault"') == wrong_name.html.count('class="fault"')
    assert wrong_password.form("name")["fields"]["name"] == "Runa Tidewell"
    assert "not this one" not in wrong_password.html


def test_signing_out_never_tells_the_browser_to_clear_what_the_phone_keeps(diver) -> None:
    assert "Clear-Site-Data" not in diver.press("/account/", "/account/sign-out").headers


def test_signing_out_says_that_the_log_stays_on_the_phone_and_where_it_can_be_taken_off(diver) -> None:
    before = diver.get("/account/").words
    page = diver.press("/account/", "/account/sign-out")

    assert "anyone who can unlock the phone can read them" in before
    assert "The log stays on the phone, with dives" in page.words
    assert "/boat/phone" in page.links


def test_signing_out_to_take_the_log_off_leads_to_where_that_is_done(diver) -> None:
    token = diver.get("/account/").form("/account/sign-out")["fields"]["csrf_token"]
    page = diver.post("/account/sign-out", {"csrf_token": token, "then": "remove"})

    assert (page.status, page.headers["Location"]) == (302, "/boat/phone")
    assert diver.get("/account/").status == 302


def test_signing_out_ends_the_sign_in_on_the_server_so_that_a_copied_cookie_is_dead(diver, app, person) -> None:
    copied = diver.client.get_cookie("lineslate").value
    diver.press("/account/", "/account/sign-out")
    thief = person(app)
    thief.client.set_cookie("lineslate", copied)

    assert thief.get("/account/").status == 302


def test_signing_in_gives_a_new_cookie_so_that_a_planted_one_is_worthless(diver, app, person) -> None:
    victim = person(app)
    victim.get("/account/sign-in")
    planted = victim.client.get_cookie("lineslate-form").value
    victim.sign_in()
    planter = person(app)
    planter.client.set_cookie("lineslate-form", planted)
    planter.client.set_cookie("lineslate", planted)

    assert victim.get("/account/").status == 200
    assert planter.get("/account/").status == 302


def test_signing_in_gives_a_new_form_token_so_that_one_planted_before_is_worthless(diver, app, person) -> None:
    victim, planter = person(app), person(app)
    form = planter.get("/account/sign-in").form("name")["fields"]
    victim.client.set_cookie("lineslate-form", planter.client.get_cookie("lineslate-form").value)
    signed_in = {**form, "name": "Runa Tidewell", "password": "slow kelp drifts"}
    assert victim.post("/account/sign-in", signed_in).status == 302

    assert victim.post("/account/invite", {"csrf_token": form["csrf_token"]}).status == 400
    assert victim.press("/account/", "/account/invite").status == 200


def test_a_slow_answer_that_brings_back_an_older_cookie_does_not_kill_the_form(diver, app, person) -> None:
    other = person(app)
    other.fill("/account/sign-in", {"name": "Runa Tidewell", "password": "slow kelp drifts"}, follow=False)
    older = other.client.get_cookie("lineslate-form").value
    page = other.get("/sharing/")
    other.client.set_cookie("lineslate-form", older)

    assert other.send(page, "/sharing/", {"label": "Ebba"}).status == 200


def test_a_sign_in_outlives_a_boat_trip(diver, clock) -> None:
    clock.wait(days=60)

    assert diver.get("/account/").status == 200


def test_whoever_is_signed_out_is_led_back_to_where_they_were_heading(diver) -> None:
    diver.press("/account/", "/account/sign-out")
    page = diver.get("/seasons/new", follow_redirects=True)

    assert "Set up a season" in diver.send(page, "", {"name": "Runa Tidewell", "password": "slow kelp drifts"}).words


@pytest.mark.parametrize("bad", ["https://elsewhere.example/", "//elsewhere.example/", "/\\elsewhere.example", "here"])
def test_sign_in_never_leads_to_another_site(diver, bad: str) -> None:
    diver.press("/account/", "/account/sign-out")
    typed = {"name": "Runa Tidewell", "password": "slow kelp drifts"}
    page = diver.fill(f"/account/sign-in?next={bad}", typed, follow=False)

    assert (page.status, page.headers["Location"]) == (302, "/")


def test_many_wrong_passwords_wait_and_the_right_one_works_after_the_wait(diver, app, person, clock) -> None:
    guesser = person(app, "198.51.100.4")
    pages = [guesser.sign_in(password=f"guess {number}") for number in range(9)]

    assert [page.status for page in pages] == [400] * 8 + [429]
    assert int(pages[-1].headers["Retry-After"]) > 0
    assert guesser.sign_in().status == 429
    clock.wait(minutes=3)
    assert guesser.sign_in().status == 200


def test_sign_up_says_whether_this_is_the_first_account_or_an_invitation_is_needed(app, stranger, person) -> None:
    assert "This is the first account here" in stranger.get("/account/sign-up").words
    stranger.sign_up()
    assert "You need an invitation." in person(app).get("/account/sign-up").words
    link = invitation(stranger.press("/account/", "/account/invite"))
    assert "You have an invitation" in person(app).get(link).words


def test_a_guesser_elsewhere_does_not_lock_the_diver_out(diver, app, person) -> None:
    guesser = person(app, "198.51.100.4")
    for number in range(12):
        guesser.sign_in(password=f"guess {number}")

    assert person(app, "203.0.113.9").sign_in().status == 200


def test_a_name_with_spaces_inside_is_counted_as_the_name_that_it_signs_in_as(diver, app, person) -> None:
    """Sign-in takes "Runa   TIDEWELL" for Runa Tidewell: the count of wrong passwords must too."""
    guesser = person(app)
    tried = [guesser.sign_in("Runa" + " " * at + "TIDEWELL", "a wrong password").status for at in range(1, 10)]

    assert tried == [400] * 8 + [429]


def test_a_guesser_of_many_names_has_to_wait_too(app, person, settings) -> None:
    app.extensions["throttles"]["sign_in_address"].tries = 3
    guesser = person(app, "198.51.100.4")
    statuses = [guesser.sign_in(name=f"Name {number}").status for number in range(4)]

    assert statuses == [400, 400, 400, 429]


def test_guessing_invitations_has_to_wait(diver, app, person) -> None:
    guesser = person(app, "198.51.100.4")
    pages = [guesser.sign_up("Odd Brae", link=f"/account/sign-up?invite=guess{number}") for number in range(9)]

    assert [page.status for page in pages] == [400] * 8 + [429]


def test_guessing_invitations_under_other_names_waits_too_and_longer_with_each_guess(diver, app, person, clock) -> None:
    guesser, tries = person(app, "198.51.100.4"), app.config["TOKEN_TRIES"]

    def guess(number: int) -> object:
        return guesser.sign_up(f"Name {number}", link=f"/account/sign-up?invite=guess{number}")

    assert [guess(number).status for number in range(tries)] == [400] * tries
    first = int(guess(91).headers["Retry-After"])
    clock.wait(seconds=first + 1)
    assert guess(92).status == 400
    second = int(guess(93).headers["Retry-After"])

    assert 0 < first < second


def test_slips_with_a_right_invitation_are_not_counted_as_guesses(diver, app, person) -> None:
    app.extensions["throttles"]["token"].tries = 1
    link = invitation(diver.press("/account/", "/account/invite"))
    guest = person(app, "198.51.100.4")

    assert [guest.sign_up("Odd Brae", "short", link).status for _ in range(3)] == [400, 400, 400]
    assert guest.sign_up("Odd Brae", link=link).status == 200


def test_a_diver_has_only_so_many_open_invitations_and_the_page_says_how_they_end(diver, app, person, clock) -> None:
    made = [diver.press("/account/", "/account/invite") for _ in range(accounts.MOST_INVITATIONS)]
    page = diver.press("/account/", "/account/invite")
    assert page.status == 400
    assert f"There are {accounts.MOST_INVITATIONS} open invitations already" in page.words
    assert "after 30 days" in page.words

    assert person(app).sign_up("Odd Brae", link=invitation(made[0])).status == 200
    assert diver.press("/account/", "/account/invite").status == 200
    assert diver.press("/account/", "/account/invite").status == 400
    clock.wait(days=31)
    assert diver.press("/account/", "/account/invite").status == 200


def test_signing_out_everywhere_ends_the_lost_phone_too(diver, app, person) -> None:
    lost = person(app)
    lost.sign_in()
    diver.press("/account/", "/account/sign-out-everywhere")

    assert lost.get("/account/").status == 302
    assert diver.get("/account/").status == 302


def test_the_password_is_not_in_the_data_file(diver, settings) -> None:
    from pathlib import Path

    folder = Path(settings["DATA_FILE"]).parent
    held = b"".join(file.read_bytes() for file in folder.glob("lineslate.sqlite3*"))

    assert b"Runa Tidewell" in held
    assert b"slow kelp drifts" not in held


def test_two_divers_see_only_their_own(planner_of_may, app: Flask, person) -> None:
    link = invitation(planner_of_may.press("/account/", "/account/invite"))
    other = person(app)
    other.sign_up("Odd Brae", link=link)

    assert "May at Holm" not in other.get("/seasons/").words
    assert other.get("/seasons/1").status == 404
    assert other.get("/seasons/1/plan").status == 404
