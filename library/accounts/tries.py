"""Counts tries that failed, so that guessing takes longer and longer."""

from __future__ import annotations

import threading
from collections.abc import Mapping

from sqlalchemy import Engine, delete, insert, select, update

from library.accounts.staff import Clock
from library.accounts.waiting import FORGOTTEN_AFTER, in_words, seconds_left
from library.room import tables as t
from library.store.errors import LibraryError


class MustWait(LibraryError):  # noqa: N818 - as the other refusals are called
    """Somebody has to wait before the next try is looked at."""

    def __init__(self, seconds: int) -> None:
        """Says how long, in words."""
        super().__init__(f"Too many tries. Wait {in_words(seconds)}, then try again.")
        self.seconds = seconds


class Tries:
    """Tries that failed, by what they were made on and where they came from."""

    def __init__(self, engine: Engine, clock: Clock) -> None:
        """Takes an open database."""
        self._engine = engine
        self._clock = clock
        self._one_at_a_time = threading.Lock()

    def begin(self, free: Mapping[str, int]) -> None:
        """Counts a try as failed before it is looked at, so that many at once gain nothing.

        Args:
            free: What the try is counted on, and how many tries cost nothing there.

        Raises:
            MustWait: If an earlier failure still has to be waited for; such a try is not counted, so
                that nobody can keep another person waiting for ever by trying on.
        """
        now = self._clock()
        with self._one_at_a_time, self._engine.begin() as connection:
            old = t.failed_try.c.last < now - FORGOTTEN_AFTER
            connection.execute(delete(t.failed_try).where(old))
            rows = connection.execute(
                select(t.failed_try).where(t.failed_try.c.key.in_(list(free)))
            ).mappings()
            known = {row["key"]: row for row in rows}
            left = max(
                (seconds_left(r["count"], r["last"], now, free[k]) for k, r in known.items()),
                default=0,
            )
            if left:
                raise MustWait(left)
            for key in free:
                if key in known:
                    more = update(t.failed_try).where(t.failed_try.c.key == key)
                    connection.execute(more.values(count=known[key]["count"] + 1, last=now))
                else:
                    first = {"key": key, "count": 1, "last": now}
                    connection.execute(insert(t.failed_try).values(first))

    def succeeded(self, *keys: str) -> None:
        """Forgets the failures on these."""
        with self._one_at_a_time, self._engine.begin() as connection:
            connection.execute(delete(t.failed_try).where(t.failed_try.c.key.in_(keys)))

    def take_back(self, key: str) -> None:
        """Uncounts one try that did not fail, and leaves the failures before it."""
        with self._one_at_a_time, self._engine.begin() as connection:
            one_less = update(t.failed_try).where(t.failed_try.c.key == key)
            connection.execute(one_less.values(count=t.failed_try.c.count - 1))
            none = (t.failed_try.c.key == key) & (t.failed_try.c.count < 1)
            connection.execute(delete(t.failed_try).where(none))
