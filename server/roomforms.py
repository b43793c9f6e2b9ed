"""The parts of a room as forms: which keys of a room file each holds, and how they are typed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from werkzeug.datastructures import MultiDict

from library.room.room import WEEKDAYS, WORKING_WEEK, Room
from library.room.roomfile import plain_values
from library.room.times import read_date
from library.safety.policies import may_decide_about
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Plain
from server.forms import Rows, read_rows, read_text, split_commas

MAX_CLOSED_RUN = 120
"""Days that one line "closed from … to …" may span; longer is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Section:
    """One form over some keys of a room file."""

    key: str
    title: str
    keys: tuple[str, ...]
    texts: tuple[str, ...] = ()
    commas: tuple[str, ...] = ()
    """Those of ``texts`` in which commas part several values."""
    ticked: tuple[str, ...] = ()
    rows: tuple[Rows, ...] = ()


CHILDREN = Rows(
    "children",
    ("label", "born", "allergens", "from", "until", "was"),
    ticked=("days",),
    commas=("allergens",),
)
RANGES = Rows("closing", ("from", "to"))
SECTIONS: dict[str, Section] = {
    part.key: part
    for part in (
        Section("children", "Children", ("children",), rows=(CHILDREN,)),
        Section(
            "adults",
            "Name, adults and rules",
            ("name", "adults", "adults_on", "rules", "languages", "zone", "prep_as_it_took"),
            texts=("name", "adults", "rules", "languages", "zone", "prep_as_it_took"),
            commas=("languages",),
            rows=(Rows("adults_on", ("date", "adults")),),
        ),
        Section(
            "day",
            "The day and prep windows",
            ("day", "prep_windows"),
            rows=(
                Rows("day", ("name", "from", "to"), chosen=("kind",)),
                Rows("prep_windows", ("from", "to"), chosen=("adults", "away"), ticked=("days",)),
            ),
        ),
        Section(
            "closed", "Open and closed days", ("open", "closed"), ticked=("open", "closed"),
            rows=(RANGES,),
        ),
        Section("centers", "Centers in walking order", ("centers",), ticked=("centers", "order")),
        Section(
            "stock",
            "On the shelf, and what is bought",
            ("stock", "buy"),
            rows=(
                Rows("stock", ("item", "amount", "bin", "out")),
                Rows("buy", ("item", "pack", "price", "delivery_days", "shop")),
            ),
        ),
        Section(
            "borrowing",
            "Library loans and a shared closet",
            ("loan_days", "loan_ahead", "loan_hold", "shelf", "units"),
            texts=("loan_days", "loan_ahead", "loan_hold", "shelf", "units"),
            commas=("units",),
        ),
        Section(
            "policies", "What the room has decided", ("policies",),
            rows=(Rows("policies", ("kind", "note", "by", "on")),),
        ),
    )
}  # fmt: skip


def section_values(part: Section, room: Room) -> dict[str, Plain]:
    """What a part of a room holds, as one would type it."""
    plain = plain_values(room)
    values = {key: plain.get(key) for key in part.keys}
    if part.key == "children":
        values["children"] = list(_child_rows(room))
    if part.key == "policies":
        values["policies"] = list(_policy_rows(room))
    if part.key == "adults":
        values["rules"] = room.rules
    if part.key == "borrowing":
        loans = room.loans
        values |= {
            "loan_days": str(loans.days),
            "loan_ahead": str(loans.ahead),
            "loan_hold": str(loans.hold),
        }
    return values


def read_section(part: Section, form: MultiDict[str, str]) -> dict[str, Plain]:
    """What was typed into a part's form."""
    values: dict[str, Plain] = {}
    for key in part.texts:
        text = read_text(form, key)
        values[key] = split_commas(text) if key in part.commas else text or None
    for key in part.ticked:
        values[key] = list(form.getlist(key))
    for rows in part.rows:
        values[rows.key] = list(read_rows(form, rows))
    if part.key == "closed":
        values["closed"] = list(_closed(values))
    return values


def room_file_values(part: Section, values: dict[str, Plain], room: Room) -> dict[str, Plain]:
    """The values of a part as a room file has them.

    What only the form knows is left out; a child with every weekday ticked comes on all days.
    """
    known: dict[str, Plain] = {}
    for key in part.keys:
        rows = values.get(key)
        if not isinstance(rows, list):
            known[key] = rows
            continue
        known[key] = [_file_row(row, room) if isinstance(row, dict) else row for row in rows]
    return known


