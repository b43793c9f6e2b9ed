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

YOUNGEST = 24
"""Age in months at which a child comes to this room."""

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
zone: America/Los_Angeles
stock:
  - {item: unit blocks, amount: 60, bin: A1}
  - {item: wooden block, amount: 40, bin: A1}
  - {item: ramp board, amount: 2, bin: A1}
  - {item: wooden plank, amount: 1, bin: A1}
  - {item: tree slice, amount: 45, bin: A1}
  - {item: cardboard box, amount: 8, bin: A1}
  - {item: large cardboard box, amount: 2, bin: A1}
  - {item: shoebox, amount: 6, bin: A1}
  - {item: tray, amount: 10, bin: A4}
  - {item: muffin tin, amount: 4, bin: A4}
  - {item: tongs, amount: 3, bin: A4}
  - {item: basket, amount: 14, bin: A4}
  - {item: snap-lid tub, amount: 4, bin: A4}
  - {item: screw-top jar, amount: 4, bin: A4}
  - {item: lidded tin, amount: 3, bin: A4}
  - {item: plastic lid, amount: 24, bin: A4}
  - {item: metal lid, amount: 40, bin: A4}
  - {item: wooden ring, amount: 24, bin: A4}
  - {item: wooden clothespin, amount: 30, bin: A4}
  - {item: yarn ball, amount: 6, bin: A4}
  - {item: clipboard, amount: 4, bin: A4}
  - {item: doll, amount: 4, bin: B1}
  - {item: toy animal, amount: 8, bin: B1}
  - {item: puppet, amount: 2, bin: B1}
  - {item: play dishes, amount: 12, bin: B1}
  - {item: dress-up hat, amount: 8, bin: B1}
  - {item: dress-up coat, amount: 4, bin: B1}
  - {item: rain boot, amount: 40, bin: B1}
  - {item: cloth napkin, amount: 16, bin: B1}
  - {item: picnic basket, amount: 1, bin: B1}
  - {item: filled jug, amount: 8, bin: B1}
  - {item: hand sponge, amount: 6, bin: B4}
  - {item: water tub, amount: 2, bin: B4}
  - {item: plastic jug, amount: 6, bin: B4}
  - {item: plastic scoop, amount: 6, bin: B4}
  - {item: plastic bowl, amount: 20, bin: B4}
  - {item: colander, amount: 3, bin: B4}
  - {item: funnel, amount: 2, bin: B4}
  - {item: slotted spoon, amount: 2, bin: B4}
  - {item: baster, amount: 2, bin: B4}
  - {item: watering can, amount: 3, bin: B4}
  - {item: bucket, amount: 6, bin: B4}
  - {item: spray bottle, amount: 4, bin: B4}
  - {item: floor mat, amount: 3, bin: B4}
  - {item: apron, amount: 10, bin: B4}
  - {item: rain gutter, amount: 2, bin: B4}
  - {item: drying rack, amount: 1, bin: B4}
  - {item: towel, amount: 24, bin: B5}
  - {item: washcloth, amount: 30, bin: B5}
  - {item: scarf cloth, amount: 8, bin: B5}
  - {item: fabric square, amount: 12, bin: B5}
  - {item: felt sheet, amount: 5, bin: B5}
  - {item: white sheet, amount: 3, bin: B5}
  - {item: wool blanket, amount: 4, bin: B5}
  - {item: beach towel, amount: 4, bin: B5}
  - {item: pillow, amount: 9, bin: B5}
  - {item: mitten, amount: 18, bin: B5}
  - {item: cooking pot, amount: 6, bin: B6}
  - {item: pot lid, amount: 3, bin: B6}
  - {item: steel bowl, amount: 4, bin: B6}
  - {item: plastic mug, amount: 8, bin: B6}
  - {item: wooden spoon, amount: 12, bin: B6}
  - {item: metal spoon, amount: 10, bin: B6}
  - {item: ladle, amount: 2, bin: B6}
  - {item: potato masher, amount: 4, bin: B6}
  - {item: rolling pin, amount: 4, bin: B6}
  - {item: loaf pan, amount: 3, bin: B6}
  - {item: paint roller, amount: 4, bin: C3}
  - {item: paint tray, amount: 4, bin: C3}
  - {item: house-painting brush, amount: 4, bin: C3}
  - {item: wide paint brush, amount: 8, bin: C3}
  - {item: glue brush, amount: 4, bin: C3}
  - {item: twig bundle, amount: 4, bin: C3}
  - {item: chalkboard, amount: 1, bin: C3}
  - {item: easel, amount: 1, bin: C3}
  - {item: flashlight, amount: 4, bin: D1}
  - {item: battery lantern, amount: 2, bin: D1}
  - {item: light table, amount: 1, bin: D1}
  - {item: lamp, amount: 1, bin: D1}
  - {item: mirror, amount: 4, bin: D1}
  - {item: magnifier (large), amount: 4, bin: D1}
  - {item: clear plastic bottle, amount: 6, bin: D1}
  - {item: hand drum, amount: 3, bin: D4}
  - {item: shaker, amount: 2, bin: D4}
  - {item: ribbon wand, amount: 8, bin: D4}
  - {item: parachute, amount: 1, bin: D4}
  - {item: picture book, amount: 24, bin: E1}
  - {item: pine cone, amount: 70, bin: E3}
  - {item: smooth river stone, amount: 40, bin: E3}
  - {item: large shell, amount: 50, bin: E3}
  - {item: stick, amount: 16, bin: E3}
  - {item: silk leaf, amount: 20, bin: E3}
  - {item: sand bag, amount: 4, bin: E3}
  - {item: firewood log, amount: 8, bin: E3}
  - {item: sandpit, amount: 1, bin: F1}
  - {item: sand tray, amount: 2, bin: F1}
  - {item: child rake, amount: 4, bin: F1}
  - {item: wheelbarrow, amount: 1, bin: F1}
  - {item: wagon, amount: 1, bin: F1}
  - {item: tennis ball, amount: 6, bin: F1}
  - {item: wooden ball, amount: 8, bin: F1}
  - {item: large soft ball, amount: 6, bin: F1}
  - {item: laundry basket, amount: 3, bin: F1}
  - {item: step stool, amount: 2, bin: F1}
  - {item: climbing mat, amount: 3, bin: F1}
  - {item: child chair, amount: 10, bin: F1}
  - {item: crate, amount: 1, bin: F1}
  - {item: flower pot, amount: 8, bin: F1}
  - {item: potted herb, amount: 3, bin: F1}
  - {item: spider plant, amount: 2, bin: F1}
  - {item: sand, amount: 40 kg, bin: F1}
  - {item: masking tape, amount: 60 m, bin: C1}
  - {item: butcher paper, amount: 20 m, bin: C3}
  - {item: newspaper, amount: 100 sheets, bin: C3}
  - {item: copy paper, amount: 400 sheets, bin: C1}
  - {item: construction paper, amount: 30 sheets, bin: C1}
  - {item: rice flour, amount: 1 kg, bin: D2}
  - {item: salt, amount: 2 kg, bin: D2}
