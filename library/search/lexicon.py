"""The vocabulary of a library, gathered from its index and its materials."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from library.cards.centers import CENTERS, Center, center_names
from library.search.titles import AnyOf, TitleList, first_words
from library.search.view import Part, View
from library.search.vocabulary import Vocabulary

USUAL_ALLERGENS = (
    "milk",
    "egg",
    "fish",
    "shellfish",
    "tree-nut",
    "peanut",
    "wheat",
    "soy",
    "sesame",
)


def vocabulary_of(
    view: View,
    domains: Mapping[str, tuple[str, ...]],
    centers: Iterable[Center] = CENTERS,
    *,
    known: Vocabulary | None = None,
) -> Vocabulary:
    """What the cards of a view call their things.

    Args:
        view: The cards.
        domains: Everyday words and names of areas → codes of goals.
        centers: The library's centers.
        known: The vocabulary before a change; where only cards changed, what was worked out of all
            other names is taken over.
    """
    stated = (allergen for material in view.book for allergen in material.allergens)
    techniques = tuple(dict.fromkeys(_techniques(view)))
    found = Vocabulary(
        centers=center_names(centers),
        materials={material.item: material.names for material in view.book},
        allergens=tuple(dict.fromkeys((*USUAL_ALLERGENS, *stated))),
        techniques=techniques,
        titles=AnyOf(tuple(map(_titles, view.parts))),
        domains=domains,
    )
    renewed = known.with_cards(techniques, found.titles) if known else None
    return renewed if renewed == found else found


def _techniques(view: View) -> Iterator[str]:
    """The techniques of cards that count, each as the first of its cards writes it."""
    for part in view.parts:
        for value in part.arrays.values("technique"):
            documents = part.arrays.tagged("technique", value)
            counting = documents[part.alive[documents]]
            if counting.size and value:
                yield part.arrays.show(int(counting[0]))["technique"]


def _titles(part: Part) -> TitleList:
    """The titles of a part; a word counts as one of a title until the part is made anew."""
    titles, alive = part.arrays.titles, part.alive

    def counts(place: int) -> bool:
        return bool(alive[titles.docs[titles.starts[place] : titles.starts[place + 1]]].any())

    words = part.arrays.kept("words of titles", lambda: frozenset(part.arrays.title_words))
    firsts = part.arrays.kept("first words of titles", lambda: first_words(titles.names))
    return TitleList(titles.names, words, firsts, counts)
