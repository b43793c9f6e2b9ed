"""Keeps what was worked out of things that never change, so that it is not worked out again."""

from __future__ import annotations

import weakref
from collections.abc import Callable, Hashable
from typing import Any, Generic, TypeVar

T = TypeVar("T")
MOST = 2_000


class KeptWith(Generic[T]):
    """Results that are kept together with the thing they were worked out of, and go when it goes.

    A room is read anew when it changes, so that what was worked out for the old one, and whoever it
    named, does not stay behind. Things are told apart by which they are and not by what they hold:
    comparing two cards would take longer than what is saved. They must never be changed.
    """

    def __init__(self) -> None:
        """Keeps nothing yet."""
        self._kept: dict[int, dict[Hashable, tuple[tuple[object, ...], T]]] = {}

    def of(
        self, owner: Any, same: tuple[object, ...], equal: Hashable, work_out: Callable[[], T]
    ) -> T:
        """What was worked out before, or is now.

        Args:
            owner: What the result goes with; the result must not hold on to it.
            same: What else it was worked out of and has to be the very same.
            equal: What it was worked out of besides, for which being equal is enough.
            work_out: Makes the result; of nothing else.
        """
        kept = self._kept.get(id(owner))
        if kept is None:
            kept = self._kept[id(owner)] = {}
            weakref.finalize(owner, self._kept.pop, id(owner), None).atexit = False
        key = (*map(id, same), equal)
        found = kept.get(key)
        if found is None:
            if len(kept) >= MOST:
                kept.clear()
            found = kept[key] = (same, work_out())  # held, so that no other thing gets its id
        return found[1]
