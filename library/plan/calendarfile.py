"""A unit as an iCalendar file: its days, prep, what to order by when, and books.

Nothing in it names a child, an allergen, a number of children or what a room has decided: a calendar
is shared sooner than one thinks. Source of the form: RFC 5545.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from library.plan.prepneeds import day_to_order, wanted_for_prep
from library.plan.stops import to_fetch
from library.plan.unitplan import UnitPlan
from library.prep.prep import Session
from library.supplies.borrowing import to_borrow
from library.units.calendar import open_days


def calendar_file(plan: UnitPlan, now: dt.datetime) -> bytes:
    """The file, in the room's time zone; without one, times are whatever zone the reader is in.

    Each event keeps its UID while it is about the same thing, so that a calendar which has read the
    file before changes what it has instead of doubling it.

    Args:
        plan: The unit in its room.
        now: When the file is made, in UTC.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//Lowshelf//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", plan.unit.title)
    for name, event in _events(plan):
        event.add("uid", f"{uuid5(NAMESPACE_URL, f'lowshelf/{plan.unit.id}/{name}')}@lowshelf")
        event.add("dtstamp", now)
        calendar.add_component(event)
    if plan.room.zone:
        _add_zone(calendar, plan.unit.starts)
    return bytes(calendar.to_ical())


def _add_zone(calendar: Any, starts: dt.date) -> None:
    """Says when clocks change around a unit, one date a line: readers are known that take the first."""
    first, last = dt.date(starts.year - 1, 1, 1), dt.date(starts.year + 2, 1, 1)
    calendar.add_missing_timezones(first_date=first, last_date=last)
    for zone in calendar.timezones:
        for part in zone.subcomponents:
            dates = part.pop("RDATE", None)
            for each in dates.dts if dates is not None else ():
                part.add("rdate", each.dt)


def _events(plan: UnitPlan) -> Iterator[tuple[str, Any]]:
    """Every event, with what it is about."""
    if days := open_days(plan.unit, plan.room):
        yield "unit", _on_days(plan.unit.title, days[0], days[-1])
    for session in plan.prep.sessions:
        name = f"prep/{session.date}/{session.window}/{session.adult}"
        yield name, _prep(plan, session)
    by_day: dict[dt.date, list[str]] = {}
    fetched = to_fetch(plan)
    early = wanted_for_prep(plan, fetched.lines)
    for line in fetched.lines:
        day = day_to_order(line, early)
        if day and line.buy and line.is_fetched:
            by_day.setdefault(day, []).append(line.item)
    for day, items in sorted(by_day.items()):
        event = _on_days(f"Last day to order for {plan.unit.title}", day, day)
        event.add("description", "\n".join(sorted(items)))
        yield f"order/{day}", event
    books = to_borrow(plan.unit, plan.theme, fetched, plan.room, plan.materials)
    for book in books:
        for what, day in (("Ask for", book.dates.ask_by), ("Take back", book.dates.back_by)):
            yield f"{what}/{book.title}", _on_days(f"{what} the book: {book.title}", day, day)


def _prep(plan: UnitPlan, session: Session) -> Any:
    from icalendar import Event

    opens, closes = (dt.time.fromisoformat(text) for text in session.window.split("-"))
    event = Event()
    event.add("summary", f"Prep for {plan.unit.title}, {session.minutes} min")
    event.add("dtstart", _moment(plan, session.date, opens))
    event.add("dtend", _moment(plan, session.date, closes))
    event.add("description", "\n".join(f"{s.do}, {s.minutes} min" for s in session.steps))
    return event


def _moment(plan: UnitPlan, day: dt.date, time: dt.time) -> dt.datetime:
    moment = dt.datetime.combine(day, time)
    return moment.replace(tzinfo=ZoneInfo(plan.room.zone)) if plan.room.zone else moment


def _on_days(summary: str, first: dt.date, last: dt.date) -> Any:
    """An event of whole days; its end is the day after the last (RFC 5545, 3.6.1)."""
    from icalendar import Event

    event = Event()
    event.add("summary", summary)
    event.add("dtstart", first)
    event.add("dtend", last + dt.timedelta(days=1))
    event.add("transp", "TRANSPARENT")
    return event
