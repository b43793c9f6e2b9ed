"""What changed between two versions of a card, in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from library.cards.card import Card, field_order
from library.cards.parsing import plain_fields

_HEADING = re.compile(r"^#+\s+(.+?)\s*$", re.MULTILINE)
_ROW_NAMES = {"materials": ("material", "item"), "steps": ("step", "do")}
_ENTRY_NAMES = {"centers": "center", "seasons": "season", "domains": "goal", "photos": "picture"}
_MAPPING_NAMES = {"props": "prop", "es": "Spanish"}
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_LONGEST = 60


def compare_cards(before: Card, after: Card) -> tuple[str, ...]:
    """The differences between two versions, one phrase each, in the order of a card's fields.

    ``prep 10 → 15``, ``one material added: clipboard``, ``Set up reworded``. Empty: they say the
    same, whatever their bytes are.
    """
    old, new = plain_fields(before), plain_fields(after)
    found: list[str] = []
    for name in field_order():
        if old.get(name) != new.get(name):
            found.extend(_field(name, old.get(name), new.get(name)))
    return (*found, *_body(before.body, after.body))


def _field(name: str, old: Any, new: Any) -> Iterator[str]:
    if name in _ROW_NAMES:
        yield from _rows(*_ROW_NAMES[name], old or [], new or [])
    elif name in _ENTRY_NAMES:
        yield from _entries(_ENTRY_NAMES[name], old or [], new or [])
    elif isinstance(old or new, Mapping):
        yield from _mapping(_MAPPING_NAMES.get(name, name), old or {}, new or {})
    else:
        yield f"{name} {_short(old)} → {_short(new)}"


def _rows(
    what: str, key: str, old: list[dict[str, Any]], new: list[dict[str, Any]]
) -> Iterator[str]:
    before = {row[key]: row for row in old}
    after = {row[key]: row for row in new}
    yield from _entries(what, list(before), list(after))
    for name in before.keys() & after.keys():
        changed = [
            f"{part} {_short(before[name].get(part))} → {_short(after[name].get(part))}"
            for part in dict.fromkeys([*before[name], *after[name]])
            if before[name].get(part) != after[name].get(part)
        ]
        if changed:
            yield f"{_short(name)}: {', '.join(changed)}"
    if list(before) != list(after) and sorted(before) == sorted(after):
        yield f"{what}s in another order"


def _entries(what: str, old: list[str], new: list[str]) -> Iterator[str]:
    added = [name for name in new if name not in old]
    removed = [name for name in old if name not in new]
    for names, verb in ((added, "added"), (removed, "removed")):
        if names:
            yield f"{_number(len(names), what)} {verb}: {', '.join(map(_short, names))}"
    if not added and not removed and old != new and what in _ENTRY_NAMES.values():
        yield f"{what}s in another order"


def _mapping(what: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    for name in dict.fromkeys([*old, *new]):
        if (old.get(name) or None) != (new.get(name) or None):
            yield f"{what} {name} {_short(old.get(name))} → {_short(new.get(name))}"


def _body(old: str, new: str) -> Iterator[str]:
    before, after = _sections(old), _sections(new)
    for name in dict.fromkeys([*before, *after]):
        shown = name or "summary"
        if name not in after:
            yield f"{shown} removed"
        elif name not in before:
            yield f"{shown} added"
        elif before[name] != after[name]:
            yield f"{shown} reworded"
    if before == after and list(before) != list(after):
        yield "sections in another order"


def _sections(body: str) -> dict[str, str]:
    """Text by heading, blanks evened out; under an empty heading what stands before the first."""
    parts = _HEADING.split(body)
    headed = zip(parts[1::2], parts[2::2], strict=True)
    found = {"": " ".join(parts[0].split())}
    found.update({name: " ".join(text.split()) for name, text in headed})
    return {name: text for name, text in found.items() if name or text}


def _number(count: int, what: str) -> str:
    shown = _COUNTS[count] if count < len(_COUNTS) else str(count)
    return f"{shown} {what}{'' if count == 1 else 's'}"


def _short(value: object) -> str:
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"


def in_words(changes: Iterable[str]) -> str:
    """The phrases as one line."""
    return ", ".join(changes)
