"""The room: its children, adults, day, closed days, centers, shelf. All of it stays private.

What is said of a child is posted and never part of an address; no answer of these pages is kept
by a browser, and no message that travels in a cookie names a child.
"""

from __future__ import annotations

import datetime as dt
import json
from contextlib import suppress
from dataclasses import dataclass, replace

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.materials.allergens import in_everyday_words
from library.room.merging import Clash, merge_values
from library.room.publicdays import PublicDay, propose_closed_days
from library.room.room import WORKING_WEEK, Policy, Room, age_in_months
from library.room.roomfile import plain_values, read_room, read_values, write_room
from library.room.rooms import Cleared
from library.safety.adults import ratio_tables
from library.safety.policies import asks_again, policy_about, policy_in_words
from library.store.errors import NotFound, StaleFile, WrongUse
from library.store.problems import Problem
from library.store.yamltext import Loaded, Plain
from server.cautions import NotMatched, may_be_decided, not_matched, title_of
from server.forms import Filled, mark_of, read_day, without_row
from server.roomforms import (
    SECTIONS,
    Section,
    read_section,
    room_file_values,
    section_problems,
    section_values,
)
from server.security import keep_out_of_caches
from server.shelf import shelf

bp = Blueprint("room", __name__, url_prefix="/room")
bp.after_request(keep_out_of_caches)


@dataclass(frozen=True, slots=True)
class ChildLine:
    """A child as the overview shows it."""

    label: str
    age_months: int
    allergens: str
    days: tuple[str, ...]
    """Weekdays; empty: every open day."""
    there: str
    """From and until, where said."""


@dataclass(frozen=True, slots=True)
class RoomPage:
    """Everything the overview shows."""

    room: Room
    children: tuple[ChildLine, ...]
    others: tuple[str, ...]
    """Names of the other rooms."""
    closed: tuple[dt.date, ...]
    """Closed days from today on."""
    not_matched: NotMatched | None
    """Allergens that no check can find."""
    sharing: tuple[str, ...]
    """Names of the rooms that share its closet."""
    decided: tuple[str, ...]
    """What it has decided about cautions, a line each."""


@bp.get("")
def show() -> str:
    """The room in words, or how to begin."""
    room = shelf().room()
    if room is None:
        return render_template("room/begin.html", text="", problems=())
    return render_template("room/show.html", page=room_page(room), sections=SECTIONS.values())


@bp.post("")
def create() -> ResponseReturnValue:
    """Begins a room of a name and leads to its children."""
    name = request.form.get("name", "").strip()
    if not name:
        flash("Write a name for the room.")
        return redirect(url_for("room.show"), 303)
    if name.casefold() in (known.casefold() for known in shelf().rooms.names()):
        raise WrongUse(f"there is a room '{name[:60]}' already; choose another name")
    shelf().rooms.save(Room(name, centers=shelf().centers()))
    return redirect(url_for("room.edit", section="children"), 303)


@bp.post("/example")
def load_example() -> ResponseReturnValue:
    """Adds the example room and works with it."""
    room = shelf().rooms.load_demo(dt.date.today())
    flash(f"{room.name} is an example. Look around, and remove it here when you are done.")
    return redirect(url_for("room.show"), 303)


@bp.post("/example/remove")
def remove_example() -> ResponseReturnValue:
    """Removes the example room with everything in it."""
    removed = shelf().rooms.remove_demo()
    flash("The example room is gone." if removed else "There was no example room.")
    return redirect(url_for("room.show"), 303)


@bp.post("/choose")
def choose() -> ResponseReturnValue:
    """Works with another room from now on."""
    shelf().rooms.make_current(request.form.get("room", ""))
    return redirect(url_for("room.show"), 303)


@bp.post("/load")
def load() -> ResponseReturnValue:
    """Keeps the room of a file that was chosen or pasted."""
    text = request.form.get("text", "")
    upload = request.files.get("file")
    problems: tuple[Problem, ...] = ()
    if upload and upload.filename:
        try:
            text = upload.stream.read().decode("utf-8")
        except UnicodeDecodeError:
            fix = "save it as UTF-8 and choose it again"
            problems = (Problem("", 0, "", "the file is no UTF-8 text", fix),)
    if not problems:
        read = read_room(text)
        problems = read.problems
    if problems:
        return render_template("room/begin.html", text=text, problems=problems), 422
    shelf().rooms.save(read.room)
    for remark in read.remarks:
        flash(f"Line {remark.line}: {remark.problem}; {remark.fix}.")
    flash(f"{read.room.name} is loaded.")
    return redirect(url_for("room.show"), 303)


