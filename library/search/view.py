"""What a search looks at: the cards as they were at one moment. It never changes."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from library.materials.material import MaterialBook
from library.search.arrays import Arrays, Ints, Mask, rarity
from library.search.names import Names


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Some arrays, and which of their documents still count."""

    arrays: Arrays
    alive: Mask


@dataclass(frozen=True, slots=True, eq=False)
class Beginning:
    """Letters, and the terms of the words that begin with them."""

    letters: str
    terms: tuple[Ints, ...]
    """Their numbers in each part of the view."""
    own: tuple[Ints, ...]
    """Those among them that words of the part itself stand for."""

    def more_than_own(self, part: int) -> Ints | None:
        """The terms of a part if there are others than its own, for which arrays may be ready."""
        return self.terms[part] if self.terms[part].size > self.own[part].size else None


@dataclass(frozen=True, eq=False)
class View:
    """All cards: most in one large set of arrays, those that changed since in a small second one."""

    parts: tuple[Part, ...] = ()
    """None, one, or two: the large and the small."""
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
        return sum([part.arrays.holding(term) for part in self.parts])

    def beginning(self, letters: str) -> Beginning:
        """All words that begin with some letters, in every part.

        What counts in one part counts in the other: where only the small part has the word
        ``sponges``, it still stands for the ``sponge`` of the large one.
        """
        own = tuple(part.arrays.stems_beginning(letters) for part in self.parts)
        if len(own) < 2:
            return Beginning(letters, own, own)
        large, small = own
        linked = self._links[small]
        both = (
            np.union1d(large, linked[linked >= 0]),
            np.union1d(small, np.flatnonzero(np.isin(self._links, large))),
        )
        return Beginning(letters, both, own)

    @cached_property
    def _links(self) -> Ints:
        """For each term of the small part its number in the large one, or -1."""
        large, small = (part.arrays for part in self.parts)
        numbers = [large.term_numbers.get(term, -1) for term in small.words.names]
        return np.array(numbers, dtype=np.int64)

    def holding_beginning(self, beginning: Beginning) -> int:
        """In how many documents words stand that begin so, each document once for each word."""
        found = zip(self.parts, beginning.terms, strict=True)
        return sum(
            int(part.arrays.counts[numbers].sum()) for part, numbers in found if numbers.size
        )

    def weight(self, holding: int) -> int:
        """What a word weighs that so many documents hold, over the whole collection."""
        return rarity(self.counted, holding)

    def forms_of(self, term: str) -> list[str]:
        """The words as written that count for a term."""
        return [form for part in self.parts for form in part.arrays.forms_of(term)]
