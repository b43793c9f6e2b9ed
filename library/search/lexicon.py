"""The vocabulary of a library, gathered from its index and its materials."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from library.cards.centers import CENTERS, Center, center_names
from library.search.view import View
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
    view: View, domains: Mapping[str, tuple[str, ...]], centers: Iterable[Center] = CENTERS
) -> Vocabulary:
    """What the cards of a view call their things.

    Args:
        view: The cards.
        domains: Everyday words and names of areas → codes of goals.
        centers: The library's centers.
    """
    shown = list(_shown(view))
    stated = (allergen for material in view.book for allergen in material.allergens)
    return Vocabulary(
        centers=center_names(centers),
        materials={material.item: material.names for material in view.book},
        allergens=tuple(dict.fromkeys((*USUAL_ALLERGENS, *stated))),
        techniques=tuple(dict.fromkeys(row["technique"] for row in shown if row["technique"])),
        titles=tuple(dict.fromkeys(row["title"] for row in shown)),
        domains=domains,
    )


def _shown(view: View) -> Iterator[dict[str, Any]]:
    for part in view.parts:
        for document in part.alive.nonzero()[0].tolist():
            if document < part.arrays.size:
                yield part.arrays.show(document)
