"""What is done on the day itself."""

import datetime as dt

from library.prep.day import minutes_on, steps_on
from library.units.placed import lay_out
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
from tests.library.prep.planned import a_prep_card, a_step

BOOK = a_book(a_material("water", also=("tap water",)))
TUESDAY = MONDAY + dt.timedelta(days=1)


def on(day, *cards):
    unit = a_unit(*(a_placement(activity=card.id) for card in cards))
    return steps_on(day, lay_out(unit, None, {card.id: card for card in cards}, a_room()), BOOK)


def test_morning_steps_are_of_the_first_day_and_daily_ones_of_each():
    """PREP18: shown beside the plan with their minutes."""
    card = a_prep_card(
        "a", a_step("Cut", 5), a_step("Fill", 2, "morning"), a_step("Wash", 4, "daily")
    )
    assert [step.do for step in on(MONDAY, card)] == ["Fill", "Wash"]
    assert [step.do for step in on(TUESDAY, card)] == ["Wash"]
    assert minutes_on(on(MONDAY, card)) == 6


def test_water_is_always_a_matter_of_the_morning():
    """Water that is put out anew is listed on each of its days, also without a step for it."""
    line = a_material_line("tap water", "5 l per setup", "each day")
    card = a_card("a", materials=(line,))
    assert [step.do for step in on(TUESDAY, card)] == ["tap water: 5 l per setup"]


def test_a_day_on_which_nothing_stands_has_no_steps():
    assert on(MONDAY - dt.timedelta(days=1), a_prep_card("a", a_step("Fill", 2, "morning"))) == ()
