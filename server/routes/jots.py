"""Jots: dated lines about children in a teacher's words, private to the room.

What is said of a child is posted and never part of an address; no answer here is kept by a browser,
and no message that travels in a cookie names a child. Nobody is scored, ranked or counted.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.room.room import Room
from library.store.errors import NotFound
from server.figures import read_whole
from server.jotspage import (
    ANSWERS,
    JotsPage,
    jot_book,
    jots_page,
    read_asked,
    read_jot,
    with_problems,
)
from server.security import keep_out_of_caches
from server.shelf import shelf

bp = Blueprint("jots", __name__, url_prefix="/jots")
bp.after_request(keep_out_of_caches)


@bp.get("")
def index() -> ResponseReturnValue:
    """A line to write, and the latest jots; an address may name an activity and nothing else."""
    room = shelf().room()
    if room is None:
        return render_template("jots/none.html")
    asked = replace(read_asked(request.args), child="", since="", until="")
    return _list(jots_page(room, dt.date.today(), asked))


@bp.post("")
def create() -> ResponseReturnValue:
    """Keeps a new jot."""
    room, today = _room(), dt.date.today()
    jot, problems = read_jot(request.form, today)
    if problems:
        return _list(with_problems(jots_page(room, today, typed=jot), problems)), 422
    jot_book(room).add(jot)
    flash("Kept.")
    return redirect(url_for("jots.index"), 303)


@bp.post("/find")
def find() -> ResponseReturnValue:
    """The jots of a child, an activity, some days; posted, so that no address names a child."""
    return _list(jots_page(_room(), dt.date.today(), read_asked(request.form)))


@bp.post("/day")
def day() -> ResponseReturnValue:
    """The same form with what stood on its day to choose from; nothing is kept."""
    room, today = _room(), dt.date.today()
    jot, problems = read_jot(request.form, today)
    number = read_whole(request.form, "jot", None)
    page = jots_page(room, today, typed=replace(jot, id=number))
    page = with_problems(page, (each for each in problems if each.field == "day"))
    return _form(page) if number else _list(page)


@bp.get("/<int:jot_id>")
def edit(jot_id: int) -> ResponseReturnValue:
    """A jot to be changed."""
    room = _room()
    jot = jot_book(room).get(jot_id)
    return _form(jots_page(room, jot.day, typed=jot))


@bp.post("/<int:jot_id>")
def update(jot_id: int) -> ResponseReturnValue:
    """Keeps a changed jot, or removes it for good."""
    room, today = _room(), dt.date.today()
    if request.form.get("do") == "remove":
        jot_book(room).remove(jot_id)
        flash("That jot is gone.")
        return redirect(url_for("jots.index"), 303)
    jot, problems = read_jot(request.form, today)
    jot = replace(jot, id=jot_id)
    if problems:
        return _form(with_problems(jots_page(room, today, typed=jot), problems)), 422
    jot_book(room).change(jot)
    flash("Kept.")
    return redirect(url_for("jots.index"), 303)


def _room() -> Room:
    room = shelf().room()
    if room is None:
        raise NotFound("there is no room yet; begin one on the page Room")
    return room


def _list(page: JotsPage) -> str:
    return render_template("jots/index.html", page=page, answers=ANSWERS)


def _form(page: JotsPage) -> str:
    return render_template("jots/edit.html", page=page, answers=ANSWERS)
