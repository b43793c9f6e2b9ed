"""Passwords: what makes one strong enough, and how it is kept.

Source: OWASP ASVS 4.0.3, 2.1 (length, any sign, common passwords) and 2.4 (from memory); argon2id with
the parameters of RFC 9106, section 4, second recommended option (64 MiB, 3 passes, 4 lanes).
"""

from __future__ import annotations

import threading
from collections.abc import Iterable
from typing import TYPE_CHECKING

from library.store.problems import Problem

if TYPE_CHECKING:
    from argon2 import PasswordHasher

SHORTEST = 12
"""Signs; ASVS 4.0.3, 2.1.1."""
LONGEST = 128
"""Signs; ASVS 4.0.3, 2.1.2 asks for 64 at least and 128 at most. Nothing is ever cut off."""
GUESSES = 10**8
"""Tries that a guesser who knows common passwords, names, dates and rows of keys must need at least."""
_LOOKED_AT = 72
"""Signs that the estimate looks at; it grows slow beyond, and 72 signs are strong or repeat."""
_AT_ONCE = threading.BoundedSemaphore(2)
"""Each check takes 64 MiB and a tenth of a second on purpose, so few run at the same time."""


def password_problems(password: str, known: Iterable[str] = ()) -> list[Problem]:
    """What is wrong with a password that somebody wants to use; empty: nothing.

    How many guesses it takes is estimated by zxcvbn, which knows lists of passwords that were found in
    leaks, names, dates, rows of keys and repetitions. The estimate is rough: a factor of ten
    either way says nothing.

    Args:
        password: As it was typed; blanks and any sign count.
        known: Words that a guesser would try first, such as the person's name.
    """
    if len(password) < SHORTEST:
        found = f"it has {len(password)} signs"
        return [_wrong(found, f"use {SHORTEST} or more; four words in a row are easy to keep")]
    if len(password) > LONGEST:
        return [_wrong(f"it has {len(password)} signs", f"use {LONGEST} at most")]
    from zxcvbn import zxcvbn

    guessed = zxcvbn(password[:_LOOKED_AT], user_inputs=[word for word in known if word])
    if guessed["guesses"] < GUESSES:
        found = "it is among the first that a guesser would try"
        return [_wrong(found, "take four words that have nothing in common")]
    return []


def keep_password(password: str) -> str:
    """What the database keeps of a password: an argon2id hash with its own salt."""
    with _AT_ONCE:
        return _hasher().hash(password)


def is_password(password: str, kept: str | None) -> bool:
    """Whether a password is the one that was kept.

    Takes as long where there is none (None), so that the time does not tell which names exist.
    """
    from argon2.exceptions import InvalidHashError, VerificationError

    if len(password) > LONGEST:
        return False
    try:
        with _AT_ONCE:
            return _hasher().verify(kept or _nobody(), password) and kept is not None
    except (VerificationError, InvalidHashError):
        return False


def is_outdated(kept: str) -> bool:
    """Whether a hash was made with other parameters than today's, and should be made again."""
    return bool(_hasher().check_needs_rehash(kept))


def _hasher() -> PasswordHasher:
    from argon2 import PasswordHasher
    from argon2.profiles import RFC_9106_LOW_MEMORY

    return PasswordHasher.from_parameters(RFC_9106_LOW_MEMORY)


_NOBODY: list[str] = []


def _nobody() -> str:
    """The hash of a password that nobody has."""
    if not _NOBODY:
        import secrets

        _NOBODY.append(_hasher().hash(secrets.token_urlsafe(32)))
    return _NOBODY[0]


def _wrong(found: str, fix: str) -> Problem:
    return Problem("", 0, "password", found, fix)
