"""Things with several names: a card that lists a spray bottle is found by "mister", and back.

Each such thing has one term of its own in the index, ``=spray bottle``. A text that uses any of its
names, card or question, counts as using that term too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from library.materials.material import MaterialBook
from library.search.analysis import stems_of

SIGN = "="
"""Begins the term of a thing; no stem begins so."""


@dataclass(frozen=True, slots=True)
class Names:
    """Names as runs of stems, found by their first stem."""

    by_first: Mapping[str, tuple[tuple[tuple[str, ...], str], ...]] = field(default_factory=dict)
    """First stem → all runs that begin with it, longest first, each with its thing's term."""
    written: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Term of a thing → its names as people write them."""

    def things_in(self, stems: Sequence[str]) -> list[str]:
        """The terms of the things that a text names, once for each mention."""
        found = []
        at = 0
        while at < len(stems):
            length = 1
            for run, term in self.by_first.get(stems[at], ()):
                if tuple(stems[at : at + len(run)]) == run:
                    found.append(term)
                    length = len(run)
                    break
            at += length
        return found

    def differences(self, other: Names) -> set[str]:
        """The terms of things whose names are not the same in both."""
        terms = self.written.keys() | other.written.keys()
        return {term for term in terms if self.written.get(term) != other.written.get(term)}

    def runs(self, terms: Iterable[str]) -> set[tuple[str, ...]]:
        """Every name of some things, as runs of stems."""
        names = (name for term in terms for name in self.written.get(term, ()))
        return {tuple(stems_of(name)) for name in names} - {()}


def names_of(book: MaterialBook) -> Names:
    """The names of all materials that have more than one; of two equal names the first counts."""
    written = {
        SIGN + material.item.casefold(): material.names for material in book if material.also
    }
    terms: dict[tuple[str, ...], str] = {}
    for term, names in written.items():
        for name in names:
            terms.setdefault(tuple(stems_of(name)), term)
    terms.pop((), None)
    by_first: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for run, term in sorted(terms.items(), key=lambda item: -len(item[0])):
        by_first.setdefault(run[0], []).append((run, term))
    return Names({first: tuple(runs) for first, runs in by_first.items()}, written)
