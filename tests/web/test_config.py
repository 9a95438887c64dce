"""The settings table: the environment's word goes before the default."""

import pytest

from webapp.web.config import PREFIX, SETTINGS, read_settings


def test_an_empty_environment_gives_every_default() -> None:
    assert {one.name: one.default for one in SETTINGS} == read_settings({})


def test_the_environment_goes_before_the_default_and_numbers_are_numbers() -> None:
    read = read_settings({PREFIX + "DATA_FILE": "/srv/x.sqlite3", PREFIX + "TRUSTED_PROXIES": "2"})

    assert read["DATA_FILE"] == "/srv/x.sqlite3"
    assert read["TRUSTED_PROXIES"] == 2


def test_a_number_that_cannot_be_read_names_its_variable() -> None:
    with pytest.raises(ValueError, match="LINESLATE_TRUSTED_PROXIES must be a whole number"):
        read_settings({PREFIX + "TRUSTED_PROXIES": "one"})


def test_a_setting_is_read_when_the_app_is_made_not_at_import(
    monkeypatch: pytest.MonkeyPatch, settings: dict[str, object]
) -> None:
    from webapp.web.app import create_app

    monkeypatch.setenv("LINESLATE_SIGN_IN_DAYS", "90")

    assert create_app(settings).permanent_session_lifetime.days == 90


@pytest.mark.parametrize("one", SETTINGS, ids=lambda one: one.name)
def test_every_setting_has_a_line_of_help(one: object) -> None:
    assert one.help.strip()  # type: ignore[attr-defined]
