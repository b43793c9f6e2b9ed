"""Text ↔ card. Keeps what it does not know; names everything it cannot read."""

from __future__ import annotations

import difflib
import posixpath
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Any, TypeVar

from library.cards.card import Card, catalogue, field_order
from library.cards.rows import NAMES, change_list
from library.cards.values import (
    Adult,
    MaterialLine,
    Place,
    Refresh,
    Status,
    Step,
    Translation,
    When,
    read_ages,
    read_group,
    read_mess,
    read_minutes,
    read_season,
    read_span,
)
from library.materials.amounts import parse_amount
from library.store.frontmatter import Document, change_fields, read_document, replace_body
from library.store.paths import ID
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Plain

Choice = TypeVar("Choice", bound=StrEnum)
PROP_OPEN = "{{"
REMEMBERED = 1_000
"""Cards that are kept as they were read: a plan asks for the same forty again and again."""


@dataclass(frozen=True, slots=True)
class Parsed:
    """What came of one file: a card where one could be made, and every problem."""

    card: Card | None
    problems: tuple[Problem, ...]


@lru_cache(maxsize=REMEMBERED)
def parse_card(text: str, file: str) -> Parsed:
    """Reads one card; the same text need not be read twice.

    Args:
        text: The file's text.
        file: Its path within the library folder; the stem is the card's id.

    Returns:
        The card, unless title, centers, ages or prep is missing or cannot be read; and all
        problems. Any other field that cannot be read keeps its default.
    """
    document, problems = read_document(text)
    card_id = posixpath.splitext(posixpath.basename(file))[0]
    values: dict[str, Any] = {}
    if not ID.match(card_id):
        problems.append(
            Problem(
                "",
                0,
                "",
                f"the file name '{card_id}' is no id",
                "rename it with a-z, 0-9 and hyphens",
            )
        )
    for key, raw in document.fields.items():
        if key in READERS:
            _read_field(key, raw, document, values, problems)
        else:
            problems.extend(_near_miss(key, document))
    if not document.fields and problems:
        return Parsed(None, tuple(problem.in_file(file) for problem in problems))
    absent = [name for name, field in catalogue().items() if field.required and name not in values]
    problems.extend(
        _missing(name, document) for name in absent if document.fields.get(name) is None
    )
    problems.extend(_expected(document))
    found = tuple(problem.in_file(file) for problem in problems)
    if absent:
        return Parsed(None, found)
    card = Card(id=card_id, body=document.body.strip("\n"), file=file, problems=found, **values)
    return Parsed(card, found)


def write_card(card: Card) -> str:
    """A whole new file for a card, its fields in their usual order."""
    text = "---\n---\n"
    return replace_body(
        change_fields(text, plain_fields(card), field_order()),
        f"\n{card.body}\n" if card.body else "",
    )


def change_card(text: str, card: Card) -> str:
    """The text of a file with the values of a card; lines of unchanged fields keep their bytes."""
    before = parse_card(text, card.file or f"{card.id}.md").card
    old = plain_fields(before) if before else {}
    new = plain_fields(card)
    changes: dict[str, object] = {
        key: new.get(key) for key in field_order() if new.get(key) != old.get(key)
    }
    changed = text
    for key in [key for key in changes if key in NAMES]:
        changed, done = _with_rows(changed, key, old.get(key), changes[key])
        if done:
            del changes[key]
    changed = change_fields(changed, changes, field_order()) if changes else changed
    if before is None or before.body != card.body:
        changed = replace_body(changed, f"\n{card.body}\n" if card.body else "")
    return changed


def _with_rows(text: str, key: str, old: Any, new: Any) -> tuple[str, bool]:
    """The text with other rows in a list, and whether that could be done row by row."""
    changed = change_list(text, key, old, new) if old and new else None
    if changed is None:
        return text, False
    again = parse_card(changed, "card.md").card
    if again is None or plain_fields(again).get(key) != new:
        return text, False
    return changed, True


def plain_fields(card: Card) -> dict[str, object]:
    """The card's fields as they stand in a file; what is empty or default is left out."""
    plain = {name: WRITERS.get(name, _as_is)(getattr(card, name)) for name in field_order()}
    always = {"title", "centers", "ages", "prep", "adult", "mess", "place", "status", "materials"}
    return {
        key: value
        for key, value in plain.items()
        if key in always or value not in (None, "", [], {})
    }


