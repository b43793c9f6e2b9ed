"""Six-digit codes that a phone and this computer make from one key and the clock. Pure.

Source: RFC 4226 (how a key and a count become digits, 5.3) and RFC 6238 (the count is the number of half
minutes since 1970, section 4), with their usual choices: SHA-1, six digits, thirty seconds.
"""

from __future__ import annotations

import base64
import hmac
import secrets
from urllib.parse import quote

STEP_SECONDS = 30
"""Seconds for which one code stands; RFC 6238, 5.2."""
DIGITS = 6
KEY_BYTES = 20
"""160 bits; RFC 4226, section 4, R6."""
SLACK = 1
"""Steps before and after that count too, for clocks that differ; RFC 6238, 5.2 names one as usual."""


def new_key() -> str:
    """A new key as phones take it: 32 letters and digits of base 32 (RFC 4648)."""
    return base64.b32encode(secrets.token_bytes(KEY_BYTES)).decode()


def code_of(key: str, count: int, digits: int = DIGITS) -> str:
    """The code of a key for a count (RFC 4226, 5.3).

    Args:
        key: In base 32.
        count: From 0 to 2**64 - 1.
        digits: How many the code has.
    """
    made = hmac.digest(base64.b32decode(key), count.to_bytes(8, "big"), "sha1")
    start = made[-1] & 0xF
    number = int.from_bytes(made[start : start + 4], "big") & 0x7FFFFFFF
    return str(number % 10**digits).zfill(digits)


def step_at(seconds: int) -> int:
    """The count for a moment (RFC 6238, 4.2)."""
    return seconds // STEP_SECONDS


def fitting_step(key: str, code: str, seconds: int, after: int) -> int | None:
    """The step whose code was typed; None if none of those that count has it.

    Args:
        key: In base 32.
        code: Digits alone.
        seconds: The moment, since 1970.
        after: The step of the last code that was taken: neither it nor an earlier one counts again.
    """
    now = step_at(seconds)
    for step in range(max(now - SLACK, after + 1), now + SLACK + 1):
        if hmac.compare_digest(code_of(key, step).encode(), code.encode()):
            return step
    return None


def in_fours(key: str) -> str:
    """A key in groups of four, to be typed."""
    return " ".join(key[at : at + 4] for at in range(0, len(key), 4))


def setup_address(key: str, name: str) -> str:
    """What a phone reads from the picture: key, and under which name it keeps it.

    The form is common practice among apps that make such codes; no standard has it.
    """
    return f"otpauth://totp/Lowshelf:{quote(name, safe='')}?secret={key}&issuer=Lowshelf"
