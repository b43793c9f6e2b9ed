"""Two people changed one card: what each of them meant, field by field, and a merge of both.

A card is looked at in pieces that are each taken whole: a field, a material, a step, a prop, a part of
the text. No piece is ever put together from two texts. Where only one of the two changed a piece, that
change is proposed; where both did, somebody has to choose.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal, TypeAlias

from library.cards.card import Card, field_order
from library.cards.parts import change_parts, parts_of
from library.cards.rendering import Section
from library.cards.values import Translation
from library.store.errors import WrongUse
from library.store.weaving import woven

Side = Literal["mine", "theirs"]
Key: TypeAlias = tuple[str, str, int]
"""Field, name of the piece within it, and which of that name it is. A field of one piece has no name."""
ORDER = "order"
"""Added to a field's name, the piece that is the order of its pieces."""
BODY = "body"


@dataclass(frozen=True, slots=True)
class Difference:
    """A piece that the two versions say differently."""

    field: str
    """Name in the catalogue, or ``body``; with `` order`` behind it where the order is meant."""
    name: str
    """Of the material, step, prop or heading; empty where the field is one piece."""
    base: Any
    """The value both began with; None: there was none."""
    mine: Any
    theirs: Any
    proposed: Side | None
    """Whose value is proposed, for the other did not change it; None: somebody has to choose."""
    number: int = 0
    """Which of several pieces of the same name it is."""

    @property
    def key(self) -> Key:
        """What it is called among the pieces."""
        return (self.field, self.name, self.number)


def differences(base: Card, mine: Card, theirs: Card) -> tuple[Difference, ...]:
    """Every piece in which the two versions differ, in the order of a card's fields.

    Args:
        base: The card that both began with.
        mine: One changed version.
        theirs: The other, which is in the file by now.
    """
    old, ours, others = _pieces(base), _pieces(mine), _pieces(theirs)
    _add_orders(old, ours, others)
    found = []
    for key in sorted({**others, **ours}, key=_rank({**others, **ours})):
        was, me, them = old.get(key), ours.get(key), others.get(key)
        if me != them:
            proposed: Side | None = "theirs" if me == was else "mine" if them == was else None
            found.append(Difference(key[0], key[1], was, me, them, proposed, key[2]))
    return tuple(found)


def merge_cards(base: Card, mine: Card, theirs: Card, chosen: Mapping[Key, Side]) -> Card:
    """One card of both versions.

    Args:
        base: The card that both began with.
        mine: One changed version.
        theirs: The other.
        chosen: For each piece that both changed, whose value it gets; also for any other, where the
            proposal is not wanted.

    Returns:
        The card, with the id, file and everything unknown of theirs.

    Raises:
        WrongUse: If a piece that both changed was not chosen.
    """
    sides: dict[Key, Side] = {}
    for each in differences(base, mine, theirs):
        side = chosen.get(each.key, each.proposed)
        if side is None:
            raise WrongUse(f"both changed {each.name or each.field}; choose one of the two")
        sides[each.key] = side
    ours, others = _pieces(mine), _pieces(theirs)
    values: dict[Key, Any] = {}
    for key in {**others, **ours}:
        value = (ours if sides.get(key) == "mine" else others).get(key)
        if value is not None:
            values[key] = value
    return _card(values, sides, mine, theirs)


def _pieces(card: Card) -> dict[Key, Any]:
    """The card in pieces, in order; empty pieces are left out."""
    found: dict[Key, Any] = {}
    for name in field_order():
        value = getattr(card, name)
        if name in SPLIT:
            found |= _numbered(name, SPLIT[name](value))
        elif value is not None:
            found[name, "", 0] = value
    parts = ((part.heading, part.text) for part in parts_of(card.body) if part.text)
    return found | _numbered(BODY, parts)


def _numbered(field: str, rows: Iterable[tuple[str, Any]]) -> dict[Key, Any]:
    seen: Counter[str] = Counter()
    found: dict[Key, Any] = {}
    for name, value in rows:
        found[field, name, seen[name]] = value
        seen[name] += 1
    return found


def _spanish(value: Translation | None) -> list[tuple[str, str]]:
    rows = [(name, getattr(value, name)) for name in ("title", "summary", "read_by")]
    return [(name, text) for name, text in rows if text] if value else []


SPLIT: dict[str, Callable[[Any], Iterable[tuple[str, Any]]]] = {
    "materials": lambda lines: [(line.item, line) for line in lines],
    "steps": lambda steps: [(step.do, step) for step in steps],
    "props": lambda props: props.items(),
    "es": lambda value: _spanish(value) if value else [],
}
"""Fields of several pieces → their names and values."""
ORDERED = ("materials", "steps", BODY)
"""Fields whose pieces stand in an order that means something."""


def _add_orders(*versions: dict[Key, Any]) -> None:
    """Adds, for each ordered field, the order of the pieces that all versions have."""
    shared = set.intersection(*(set(version) for version in versions))
    for field in ORDERED:
        for version in versions:
            version[f"{field} {ORDER}", "", 0] = tuple(
                key for key in version if key[0] == field and key in shared
            )


def _rank(keys: Mapping[Key, Any]) -> Callable[[Key], tuple[int, int]]:
    fields = [name for each in (*field_order(), BODY) for name in (each, f"{each} {ORDER}")]
    places = {key: number for number, key in enumerate(keys)}
    return lambda key: (fields.index(key[0]), places[key])


def _card(values: dict[Key, Any], sides: Mapping[Key, Side], mine: Card, theirs: Card) -> Card:
    def ordered(field: str) -> list[tuple[str, Any]]:
        first = sides.get((f"{field} {ORDER}", "", 0), "theirs")
        cards = (mine, theirs) if first == "mine" else (theirs, mine)
        keys = [[key for key in _pieces(card) if key[0] == field] for card in cards]
        return [(key[1], values[key]) for key in woven(*keys) if key in values]

    changes: dict[str, Any] = {
        name: values.get((name, "", 0), getattr(theirs, name) if name not in NOTHING else None)
        for name in field_order()
        if name not in SPLIT
    }
    spanish = dict(ordered("es"))
    changes |= {
        "materials": tuple(line for _, line in ordered("materials")),
        "steps": tuple(step for _, step in ordered("steps")),
        "props": dict(ordered("props")),
        "es": Translation(**spanish) if spanish else None,
    }
    parts = [Section(heading, text) for heading, text in ordered(BODY)]
    return replace(theirs, **changes, body=change_parts(theirs.body, parts))


NOTHING = frozenset({"wait", "keeps", "runs", "group"})
"""Fields that may have no value at all."""
