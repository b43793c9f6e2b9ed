"""What a search looks at: the cards as they were at one moment. It never changes."""

from __future__ import annotations

from dataclasses import dataclass, field

from library.materials.material import MaterialBook
from library.search.arrays import Arrays, Mask, rarity
from library.search.names import Names


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Some arrays, and which of their documents still count."""

    arrays: Arrays
    alive: Mask


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """All cards: most in one large set of arrays, those that changed since in a small second one."""

    parts: tuple[Part, ...] = ()
    names: Names = field(default_factory=Names)
    book: MaterialBook = field(default_factory=MaterialBook)

    @property
    def cards(self) -> int:
        """Number of cards, drafts included."""
        return sum(int(part.alive.sum()) for part in self.parts)

    @property
    def counted(self) -> int:
        """Number of documents that words are counted over, replaced ones included."""
        return sum(part.arrays.counted for part in self.parts)

    def holding(self, term: str) -> int:
        """In how many documents a term stands."""
        return sum(part.arrays.holding(term) for part in self.parts)

    def holding_beginning(self, letters: str) -> int:
        """In how many documents words stand that begin so, each document once for each word."""
        return sum(part.arrays.holding_beginning(letters) for part in self.parts)

    def weight(self, holding: int) -> int:
        """What a word weighs that so many documents hold, over the whole collection."""
        return rarity(self.counted, holding)

    def forms_of(self, term: str) -> list[str]:
        """The words as written that count for a term."""
        return [form for part in self.parts for form in part.arrays.forms_of(term)]
