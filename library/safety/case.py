"""What a check looks at: one placement with its card, its materials and who is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from library.cards.card import Card
from library.cards.values import MaterialLine
from library.materials.material import Material, MaterialBook
from library.room.room import Child, Room, rule_age_in_months
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

    @property
    def names(self) -> tuple[str, ...]:
        """Its main name and what the card calls it."""
        return tuple(dict.fromkeys([self.name, *(line.item for line in self.lines)]))


@dataclass(frozen=True, slots=True)
class Case:
    """One placement as the checks see it."""

    card: Card | None
    """The card as the children meet it; None where a center stands without one."""
    center: str | None
    activity: str | None
    youngest: int
    """Months of the youngest child that under-age rules count (AGE1, AGE2)."""
    materials: MaterialBook
    children: tuple[Child, ...] = ()
    """Those attending on any of its days; empty where a card is looked at by itself."""
    added: str = ""
    """What is added to a standing center."""

    def items(self) -> Iterator[Item]:
        """The card's materials, each once, in the order of the card."""
        lines: dict[str, list[MaterialLine]] = {}
        for line in self.card.materials if self.card else ():
            lines.setdefault(self.materials.main_name(line.item), []).append(line)
        for name, meant in lines.items():
            yield Item(name, self.materials.find(name), tuple(meant))

    @property
    def who(self) -> str:
        """For whom it is judged, as a clause."""
        if self.children:
            return f"the youngest child there counts as {self.youngest} months"
        return f"judged for {self.youngest} months, the youngest age it is meant for"


def case_of_card(card: Card, materials: MaterialBook) -> Case:
    """A card by itself, in its own dress, judged for the youngest age it names."""
    return Case(
        card=dress(card).card,
        center=card.centers[0] if card.centers else None,
        activity=card.id,
        youngest=card.ages.low,
        materials=materials,
    )


def case_of_placement(placed: Placed, room: Room, materials: MaterialBook) -> Case:
    """A placement with the children who attend on its open days.

    Under-age rules take the youngest child attending on any of its days, at the age that counts
    through the birthday month (AGE1, AGE2). Where no child is known to be there, the card's
    youngest age is taken, so that an empty roster silences nothing.
    """
    ages = [
        rule_age_in_months(child.born, day) for day in placed.days for child in room.attending(day)
    ]
    usual = placed.card.ages.low if placed.card else 0
    return Case(
        card=placed.card,
        center=placed.center,
        activity=placed.placement.activity,
        youngest=min(ages, default=usual),
        materials=materials,
        children=placed.children(room),
        added=placed.placement.add,
    )
