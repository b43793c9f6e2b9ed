"""This year's unit from an earlier one: everything is seen and can be changed before it is saved."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request
from flask.typing import ResponseReturnValue

from library.plan.cloning import save_clone
from library.store.errors import WrongUse
from library.units.cloning import AS_PROPOSED, Choice
from server.cloneasking import CloneAsk, read_ask
from server.clonepage import checked_clone, choice_of_panel, clone_page
from server.forms import read_day
from server.links import unit_url
from server.naming import ask_about, named_children
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.visitors import who_saves

bp = Blueprint("clone", __name__, url_prefix="/units")
bp.after_request(keep_out_of_caches)


@bp.get("/<theme>/<name>/clone")
def show(theme: str, name: str) -> str:
    """What would become of each line; nothing is written."""
    return _page(_asked(theme, name))


@bp.get("/<theme>/<name>/clone/lines/<int:row>")
def choose(theme: str, name: str, row: int) -> ResponseReturnValue:
    """Takes what a line's panel or Find sends into the address of the page."""
    ask = _asked(theme, name)
    old = ask.choices.get(row, AS_PROPOSED)
    if activity := request.args.get("activity", ""):
        ask = ask.with_choice(row, Choice(activity=activity, days=old.days))
    elif "has_days" in request.args:
        ticked = [day for text in request.args.getlist("day") if (day := read_day(text))]
        if not ticked:
            flash("Tick at least one day, or leave it out.")
            return redirect(ask.address(open=str(row)), 303)
        note = "note" in request.args or "has_note" not in request.args
        ask = ask.with_choice(row, choice_of_panel(ask, row, ticked, note))
    return redirect(f"{ask.address()}#line-{row}", 303)


@bp.post("/<theme>/<name>/clone")
def save(theme: str, name: str) -> ResponseReturnValue:
    """Writes the new unit's file and leads to its plan; nothing else changes."""
    ask = _asked(theme, name)
    if asked := named_children(request.form, {"name": ask.name}):
        return ask_about(asked, ask.address())
    if ask.wrong or request.form.get("at") != ask.mark:
        return _page(ask, "look once more, since something is not as you saw it"), 409
    try:
        checked = checked_clone(ask)
        save_clone(shelf().paths, checked, who_saves())
    except WrongUse as error:
        return _page(ask, str(error)), 409
    unit = checked.clone.unit
    flash(f"{unit.title} is saved. {ask.source.title} stays as it was.")
    return redirect(unit_url("units.show", unit), 303)


def _page(ask: CloneAsk, wrong: str = "") -> str:
    """The page; where a name is taken or none, a free one is proposed in its place."""
    wrong = "; ".join(filter(None, (wrong, ask.wrong)))
    row = request.values.get("open", type=int)
    try:
        page = clone_page(ask, row)
    except WrongUse as error:
        typed = ask.name
        ask = read_ask(request.values, ask.source, ask.mark, propose=True)
        wrong = wrong or str(error)
        wrong += f"; '{ask.name}' is free" if ask.name != typed else ""
        page = clone_page(ask, row)
    return render_template("units/clone.html", page=page, unit=page.unit, wrong=wrong)


def _asked(theme: str, name: str) -> CloneAsk:
    read = shelf().units.read(f"{theme}/{name}")
    return read_ask(request.values, read.unit, read.fingerprint[:12])
