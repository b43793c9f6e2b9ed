"""The prep of a unit: nap times with their tasks, moved, ticked off and shared out."""

from __future__ import annotations

import datetime as dt

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.plan.calendarfile import calendar_file
from library.room.prepbook import PrepBook, Settled
from library.room.times import read_date
from library.safety.standing import NOT_AHEAD
from library.store.errors import WrongUse
from library.store.problems import Unreadable
from server.preppage import prep_page
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.unitpage import working_room

bp = Blueprint("prep", __name__, url_prefix="/units")
bp.after_request(keep_out_of_caches)


@bp.get("/<theme>/<name>/prep")
def show(theme: str, name: str) -> str:
    """What is done in which nap time, and what will not fit."""
    page = prep_page(f"{theme}/{name}")
    return render_template("prep/show.html", page=page, unit=page.unit, not_ahead=NOT_AHEAD)


@bp.get("/<theme>/<name>/calendar.ics")
def calendar(theme: str, name: str) -> Response:
    """The unit for a calendar: its days, prep, last days to order, books."""
    room = working_room(shelf().room())
    plan = shelf().open_plan(f"{theme}/{name}", room, today=dt.date.today())
    file = calendar_file(plan, dt.datetime.now(dt.UTC))
    said = f'attachment; filename="{theme}-{name}.ics"'
    return Response(file, content_type="text/calendar", headers={"Content-Disposition": said})


@bp.post("/<theme>/<name>/prep")
def change(theme: str, name: str) -> ResponseReturnValue:
    """Moves a task, lets it go again, ticks it off, or says who does it; the rest is worked out anew."""
    room = shelf().room()
    if room is None:
        raise WrongUse("no room is loaded, so there are no nap times; begin one at Room")
    unit_id = f"{theme}/{name}"
    shelf().units.read(unit_id)
    key = request.form.get("step", "")
    if not key or len(key) > 500:
        raise WrongUse("this change does not say which task it is about; look at the page again")
    _do(PrepBook(shelf().paths.database, room.name), unit_id, key)
    return redirect(url_for("prep.show", theme=theme, name=name), 303)


def _do(book: PrepBook, unit_id: str, key: str) -> None:
    do, said = request.form.get("do", ""), request.form.get
    if do == "ask":
        book.ask(unit_id, key, said("who", ""))
        return
    day, window = _place(said("at", ""))
    piece = _minutes(said("piece", ""))
    if do == "move":
        to_day, to_window = _place(said("to", ""))
        was = (day, window) if piece else None
        book.put(unit_id, Settled(key, to_day, to_window, minutes=piece), was)
        flash("Moved. What stands around it was worked out anew.")
    elif do == "let go":
        book.let_go(unit_id, key, (day, window) if piece else None)
    elif do == "done":
        book.tick(unit_id, Settled(key, day, window, minutes=piece))
    elif do == "not done":
        book.untick(unit_id, key, (day, window))
    else:
        raise WrongUse(f"found '{do[:40]}'; expected to move, let go, tick or share out a task")


def _place(text: str) -> tuple[dt.date, str]:
    """A day and a window, ``2026-10-01 13:00-13:40``."""
    date, _, window = text.partition(" ")
    try:
        return read_date(date), window[:20]
    except Unreadable as error:
        raise WrongUse(f"nap time: {error}") from error


def _minutes(text: str) -> int | None:
    """Minutes of a piece of a task; None for all of it."""
    return int(text) if text.isascii() and text.isdecimal() and 0 < int(text[:6]) < 1_000 else None
