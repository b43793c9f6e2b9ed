"""After a unit: what to do again, what it took, and what the years before did."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from library.units.comparing import compare_units
from library.units.lookback import write_look_back
from server.links import unit_url
from server.lookbackpage import (
    AGAIN,
    LookBackPage,
    look_back_page,
    read_look_back,
    titles_of,
    typed_notes,
    with_theirs,
    years_page,
)
from server.naming import ask_about, named_children
from server.pages import plural
from server.planning import Overtaken
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.unitpage import working_room
from server.words import with_names

bp = Blueprint("lookback", __name__, url_prefix="/units")
bp.after_request(keep_out_of_caches)


@bp.get("/<theme>/<name>/look-back")
def show(theme: str, name: str) -> str:
    """Asks about each activity, in the order one walks the room."""
    read = shelf().plans.read(f"{theme}/{name}")
    return _page(look_back_page(read.unit, read.fingerprint, working_room(shelf().room())))


@bp.post("/<theme>/<name>/look-back")
def save(theme: str, name: str) -> ResponseReturnValue:
    """Writes what was said into the unit; rows of other activities keep their bytes."""
    unit_id, room = f"{theme}/{name}", working_room(shelf().room())
    read = shelf().plans.read(unit_id)
    entries, problems = read_look_back(request.form, read.unit, room)
    if problems:
        mark = request.form.get("fingerprint", "")
        page = look_back_page(read.unit, mark, room, request.form)
        return _page(replace(page, problems=tuple(problems))), 422
    before = {entry.note for entry in read.unit.look_back}
    if asked := named_children(request.form, typed_notes(request.form), before):
        return ask_about(asked, unit_url("lookback.show", read.unit))
    try:
        done = shelf().plans.change(
            unit_id,
            request.form.get("fingerprint", ""),
            lambda text: write_look_back(text, entries),
        )
    except Overtaken as error:
        theirs, base = error.theirs, error.base
        typed = with_theirs(request.form, base)
        page = look_back_page(theirs.unit, theirs.fingerprint, room, typed)
        titles = titles_of(filter(None, (base, theirs.unit)))
        words = compare_units(base, theirs.unit) if base else ("the plan is another one now",)
        changed = tuple(with_names(each, titles, shelf().centers()) for each in words)
        return _page(replace(page, changed=changed)), 409
    kept = f"Kept what you said of {plural(len(entries), 'activity', 'activities')}."
    flash(kept if done else "Nothing new was said.")
    return redirect(unit_url("lookback.show", read.unit), 303)


@bp.get("/<theme>/<name>/years")
def years(theme: str, name: str) -> str:
    """The years before a unit, and what changed each time."""
    unit = shelf().units.read(f"{theme}/{name}").unit
    return render_template("units/years.html", page=years_page(unit), unit=unit)


def _page(page: LookBackPage) -> str:
    return render_template("units/look_back.html", page=page, unit=page.unit, again=AGAIN)
