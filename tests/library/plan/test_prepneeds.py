"""What the planned prep wants before the day from which its order is counted."""

import datetime as dt

from icalendar import Calendar

from library.materials.amounts import parse_quantity
from library.materials.material import MADE, Kind
from library.paper.shopping_list import shopping_list
from library.plan.calendarfile import calendar_file
from library.plan.prepneeds import wanted_for_prep
from library.plan.unitplan import plan_unit
from library.room.room import BuyLine
from tests.builders import (
    MONDAY,
    a_book,
    a_card,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_unit,
)
from tests.library.paper.samples import a_job
from tests.library.prep.planned import a_step, a_window

DOUGH = a_card(
    "dough",
    prep=20,
    steps=(a_step("Cook", 12), a_step("Knead", 8)),
    materials=(a_material_line("rice flour", "2 cups per setup"), a_material_line("water", "1 l per setup"),
               a_material_line("ice", "1 per setup")),
)  # fmt: skip
PLAIN = a_card(
    "sand-pots",
    prep=2,
    steps=(a_step("Fill", 2, "morning"),),
    materials=(a_material_line("sand", "1 l per setup"),),
)
BOOK = a_book(
    a_material("rice flour", kind=Kind.CONSUMABLE),
    a_material("sand", kind=Kind.CONSUMABLE),
    a_material("water", kind=Kind.CONSUMABLE),
    a_material("ice", kind=Kind.CONSUMABLE, origin=MADE),
)


def a_plan(days, **room):
    unit = a_unit(a_placement("dough", "dough"), a_placement("sensory", "sand-pots"))
    cards = {card.id: card for card in (DOUGH, PLAIN)}
    room = a_room(prep_windows=(a_window(days=days),), **room)
    return plan_unit(unit, None, cards, room, materials=BOOK)


def test_what_is_prepared_before_the_last_possible_day_is_wanted_then():
    """SUP18 counts from Friday, which no schedule changes; the plan prepares on Wednesday."""
    plan = a_plan(("wed",))
    wanted = wanted_for_prep(plan, plan.supplies.lines)
    assert set(wanted) == {"rice flour"}
    flour = wanted["rice flour"]
    assert flour.day == MONDAY - dt.timedelta(days=5)
    assert flour.said == "Prep begins on Wed 30 Sep: have it by then, so order by Mon 28 Sep"
    assert {line.item: str(line.order_by) for line in plan.supplies.lines}["rice flour"] == (
        "2026-09-30"
    )


def test_what_is_delivered_is_ordered_as_many_days_before_the_prep():
    plan = a_plan(("wed",), buy=(BuyLine("rice flour", parse_quantity("1 cup"), None, 3),))
    flour = wanted_for_prep(plan, plan.supplies.lines)["rice flour"]
    assert flour.order_by == dt.date(2026, 9, 25)


def test_what_is_prepared_on_the_day_it_is_counted_from_needs_no_word():
    plan = a_plan(("fri",))
    assert wanted_for_prep(plan, plan.supplies.lines) == {}


def test_the_shopping_list_and_the_calendar_say_it():
    plan = a_plan(("wed",))
    assert "rice flour, for prep on Wed 30 Sep" in " ".join(shopping_list(a_job(plan)).text.split())
    file = calendar_file(plan, dt.datetime(2026, 9, 1, tzinfo=dt.UTC))
    orders = {
        str(event["dtstart"].dt): str(event["description"])
        for event in Calendar.from_ical(file).walk("VEVENT")
        if "Last day to order" in str(event["summary"])
    }
    assert orders == {"2026-09-28": "rice flour", "2026-10-02": "sand"}
