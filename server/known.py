"""Gathers what a card may refer to: materials, centers and goals."""

from __future__ import annotations

from library.cards.checking import Known
from library.cards.folder import CardFolder
from library.frameworks.folder import read_frameworks
from library.store.paths import LibraryPaths
from library.store.problems import Problem


def known_to_cards(paths: LibraryPaths, folder: CardFolder) -> tuple[Known, list[Problem]]:
    """What cards of a library may refer to, and what is wrong with the files that say so."""
    materials, problems = folder.materials()
    centers, wrong = folder.centers()
    frameworks, more = read_frameworks(paths)
    goals = frozenset(code for framework in frameworks for code in framework.codes)
    known = Known(materials, frozenset(center.key for center in centers), goals)
    return known, [*problems, *wrong, *more]