buy:
  - {item: butcher paper, pack: 30 m, price: 14.50, delivery_days: 4, shop: art supplier}
  - {item: egg-free tempera paint, pack: 500 ml, price: 4.20, delivery_days: 3, shop: art supplier}
  - {item: liquid watercolor, pack: 250 ml, price: 3.80, delivery_days: 3, shop: art supplier}
  - {item: contact paper, pack: 10 m, price: 9.90, delivery_days: 4, shop: art supplier}
  - {item: chunky crayon, pack: 8, price: 3.20, delivery_days: 3, shop: art supplier}
  - {item: construction paper, pack: 50 sheets, price: 3.50, delivery_days: 3, shop: art supplier}
  - {item: rice flour, pack: 1 kg, price: 2.60, shop: grocer}
  - {item: cream of tartar, pack: 100 g, price: 2.40, shop: grocer}
  - {item: vegetable oil, pack: 1 l, price: 2.90, shop: grocer}
"""


def demo_room(today: dt.date) -> Room:
    """The Fern Room with eight children of 24 to 41 months on a day, marked as an example.

    Each came in the month of turning two, so that last year's units meet those who were there.

    Args:
        today: The day on which the ages hold.
    """
    children = tuple(
        Child(
            label,
            _months_before(age, today),
            allergens,
            days or WEEKDAYS,
            since=dt.date(*_months_before(age - YOUNGEST, today), 1),
        )
        for label, age, allergens, days in AGES
    )
    return replace(read_room(FERN_ROOM).room, children=children, demo=True)


def _months_before(months: int, today: dt.date) -> tuple[int, int]:
    year, month = divmod(today.year * 12 + today.month - 1 - months, 12)
    return year, month + 1
