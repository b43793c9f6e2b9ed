"""What the Print page and ``lowshelf print`` share: gathering a job, and the forms a sheet can take."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from threading import Lock

from library.paper.job import Job
from library.paper.pdf import as_pdf
from library.paper.pictograms import Pictograms, read_pictograms
from library.paper.sheet import LETTER, PAPERS, Paper, Sheet
from library.paper.sheets import make_sheet
from library.paper.tables import as_csv, as_xlsx
from library.plan.opening import open_plan
from library.plan.rules import SHIPPED, RuleSet, shipped_rules
from library.room.room import Room
from library.room.times import read_date
from library.store.errors import WrongUse
from library.store.problems import Unreadable
from server.settings import Settings

DRAWINGS = Path(__file__).parent / "static" / "centers.svg"


@dataclass(frozen=True, slots=True)
class Form:
    """A form that a sheet can take."""

    media_type: str
    write: Callable[[Sheet], bytes]


def as_text(sheet: Sheet) -> bytes:
    """The letter's own lines, or everything that stands on a sheet."""
    if sheet.name == "family-letter":
        return ("\n".join(str(row[0]) for row in sheet.tables[0].rows) + "\n").encode()
    return (sheet.text + "\n").encode()


def as_json(sheet: Sheet) -> bytes:
    """The sheet's rows under the names of their columns."""
    return json.dumps(sheet_json(sheet), ensure_ascii=False, indent=2).encode()


def sheet_json(sheet: Sheet) -> dict[str, object]:
    """Name, title, for whom, what to load, and the rows."""
    return {
        "sheet": sheet.name,
        "title": sheet.title,
        "for": sheet.audience.value,
        "pages": len(sheet.pages),
        "load": sheet.load,
        "tables": [each.as_json() for each in sheet.tables],
    }


FORMS: dict[str, Form] = {
    "pdf": Form("application/pdf", as_pdf),
    "txt": Form("text/plain; charset=utf-8", as_text),
    "json": Form("application/json", as_json),
    "csv": Form("text/csv; charset=utf-8", lambda sheet: as_csv(sheet.tables).encode()),
    "xlsx": Form(
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        lambda sheet: as_xlsx(sheet.tables),
    ),
}
"""Ending of a file → how a sheet is written so."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a person chose beside the sheet; each has a usual value."""

    paper: Paper = LETTER
    day: dt.date | None = None
    rules: RuleSet | None = None
    letter: str | None = None


def read_wishes(
    paper: str | None, day: str | None, rules: str | None, letter: str | None = None
) -> Wishes:
    """Reads the wishes of a command or a form; what is empty is not said.

    Raises:
        WrongUse: Naming what was found and what is expected.
    """
    chosen = (paper or LETTER.name).lower()
    if chosen not in PAPERS:
        raise WrongUse(f"paper: found '{chosen[:20]}'; expected {' or '.join(PAPERS)}")
    if rules and rules not in SHIPPED:
        raise WrongUse(f"rules: found '{rules[:40]}'; expected {' or '.join(SHIPPED)}")
    try:
        wanted = read_date(day) if day else None
    except Unreadable as error:
        raise WrongUse(f"day: {error}") from error
    return Wishes(PAPERS[chosen], wanted, shipped_rules(rules) if rules else None, letter)


def print_job(settings: Settings, unit_id: str, room: Room, wishes: Wishes, today: dt.date) -> Job:
    """Everything that a sheet of a unit may show.

    Raises:
        NotFound, Invalid, WrongUse: As for the plan of a unit.
    """
    return Job(
        plan=open_plan(settings.paths, unit_id, room, today=today),
        paper=wishes.paper,
        pictograms=drawings(),
        address=printed_address(settings),
        day=wishes.day,
        rules=wishes.rules,
        letter=wishes.letter,
    )


def printed_address(settings: Settings) -> str:
    """Where printed codes lead; empty where the room has set no host name."""
    name = settings.host_name.strip().rstrip("/")
    if not name or "://" in name:
        return name
    start = f"{settings.scheme}://{name}"
    return start if ":" in name else f"{start}:{settings.port}"


@cache
def drawings() -> Pictograms:
    """The pages' own pictograms, for paper."""
    return read_pictograms(DRAWINGS.read_text(encoding="utf-8"))


_MADE: OrderedDict[tuple[str, str], Sheet] = OrderedDict()
_MOST_KEPT = 64
_LOCK = Lock()


def made_sheet(name: str, job: Job) -> Sheet:
    """The sheet of a name, taken from those made last where everything it shows is the same.

    A page shows every sheet and then asks for one of them as a file. They are told apart by
    everything a job holds, so a change of a card, the room or the day is never missed.
    """
    key = hashlib.sha256(repr(job).encode()).hexdigest(), name
    with _LOCK:
        if key in _MADE:
            _MADE.move_to_end(key)
            return _MADE[key]
    sheet = make_sheet(name, job)
    with _LOCK:
        _MADE[key] = sheet
        while len(_MADE) > _MOST_KEPT:
            _MADE.popitem(last=False)
    return sheet
