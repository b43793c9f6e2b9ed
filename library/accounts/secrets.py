"""Links and codes that only their holder knows; the database keeps their hashes alone."""

from __future__ import annotations

import hashlib
import hmac
import secrets

TOKEN_BYTES = 32
"""256 bits out of the system's own generator; ASVS 4.0, 3.2.2 asks for 64 at least."""
CODE_DIGITS = 8
"""Digits of a tablet's code: with few tries and a quarter of an hour to make them, enough."""


def new_secret() -> str:
    """A secret that nobody can guess, of signs that can stand in an address."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def new_code() -> str:
    """Eight digits to type on a tablet, with a blank in the middle."""
    digits = "".join(secrets.choice("0123456789") for _ in range(CODE_DIGITS))
    return f"{digits[:4]} {digits[4:]}"


def only_digits(code: str) -> str:
    """A code as it counts, however it was typed."""
    return "".join(sign for sign in code if sign in "0123456789")


def hashed(secret: str) -> str:
    """What the database keeps of a secret.

    A plain SHA-256 is enough, since what is hashed is random and long (a code is short, but lives
    for minutes and is guarded by the number of tries); passwords go another way.
    """
    return hashlib.sha256(secret.encode()).hexdigest()


def is_same(secret: str, kept: str) -> bool:
    """Whether a secret is the one whose hash was kept; the time it takes tells nothing."""
    return hmac.compare_digest(hashed(secret), kept)


def joined(number: int, secret: str) -> str:
    """The text that names a row and proves to know its secret."""
    return f"{number}.{secret}"


def parted(text: str) -> tuple[int, str] | None:
    """The row and the secret of such a text; None if it is none."""
    number, dot, secret = text.partition(".")
    if not (dot and number.isascii() and number.isdigit() and len(number) < 19 and secret):
        return None
    return int(number), secret
