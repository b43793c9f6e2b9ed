"""Puts two orders of the same things together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

Key = TypeVar("Key")


def woven(first: Sequence[Key], second: Sequence[Key]) -> list[Key]:
    """The keys of one list in its order; those that only the other has follow whom they followed there."""
    found = list(first)
    for number, key in enumerate(second):
        if key not in found:
            before = [each for each in second[:number] if each in found]
            found.insert(found.index(before[-1]) + 1 if before else 0, key)
    return found
