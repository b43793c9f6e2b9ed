"""The Fern Room as an example: a small center in a wet town by the sea."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from library.room.room import WEEKDAYS, Child, Room, Weekday
from library.room.roomfile import read_room

AGES: tuple[tuple[str, int, tuple[str, ...], tuple[Weekday, ...]], ...] = (
    ("wren", 24, ("wheat",), ()),
    ("robin", 26, (), ("mon", "wed", "fri")),
    ("finch", 28, (), ()),
    ("heron", 30, ("egg",), ()),
    ("plover", 32, (), ()),
    ("tern", 35, (), ("tue", "thu")),
    ("swift", 38, (), ()),
    ("dunlin", 41, (), ()),
)
"""Label, age in months on the day of loading, allergens and weekdays (empty: all)."""

FERN_ROOM = """\
name: Fern Room
adults: 2
day:
  - {name: free play, from: "08:30", to: "10:00", kind: free}
  - {name: outside, from: "10:15", to: "11:00", kind: outdoor}
  - {name: circle, from: "11:00", to: "11:10", kind: circle}
  - {name: lunch, from: "11:30", to: "12:15", kind: meal}
  - {name: rest, from: "12:30", to: "14:30", kind: rest}
  - {name: afternoon play, from: "15:00", to: "16:00", kind: free}
prep_windows:
  - {days: [mon, tue, wed, thu, fri], from: "13:00", to: "13:40", adults: 1, away: false}
  - {days: [wed], from: "16:15", to: "17:00", adults: 2, away: true}
centers: [sensory, water, light, art, easel, dough, dramatic, blocks, table, writing, books,
  science, music, outdoors, circle]
rules: cfoc
languages: [es]
stock:
  - {item: hand sponge, amount: 6, bin: B4}
  - {item: wooden block, amount: 40, bin: A1}
  - {item: masking tape, amount: 2 rolls, bin: C1}
  - {item: butcher paper, amount: 1 roll, bin: C3}
  - {item: white rice, amount: 2 kg, bin: D2}
buy:
  - {item: butcher paper, pack: 1 roll, price: 14.50, delivery_days: 4}
  - {item: washable tempera paint, pack: 500 ml, price: 4.20, delivery_days: 3}
  - {item: flour, pack: 2 kg, price: 2.60}
"""


def demo_room(today: dt.date) -> Room:
    """The Fern Room with eight children of 24 to 41 months on a day, marked as an example.

    Args:
        today: The day on which the ages hold.
    """
    children = tuple(
        Child(label, _born(age, today), allergens, days or WEEKDAYS)
        for label, age, allergens, days in AGES
    )
    return replace(read_room(FERN_ROOM).room, children=children, demo=True)


def _born(age_months: int, today: dt.date) -> tuple[int, int]:
    year, month = divmod(today.year * 12 + today.month - 1 - age_months, 12)
    return year, month + 1
