"""Remembers what was read of the private database for as long as nobody writes it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Hashable
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import Any, TypeVar

T = TypeVar("T")


class Unchanged:
    """What was read of one database file since it was last written, by whichever process.

    SQLite tells a connection when another one has committed; so one connection is kept that never
    writes and is asked for nothing else. Source: SQLite's documentation of ``PRAGMA data_version``.
    """

    def __init__(self, database: Path) -> None:
        """Opens nothing yet."""
        self._database = database
        self._lock = Lock()
        self._watching: sqlite3.Connection | None = None
        self._moment: tuple[int, ...] = ()
        self._read: dict[Hashable, Any] = {}

    def read(self, key: Hashable, read: Callable[[], T]) -> T:
        """What was read under a key before, or is read now.

        What is read while somebody writes counts for the moment before, and is read again next time.
        """
        with self._lock:
            moment = self._look()
            if moment != self._moment:
                self._moment, self._read = moment, {}
            if key in self._read:
                kept: T = self._read[key]
                return kept
        made = read()
        with self._lock:
            if moment == self._moment:
                self._read[key] = made
        return made

    def _look(self) -> tuple[int, ...]:
        """Which file stands there, and how often others have written it."""
        file = self._database.stat()
        there = (file.st_dev, file.st_ino)
        if self._watching is None or self._moment[:2] != there:
            self.close()
            self._watching = sqlite3.connect(self._database, timeout=15, check_same_thread=False)
        (version,) = self._watching.execute("PRAGMA data_version").fetchone()
        return (*there, version)

    def close(self) -> None:
        """Lets go of the file."""
        if self._watching is not None:
            with suppress(sqlite3.Error):
                self._watching.close()
            self._watching = None

    def __del__(self) -> None:
        """Lets go of the file when nobody asks any more."""
        self.close()
