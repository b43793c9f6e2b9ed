"""How long one has to wait after tries that failed. Pure.

Nothing is ever locked: the wait grows and stays under a quarter of an hour. Source: OWASP ASVS
4.0.3, 2.2.1 (from memory): at most 100 failed tries an hour on one account.
"""

from __future__ import annotations

FREE_TRIES = 5
"""Slips of typing that cost nothing."""
LONGEST_WAIT = 900
"""Seconds."""
FORGOTTEN_AFTER = 86_400
"""Seconds without a try after which failures no longer count."""


def wait_after(failures: int, free: int = FREE_TRIES) -> int:
    """Seconds between the last failed try and the next that is looked at.

    Nothing up to ``free`` failures, then 1, 2, 4, … and never more than a quarter of an hour.
    """
    if failures < free:
        return 0
    return min(1 << min(failures - free, 10), LONGEST_WAIT)


def seconds_left(failures: int, last: int, now: int, free: int = FREE_TRIES) -> int:
    """Seconds that are still to wait.

    Args:
        failures: Tries that failed so far.
        last: When the last one was, in seconds.
        now: Seconds on the same clock; a clock that was set back never makes anyone wait longer than
            the whole span.
        free: Tries that cost nothing.
    """
    span = wait_after(failures, free)
    if now - last > FORGOTTEN_AFTER:
        return 0
    return min(max(last + span - now, 0), span)


def in_words(seconds: int) -> str:
    """A wait as a person says it."""
    if seconds < 60:
        return f"{seconds} {'second' if seconds == 1 else 'seconds'}"
    minutes = -(-seconds // 60)
    return f"{minutes} {'minute' if minutes == 1 else 'minutes'}"
