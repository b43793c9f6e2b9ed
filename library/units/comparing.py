"""What changed between two units, in words: a year and the next, or two versions of one file."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from library.room.room import WEEKDAYS
from library.units.calendar import week_of
from library.units.parsing import plain_placement
from library.units.theme import Theme
from library.units.unit import Placement, Unit


def compare_units(before: Unit, after: Unit) -> tuple[str, ...]:
    """The differences between two units, one phrase each.

    Starts are compared as dates; days of placements by week and weekday, so that last year's plan
    on this year's dates is no change.
    """
    moved = f"starts {before.starts} → {after.starts}"
    return (
        *([moved] if before.starts != after.starts else []),
        *compare_plans(before, after),
        *_look_back(before, after),
    )


def compare_plans(before: Unit, after: Unit) -> tuple[str, ...]:
    """What a year's plan does otherwise than another's, wherever either lies in the calendar."""
    return (*_frame(before, after), *_placements(before, after))


def compare_themes(before: Theme, after: Theme) -> tuple[str, ...]:
    """The differences between two versions of a theme, one phrase each."""
    found = []
    for name in ("title", "seasons", "words", "books", "songs", "bin"):
        if getattr(before, name) != getattr(after, name):
            found.append(f"{name} changed")
    for prop in dict.fromkeys([*before.props, *after.props]):
        old, new = before.props.get(prop), after.props.get(prop)
        if old != new:
            found.append(f"prop {prop} {old or 'nothing'} → {new or 'nothing'}")
    return (*found, *(["text reworded"] if before.body != after.body else []))


def _frame(before: Unit, after: Unit) -> Iterator[str]:
    if before.weeks != after.weeks:
        yield f"weeks {before.weeks} → {after.weeks}"
    if before.body != after.body:
        yield "text below the plan reworded"


def _placements(before: Unit, after: Unit) -> Iterator[str]:
    old, new = _by_card(before), _by_card(after)
    for name in dict.fromkeys([*old, *new]):
        gone, came = list(old.get(name, [])), list(new.get(name, []))
        for placement in list(gone):
            same = next((p for p in came if p.center == placement.center), None)
            if same is not None:
                gone.remove(placement)
                came.remove(same)
                yield from _differences(name, before, placement, after, same)
        for one, other in zip(gone, came, strict=False):
            yield f"{name} moved from {one.center} to {other.center}"
            yield from _differences(name, before, one, after, other)
        for placement in gone[len(came) :]:
            yield f"{name} taken out of {placement.center}"
        for placement in came[len(gone) :]:
            yield f"{name} added to {placement.center}"


def _differences(
    name: str, old_unit: Unit, old: Placement, new_unit: Unit, new: Placement
) -> Iterator[str]:
    before, after = plain_placement(old), plain_placement(new)
    before["days"], after["days"] = _weekdays(old_unit, old), _weekdays(new_unit, new)
    for key in dict.fromkeys([*before, *after]):
        if key != "center" and before.get(key) != after.get(key):
            yield f"{name} at {new.center}: {key} {_shown(before.get(key))} → {_shown(after.get(key))}"


def _look_back(before: Unit, after: Unit) -> Iterator[str]:
    old = {entry.activity: entry for entry in before.look_back}
    for entry in after.look_back:
        if old.get(entry.activity) != entry:
            note = f" ({entry.note})" if entry.note else ""
            yield f"looked back on {entry.activity}: {entry.again.value}{note}"


def _by_card(unit: Unit) -> dict[str, list[Placement]]:
    found: dict[str, list[Placement]] = defaultdict(list)
    for placement in unit.placements:
        found[placement.activity or "standing"].append(placement)
    return found


def _weekdays(unit: Unit, placement: Placement) -> list[str]:
    return [
        f"{WEEKDAYS[day.weekday()]} of week {week_of(unit, day) or '?'}" for day in placement.days
    ]


def _shown(value: object) -> str:
    if not value:
        return "nothing"
    if isinstance(value, dict):
        return ", ".join(f"{name}: {word}" for name, word in value.items())
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    return "yes" if value is True else str(value)