def section_problems(part: Section, values: dict[str, Plain], room: Room) -> list[Problem]:
    """What is wrong with a form that a room file could not say."""
    found = [
        _problem(f"{rows.key}[{number}].days", "no day is ticked", "tick at least one day")
        for rows in part.rows
        if "days" in rows.ticked
        for number, row in enumerate(values.get(rows.key) or ())
        if isinstance(row, dict) and not row["days"]
    ]
    if part.key == "closed":
        found += _closed_problems(values)
    if part.key == "policies":
        found += _unknown_kinds(values)
    if part.key == "children":
        found += _emptied_children(values, room)
    return found


def _unknown_kinds(values: dict[str, Plain]) -> list[Problem]:
    """Decisions about something that no finding is called by: they would fold nothing."""
    rows = values.get("policies")
    known = may_decide_about()
    return [
        _problem(
            f"policies[{number}].kind",
            f"found '{row['kind']}', which no caution is called",
            "choose one of the list",
        )
        for number, row in enumerate(rows if isinstance(rows, list) else [])
        if isinstance(row, dict) and row.get("kind") and row["kind"] not in known
    ]


def _emptied_children(values: dict[str, Plain], room: Room) -> list[Problem]:
    """Brings back rows that were emptied: more is known of a child than its row (jots).

    A row cannot be emptied by a slip of the finger; taking a child out has its own button.
    """
    before = {str(row["was"]): row for row in _child_rows(room)}
    found = []
    rows = values.get("children")
    for number, row in enumerate(rows if isinstance(rows, list) else []):
        if not isinstance(row, dict) or not row.get("was"):
            continue
        if not row.get("label") and not row.get("born") and str(row["was"]) in before:
            row.update(before[str(row["was"])])
            problem = "this row was emptied, and is filled again"
            fix = "to take the child out, use Remove at the end of the row"
            found.append(_problem(f"children[{number}].label", problem, fix))
    return found


def _child_rows(room: Room) -> list[dict[str, Plain]]:
    rows = plain_values(room).get("children")
    return [
        {"days": list(_shown(room)), **row, "was": row["label"]}
        for row in (rows if isinstance(rows, list) else [])
        if isinstance(row, dict)
    ]


def _policy_rows(room: Room) -> Iterator[dict[str, Plain]]:
    """The decisions as the form has them; how old the youngest was is not typed."""
    for policy in room.policies:
        on = policy.on.isoformat()
        yield {"kind": policy.kind, "note": policy.note, "by": policy.by, "on": on}


def _file_row(row: dict[str, Plain], room: Room) -> dict[str, Plain]:
    kept = {key: value for key, value in row.items() if key != "was" and value != ""}
    ticked = kept.get("days")
    if "label" in kept and isinstance(ticked, list) and set(_shown(room)) <= set(ticked):
        del kept["days"]
    return kept


def _closed(values: dict[str, Plain]) -> list[Plain]:
    """The closed days that stay ticked and those of the new lines that can be read."""
    days = [str(day) for day in values["closed"] or ()]
    unread = []
    for row in values["closing"] or ():
        span = _span(row) if isinstance(row, dict) else None
        if isinstance(span, tuple):
            step = dt.timedelta(days=1)
            days += [(span[0] + n * step).isoformat() for n in range((span[1] - span[0]).days + 1)]
        else:
            unread.append(row)
    values["closing"] = list(unread)
    return list(dict.fromkeys(days))


def _closed_problems(values: dict[str, Plain]) -> list[Problem]:
    found = []
    if not values["open"]:
        found.append(_problem("open", "no weekday is ticked", "tick the days you are open"))
    for number, row in enumerate(values["closing"] or ()):
        wrong = _span(row) if isinstance(row, dict) else None
        if isinstance(wrong, tuple) or wrong is None:
            continue
        found.append(_problem(f"closing[{number}].{wrong.field}", wrong.problem, wrong.fix))
    return found


def _span(row: dict[str, Plain]) -> tuple[dt.date, dt.date] | Problem:
    """The days of a line; a line with one date is one day."""
    days = {}
    for key in ("from", "to"):
        try:
            days[key] = read_date(str(row.get(key) or row.get("from") or row.get("to")))
        except Unreadable as error:
            return _problem(key, str(error), error.fix)
    first, last = days["from"], days["to"]
    if last < first:
        return _problem("to", f"found {last}, before {first}", "write a later day")
    if (last - first).days >= MAX_CLOSED_RUN:
        text = f"found {(last - first).days + 1} days in one line"
        return _problem("to", text, f"write at most {MAX_CLOSED_RUN} days in one line")
    return first, last


def _shown(room: Room) -> tuple[str, ...]:
    """The weekdays that a form offers."""
    return tuple(day for day in WEEKDAYS if day in (room.open or WORKING_WEEK))


def _problem(name: str, problem: str, fix: str) -> Problem:
    return Problem("", 0, name, problem, fix)
