"""Waiting after too many tries."""

import pytest

from webapp.web.throttle import MOST_KEPT, Throttle, client_key


def tried(throttle: Throttle, times: int, at_s: float = 0.0) -> int:
    for _ in range(times):
        throttle.count("key", at_s)
    return throttle.wait_s("key", at_s)


def test_a_few_tries_do_not_wait() -> None:
    assert tried(Throttle(3, 60), 2) == 0


def test_the_wait_of_a_rate_ends_with_its_window() -> None:
    throttle = Throttle(3, 60)

    assert tried(throttle, 3) == 60
    assert throttle.wait_s("key", 50) == 10
    assert throttle.wait_s("key", 60) == 0
    throttle.count("key", 61)
    assert throttle.wait_s("key", 61) == 0


def test_steady_use_below_the_rate_never_waits() -> None:
    throttle = Throttle(3, 60)

    for at_s in range(0, 3600, 25):
        assert throttle.wait_s("key", at_s) == 0
        throttle.count("key", at_s)


def test_a_growing_wait_is_longer_with_each_further_try() -> None:
    throttle = Throttle(3, 60, grows=True)

    assert [tried(throttle, times) for times in (3, 1, 1)] == [60, 120, 180]


def test_a_right_password_starts_the_count_anew() -> None:
    throttle = Throttle(3, 60, grows=True)
    tried(throttle, 5)

    throttle.forget("key")

    assert throttle.wait_s("key", 0) == 0


def test_one_key_does_not_make_another_wait() -> None:
    throttle = Throttle(1, 60)
    throttle.count("one", 0)

    assert throttle.wait_s("other", 0) == 0


def test_what_is_remembered_has_a_bound() -> None:
    throttle = Throttle(1, 60)
    for number in range(MOST_KEPT + 5):
        throttle.count(str(number), 0)

    assert throttle.wait_s("0", 0) == 0
    assert throttle.wait_s(str(MOST_KEPT + 4), 0) == 60


@pytest.mark.parametrize("one", ["2001:db8:5:7::1", "2001:db8:5:7:ffff:ffff:ffff:ffff"])
def test_all_addresses_of_one_house_are_counted_together(one: str) -> None:
    assert client_key(one) == client_key("2001:db8:5:7::2")
    assert client_key(one) != client_key("2001:db8:5:8::1")


def test_an_older_address_is_a_house_of_its_own_however_it_is_written() -> None:
    assert client_key("203.0.113.9") == client_key("::ffff:203.0.113.9") == "203.0.113.9"
    assert client_key("203.0.113.8") != client_key("203.0.113.9")
    assert client_key(None) == ""