@bp.post("/file")
def export() -> Response:
    """The room as a file of its own, for the team's private folder."""
    text = write_room(shelf().rooms.get(request.form.get("room", "")))
    return Response(
        text,
        mimetype="text/yaml",
        headers={"Content-Disposition": 'attachment; filename="room-private.yaml"'},
    )


@bp.get("/<section>")
def edit(section: str) -> ResponseReturnValue:
    """The form of one part of the room."""
    part = _section(section)
    room = shelf().room()
    if room is None:
        return redirect(url_for("room.show"), 303)
    values = section_values(part, room)
    return _form(part, room, Filled(values, marks=_marks(room, values)))


@bp.post("/<section>")
def update(section: str) -> ResponseReturnValue:
    """Keeps one part of the room; everything that is wrong comes back beside its field."""
    part = _section(section)
    room = shelf().rooms.get(request.form.get("room", ""))
    values = read_section(part, request.form)
    marks = {name: request.form.get(name, "") for name in ("room", "mark", "base")}
    if moved := _moved(values):
        blank = request.form.get("add", "")
        return _form(part, room, Filled(moved, blank=blank, unsaved=True, marks=marks))
    now = section_values(part, room)
    own = section_problems(part, values, room)
    typed = room_file_values(part, values, room)
    read = read_values(Loaded(value={**plain_values(room), **typed}))
    problems = (*own, *read.problems)
    if problems:
        return _form(part, room, Filled(values, problems, marks=marks)), 422
    if marks["mark"] != mark_of(now):
        return _overtaken(part, room.name, values)
    try:
        _keep(room, read.room, values)
    except StaleFile:
        return _overtaken(part, room.name, values)
    if asked := request.form.get("remove"):
        label = _renamed(values).get(asked, asked)
        return render_template("room/remove_child.html", room=read.room, label=label)
    flash(f"{part.title}: saved.")
    return redirect(url_for("room.show"), 303)


@bp.post("/children/remove")
def remove_child() -> ResponseReturnValue:
    """Removes what is known of a child, after a question."""
    room = shelf().rooms.get(request.form.get("room", ""))
    label = request.form.get("label", "")
    if not request.form.get("sure"):
        return render_template("room/remove_child.html", room=room, label=label)
    shelf().rooms.remove_child(room.name, label)
    flash("What was known of this child is gone; counts in the look-backs stay.")
    return redirect(url_for("room.edit", section="children"), 303)


@bp.post("/remove")
def remove() -> ResponseReturnValue:
    """Removes a room with everything in it, after a question."""
    room = shelf().rooms.get(request.form.get("room", ""))
    if not request.form.get("sure"):
        return render_template("room/remove.html", room=room)
    shelf().rooms.remove(room.name)
    flash(f"{room.name} is gone, with everything that was known of it.")
    return redirect(url_for("room.show"), 303)


@bp.get("/year")
def year() -> ResponseReturnValue:
    """What the clearing at the end of a year would take away."""
    room = shelf().room()
    if room is None:
        return redirect(url_for("room.show"), 303)
    return render_template("room/year.html", room=room, cleared=_cleared(room, only_count=True))


@bp.post("/year")
def clear_year() -> ResponseReturnValue:
    """Clears the room at the end of a year."""
    room = shelf().rooms.get(request.form.get("room", ""))
    cleared = _cleared(room, only_count=False)
    flash(f"Cleared: {cleared.children} children, {cleared.jots} jots, and the dates behind you.")
    return redirect(url_for("room.show"), 303)


@bp.get("/holidays")
def holidays() -> ResponseReturnValue:
    """Public holidays of the coming year as proposals for closed days."""
    room = shelf().room()
    if room is None:
        return redirect(url_for("room.show"), 303)
    country, state = request.args.get("country", ""), request.args.get("state", "")
    first = read_day(request.args.get("from", "")) or dt.date.today()
    days: tuple[PublicDay, ...] = ()
    problem = ""
    if country:
        try:
            last = first + dt.timedelta(days=365)
            days = propose_closed_days(country.strip(), state.strip(), first, last)
        except WrongUse as error:
            problem = str(error)
    return render_template(
        "room/holidays.html",
        room=room,
        days=days,
        country=country,
        state=state,
        first=first,
        problem=problem,
    )


@bp.post("/holidays")
def close_days() -> ResponseReturnValue:
    """Closes the room on the days that were chosen."""
    room = shelf().rooms.get(request.form.get("room", ""))
    chosen = {day for text in request.form.getlist("day") if (day := read_day(text))}
    new = chosen - room.closed
    closed = replace(room, closed=room.closed | new)
    shelf().rooms.save(closed, make_current=False, was=room)
    flash(f"{len(new)} more closed {'day' if len(new) == 1 else 'days'}.")
    return redirect(url_for("room.edit", section="closed"), 303)


