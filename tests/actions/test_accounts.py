from datetime import timedelta
from pathlib import Path

import pytest
from support.begun import CHEAP
from support.phones import NOW

from webapp import store
from webapp.actions import accounts
from webapp.rulebook.faults import Refused
from webapp.store import users
from webapp.store.values import User

PASSWORD = "slow kelp drifts"
pytestmark = pytest.mark.usefixtures("file")


@pytest.fixture(autouse=True)
def _cheap_passwords(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hash at a low cost; tests/web/test_security_limits.py looks at the real cost."""
    monkeypatch.setattr(accounts, "METHOD", CHEAP)


@pytest.fixture
def runa(file: Path) -> User:
    return accounts.sign_up("Runa Tidewell", PASSWORD, None, NOW)


def fault(refused: pytest.ExceptionInfo[Refused]) -> tuple[str, str]:
    (only,) = refused.value.faults
    return only.field, only.says


def test_the_first_account_is_free_and_its_diver_can_sign_in(runa: User) -> None:
    assert runa == accounts.sign_in("Runa Tidewell", PASSWORD, NOW) == accounts.get_user(runa.id)


@pytest.mark.parametrize("typed", ["runa tidewell", "  RUNA   TIDEWELL ", "Ｒuna Tidewell"])
def test_a_name_is_the_same_however_it_is_typed(runa: User, typed: str) -> None:
    assert runa == accounts.sign_in(typed, PASSWORD, NOW)
    with pytest.raises(Refused) as refused:
        accounts.sign_up(typed, PASSWORD, accounts.invite(runa.id, NOW), NOW)
    assert fault(refused) == ("name", "is taken")


def test_a_wrong_password_and_an_unknown_name_are_refused_in_the_same_words(runa: User) -> None:
    said = []
    for name, password in (
        ("Runa Tidewell", "slow kelp drift"),
        ("Nobody", PASSWORD),
        ("", ""),
        ("\x00" * 999, PASSWORD),
    ):
        with pytest.raises(Refused) as refused:
            accounts.sign_in(name, password, NOW)
        said.append(fault(refused))

    assert {("", accounts.WRONG)} == set(said)


def test_passwords_are_kept_as_scrypt_hashes_only(runa: User, file: Path) -> None:
    with store.reading():
        found = users.find_user("runa tidewell")
    assert found is not None
    assert found.password_hash.startswith("scrypt:")
    store.close()
    assert PASSWORD.encode() not in file.read_bytes()


def test_a_later_account_needs_an_invitation_and_uses_it_up(runa: User) -> None:
    with pytest.raises(Refused) as refused:
        accounts.sign_up("Ivo", PASSWORD, None, NOW)
    assert fault(refused) == ("", accounts.NO_INVITATION)
    token = accounts.invite(runa.id, NOW)

    assert accounts.sign_up("Ivo", PASSWORD, token, NOW).name == "Ivo"
    with pytest.raises(Refused):
        accounts.sign_up("Mara", PASSWORD, token, NOW)


def test_a_name_that_is_taken_leaves_the_invitation_unused(runa: User) -> None:
    token = accounts.invite(runa.id, NOW)
    with pytest.raises(Refused):
        accounts.sign_up("Runa Tidewell", PASSWORD, token, NOW)

    assert accounts.sign_up("Ivo", PASSWORD, token, NOW).name == "Ivo"


def test_an_old_or_made_up_invitation_is_refused(runa: User) -> None:
    token = accounts.invite(runa.id, NOW)
    for invite, at in (
        (token, NOW + timedelta(days=accounts.INVITATION_DAYS, seconds=1)),
        ("x" * 32, NOW),
        ("\ud800", NOW),
    ):
        with pytest.raises(Refused):
            accounts.sign_up("Ivo", PASSWORD, invite, at)


def test_every_fault_of_a_sign_up_is_told_at_once() -> None:
    with pytest.raises(Refused) as refused:
        accounts.sign_up(" ", "short", None, NOW)

    assert [one.field for one in refused.value.faults] == ["name", "password"]


@pytest.mark.parametrize("name", ["a\nb\x07", "n" * 61, "\ud800", "right-to-left \u202e name"])
def test_names_are_plain_text(name: str) -> None:
    with pytest.raises(Refused) as refused:
        accounts.sign_up(name, PASSWORD, None, NOW)

    assert fault(refused)[0] == "name"


def test_a_sign_in_can_be_ended_and_all_of_a_diver_at_once(runa: User) -> None:
    boat, home, phone = (accounts.open_sign_in(runa.id, NOW) for _ in range(3))
    assert runa == accounts.user_of_sign_in(boat, NOW)

    accounts.close_sign_in(boat, NOW)
    assert [None, runa, runa] == [accounts.user_of_sign_in(token, NOW) for token in (boat, home, phone)]
    assert accounts.close_all_sign_ins(runa.id, NOW) == 2
    assert [accounts.user_of_sign_in(token, NOW) for token in (boat, home, phone)] == [None, None, None]


def test_a_boat_trip_does_not_end_a_sign_in_but_half_a_year_unseen_does(runa: User) -> None:
    token = accounts.open_sign_in(runa.id, NOW)
    later = NOW + timedelta(days=170)

    assert runa == accounts.user_of_sign_in(token, later)
    assert runa == accounts.user_of_sign_in(token, later + timedelta(days=10))
    looks = [accounts.user_of_sign_in(token, later + timedelta(days=191)) for _ in range(2)]
    assert looks == [None, None], "looking at an ended sign-in does not bring it back"


def test_tokens_are_kept_as_hashes_only_and_guessed_ones_are_nobody(runa: User, file: Path) -> None:
    tokens = [accounts.open_sign_in(runa.id, NOW), accounts.invite(runa.id, NOW)]
    store.close()

    kept = file.read_bytes()
    assert all(len(token) >= 32 and token.encode() not in kept for token in tokens)
    guesses = ("", "x", tokens[0][:-1], tokens[0].swapcase(), "\ud800")
    assert all(accounts.user_of_sign_in(guess, NOW) is None for guess in guesses)