def _read_field(
    key: str, raw: Plain, document: Document, values: dict[str, Any], problems: list[Problem]
) -> None:
    if raw is None:
        return
    try:
        values[key] = READERS[key](raw)
    except Unreadable as error:
        problems.append(error.at(key, document.line(key)))
    except _Rows as rows:
        values[key] = rows.good
        problems.extend(
            error.at(f"{key}[{index}]{name}", document.line(key, index))
            for index, name, error in rows.bad
        )


def _missing(name: str, document: Document) -> Problem:
    return Problem(
        "",
        document.line(name) or 1,
        name,
        f"'{name}' is missing",
        _such_as(name),
    )


def _expected(document: Document) -> list[Problem]:
    """Fields a card can do without, but should not."""
    return [
        Problem(
            "",
            1,
            name,
            f"'{name}' is not stated{meaning}",
            f"write a line such as '{name}: {catalogue()[name].example}'",
        )
        for name, meaning in (("adult", ", so within sight is taken"), ("materials", ""))
        if name not in document.fields
    ]


def _such_as(name: str) -> str:
    return f"write a line such as '{name}: {catalogue()[name].example}'"


def _near_miss(key: str, document: Document) -> list[Problem]:
    close = difflib.get_close_matches(key.lower(), field_order(), n=1, cutoff=0.8)
    if not close:
        return []
    return [
        Problem(
            "",
            document.line(key),
            key,
            f"'{key}' is no field of a card",
            f"write '{close[0]}' if that is meant",
        )
    ]


class _Rows(Exception):  # noqa: N818 - carries the good rows past the bad ones
    def __init__(self, good: object, bad: list[tuple[int, str, Unreadable]]) -> None:
        self.good = good
        self.bad = bad
        super().__init__()


def _text(raw: Plain) -> str:
    if not isinstance(raw, str):
        raise Unreadable(raw, "a text; put it in quotes if it holds a colon or brackets")
    return " ".join(raw.split())


def _texts(raw: Plain) -> tuple[str, ...]:
    rows = [part.strip() for part in raw.split(",")] if isinstance(raw, str) else raw
    if not isinstance(rows, list) or not all(isinstance(row, str) for row in rows):
        raise Unreadable(raw, "a list such as [one, two]")
    return tuple(dict.fromkeys(" ".join(str(row).split()) for row in rows if row))


def _choice(kind: type[Choice], raw: Plain) -> Choice:
    text = _text(raw).lower()
    try:
        return kind(text)
    except ValueError:
        raise Unreadable(text, "one of " + ", ".join(kind)) from None


def _centers(raw: Plain) -> tuple[str, ...]:
    keys = tuple(key.lower() for key in _texts(raw))
    if not keys:
        raise Unreadable(raw, "one or more centers such as [water, science]")
    return keys


def _domains(raw: Plain) -> tuple[str, ...]:
    return tuple(code.upper().replace(" ", "-") for code in _texts(raw))


def _props(raw: Plain) -> dict[str, str]:
    if not isinstance(raw, dict) or not all(isinstance(value, str) for value in raw.values()):
        raise Unreadable(raw, "names with texts such as {catcher: shallow lids}")
    return {name: str(value) for name, value in raw.items()}


def _translation(raw: Plain) -> Translation:
    if not isinstance(raw, dict):
        raise Unreadable(raw, "{title: …, summary: …, read_by: }")
    return Translation(*(_text(raw.get(key) or "") for key in ("title", "summary", "read_by")))


def _rows(raw: Plain, expected: str, read: Callable[[dict[str, Plain]], Any]) -> tuple[Any, ...]:
    rows = [raw] if isinstance(raw, dict) else raw
    if not isinstance(rows, list):
        raise Unreadable(raw, expected)
    good: list[Any] = []
    bad: list[tuple[int, str, Unreadable]] = []
    for index, row in enumerate(rows):
        try:
            if not isinstance(row, dict):
                raise Unreadable(row, expected)
            good.append(read(row))
        except _Named as error:
            bad.append((index, f".{error.name}", error.cause))
        except Unreadable as error:
            bad.append((index, "", error))
    if bad:
        raise _Rows(tuple(good), bad)
    return tuple(good)


