"""What every engine gets and gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from library.cards.card import Card
from library.search.conditions import NOTHING_SAID, Conditions
from library.search.view import View

HITS = 20
"""Results with stored fields and snippet in one operation."""


@dataclass(frozen=True, slots=True)
class Ask:
    """One question, already read into conditions and words for engines that cannot read it."""

    kind: str
    """topical, with conditions, conditions only, as you type, typo or phrase."""
    text: str
    """As a teacher writes it."""
    words: str
    conditions: Conditions = NOTHING_SAID
    typing: bool = False


@dataclass(frozen=True, slots=True)
class Answer:
    """What one operation gave."""

    total: int
    ids: tuple[str, ...]
    counts: int
    """Values of facets with a count."""
    snippets: int
    """Hits with a snippet."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """The cards that all engines hold, in the order of the arrays' documents."""

    cards: Sequence[Card]
    view: View
    folder: Path
    """Where an engine may write."""
    library: Path


class Engine(Protocol):
    """An engine that has been filled."""

    name: str
    about: str
    """What was done so that it shows its best."""

    def search(self, ask: Ask) -> Answer:
        """One whole operation."""
