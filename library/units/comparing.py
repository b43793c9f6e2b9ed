"""What changed between two units, in words: a year and the next, or two versions of one file."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from library.room.room import WEEKDAYS
from library.units.calendar import week_of
from library.units.parsing import plain_placement
from library.units.theme import Theme
from library.units.unit import Placement, Unit

ELSEWHERE = frozenset({"center", "activity", "weeks", "days", "on"})
"""What the name of a placement and its days say already."""
FIELDS: Mapping[str, tuple[str, str]] = {
    "add": ("one thing added:", "nothing"),
    "when": ("parts of the day:", "all"),
    "props": ("words of the theme:", "its own"),
    "note": ("note", "none"),
    "instead": ("in rain", "no swap"),
}
"""What is said before the value of a field of a placement, and where it has none."""
QUOTED = frozenset({"add", "note"})
"""Fields that hold words of a person."""


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
    """One phrase for what a placement says otherwise; none where it says the same."""
    days = _when(old_unit, old), _when(new_unit, new)
    said = [f"{days[0]} → {days[1]}"] if days[0] != days[1] else []
    before, after = plain_placement(old), plain_placement(new)
    for key in dict.fromkeys([*before, *after]):
        if key not in ELSEWHERE and before.get(key) != after.get(key):
            said.append(_changed(key, before.get(key), after.get(key)))
    if said:
        yield f"{name} at {new.center}: {', '.join(said)}"


def _changed(key: str, before: object, after: object) -> str:
    """``note “low table”``, ``note “low table” → none``."""
    lead, empty = FIELDS.get(key, (key, "nothing"))
    quoted = key in QUOTED
    then, now = (_shown(value, quoted) if value else empty for value in (before, after))
    return f"{lead} {then} → {now}" if before else f"{lead} {now}"


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


def _when(unit: Unit, placement: Placement) -> str:
    """``every week``, ``Tue Thu of weeks 1 and 2``, ``Tue of week 1, Thu of week 2``."""
    if placement.days:
        return ", ".join(
            f"{WEEKDAYS[day.weekday()].capitalize()} of week {week_of(unit, day) or '?'}"
            for day in placement.days
        )
    on = " ".join(name.capitalize() for name in WEEKDAYS if name in placement.on)
    *most, last = map(str, placement.weeks or ("every week",))
    weeks = f"weeks {', '.join(most)} and {last}" if most else last
    weeks = f"week {weeks}" if len(placement.weeks) == 1 else weeks
    return f"{on} of {weeks}" if on else weeks


def _shown(value: object, quoted: bool) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name} “{word}”" for name, word in value.items())
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    if value is True:
        return "yes"
    return f"“{value}”" if quoted else str(value)
