"""Two people changed one part of a room: both changes together, and what only a person can decide.

A list is looked at row by row and each row value by value. No value is ever put together from two.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from library.store.weaving import woven
from library.store.yamltext import Plain

Row: TypeAlias = Mapping[str, Plain]
Values: TypeAlias = Mapping[str, Plain]
Key: TypeAlias = tuple[str, ...]

NAMES: dict[str, tuple[str, ...]] = {
    "children": ("was", "label"),
    "adults_on": ("date",),
    "day": ("name",),
    "prep_windows": ("from", "to"),
    "stock": ("item", "bin"),
    "buy": ("item",),
    "policies": ("kind",),
    "closing": ("from", "to"),
}
"""List → the values that tell its rows apart. The first alone is enough where it is a child's."""
IN_ORDER = frozenset({"centers"})
"""Lists of plain values whose order means something, so that they are taken whole."""


@dataclass(frozen=True, slots=True)
class Clash:
    """Something that both changed, each otherwise."""

    what: str
    """Key of the part."""
    row: str
    """Name of the row; empty where the part is one value."""
    value: str
    """Name of the value in the row; empty where the row itself was taken out by one of them."""
    mine: Plain
    theirs: Plain
    """None: taken out, or nothing there."""


@dataclass(frozen=True, slots=True)
class Merged:
    """Both changes together. Where they clash mine stands, for it was typed last."""

    values: dict[str, Plain]
    clashes: tuple[Clash, ...]


def merge_values(base: Values, mine: Values, theirs: Values) -> Merged:
    """Both people's changes to one part of a room.

    Args:
        base: What both began with, by key.
        mine: What one typed; keys that are not in it stay as theirs.
        theirs: What the other has saved by now.
    """
    values: dict[str, Plain] = dict(theirs)
    clashes: list[Clash] = []
    for key, typed in mine.items():
        was, now = base.get(key), theirs.get(key)
        if _same(typed, was) or _same(typed, now):
            values[key] = now if key in theirs else typed
        elif _same(now, was):
            values[key] = typed
        elif _has_rows(was, typed, now):
            values[key] = list(_merge_rows(key, _rows(was), _rows(typed), _rows(now), clashes))
        elif isinstance(typed, list) and isinstance(now, list) and key not in IN_ORDER:
            values[key] = _merge_set(was if isinstance(was, list) else [], typed, now)
        else:
            values[key] = typed
            clashes.append(Clash(key, "", "", typed, now))
    return Merged(values, tuple(clashes))


def _merge_rows(
    key: str, base: list[Row], mine: list[Row], theirs: list[Row], clashes: list[Clash]
) -> list[dict[str, Plain]]:
    was, typed, now = (_named(key, rows) for rows in (base, mine, theirs))
    found = []
    for name in woven(list(now), list(typed)):
        row = _merge_row(key, name, (was.get(name), typed.get(name), now.get(name)), clashes)
        if row is not None:
            found.append(row)
    return found


def _merge_row(
    key: str, name: Key, three: tuple[Row | None, Row | None, Row | None], clashes: list[Clash]
) -> dict[str, Plain] | None:
    """One row of both, or None where it is taken out."""
    was, typed, now = three
    title = " ".join(filter(None, name[:-1]))
    if typed is None or now is None:
        left = typed if now is None else now
        if left is None or (was is not None and _same_row(left, was)):
            return None
        if was is not None:
            clashes.append(Clash(key, title, "", _shown(typed), _shown(now)))
        return dict(left)
    row: dict[str, Plain] = {}
    for value in dict.fromkeys([*now, *typed]):
        one, other, before = typed.get(value), now.get(value), (was or {}).get(value)
        both = not (_same(one, before) or _same(other, before) or _same(one, other))
        if both:
            clashes.append(Clash(key, title, value, one, other))
        chosen = other if _same(one, before) or _same(one, other) else one
        if chosen is not None:
            row[value] = chosen
    return row


def _named(key: str, rows: Sequence[Row]) -> dict[Key, Row]:
    """The rows by what tells them apart; the last part numbers those that are alike."""
    seen: Counter[Key] = Counter()
    found: dict[Key, Row] = {}
    for row in rows:
        names = [str(row.get(name) or "").strip() for name in NAMES.get(key, ())]
        name = tuple([next(filter(None, names), "")] if key == "children" else names)
        found[(*name, str(seen[name]))] = row
        seen[name] += 1
    return found


def _merge_set(was: list[Plain], mine: list[Plain], theirs: list[Plain]) -> list[Plain]:
    """What either added, without what either took out."""
    gone = [each for each in was if each not in mine or each not in theirs]
    every = [*theirs, *(each for each in mine if each not in theirs)]
    return [each for each in every if each not in gone]


def _has_rows(*values: Plain) -> bool:
    return any(isinstance(each, dict) for value in values for each in (value or ()))


def _rows(value: Plain) -> list[Row]:
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _same(one: Plain, other: Plain) -> bool:
    """Whether two values say the same; nothing, an empty text and an empty list are one."""
    return (one or None) == (other or None)


def _same_row(one: Row, other: Row) -> bool:
    return all(_same(one.get(name), other.get(name)) for name in {*one, *other})


def _shown(row: Row | None) -> Plain:
    return None if row is None else ", ".join(str(value) for value in row.values() if value)
