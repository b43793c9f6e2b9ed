"""What the plan page can do to a unit: each edit reads its own fields of the form.

``EDITS`` is the visible table: a new one is one function and one line in it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Any, NamedTuple

from werkzeug.datastructures import MultiDict

from library.room.room import Room
from library.room.times import read_date
from library.store.errors import NotFound, WrongUse
from library.store.problems import Unreadable
from library.units import editing
from library.units.calendar import DAYS_A_WEEK, placement_days, week_of
from library.units.naming import name_days
from library.units.parsing import MAX_WEEKS, parse_unit
from library.units.unit import Placement, Unit
from server.figures import read_whole

Form = MultiDict[str, str]
PROP = "prop."
"""What the names of fields for props begin with."""


@dataclass(frozen=True, slots=True)
class At:
    """Where an edit is done."""

    room: Room
    row: int = -1
    """The placement's row in the file; -1: none is meant."""


def edit_of(do: str, form: Form, at: At) -> Callable[[str], str]:
    """The edit that a form asks for, from text to text.

    Raises:
        WrongUse: If there is no such edit.
    """
    if do not in EDITS:
        raise WrongUse(f"the plan cannot do '{do[:40]}'; it can: {', '.join(EDITS)}")
    return lambda text: EDITS[do].do(text, form, at)


def place(text: str, form: Form, at: At) -> str:
    """Puts a card at a center: in one week, or in every week of the unit."""
    week = _week(form)
    center, activity = form.get("center", "").strip(), form.get("activity", "").strip()
    if not center or not activity:
        raise WrongUse("choose a center and an activity for it")
    weeks = (week,) if week and _unit(text).weeks > 1 else ()
    return editing.add(text, Placement(center, activity, weeks=weeks))


def let_stand(text: str, form: Form, at: At) -> str:
    """Marks a center as standing, with what is added to it."""
    center = form.get("center", "").strip()
    if not center:
        raise WrongUse("choose a center that stays as it is")
    add = form.get("add", "").strip()
    return editing.add(text, Placement(center, standing=True, add=add))


def change(text: str, form: Form, at: At) -> str:
    """Everything that the panel of a placement shows; days are rewritten only if others were ticked."""
    old = placement_in(text, at.row)
    fields: dict[str, Any] = {
        key: form[key].strip() for key in ("center", "note", "add") if key in form
    }
    if "instead" in form:
        fields["instead"] = form["instead"].strip() or None
    if "has_blocks" in form:
        fields["when"] = tuple(form.getlist("when"))
    props = {name.removeprefix(PROP): text for name, text in form.items() if name.startswith(PROP)}
    if props:
        mine = {name: word for name, word in old.props.items() if name not in props}
        fields["props"] = {**mine, **{n: word.strip() for n, word in props.items() if word.strip()}}
    if "has_days" in form:
        fields |= _days(text, old, form, at.room)
    return editing.change(text, at.row, fields)


def move(text: str, form: Form, at: At) -> str:
    """Puts a placement at another center; dragged to another week, it stands in that week."""
    old = placement_in(text, at.row)
    fields: dict[str, Any] = {"center": form.get("center", old.center)}
    week, start = _week(form), _week(form, "from")
    if week and start and week != start:
        step = dt.timedelta(days=DAYS_A_WEEK * (week - start))
        unit = _unit(text)
        if old.days:
            moved = (day + step if week_of(unit, day) == start else day for day in old.days)
            fields["days"] = tuple(sorted(set(moved)))
        elif old.weeks:
            fields["weeks"] = tuple(sorted({week if w == start else w for w in old.weeks}))
    if all(getattr(old, key) == value for key, value in fields.items()):
        return text
    return editing.change(text, at.row, fields)


def copy(text: str, form: Form, at: At) -> str:
    """Adds the same in another week."""
    return editing.copy_to_week(text, at.row, _week(form) or 0)


def push(text: str, form: Form, at: At) -> str:
    """Puts a placement off to the next week."""
    return editing.push(text, at.row)


def shorten(text: str, form: Form, at: At) -> str:
    """Lets a placement stand until a day and no longer."""
    return editing.shorten(text, at.row, _day(form), at.room)


def swap(text: str, form: Form, at: At) -> str:
    """Puts another card in a placement's place."""
    return editing.swap(text, at.row, form.get("activity", "").strip())


def swap_in_rain(text: str, form: Form, at: At) -> str:
    """Names the card that stands there on a rainy day."""
    return editing.change(text, at.row, {"instead": form.get("activity", "").strip() or None})


def remove(text: str, form: Form, at: At) -> str:
    """Takes a placement out."""
    return editing.remove(text, at.row)


def stretch(text: str, form: Form, at: At) -> str:
    """Makes the unit a week longer."""
    return editing.stretch(text)


def stop(text: str, form: Form, at: At) -> str:
    """Ends the unit on a day."""
    return editing.stop_early(text, _day(form), at.room)


class Edit(NamedTuple):
    """One thing that can be done to a plan."""

    do: Callable[[str, Form, At], str]
    says: str
    """What it does, as a heading over what was sent for it."""


EDITS: dict[str, Edit] = {
    "place": Edit(place, "put a card at a center"),
    "stays": Edit(let_stand, "let a center stay as it is"),
    "change": Edit(change, "change what stands there"),
    "move": Edit(move, "put it at another place of the plan"),
    "copy": Edit(copy, "copy it to another week"),
    "push": Edit(push, "push it to the next week"),
    "shorten": Edit(shorten, "let it stand only until a day"),
    "swap": Edit(swap, "put another card in its place"),
    "rain": Edit(swap_in_rain, "take a card for when it rains"),
    "remove": Edit(remove, "take it out"),
    "stretch": Edit(stretch, "make the unit a week longer"),
    "stop": Edit(stop, "end the unit on a day"),
}
"""What a form's ``do`` may say."""


def placement_in(text: str, row: int) -> Placement:
    """The placement of a row.

    Raises:
        NotFound: If there is none.
    """
    for placement in _unit(text).placements:
        if placement.row == row:
            return placement
    raise NotFound("this placement is gone; the plan was changed meanwhile")


def typed_texts(form: Form) -> dict[str, str]:
    """Free text of a form that would go into the library folder, by the name of its field."""
    own = ("note", "add")
    return {name: text for name, text in form.items() if name in own or name.startswith(PROP)}


def _days(text: str, old: Placement, form: Form, room: Room) -> dict[str, Any]:
    unit = _unit(text)
    ticked = set()
    for each in form.getlist("day"):
        ticked.add(_read_day(each))
    if not ticked:
        raise WrongUse("tick at least one day, or take it out of the plan")
    if ticked == set(placement_days(old, unit, room)):
        return {}
    return asdict(name_days(ticked, unit, room))


def _day(form: Form) -> dt.date:
    return _read_day(form.get("last", ""))


def _week(form: Form, name: str = "week") -> int | None:
    return read_whole(form, name, None, most=MAX_WEEKS)


def _read_day(text: str) -> dt.date:
    try:
        return read_date(text)
    except Unreadable as error:
        raise WrongUse(str(error)) from error


def _unit(text: str) -> Unit:
    unit = parse_unit(text, "theme", "unit").unit
    if unit is None:
        raise WrongUse("the plan's file cannot be read; mend it first")
    return unit