class _Named(Exception):  # noqa: N818 - an unreadable value with the key it stands under
    def __init__(self, name: str, cause: Unreadable) -> None:
        self.name = name
        self.cause = cause
        super().__init__(name)


def _under(
    name: str, read: Callable[[Plain], Any], row: dict[str, Plain], default: Any = None
) -> Any:
    raw = row.get(name)
    if raw is None:
        if default is None:
            raise _Named(name, Unreadable("nothing", f"a value for '{name}'"))
        return default
    try:
        return read(raw)
    except Unreadable as error:
        raise _Named(name, error) from error


def _amount_text(raw: Plain) -> str:
    text = _text(raw)
    if PROP_OPEN not in text:
        parse_amount(text)
    return text


def _yes_no(raw: Plain) -> bool:
    text = _text(raw).lower()
    if text not in {"true", "yes", "false", "no"}:
        raise Unreadable(text, "true or false")
    return text in {"true", "yes"}


def _material_line(row: dict[str, Plain]) -> MaterialLine:
    refresh = _under("refresh", lambda raw: _choice(Refresh, raw), row, Refresh.ONCE)
    return MaterialLine(_under("item", _text, row), _under("amount", _amount_text, row), refresh)


def _step(row: dict[str, Plain]) -> Step:
    return Step(
        do=_under("do", _text, row),
        minutes=_under("minutes", lambda raw: read_minutes(_text(raw)), row),
        on=_under("on", lambda raw: _choice(When, raw), row, When.AHEAD),
        away=_under("away", _yes_no, row, False),
    )


READERS: dict[str, Callable[[Plain], Any]] = {
    "title": _text,
    "centers": _centers,
    "ages": lambda raw: read_ages(_text(raw)),
    "prep": lambda raw: read_minutes(_text(raw)),
    "wait": lambda raw: read_span(_text(raw)),
    "keeps": lambda raw: read_span(_text(raw)),
    "runs": lambda raw: read_minutes(_text(raw)),
    "group": lambda raw: read_group(_text(raw)),
    "adult": lambda raw: _choice(Adult, raw),
    "mess": lambda raw: read_mess(_text(raw)),
    "place": lambda raw: _choice(Place, raw),
    "seasons": lambda raw: tuple(read_season(text) for text in _texts(raw)),
    "technique": _text,
    "domains": _domains,
    "props": _props,
    "materials": lambda raw: _rows(
        raw, "a line such as {item: hand sponge, amount: 1 per place}", _material_line
    ),
    "steps": lambda raw: _rows(
        raw, "a line such as {do: Fill the tub, minutes: 2, on: morning}", _step
    ),
    "status": lambda raw: _choice(Status, raw),
    "by": _text,
    "photos": _texts,
    "es": _translation,
}
"""Field in a file → the function that reads its value."""


def _as_is(value: object) -> object:
    return list(value) if isinstance(value, tuple) else value


def _written(value: object) -> object:
    return None if value is None else str(value)


def _material_row(line: MaterialLine) -> dict[str, object]:
    row: dict[str, object] = {"item": line.item, "amount": line.amount}
    return row if line.refresh is Refresh.ONCE else {**row, "refresh": line.refresh.value}


def _step_row(step: Step) -> dict[str, object]:
    row: dict[str, object] = {"do": step.do, "minutes": step.minutes, "on": step.on.value}
    return {**row, "away": True} if step.away else row


def _translation_row(value: Translation | None) -> object:
    if value is None:
        return None
    return {"title": value.title, "summary": value.summary, "read_by": value.read_by or None}


WRITERS: dict[str, Callable[[Any], object]] = {
    "ages": _written,
    "wait": _written,
    "keeps": _written,
    "group": _written,
    "adult": _written,
    "place": _written,
    "status": _written,
    "seasons": lambda value: [str(season) for season in value],
    "props": dict,
    "materials": lambda value: [_material_row(line) for line in value],
    "steps": lambda value: [_step_row(step) for step in value],
    "es": _translation_row,
}
"""Fields whose value does not stand in a file as it is → what stands there."""
