"""What a team says of a unit afterwards, and what that means for the next one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from library.cards.card import Card
from library.cards.values import Step, When
from library.room.room import Room
from library.store.frontmatter import read_document
from library.store.rows import add_row, change_row
from library.store.yamltext import plain_dict
from library.units.parsing import LOOK_BACK_FIELDS, UNIT_FIELDS, plain_look_back
from library.units.unit import LookBack, Placement, Unit


@dataclass(frozen=True, slots=True)
class Asked:
    """One line of the page that looks back."""

    activity: str
    centers: tuple[str, ...]
    said: LookBack | None
    """What was said already."""


@dataclass(frozen=True, slots=True)
class Stood:
    """One unit that an activity stood in, and what was said of it then."""

    unit: Unit
    placements: tuple[Placement, ...]
    said: LookBack | None


def asked_of(unit: Unit, room: Room) -> tuple[Asked, ...]:
    """The activities of a unit, once each, in the order one walks the room."""
    order = {center: place for place, center in enumerate(room.centers)}
    said = {entry.activity: entry for entry in unit.look_back}
    centers: dict[str, list[str]] = {}
    for placement in sorted(unit.placements, key=lambda p: order.get(p.center, len(order))):
        for activity in filter(None, (placement.activity, placement.instead)):
            centers.setdefault(activity, []).append(placement.center)
    return tuple(
        Asked(activity, tuple(dict.fromkeys(where)), said.get(activity))
        for activity, where in centers.items()
    )


def write_look_back(text: str, entries: Iterable[LookBack]) -> str:
    """The text of a unit with what was said; rows of other activities keep their bytes.

    Where an activity has several rows the last one is changed, since that is the one that counts
    (CLONE5).

    Raises:
        Invalid: If the front matter cannot be read.
    """
    for entry in entries:
        rows = read_document(text)[0].fields.get("look_back")
        listed = rows if isinstance(rows, list) else [rows]
        same = [
            index
            for index, row in enumerate(listed)
            if plain_dict(row).get("activity") == entry.activity
        ]
        new = plain_look_back(entry)
        if same:
            changes = {key: new.get(key) for key in LOOK_BACK_FIELDS}
            text = change_row(text, "look_back", same[-1], changes, LOOK_BACK_FIELDS)
        else:
            text = add_row(text, "look_back", new, UNIT_FIELDS)
    return text


def history_of(card_id: str, units: Iterable[Unit]) -> tuple[Stood, ...]:
    """Every unit that a card stood in, the latest first, with what was said of it."""
    found = []
    for unit in sorted(units, key=lambda each: each.starts, reverse=True):
        own = tuple(p for p in unit.placements if card_id in (p.activity, p.instead))
        said = [entry for entry in unit.look_back if entry.activity == card_id]
        if own or said:
            found.append(Stood(unit, own, said[-1] if said else None))
    return tuple(found)


def minutes_it_took(units: Iterable[Unit]) -> Mapping[str, tuple[int, ...]]:
    """Minutes of prep that each activity really took, the earliest unit first."""
    found: dict[str, list[int]] = {}
    for unit in sorted(units, key=lambda each: each.starts):
        for entry in {entry.activity: entry for entry in unit.look_back}.values():
            if entry.took is not None:
                found.setdefault(entry.activity, []).append(entry.took)
    return {activity: tuple(minutes) for activity, minutes in found.items()}


def took_in_words(planned: int, took: Iterable[int]) -> str:
    """What prep was said to take and what it took: ``planned 10, took 14 and 16``; empty if not known.

    Args:
        planned: Minutes that the card says.
        took: Minutes from look-backs, the earliest first.
    """
    *earlier, last = [str(minutes) for minutes in took] or [""]
    shown = f"{', '.join(earlier)} and {last}" if earlier else last
    return f"planned {planned}, took {shown}" if shown else ""


def as_it_took(card: Card, took: Iterable[int]) -> Card:
    """The card with the minutes its prep really took in place of those it says.

    The mean is rounded up to a whole minute. Where the card has steps, its ahead and morning
    steps share it in the proportions the card gives them; daily steps are no prep and stay.

    Args:
        card: The card.
        took: Minutes from look-backs; none: the card as it is.
    """
    minutes = tuple(took)
    if not minutes:
        return card
    mean = ceil(Fraction(sum(minutes), len(minutes)))
    if not card.steps:
        return replace(card, prep=mean)
    if not card.prep_minutes:
        return card
    return replace(card, prep=mean, steps=_shared_out(card, mean))


def _shared_out(card: Card, total: int) -> tuple[Step, ...]:
    """The steps with whole minutes in the old proportions, which add up to a new total."""
    prep = [i for i, step in enumerate(card.steps) if step.on is not When.DAILY]
    exact = {i: Fraction(card.steps[i].minutes * total, card.prep_minutes) for i in prep}
    whole = {i: int(share) for i, share in exact.items()}
    by_rest = sorted(prep, key=lambda i: (whole[i] - exact[i], i))
    for i in by_rest[: total - sum(whole.values())]:
        whole[i] += 1
    return tuple(
        replace(step, minutes=whole.get(i, step.minutes)) for i, step in enumerate(card.steps)
    )
