"""Rules over one card that its own text cannot show line by line.

``CHECKS`` is the visible table: a new rule is one function and one line in it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from library.cards.card import Card
from library.cards.values import When
from library.materials.amounts import Basis
from library.materials.material import MaterialBook
from library.store.problems import Problem, Unreadable

PROP = re.compile(r"\{\{\s*([a-z0-9_-]+)\s*\}\}")
"""A prop in a text: ``{{catcher}}``."""


@dataclass(frozen=True, slots=True)
class Known:
    """What a card may refer to; what is empty is not checked."""

    materials: MaterialBook = field(default_factory=MaterialBook)
    centers: frozenset[str] = frozenset()
    goals: frozenset[str] = frozenset()
    """Codes with a hyphen before the number: ``IT-C-4`` (CMD6)."""


def check_card(card: Card, known: Known) -> tuple[Problem, ...]:
    """All problems of a card: those its parser found, then those of every rule."""
    found = [problem for check in CHECKS for problem in check(card, known)]
    return card.problems + tuple(problem.in_file(card.file) for problem in found)


def prep_adds_up(card: Card, _: Known) -> Iterator[Problem]:
    """PREP21: minutes of ahead and morning steps are the prep."""
    if card.steps and card.prep_minutes != card.prep:
        ahead = sum(step.minutes for step in card.steps if step.on is When.AHEAD)
        yield Problem(
            "",
            0,
            "prep",
            f"prep says {card.prep} minutes, but the steps add up to {card.prep_minutes} "
            f"({ahead} ahead, {card.prep_minutes - ahead} in the morning)",
            f"write prep: {card.prep_minutes} or change the steps",
        )


def wait_fits_keeps(card: Card, _: Known) -> Iterator[Problem]:
    """PREP23: nothing can be ready that spoils while it waits."""
    if card.wait and card.keeps and card.wait.minutes > card.keeps.minutes:
        yield Problem(
            "",
            0,
            "wait",
            f"it waits {card.wait.in_words()} but keeps only {card.keeps.in_words()}",
            "make wait shorter or keeps longer",
        )


def group_for_places(card: Card, _: Known) -> Iterator[Problem]:
    """SUP2: an amount per place needs the number of places."""
    if card.group is not None:
        return
    for index, line in enumerate(card.materials):
        try:
            basis = line.counted().basis
        except Unreadable:
            continue
        if basis is Basis.PLACE:
            yield Problem(
                "",
                0,
                f"materials[{index}].amount",
                f"'{line.amount}' counts places, but 'group' is not stated, so 1 place is taken",
                "write a line such as 'group: 1-4'",
            )
            return


def materials_are_known(card: Card, known: Known) -> Iterator[Problem]:
    """SUP10: every material stands in materials.yaml under one of its names."""
    if not known.materials:
        return
    for index, line in enumerate(card.materials):
        name = PROP.sub(lambda match: card.props.get(match[1], ""), line.item)
        if name.strip() and known.materials.find(name) is None:
            yield Problem(
                "",
                0,
                f"materials[{index}].item",
                f"'{name}' is not in materials.yaml",
                "use one of its names there, or add an entry for it",
            )


def centers_are_known(card: Card, known: Known) -> Iterator[Problem]:
    """A center is one of the library's keys."""
    for key in card.centers:
        if known.centers and key not in known.centers:
            yield Problem(
                "",
                0,
                "centers",
                f"found '{key}'; expected one of {', '.join(sorted(known.centers))}",
                "use one of these keys, or add the center to activities/centers.yaml",
            )


def goals_are_known(card: Card, known: Known) -> Iterator[Problem]:
    """A domain code is a goal of a framework."""
    for code in card.domains:
        if known.goals and code not in known.goals:
            yield Problem(
                "",
                0,
                "domains",
                f"'{code}' is no goal of the framework",
                "use a code such as IT-C-4",
            )


def props_have_defaults(card: Card, _: Known) -> Iterator[Problem]:
    """What a theme may swap says what it is without a theme."""
    texts = [card.body, card.title, *(step.do for step in card.steps)]
    texts += [text for line in card.materials for text in (line.item, line.amount)]
    used = dict.fromkeys(name for text in texts for name in PROP.findall(text))
    for name in used:
        if name not in card.props:
            yield Problem(
                "",
                0,
                "props",
                f"'{{{{{name}}}}}' has no default",
                f"add '{name}: …' to props, or write plain words",
            )


CHECKS: tuple[Callable[[Card, Known], Iterator[Problem]], ...] = (
    prep_adds_up,
    wait_fits_keeps,
    group_for_places,
    materials_are_known,
    centers_are_known,
    goals_are_known,
    props_have_defaults,
)
"""Every rule over a card, in the order in which problems are listed."""
