"""Print: every sheet of a unit before it is printed, and each as a file.

Staff sheets name children by label, so no answer here is kept by a browser. A letter that was edited
is posted, printed and forgotten; nothing of it is written to the library folder.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from flask import Blueprint, Response, render_template, request
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from library.paper.job import Job
from library.paper.letter_text import letter_text
from library.paper.sheet import Audience, Sheet
from library.paper.sheets import SHEETS, Entry, labels_on, sheet_name
from library.paper.svg import as_svg
from library.plan.rules import SHIPPED, shipped_rules
from library.plan.stops import stopped_trays
from library.store.errors import NotFound
from library.units.calendar import open_days
from library.units.unit import Unit
from server.printing import FORMS, Wishes, made_sheet, print_job, read_wishes
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.unitpage import working_room

bp = Blueprint("printing", __name__, url_prefix="/units")
bp.after_request(keep_out_of_caches)
LETTER = "family-letter"
FILE_POLICY = (
    "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'"
)
"""A browser shows a PDF in a page of its own making, which needs a style and an object."""
TITLES = {
    Audience.POSTED: ("To hang up", "Anyone may read these: no child is on them."),
    Audience.FAMILY: ("To send home", "Read it, change what you like, print it or copy its text."),
    Audience.STAFF: ("For the team alone", "These may name children by label: not for the wall."),
}


@dataclass(frozen=True, slots=True)
class Preview:
    """One sheet as the page shows it."""

    name: str
    entry: Entry
    sheet: Sheet
    pictures: tuple[Markup, ...]
    """Its pages as drawings; on the overview only the first."""
    labels: tuple[str, ...]
    """Labels of children that stand as words on a sheet for everybody."""


@dataclass(frozen=True, slots=True)
class PrintPage:
    """Everything the pages show."""

    unit: Unit
    has_room: bool
    groups: tuple[tuple[str, str, tuple[Preview, ...]], ...]
    """Title, what to know, and the sheets."""
    wishes: dict[str, str]
    """What was chosen, for the addresses of files."""
    days: tuple[dt.date, ...]
    rules: tuple[tuple[str, str], ...]
    """Name and title of each set of local rules."""
    stops: int
    """Stops that stand on what is put out."""


@bp.get("/<theme>/<name>/print")
def index(theme: str, name: str) -> str:
    """Every sheet: its first page, how many there are, and what to load."""
    job = _job(theme, name, _wishes())
    groups = tuple(
        (title, about, tuple(_preview(job, key, 1) for key in _of(audience)))
        for audience, (title, about) in TITLES.items()
    )
    return render_template("printing/index.html", page=_page(job, groups))


@bp.get("/<theme>/<name>/print/<what>")
def show(theme: str, name: str, what: str) -> ResponseReturnValue:
    """One sheet, every page; with an ending it is a file."""
    what, _, ending = what.partition(".")
    job = _job(theme, name, _wishes())
    if ending:
        return _file(job, _known(what), ending)
    return _shown(job, _known(what))


@bp.post("/<theme>/<name>/print/<what>")
def edit(theme: str, name: str, what: str) -> ResponseReturnValue:
    """The letter with a text of one's own: shown, or as a file; it is stored nowhere."""
    what, _, ending = what.partition(".")
    if _known(what) != LETTER:
        raise NotFound("only the family letter can be edited before printing")
    text = request.form.get("text", "").replace("\r\n", "\n")
    job = _job(theme, name, _wishes(text))
    return _file(job, LETTER, ending) if ending else _shown(job, LETTER)


def _wishes(letter: str | None = None) -> Wishes:
    said = request.values.get
    return read_wishes(said("paper"), said("day"), said("rules"), letter)


def _job(theme: str, name: str, wishes: Wishes) -> Job:
    room = working_room(shelf().room())
    return print_job(shelf().settings, f"{theme}/{name}", room, wishes, dt.date.today())


def _known(what: str) -> str:
    if what not in SHEETS:
        raise NotFound(f"there is no sheet '{what[:60]}'; there are {', '.join(SHEETS)}")
    return sheet_name(what)


def _of(audience: Audience) -> list[str]:
    return [name for name, entry in SHEETS.items() if entry.audience is audience]


def _shown(job: Job, what: str) -> str:
    preview = _preview(job, what, None)
    text = job.letter if job.letter is not None else letter_text(job) if what == LETTER else None
    title, about = TITLES[preview.sheet.audience]
    page = _page(job, ((title, about, (preview,)),))
    return render_template("printing/show.html", page=page, preview=preview, text=text)


def _preview(job: Job, what: str, most: int | None) -> Preview:
    sheet = made_sheet(what, job)
    pictures = tuple(
        Markup(as_svg(page, f"{sheet.title}, page {number}"))  # nosec B704: escaped in as_svg
        for number, page in enumerate(sheet.pages[:most], start=1)
    )
    return Preview(what, SHEETS[what], sheet, pictures, labels_on(sheet, job))


def _page(job: Job, groups: tuple[tuple[str, str, tuple[Preview, ...]], ...]) -> PrintPage:
    said = {key: request.values.get(key, "") for key in ("paper", "day", "rules")}
    return PrintPage(
        unit=job.plan.unit,
        has_room=bool(job.room.name),
        groups=groups,
        wishes={key: value for key, value in said.items() if value},
        days=open_days(job.plan.unit, job.room),
        rules=tuple((name, shipped_rules(name).title) for name in SHIPPED),
        stops=sum(len(stops) for _, stops in stopped_trays(job.plan)),
    )


def _file(job: Job, what: str, ending: str) -> Response:
    form = FORMS.get(ending)
    if form is None:
        raise NotFound(f"a sheet has no form '.{ending[:10]}'; there are .{', .'.join(FORMS)}")
    answer = Response(form.write(made_sheet(what, job)), content_type=form.media_type)
    file = f"{what}-{job.plan.unit.theme}-{job.plan.unit.name}.{ending}"
    way = "inline" if ending in ("pdf", "txt", "json") else "attachment"
    answer.headers["Content-Disposition"] = f'{way}; filename="{file}"'
    if ending == "pdf":
        answer.headers["Content-Security-Policy"] = FILE_POLICY
    return answer
