"""The prep windows of a room on the calendar. Wall-clock times; a change of clocks changes nothing."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from library.room.room import WEEKDAYS, PrepWindow, Room

MINUTES_A_DAY = 24 * 60


@dataclass(frozen=True, slots=True)
class Window:
    """One prep window on one day."""

    number: int
    """Place in time among the windows, from 0."""
    date: dt.date
    opens: dt.time
    closes: dt.time
    adults: int
    """Equal tracks of the window's length; one step keeps one adult (PREP12)."""
    away: bool
    """Whether an adult may leave the room then."""

    @property
    def start(self) -> int:
        """First minute, counted on the wall clock from the start of the calendar."""
        return minute_of(dt.datetime.combine(self.date, self.opens))

    @property
    def end(self) -> int:
        """The minute at which it is over."""
        return minute_of(dt.datetime.combine(self.date, self.closes))

    @property
    def minutes(self) -> int:
        """Length."""
        return self.end - self.start

    @property
    def label(self) -> str:
        """``13:00-13:40`` (PREP22)."""
        return f"{self.opens:%H:%M}-{self.closes:%H:%M}"


def minute_of(moment: dt.datetime) -> int:
    """A wall-clock moment in minutes, so that spans are differences (CAL6)."""
    return moment.toordinal() * MINUTES_A_DAY + moment.hour * 60 + moment.minute


def moment_of(minute: int) -> dt.datetime:
    """The wall-clock moment of a minute."""
    days, rest = divmod(minute, MINUTES_A_DAY)
    return dt.datetime.combine(dt.date.fromordinal(days), dt.time(*divmod(rest, 60)))


def windows_between(room: Room, first: dt.date, last: dt.date) -> tuple[Window, ...]:
    """Every prep window on an open day from ``first`` to ``last``, in order of time (PREP11).

    Several windows on one day stay separate, even where they overlap. A window that is no longer
    than nothing, or has no adult, is none.
    """
    found: list[tuple[dt.date, PrepWindow]] = []
    for offset in range((last - first).days + 1):
        day = first + dt.timedelta(days=offset)
        if room.is_open(day):
            name = WEEKDAYS[day.weekday()]
            found += [(day, each) for each in room.prep_windows if name in each.days]
    usable = [(day, each) for day, each in found if each.minutes > 0 and each.adults > 0]
    usable.sort(key=lambda pair: (pair[0], pair[1].start, pair[1].end, pair[1].away))
    return tuple(
        Window(number, day, each.start, each.end, each.adults, each.away)
        for number, (day, each) in enumerate(usable)
    )
