"""The windows to which a person may move a step."""

import datetime as dt

from library.prep.moving import Movable
from library.units.placed import lay_out
from tests.builders import MONDAY, a_placement, a_room, a_unit
from tests.library.prep.planned import a_prep_card, a_step, a_window, plan


def offered(card, *windows, weeks=1):
    """By step, the days that are offered, counted from the first Monday."""
    room = a_room(prep_windows=windows)
    unit = a_unit(a_placement(activity=card.id), weeks=weeks)
    placed = lay_out(unit, None, {card.id: card}, room)
    movable = Movable(unit, placed, room)
    prep = plan(card, room=room, weeks=weeks)
    return {
        (step.do, step.batch): [(w.date - MONDAY).days for w in movable.windows_for(step)]
        for session in prep.sessions
        for step in session.steps
    }


def test_no_window_is_offered_from_which_the_thing_would_not_keep():
    """PREP2 and PREP4: a week before Monday at eight is Monday, and not an hour earlier."""
    card = a_prep_card("dough", a_step("Cook", 8), a_step("Knead", 5), keeps="7 d")
    days = offered(card, a_window(days=("mon", "wed")))
    assert days["Knead", 1] == [-7, -5]
    assert days["Cook", 1][-3:] == [-12, -7, -5]


def test_a_window_leaves_time_for_the_steps_above_and_below():
    """PREP5: with one window left for kneading, cooking cannot come after it."""
    card = a_prep_card("dough", a_step("Cook", 18), a_step("Knead", 20), wait="12 h")
    days = offered(card, a_window(dt.time(13), dt.time(13, 30), days=("wed", "fri")))
    assert days["Cook", 1][-1] == -5
    assert days["Knead", 1][-1] == -3
    assert days["Knead", 1][0] > days["Cook", 1][0]


def test_a_window_in_which_nobody_may_leave_is_not_offered_for_what_is_away():
    """PREP11: a step that is away has only windows that are away."""
    card = a_prep_card("ice", a_step("Freeze", 5, away=True))
    windows = a_window(days=("thu",)), a_window(days=("wed",), away=True)
    assert {day % 7 for day in offered(card, *windows)["Freeze", 1]} == {2}
