"""What an address of the clone page says: start, theme, room, name, and what was chosen for lines.

Only what differs from the proposal stands in the address; nothing of a child does. ``at`` names the
state of the source for which lines were chosen, since a line is a row of its file.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from urllib.parse import parse_qsl, urlencode

from werkzeug.datastructures import MultiDict

from library.room.times import read_date
from library.store.errors import WrongUse
from library.store.paths import make_id
from library.store.problems import Unreadable
from library.units.calendar import require_monday
from library.units.cloning import AS_PROPOSED, Choice
from library.units.starting import propose_again, propose_name
from library.units.unit import Unit
from server.links import unit_url
from server.shelf import shelf

LONGEST_RUN = 60
"""Days that an address may name for one line; a unit of a year has no longer one that needs names."""
_LINE = re.compile(r"(take|card|days|note)\.(\d{1,4})")


@dataclass(frozen=True, slots=True)
class CloneAsk:
    """What is asked of the clone page."""

    source: Unit
    mark: str
    """State of the source's file."""
    starts: dt.date
    theme: str
    name: str
    """Stem of the new file."""
    room: str = ""
    """Name of another room than the one that is worked with."""
    stood_in: str = ""
    """Name of the room in which the source stood, where it is another one."""
    choices: Mapping[int, Choice] = field(default_factory=dict)
    named: bool = False
    """Whether the name was typed, and not proposed."""
    wrong: str = ""
    """What is wrong with what was typed; a proposal stands in its place."""

    @property
    def to(self) -> str:
        """``theme/unit`` of the new one."""
        return f"{self.theme}/{self.name}"

    def fields(self) -> list[tuple[str, str]]:
        """What an address or a form says to ask for the same."""
        found = [("starts", self.starts.isoformat()), ("to", self.theme)]
        found += [("name", self.name)] if self.named else []
        found += [(key, value) for key in ("room", "stood_in") if (value := getattr(self, key))]
        for row, choice in sorted(self.choices.items()):
            found += _line_fields(row, choice)
        return [*found, ("at", self.mark)] if self.choices else found

    def address(self, **more: str) -> str:
        """The address of the clone page that asks for this, and for more."""
        return f"{unit_url('clone.show', self.source)}?{urlencode([*self.fields(), *more.items()])}"

    def choosing(self, row: int, **changes: object) -> CloneAsk:
        """The same with another choice for one line."""
        choice = replace(self.choices.get(row, AS_PROPOSED), **changes)  # type: ignore[arg-type]
        return self.with_choice(row, choice)

    def with_choice(self, row: int, choice: Choice) -> CloneAsk:
        """The same with a choice for one line; one that says nothing is left out."""
        others = {key: each for key, each in self.choices.items() if key != row}
        return replace(self, choices=others if choice == AS_PROPOSED else {**others, row: choice})


def read_ask(
    values: MultiDict[str, str], source: Unit, mark: str, *, propose: bool = False
) -> CloneAsk:
    """Reads the values of an address or a form; what is missing is proposed.

    Args:
        values: What was sent.
        source: The unit to clone.
        mark: State of its file; choices made on another one are left out.
        propose: Put a free name in the place of the one that was typed, and no other cards.
    """
    wrong: list[str] = []
    starts = _start(values.get("starts", ""), source, wrong)
    theme = values.get("to", "") or source.theme
    if theme not in shelf().units.theme_ids():
        wrong.append(f"there is no theme '{theme[:60]}'; choose another one")
        theme = source.theme
    taken = [unit_id.split("/")[1] for unit_id in shelf().units.unit_ids(theme)]
    proposed, typed = propose_name(starts, taken), _typed_name(values)
    name = proposed if propose else typed or proposed
    choices = read_choices(values)
    if propose:
        without = {row: replace(choice, activity="") for row, choice in choices.items()}
        choices = {row: choice for row, choice in without.items() if choice != AS_PROPOSED}
    if choices and values.get("at") != mark:
        choices = {}
        wrong.append("the plan was changed meanwhile, so what you had chosen for its lines is gone")
    return CloneAsk(
        source=source,
        mark=mark,
        starts=starts,
        theme=theme,
        name=name,
        room=values.get("room", ""),
        stood_in=values.get("stood_in", ""),
        choices=choices,
        named=name != proposed,
        wrong="; ".join(wrong),
    )


def read_choices(values: MultiDict[str, str]) -> dict[int, Choice]:
    """What was chosen for lines: ``take.3=no``, ``card.3=…``, ``days.3=…,…``, ``note.3=no``."""
    found: dict[int, Choice] = {}
    for key, value in values.items(multi=True):
        match = _LINE.fullmatch(key)
        if match is None or not value:
            continue
        what, row = match[1], int(match[2])
        choice = found.get(row, AS_PROPOSED)
        if what == "take":
            choice = replace(choice, take=value == "yes")
        elif what == "card":
            choice = replace(choice, activity=value)
        elif what == "days":
            choice = replace(choice, days=frozenset(_days(value.split(",")[:LONGEST_RUN])))
        else:
            choice = replace(choice, note=value != "no")
        found[row] = choice
    return {row: choice for row, choice in found.items() if choice != AS_PROPOSED}


def fields_of(query: str) -> tuple[tuple[str, str], ...]:
    """The fields of the clone page that a query holds; anything else in it is left out."""
    known = {"starts", "to", "name", "room", "stood_in", "at"}
    pairs = parse_qsl(query, max_num_fields=500)
    return tuple((key, value) for key, value in pairs if key in known or _LINE.fullmatch(key))


def _typed_name(values: MultiDict[str, str]) -> str:
    """The name that was typed, as a file may be called; empty: none."""
    typed = values.get("name", "").strip()
    return make_id(typed) if typed else ""


def _line_fields(row: int, choice: Choice) -> list[tuple[str, str]]:
    found = []
    if choice.take is not None:
        found.append((f"take.{row}", "yes" if choice.take else "no"))
    if choice.activity:
        found.append((f"card.{row}", choice.activity))
    if choice.days:
        found.append((f"days.{row}", ",".join(day.isoformat() for day in sorted(choice.days))))
    if not choice.note:
        found.append((f"note.{row}", "no"))
    return found


def _start(text: str, source: Unit, wrong: list[str]) -> dt.date:
    usual = propose_again(source, dt.date.today())
    if not text:
        return usual
    try:
        starts = read_date(text)
        require_monday(starts)
    except (Unreadable, WrongUse) as error:
        wrong.append(str(error))
        return usual
    return starts


def _days(texts: Collection[str]) -> list[dt.date]:
    found = []
    for text in texts:
        try:
            found.append(read_date(text))
        except Unreadable:
            continue
    return found
