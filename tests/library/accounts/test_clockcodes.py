"""Codes by the clock are those of RFC 4226 and RFC 6238, and each counts once.

Sources: RFC 4226, appendix D; RFC 6238, appendix B (its SHA-1 rows); and the makers of such codes in
the cryptography library, a general one, asked for the same.
"""

import base64

import pytest
from cryptography.hazmat.primitives.hashes import SHA1
from cryptography.hazmat.primitives.twofactor.totp import TOTP
from hypothesis import given
from hypothesis import strategies as st

from library.accounts.clockcodes import (
    SLACK,
    code_of,
    fitting_step,
    in_fours,
    new_key,
    setup_address,
    step_at,
)

SECRET = b"12345678901234567890"
KEY = base64.b32encode(SECRET).decode()
BY_COUNT = "755224 287082 359152 969429 338314 254676 287922 162583 399871 520489".split()
BY_CLOCK = {
    59: "94287082",
    1111111109: "07081804",
    1111111111: "14050471",
    1234567890: "89005924",
    2000000000: "69279037",
    20000000000: "65353130",
}


def test_codes_by_count_are_those_of_rfc_4226():
    assert [code_of(KEY, count) for count in range(10)] == BY_COUNT


@pytest.mark.parametrize(("seconds", "code"), BY_CLOCK.items())
def test_codes_by_the_clock_are_those_of_rfc_6238(seconds, code):
    assert code_of(KEY, step_at(seconds), digits=8) == code


@given(st.binary(min_size=20, max_size=20), st.integers(0, 10**11))
def test_another_library_makes_the_same_codes(secret, seconds):
    other = TOTP(secret, 6, SHA1(), 30).generate(seconds).decode()
    assert code_of(base64.b32encode(secret).decode(), step_at(seconds)) == other


def test_a_code_fits_half_a_minute_around_its_own_and_never_twice():
    now = 1_800_000_000
    for off in range(-4, 5):
        code = code_of(KEY, step_at(now) + off)
        found = fitting_step(KEY, code, now, after=-1)
        assert found == (step_at(now) + off if abs(off) <= SLACK else None)
        if found is not None:
            assert fitting_step(KEY, code, now, after=found) is None


@pytest.mark.parametrize("code", ["", "12345", "x", "７５５２２４", "-75522"])
def test_what_is_no_code_fits_nothing(code):
    assert fitting_step(KEY, code, 0, after=-1) is None


def test_a_key_is_long_random_and_readable():
    keys = {new_key() for _ in range(500)}
    assert len(keys) == 500
    assert {len(base64.b32decode(key)) for key in keys} == {20}
    assert in_fours("ABCDEFGHIJ") == "ABCD EFGH IJ"


def test_the_address_for_the_picture_carries_any_name():
    said = setup_address(KEY, "Zoë & Ada?")
    assert said == f"otpauth://totp/Lowshelf:Zo%C3%AB%20%26%20Ada%3F?secret={KEY}&issuer=Lowshelf"