def room_page(room: Room) -> RoomPage:
    """The overview of a room."""
    today = dt.date.today()
    return RoomPage(
        room=room,
        children=tuple(
            ChildLine(
                child.label,
                age_in_months(child.born, today),
                "; ".join(map(in_everyday_words, child.allergens)),
                ()
                if set(room.open) <= set(child.days)
                else tuple(day.capitalize() for day in child.days),
                " ".join(
                    f"{word} {day.isoformat()}"
                    for word, day in (("from", child.since), ("until", child.until))
                    if day
                ),
            )
            for child in room.children
        ),
        others=tuple(name for name in shelf().rooms.names() if name != room.name),
        closed=tuple(day for day in sorted(room.closed) if day >= today),
        not_matched=not_matched(room, shelf().materials()),
        sharing=tuple(other.name for other in shelf().rooms.sharing(room)),
        decided=tuple(_decided(policy, room, today) for policy in room.policies),
    )


def _decided(policy: Policy, room: Room, today: dt.date) -> str:
    """A decision in a line, and that it asks again where it is the one that counts."""
    said = f"{title_of(policy.kind)}: {policy_in_words(policy)}"
    why = asks_again(policy, room, today) if policy is policy_about(policy.kind, room) else ""
    return f"{said}, which {why}: look at it again" if why else said


def _section(key: str) -> Section:
    if key not in SECTIONS:
        raise NotFound(f"a room has no part '{key[:60]}'; it has: {', '.join(SECTIONS)}")
    return SECTIONS[key]


def _form(
    part: Section,
    room: Room,
    form: Filled,
    *,
    now: Filled | None = None,
    clashes: tuple[Clash, ...] = (),
) -> str:
    return render_template(
        f"room/{part.key}.html",
        part=part,
        room=room,
        form=form,
        now=now,
        clashes=clashes,
        weekdays=room.open or WORKING_WEEK,
        centers=shelf().centers(),
        items=shelf().item_names(),
        units=shelf().units.unit_ids(),
        kinds=may_be_decided(),
        tables=[(table.key, table.title) for table in ratio_tables().values()],
        today=dt.date.today(),
    )


def _overtaken(part: Section, name: str, values: dict[str, Plain]) -> ResponseReturnValue:
    """What was typed together with what someone else saved meanwhile, and where the two clash."""
    room = shelf().rooms.get(name)
    now = section_values(part, room)
    merged = merge_values(_base(), values, now)
    form = Filled(merged.values, marks=_marks(room, now))
    return _form(part, room, form, now=Filled(now), clashes=merged.clashes), 409


def _marks(room: Room, values: dict[str, Plain]) -> dict[str, str]:
    """What a form began with, so that a change made meanwhile is noticed and told from one's own."""
    return {"room": room.name, "mark": mark_of(values), "base": json.dumps(values, default=str)}


def _base() -> dict[str, Plain]:
    """What the form began with; nothing where it does not say, so that all that differs is asked."""
    with suppress(ValueError):
        found = json.loads(request.form.get("base", ""))
        if isinstance(found, dict):
            return found
    return {}


def _moved(values: dict[str, Plain]) -> dict[str, Plain] | None:
    """The values after a button that only moves, adds or drops a row; None for a real save."""
    if "add" in request.form:
        return values
    if "drop" in request.form:
        return without_row(values, request.form["drop"])
    for way, step in (("up", -1), ("down", 1)):
        if way in request.form:
            centers = list(values["centers"] or ())
            order = [str(each) for each in values["order"] or ()]
            at = order.index(request.form[way]) if request.form[way] in order else 0
            to = min(max(at + step, 0), len(order) - 1)
            order.insert(to, order.pop(at))
            return {"centers": [key for key in order if key in centers], "order": list(order)}
    return None


def _keep(old: Room, new: Room, values: dict[str, Plain]) -> None:
    """Keeps a changed room; a new name or label takes along what is known under the old one."""
    rooms = shelf().rooms
    if new.name != old.name:
        rooms.rename(old.name, new.name)
    if renamed := _renamed(values):
        rooms.rename_children(new.name, renamed)
        old = replace(old, children=rooms.get(new.name).children)
    rooms.save(replace(new, demo=old.demo), make_current=False, was=old)


def _renamed(values: dict[str, Plain]) -> dict[str, str]:
    """New label by the old one, of the children whose label was changed."""
    rows = values.get("children")
    return {
        str(row["was"]): str(row["label"])
        for row in (rows if isinstance(rows, list) else [])
        if isinstance(row, dict) and row.get("was") and row["was"] != row["label"]
    }


def _cleared(room: Room, *, only_count: bool) -> Cleared:
    return shelf().rooms.clear_year(room.name, dt.date.today(), only_count=only_count)
