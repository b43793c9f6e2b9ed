"""Shows two versions of a plan piece by piece, and reads which of them shall stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from library.cards.centers import center_title
from library.units.merging import PIECES, WHOLE, Difference, Side, differences
from library.units.parsing import plain_placement
from library.units.unit import Placement, Unit

TITLES = {
    "center": "center",
    "stands": "what stands there",
    "days": "weeks and days",
    "when": "parts of the day",
    "props": "words of the theme",
    "note": "note",
    "instead": "when it rains",
    WHOLE: "the whole placement",
    "weeks": "Weeks of the plan",
}
"""What the page calls a piece."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One piece that the two versions say differently."""

    field: str
    """Name of its field in the form."""
    title: str
    mine: str
    theirs: str
    chosen: str
    """mine or theirs; empty where somebody has still to choose."""
    both: bool
    """Whether both changed it."""


def choices_of(base: Unit, mine: Unit, theirs: Unit, form: Mapping[str, str]) -> tuple[Choice, ...]:
    """What there is to choose, with what the form says so far."""
    return tuple(
        Choice(
            field=f"pick[{number}]",
            title=_title(each),
            mine=_shown(each, each.mine),
            theirs=_shown(each, each.theirs),
            chosen=_said(form, number) or each.proposed or "",
            both=each.proposed is None,
        )
        for number, each in enumerate(differences(base, mine, theirs))
    )


def picks(base: Unit, mine: Unit, theirs: Unit, form: Mapping[str, str]) -> dict[int, Side]:
    """Whose value each piece shall get, as far as somebody said."""
    found: dict[int, Side] = {}
    for number in range(len(differences(base, mine, theirs))):
        if side := _said(form, number):
            found[number] = side
    return found


def _said(form: Mapping[str, str], number: int) -> Side | None:
    said = form.get(f"pick[{number}]")
    return "mine" if said == "mine" else "theirs" if said == "theirs" else None


def _title(each: Difference) -> str:
    if each.placement is None:
        return TITLES[each.piece]
    where = center_title(each.placement.center)
    activity = each.placement.activity
    what = f"{activity} at {where}" if activity else where
    return f"{what}: {TITLES[each.piece]}"


def _shown(each: Difference, value: Any) -> str:
    """A piece in words."""
    if value is None:
        return "taken out" if each.base is not None else "not there"
    if isinstance(value, Placement):
        return _words(plain_placement(value))
    if each.placement is None:
        return str(value)
    names = dict(zip(PIECES[each.piece], value, strict=True))
    empty = "every week" if each.piece == "days" else "nothing"
    return _words({name: part for name, part in names.items() if part}) or empty


def _words(values: Mapping[str, Any]) -> str:
    """The values of a placement, with their names where these say something."""
    alone = {"center", "activity", "note", "instead", "add", "when", "props"}
    said = []
    for name, value in values.items():
        if name == "standing":
            text = "stays as it is" if value else ""
        elif isinstance(value, Mapping):
            text = ", ".join(f"{key}: {word}" for key, word in value.items())
        elif isinstance(value, list | tuple):
            text = ", ".join(str(each) for each in value)
        else:
            text = center_title(value) if name == "center" else str(value)
        said.append(text if name in alone or name == "standing" else f"{name} {text}")
    return "; ".join(filter(None, said))
