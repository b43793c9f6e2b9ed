"""Today: for the tablet on the shelf, what stands where and what to do, step by step.

Anyone in the room may read it, so it knows how many children come and nothing else about them. Of
the findings it says only what must not be put out.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from library.cards.portions import Portion, portions
from library.cards.rendering import Section, split_sections
from library.cards.values import Refresh, Step, When
from library.plan.reach import wants_reach
from library.plan.stops import stop_words, stops_on
from library.plan.unitplan import UnitPlan
from library.room.room import Block, Room
from library.room.times import read_date
from library.safety.checks import caution
from library.safety.hygiene import Around, around_play
from library.store.problems import Unreadable
from library.units.calendar import week_of
from library.units.placed import Placed
from library.units.unit import Unit
from server.shelf import shelf
from server.unitpage import working_room

bp = Blueprint("today", __name__, url_prefix="/today")


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands at a center on the day."""

    key: str
    """A name for the ticks, the same all day."""
    center: str
    placed: Placed
    blocks: tuple[Block, ...]
    is_new: bool
    """Whether it stands there for the first time."""
    within_reach: bool
    """Whether an adult sits right there: the card asks for it, or water stands there."""
    stop: str
    """What must not be put out, and by which rule; empty where nothing stops it."""
    put_out: tuple[Portion, ...]
    """What is put out: everything on the first day, what is renewed on the others."""
    steps: tuple[Step, ...]
    around: tuple[Around, ...]
    """Hands, water and tables, moment by moment."""
    sections: tuple[Section, ...]
    rain: str
    """Title of the rain swap."""
    rain_stop: str
    """What stops it on this day; empty where nothing does."""


@dataclass(frozen=True, slots=True)
class TodayPage:
    """A day of a unit."""

    unit: Unit
    theme_title: str
    day: dt.date
    week: int
    is_open: bool
    children: int
    """How many come."""
    standing: tuple[Standing, ...]
    before: dt.date | None
    after: dt.date | None
    others: tuple[Unit, ...]
    """Other units that stand on the same day."""
    caution: str
    """Said where something must not be put out."""


@bp.get("")
def show() -> ResponseReturnValue:
    """The day that was chosen, or today, in the unit that stands then."""
    day = _day(request.args.get("day", ""))
    units = shelf().units.read_all()[0]
    now = units_on(units, day)
    chosen = next((unit for unit in now if unit.id == request.args.get("unit")), None)
    if not now:
        return render_template(
            "today/none.html", day=day, coming=_coming(units, day), past=_past(units, day)
        )
    page = today_page(chosen or now[0], day, [unit for unit in now if unit is not chosen])
    return render_template("today/show.html", page=page)


def units_on(units: Iterable[Unit], day: dt.date) -> list[Unit]:
    """The units that stand on a day, the one that began last first."""
    there = [unit for unit in units if week_of(unit, day)]
    return sorted(there, key=lambda unit: (unit.starts, unit.id), reverse=True)


def today_page(unit: Unit, day: dt.date, others: list[Unit]) -> TodayPage:
    """One day of a unit, center by center in walking order."""
    plan = shelf().open_plan(unit, working_room(shelf().room()))
    order = {center: place for place, center in enumerate(plan.room.centers)}
    there = sorted(
        (placed for placed in plan.placed if day in placed.days),
        key=lambda placed: (order.get(placed.center, len(order)), placed.number),
    )
    open_days = [each for each in _days_around(plan, day) if plan.room.is_open(each)]
    return TodayPage(
        unit=unit,
        theme_title=plan.theme.title if plan.theme else unit.theme,
        day=day,
        week=week_of(unit, day) or 1,
        is_open=plan.room.is_open(day),
        children=len(plan.room.attending(day)),
        standing=tuple(_standing(plan, placed, day) for placed in there),
        before=max((each for each in open_days if each < day), default=None),
        after=min((each for each in open_days if each > day), default=None),
        others=tuple(other for other in others if other.id != unit.id),
        caution=caution(),
    )


def _standing(plan: UnitPlan, placed: Placed, day: dt.date) -> Standing:
    card, room = placed.card, plan.room
    is_new = placed.first_day == day
    swap = next((s for s in plan.swaps if s.number == placed.number), None)
    wanted = {When.MORNING, When.DAILY} if is_new else {When.DAILY}
    sections = split_sections(card.body) if card else []
    return Standing(
        key=f"{placed.placement.row}-{placed.placement.activity or placed.center}",
        center=placed.center,
        placed=placed,
        blocks=placed.blocks if room.day else (),
        is_new=is_new,
        within_reach=wants_reach(plan, placed),
        stop=stop_words(stops_on(plan, placed, (day,))),
        put_out=tuple(_put_out(placed, room, day, is_new=is_new)),
        steps=tuple(step for step in card.steps if step.on in wanted) if card else (),
        around=around_play(card, placed.center, plan.materials, children=len(room.attending(day))),
        sections=tuple(sections),
        rain=swap.card.title if swap and swap.card else "",
        rain_stop=stop_words(stops_on(plan, swap, (day,))) if swap else "",
    )


def _put_out(placed: Placed, room: Room, day: dt.date, *, is_new: bool) -> list[Portion]:
    if placed.card is None:
        return []
    children = len(room.attending(day)) or len(room.children)
    found = portions(placed.card, children=children, adults=room.adults_at(day))
    return [each for each in found if is_new or each.line.refresh is Refresh.EACH_DAY]


def _days_around(plan: UnitPlan, day: dt.date) -> list[dt.date]:
    return [
        each for step in range(-14, 15) if week_of(plan.unit, each := day + dt.timedelta(days=step))
    ]


def _coming(units: list[Unit], day: dt.date) -> Unit | None:
    return min((u for u in units if u.starts > day), key=lambda u: u.starts, default=None)


def _past(units: list[Unit], day: dt.date) -> Unit | None:
    return max((u for u in units if u.starts <= day), key=lambda u: u.starts, default=None)


def _day(text: str) -> dt.date:
    try:
        return read_date(text)
    except Unreadable:
        return dt.date.today()
