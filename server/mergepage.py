"""Shows two versions of a card piece by piece, and reads which of them shall stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from library.cards.card import Card
from library.cards.merging import ORDER, Difference, Key, Side, differences
from library.cards.parsing import parse_card
from library.cards.values import MaterialLine, Refresh, Step

NAMES = {
    "title": "Name",
    "group": "Children at once",
    "prep": "Minutes of prep",
    "runs": "Minutes a child stays",
    "wait": "It then dries, soaks or freezes",
    "keeps": "It keeps for",
    "technique": "What the hands do",
    "domains": "Goals",
    "by": "Written by",
    "materials": "Material",
    "steps": "Step",
    "props": "Word to swap",
    "es": "Spanish",
    "body": "Text",
}
"""What the page calls a field, where that is not its own name."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One piece that the two versions say differently."""

    field: str
    """Name of its field in the form."""
    title: str
    was: str
    mine: str
    theirs: str
    chosen: str
    """mine or theirs; empty where somebody has still to choose."""
    both: bool
    """Whether both changed it."""


@dataclass(frozen=True, slots=True)
class Three:
    """The texts of the three versions; by them the page knows what it spoke of."""

    base: str
    mine: str
    theirs: str
    fingerprint: str
    """Of the file that holds theirs."""

    def cards(self, file: str) -> tuple[Card, Card, Card] | None:
        """The three cards; None where one of them is none any more."""
        base, mine, theirs = (
            parse_card(text, file).card for text in (self.base, self.mine, self.theirs)
        )
        return (base, mine, theirs) if base and mine and theirs else None


def choices_of(cards: tuple[Card, Card, Card], picked: Mapping[str, str]) -> tuple[Choice, ...]:
    """What there is to choose, with what was picked so far.

    Args:
        cards: The card both began with, mine, and theirs.
        picked: Field of the form → mine or theirs.
    """
    return tuple(
        titled(each, number, picked, each.proposed)
        for number, each in enumerate(differences(*cards))
        if each.field != "status"
    )


def titled(
    each: Difference, number: int, picked: Mapping[str, str], proposed: Side | None
) -> Choice:
    """A difference with its name and its values in words.

    Args:
        each: The difference.
        number: Its place among all.
        picked: Field of the form → mine or theirs, as far as somebody said.
        proposed: Whose value is chosen as long as nobody said.
    """
    return Choice(
        field=f"pick[{number}]",
        title=_title(each),
        was=shown(each.base),
        mine=shown(each.mine),
        theirs=shown(each.theirs),
        chosen=picked.get(f"pick[{number}]") or proposed or "",
        both=proposed is None,
    )


def picks(cards: tuple[Card, Card, Card], form: Mapping[str, str]) -> dict[Key, Side]:
    """Whose value each piece shall get, as far as somebody said."""
    found: dict[Key, Side] = {}
    for number, each in enumerate(differences(*cards)):
        said = form.get(f"pick[{number}]")
        if said == "mine":
            found[each.key] = "mine"
        elif said == "theirs":
            found[each.key] = "theirs"
    return found


def shown(value: Any) -> str:
    """A value of a card in words; empty where there is none."""
    if value is None:
        return ""
    if isinstance(value, MaterialLine):
        again = "" if value.refresh is Refresh.ONCE else f", new {value.refresh.value}"
        return f"{value.amount}{again}"
    if isinstance(value, Step):
        away = ", not in the room" if value.away else ""
        return f"{value.minutes} min, {value.on.value}{away}"
    if isinstance(value, tuple):
        return ", ".join(each[1] if isinstance(each, tuple) else str(each) for each in value)
    words = getattr(value, "in_words", None)
    return words() if words else str(value)


def _title(each: Difference) -> str:
    field = each.field.removesuffix(f" {ORDER}")
    title = NAMES.get(field, field.capitalize())
    if field != each.field:
        return f"{title}: the order"
    if field == "body":
        return each.name or "In one sentence"
    return f"{title}: {each.name}" if each.name else title
