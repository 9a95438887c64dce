"""What is refused as a new password: too short, too common, a single word, the name, a pattern that repeats."""

from functools import cache

from webapp.rulebook.faults import Fault

SHORTEST, LONGEST = 10, 1000


def faults(password: str, field: str = "password", name: str = "") -> list[Fault]:
    """Return what is wrong with a new password, nothing when it may be used."""
    if not SHORTEST <= len(password) <= LONGEST:
        return [Fault(field, f"must have {SHORTEST} to {LONGEST} characters")]
    plain = password.casefold()
    if plain in _common() or (name and plain == name.casefold()):
        return [Fault(field, "is too easy to guess: take several words that do not belong together")]
    if plain in (plain + plain)[1:-1]:
        return [Fault(field, "repeats itself: take several words that do not belong together")]
    return []


@cache
def _common() -> frozenset[str]:
    """Return what is tried first and is long enough: passwords seen most often, and single words and names.

    From the frequency lists of the package zxcvbn: public leaks, encyclopedia, film and census.
    """
    from zxcvbn.frequency_lists import FREQUENCY_LISTS  # only here: it takes a while to read

    return frozenset(word for words in FREQUENCY_LISTS.values() for word in words if len(word) >= SHORTEST)
