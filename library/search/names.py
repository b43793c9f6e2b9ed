"""Things with several names: a card that lists a spray bottle is found by "mister", and back.

Each such thing has one term of its own in the index, ``=spray bottle``. A text that uses any of its
names, card or question, counts as using that term too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from library.materials.material import MaterialBook
from library.search.analysis import stems_of

SIGN = "="
"""Begins the term of a thing; no stem begins so."""
CENTER = "=center "
"""Begins the term of a center. A card has it by its front matter alone: nearly every card says "table"
or "water" somewhere."""


@dataclass(frozen=True)
class Names:
    """Names as runs of stems, found by their first stem."""

    by_first: Mapping[str, tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]] = field(
        default_factory=dict
    )
    """First stem → all runs that begin with it, longest first, each with the terms of its things."""
    written: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Term of a thing → its names as people write them."""

    @cached_property
    def stems(self) -> frozenset[str]:
        """All stems that stand in a name."""
        runs = (run for found in self.by_first.values() for run, _ in found)
        return frozenset(each for run in runs for each in run)

    def things_in(self, stems: Sequence[str]) -> list[str]:
        """The terms of the things that a text names, once for each mention."""
        by_first = self.by_first
        found: list[str] = []
        free = 0
        for at in [place for place, each in enumerate(stems) if each in by_first]:
            if at < free:
                continue
            for run, terms in by_first[stems[at]]:
                if tuple(stems[at : at + len(run)]) == run:
                    found += terms
                    free = at + len(run)
                    break
        return found

    def of_centers(self, keys: Iterable[str]) -> list[str]:
        """The terms of centers, by their keys."""
        return [term for key in keys if (term := CENTER + key) in self.written]

    def differences(self, other: Names) -> set[str]:
        """The terms of things whose names are not the same in both."""
        terms = self.written.keys() | other.written.keys()
        return {term for term in terms if self.written.get(term) != other.written.get(term)}

    def runs(self, terms: Iterable[str]) -> set[tuple[str, ...]]:
        """Every name of some things, as runs of stems."""
        names = (name for term in terms for name in self.written.get(term, ()))
        return {tuple(stems_of(name)) for name in names} - {()}


def names_of(book: MaterialBook, centers: Mapping[str, Sequence[str]] | None = None) -> Names:
    """The names of all materials that have more than one, and of the centers.

    Args:
        book: The library's materials.
        centers: Key of a center → what people call it.
    """
    written = {
        SIGN + material.item.casefold(): material.names for material in book if material.also
    }
    written |= {CENTER + key: tuple(names) for key, names in (centers or {}).items()}
    terms: dict[tuple[str, ...], tuple[str, ...]] = {}
    for term, names in written.items():
        for run in dict.fromkeys(tuple(stems_of(name)) for name in names):
            terms[run] = (*terms.get(run, ()), term)
    terms.pop((), None)
    by_first: dict[str, list[tuple[tuple[str, ...], tuple[str, ...]]]] = {}
    for run, found in sorted(terms.items(), key=lambda item: -len(item[0])):
        by_first.setdefault(run[0], []).append((run, found))
    return Names({first: tuple(runs) for first, runs in by_first.items()}, written)
