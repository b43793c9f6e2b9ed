"""Books to borrow: when to ask, when to fetch, when to bring them back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from library.materials.amounts import Quantity
from library.materials.material import MaterialBook, name_key
from library.room.room import Room
from library.supplies.lines import Supplies
from library.supplies.shopping import is_lent
from library.units.calendar import open_days
from library.units.theme import Theme
from library.units.unit import Unit


@dataclass(frozen=True, slots=True)
class Dates:
    """The dates of one loan. What the team does falls on a day on which the room is open."""

    ask_by: dt.date
    """The last open day on which to ask for it."""
    fetch_from: dt.date
    """From which on it waits, if it was asked for on the last day."""
    fetch_by: dt.date
    """The open day before it is first used, or the last day it waits."""
    back_by: dt.date
    """The last open day before it is due."""
    renew: bool
    """Whether it is still used on the day it is due or later."""


@dataclass(frozen=True, slots=True)
class ToBorrow:
    """One book to borrow, or several of one kind."""

    title: str
    author: str
    isbn: str
    many: Quantity
    uses: tuple[str, ...]
    """What it is for: titles of cards, or the theme's."""
    dates: Dates


def to_borrow(
    unit: Unit, theme: Theme | None, supplies: Supplies, room: Room, book: MaterialBook
) -> tuple[ToBorrow, ...]:
    """The books of the cards that are not on the shelf and not bought, then those of the theme.

    A book of the theme is wanted for the whole unit, and counts as there where the stock has its
    title.

    Args:
        unit: The unit.
        theme: Its theme.
        supplies: What the unit needs.
        room: Its stock, its open days and how its library lends.
        book: What materials are called.
    """
    found = []
    for line in supplies.lines:
        days = sorted({day for each in line.needs for day in each.placed.days})
        if is_lent(line) and line.buy > 0 and line.first_use and days:
            uses = dict.fromkeys(each.placed.card.title for each in line.needs if each.placed.card)
            dates = loan_dates(line.first_use, days[-1], room)
            found.append(ToBorrow(line.item, "", "", line.short, tuple(uses), dates))
    return (*found, *_of_theme(unit, theme, room, book))


def _of_theme(
    unit: Unit, theme: Theme | None, room: Room, book: MaterialBook
) -> Iterable[ToBorrow]:
    days = open_days(unit, room)
    if theme is None or not days:
        return
    there = {name_key(book.main_name(line.item)) for line in room.stock if line.amount.number}
    for each in theme.books:
        if name_key(book.main_name(each.title)) not in there:
            dates = loan_dates(days[0], days[-1], room)
            one = Quantity(Fraction(1), "")
            yield ToBorrow(each.title, each.author, each.isbn, one, (theme.title,), dates)


def loan_dates(first_use: dt.date, last_use: dt.date, room: Room) -> Dates:
    """The dates of a loan, from how the room's library lends.

    Fetched on the open day before the first use; asked for ``ahead`` calendar days before that, or
    on the open day before; on the shelf for ``hold`` days before; due ``days`` after it was
    fetched, so back the day before at the latest, or on the open day before that. Units: calendar
    days. Source of the usual values: published policies of
    five public libraries (loans of two to three weeks, hold shelves of three to seven days).
    """
    loans = room.loans
    fetch_by = _open_until(first_use - dt.timedelta(days=1), room)
    due = fetch_by + dt.timedelta(days=loans.days)
    return Dates(
        ask_by=_open_until(fetch_by - dt.timedelta(days=loans.ahead), room),
        fetch_from=fetch_by - dt.timedelta(days=loans.hold),
        fetch_by=fetch_by,
        back_by=max(fetch_by, _open_until(due - dt.timedelta(days=1), room)),
        renew=last_use >= due,
    )


def _open_until(day: dt.date, room: Room) -> dt.date:
    """The day itself, or the nearest open one before it; a room that never opens gets some day."""
    for _ in range(60):
        if room.is_open(day):
            break
        day -= dt.timedelta(days=1)
    return day
