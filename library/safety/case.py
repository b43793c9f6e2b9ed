"""What a check looks at: one placement with its card, its materials and who is there."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from library.cards.card import Card
from library.cards.values import MaterialLine
from library.materials.material import Material, MaterialBook
from library.room.room import Child, Room, rule_age_in_months
from library.safety.hazards import Mention, in_card, in_material, in_text, of_key
from library.safety.wording import is_denied, tokens
from library.units.dressing import dress
from library.units.placed import Placed


@dataclass(frozen=True, slots=True)
class Item:
    """One material of a card."""

    name: str
    """Its main name; as the card writes it where it is unknown."""
    material: Material | None
    """None: it is not in materials.yaml."""
    lines: tuple[MaterialLine, ...]
    """The card's lines that mean it."""
    mentions: tuple[Mention, ...]
    """The hazards it stands for, each key once: its own keys, then what its names point to."""


@dataclass(frozen=True, slots=True)
class Case:
    """One placement as the checks see it."""

    card: Card | None
    """The card as the children meet it; None where a center stands without one."""
    center: str | None
    activity: str | None
    youngest: int
    """Months of the youngest child that under-age rules count (AGE1, AGE2)."""
    items: tuple[Item, ...] = ()
    """The card's materials, each once, in the order of the card."""
    mentions: tuple[Mention, ...] = ()
    """The hazards that its text, its steps and what is added name."""
    children: tuple[Child, ...] = ()
    """Those attending on any of its days; empty where a card is looked at by itself."""
    eu: bool = False
    """Whether the library reads the European Union's list of allergens too."""

    @property
    def who(self) -> str:
        """For whom it is judged, as a clause."""
        if self.children:
            return f"the youngest child there counts as {self.youngest} months"
        if self.card is None:
            return f"judged for {self.youngest} months"
        return f"judged for {self.youngest} months, the youngest age it is meant for"


def case_of_card(card: Card, materials: MaterialBook) -> Case:
    """A card by itself, in its own dress, judged for the youngest age it names."""
    dressed = dress(card).card
    return Case(
        card=dressed,
        center=card.centers[0] if card.centers else None,
        activity=card.id,
        youngest=card.ages.low,
        items=items_of(dressed, materials),
        mentions=in_card(dressed),
    )


def case_of_placement(placed: Placed, room: Room, materials: MaterialBook) -> Case:
    """A placement with the children who attend on its open days.

    Under-age rules take the youngest child attending on any of its days, at the age that counts
    through the birthday month (AGE1, AGE2). Where no child is known to be there, the card's
    youngest age is taken, so that an empty roster silences nothing.
    """
    first_days = ((child, _first_day(child, placed, room)) for child in room.children)
    ages = [rule_age_in_months(child.born, day) for child, day in first_days if day]
    card = placed.card
    added = f"{placed.placement.add}.\n{placed.placement.note}"
    return Case(
        card=card,
        center=placed.center,
        activity=placed.placement.activity,
        youngest=min(ages, default=card.ages.low if card else 0),
        items=_with_added(items_of(card, materials) if card else (), added, materials),
        mentions=in_card(card, added) if card else in_text(added),
        children=placed.children(room),
        eu=materials.eu,
    )


def _first_day(child: Child, placed: Placed, room: Room) -> dt.date | None:
    """The day on which a child is youngest there."""
    return next((d for d in placed.days if child.attends(d) and room.is_open(d)), None)


def items_of(card: Card, materials: MaterialBook) -> tuple[Item, ...]:
    """The materials of a card, each once, in the order of the card."""
    found: dict[str, tuple[Material | None, list[MaterialLine]]] = {}
    for line in card.materials:
        known = materials.find(line.item)
        name = known.item if known else " ".join(line.item.split())
        found.setdefault(name, (known, []))[1].append(line)
    return tuple(
        Item(name, known, tuple(lines), _mentions(name, known, lines))
        for name, (known, lines) in found.items()
    )


def item_of(material: Material) -> Item:
    """A material by itself."""
    return Item(material.item, material, (), _mentions(material.item, material, []))


LONGEST_NAME = 4
"""Words of a material's name that are looked for in a text."""


def _with_added(items: tuple[Item, ...], added: str, materials: MaterialBook) -> tuple[Item, ...]:
    """The card's materials, and the known ones that a placement's addition or note names."""
    names = {item.name for item in items}
    words = tokens(added)
    found = []
    for start in range(len(words)):
        for length in range(LONGEST_NAME, 0, -1):
            part = words[start : start + length]
            known = materials.find(" ".join(token.word for token in part))
            if known and known.item not in names and not is_denied(words, start, len(part)):
                names.add(known.item)
                found.append(item_of(known))
    return (*items, *found)


def _mentions(
    name: str, material: Material | None, lines: list[MaterialLine]
) -> tuple[Mention, ...]:
    names = dict.fromkeys([*(line.item for line in lines), name])
    by_name = {mention.hazard.key: mention for each in names for mention in in_material(each)}
    keys = material.hazards if material else ()
    own = {key: by_name.get(key) or of_key(key) for key in keys}
    if material is not None and material.cord is not None:
        by_name.pop("cord", None)  # it states its cord, so its name says nothing more of it
    return tuple({**own, **{key: m for key, m in by_name.items() if key not in own}}.values())
