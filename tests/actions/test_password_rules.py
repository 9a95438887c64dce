"""What is refused as a new password."""

from __future__ import annotations

import pytest

from webapp.actions import password_rules
from webapp.actions.password_rules import faults


@pytest.mark.parametrize("password", ["slow kelp drifts", "Ünïcode überall", "correct-horse-battery", "x7 " * 3 + "y"])
def test_several_words_may_be_used(password: str) -> None:
    assert faults(password) == []


@pytest.mark.parametrize("password", ["", "short", "nine char", "x" * 1001])
def test_too_short_and_too_long_are_refused(password: str) -> None:
    assert [fault.says for fault in faults(password)] == ["must have 10 to 1000 characters"]


# From the list of frequencies that the package zxcvbn brings: passwords seen most often in public leaks.
@pytest.mark.parametrize(
    "password", ["1234567890", "qwertyuiop", "Password123", "1qaz2wsx3edc", "MANCHESTER", "encyclopedia", "Washington"]
)
def test_the_most_common_ones_are_refused_however_they_are_written(password: str) -> None:
    assert "too easy to guess" in faults(password)[0].says


def test_more_than_three_thousand_that_would_be_long_enough_are_known() -> None:
    """OWASP ASVS 5.0.0, item 6.2.4 (seen): at least the 3000 most common ones that fit the other rules."""
    assert len(password_rules._common()) > 3_000


@pytest.mark.parametrize("password", ["aaaaaaaaaaaa", "ababababab", "kelpkelpkelp", "Abc1abC1aBc1", "blue seablue sea"])
def test_one_pattern_again_and_again_is_refused(password: str) -> None:
    assert "repeats itself" in faults(password)[0].says


def test_the_name_is_no_password() -> None:
    assert "too easy to guess" in faults("runa tidewell", name="Runa Tidewell")[0].says


def test_the_fault_names_the_field_that_was_typed_in() -> None:
    assert faults("short", "new_password")[0].field == "new_password"
