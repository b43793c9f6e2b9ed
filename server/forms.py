"""Forms as nested texts. A field is called by the path of what it fills, ``children[2].born``.

Problems are named by the same paths, so that each can stand beside its field, and what was typed
comes back as it was typed.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from werkzeug.datastructures import MultiDict

from library.room.times import read_date
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Plain

MAX_ROWS = 500
"""Rows of one list that are read; no room has more children, bins or closed days."""


@dataclass(frozen=True, slots=True)
class Rows:
    """A list in a form, and what one of its rows holds."""

    key: str
    texts: tuple[str, ...]
    """Fields of one text each; a row in which all of these are empty is no row."""
    chosen: tuple[str, ...] = ()
    """Fields with one of several values, which are never empty and make no row by themselves."""
    ticked: tuple[str, ...] = ()
    """Fields of several boxes."""
    commas: tuple[str, ...] = ()
    """Those of ``texts`` in which commas part several values."""


@dataclass(frozen=True, slots=True)
class Filled:
    """A form as it was typed, and what is wrong with it."""

    values: dict[str, Plain]
    problems: tuple[Problem, ...] = ()
    blank: str = ""
    """The list to which one more empty row was asked for."""
    unsaved: bool = False
    """Whether something was added, taken out or moved that is not kept yet."""
    marks: Mapping[str, str] = field(default_factory=dict)
    """What travels with the form unseen, by name."""
    brief: bool = False
    """Whether only what to do stands beside a field, and what was found in the list on top."""

    def wrong(self, name: str) -> list[Problem]:
        """The problems of one field."""
        return [problem for problem in self.problems if problem.field == name]

    def text(self, key: str) -> str:
        """The text of a field; values parted by commas are joined again."""
        return as_text(self.values.get(key))

    def several(self, key: str) -> list[str]:
        """The values of a field of several."""
        value = self.values.get(key)
        return [str(each) for each in value] if isinstance(value, list) else []

    def rows(self, key: str, blank: int = 1) -> list[Mapping[str, Plain]]:
        """The rows of a list, with empty ones to type into at its end."""
        value = self.values.get(key)
        rows: list[Mapping[str, Plain]] = (
            [row if isinstance(row, dict) else {} for row in value]
            if isinstance(value, list)
            else []
        )
        return rows + [{} for _ in range(blank + (self.blank == key))]


def read_text(form: MultiDict[str, str], key: str) -> str:
    """What was typed into a field, without blanks around it."""
    return form.get(key, "").strip()


def read_day(text: str) -> dt.date | None:
    """A day as a field of a page sends it; None for anything else."""
    try:
        return read_date(text)
    except Unreadable:
        return None


def read_rows(form: MultiDict[str, str], rows: Rows) -> list[dict[str, Plain]]:
    """The rows of a list that hold anything, in their order and without gaps."""
    pattern = re.compile(rf"{re.escape(rows.key)}\[(\d{{1,4}})\]\.")
    numbers = sorted({int(match[1]) for name in form if (match := pattern.match(name))})
    found = []
    for number in numbers[:MAX_ROWS]:
        name = f"{rows.key}[{number}]"
        texts = {key: read_text(form, f"{name}.{key}") for key in rows.texts}
        if not any(texts.values()):
            continue
        row: dict[str, Plain] = {
            key: split_commas(text) if key in rows.commas else text
            for key, text in texts.items()
            if text
        }
        row.update({key: read_text(form, f"{name}.{key}") for key in rows.chosen})
        row.update({key: list(form.getlist(f"{name}.{key}")) for key in rows.ticked})
        found.append(row)
    return found


def without_row(values: dict[str, Plain], name: str) -> dict[str, Plain]:
    """The values without the row of a name such as ``stock[3]``."""
    match = re.fullmatch(r"(\w+)\[(\d+)\]", name)
    rows = values.get(match[1]) if match else None
    if match is None or not isinstance(rows, list):
        return values
    at = int(match[2])
    return {**values, match[1]: [row for number, row in enumerate(rows) if number != at]}


def split_commas(text: str) -> list[Plain]:
    """The values that commas part."""
    return [part.strip() for part in text.split(",") if part.strip()]


def as_text(value: Plain) -> str:
    """A value as a field shows it."""
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    return str(value) if value is not None else ""


def mark_of(values: object) -> str:
    """A short mark of what a form began with, so that a change made meanwhile is noticed."""
    text = json.dumps(values, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]
