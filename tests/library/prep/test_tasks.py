"""What has to be prepared by when."""

import datetime as dt

import pytest

from library.cards.values import read_span
from library.prep.tasks import batch_days, tasks_of
from library.prep.windows import moment_of
from library.room.room import Block
from library.units.placed import lay_out
from tests.builders import MONDAY, a_card, a_placement, a_room, a_theme, a_unit
from tests.library.prep.planned import a_prep_card, a_step


def tasks(*cards, placements=None, room=None, theme=None, **unit):
    the_unit = a_unit(*(placements or [a_placement(activity=c.id) for c in cards]), **unit)
    room = room or a_room()
    placed = lay_out(the_unit, theme, {card.id: card for card in cards}, room)
    return tasks_of(placed, room)


def at(days, hour=8, minute=0):
    return dt.datetime.combine(MONDAY + dt.timedelta(days=days), dt.time(hour, minute))


def test_the_first_morning_is_eight_o_clock_where_the_room_names_no_blocks():
    """PREP1: 08:00 on the placement's first open day."""
    assert moment_of(tasks(a_card())[0].morning) == at(0)


def test_the_first_morning_is_the_start_of_the_rooms_first_block():
    """PREP1: or the start of the room's first block where ``day`` is given."""
    room = a_room(
        day=(Block("late", dt.time(10), dt.time(11)), Block("early", dt.time(8, 30), dt.time(9)))
    )
    assert moment_of(tasks(a_card(), room=room)[0].morning) == at(0, 8, 30)


def test_wait_and_keeps_are_clock_time_over_the_weekend():
    """PREP2: nights, weekends and closed days count; d is 24 hours."""
    card = a_prep_card("dough", a_step("Mix", 10), wait="12 h", keeps="2 d")
    task = tasks(card, weeks=1)[0]
    assert moment_of(task.latest_end) == at(-1, 20)
    assert moment_of(task.earliest_end) == at(-2, 8)


def test_a_change_of_clocks_changes_nothing():
    """CAL6: a span is counted on the wall clock; clocks go back on Sunday 1 November 2026."""
    card = a_prep_card("dough", a_step("Mix", 10), wait="24 h")
    task = tasks(card, starts=dt.date(2026, 11, 2))[0]
    assert moment_of(task.latest_end) == dt.datetime(2026, 11, 1, 8)


@pytest.mark.parametrize(
    ("keeps", "made_for"),
    [("7 d", [0, 7]), ("2 d", [0, 2, 4, 7, 9, 11]), ("1 d", [0, 1, 2, 3, 4, 7, 8, 9, 10, 11]),
     ("3 d", [0, 3, 7, 10]), ("2 w", [0]), ("12 h", [0, 1, 2, 3, 4, 7, 8, 9, 10, 11])],
)  # fmt: skip
def test_what_does_not_keep_is_made_again(keeps, made_for):
    """PREP3: again for the first open morning that lies keeps or more after the last one."""
    card = a_prep_card("dough", a_step("Mix", 10), keeps=keeps)
    days = [(moment_of(task.morning).date() - MONDAY).days for task in tasks(card)]
    assert days == made_for


def test_each_batch_has_its_own_wait_and_keeps():
    """PREP3: seven days over two weeks are Monday 1 and Monday 2, each with limits of its own."""
    card = a_prep_card("dough", a_step("Mix", 10), wait="1 d", keeps="7 d")
    first, second = tasks(card)
    assert (moment_of(first.latest_end), moment_of(second.latest_end)) == (at(-1), at(6))
    assert (moment_of(first.earliest_end), moment_of(second.earliest_end)) == (at(-7), at(0))


def test_keeps_binds_only_the_last_step():
    """PREP4: earlier steps (cut, copy) may lie before."""
    card = a_prep_card("dough", a_step("Cut", 5), a_step("Mix", 10), keeps="2 d")
    assert [t.earliest_end is None for t in tasks(card, weeks=1)[:2]] == [True, False]


def test_steps_come_in_the_order_of_the_card():
    """PREP5: as listed; each after the one above it."""
    card = a_prep_card("dough", a_step("Cut", 5), a_step("Fold", 5), a_step("Mix", 10))
    assert [(t.do, t.after) for t in tasks(card)] == [("Cut", None), ("Fold", 0), ("Mix", 1)]


def test_a_card_without_steps_is_one_step_called_by_its_title():
    """PREP8: with its prep minutes; split only if over 20."""
    short, long = tasks(a_card("a", title="Rake run", prep=20), a_card("b", prep=21))
    assert (short.do, short.minutes, short.may_split) == ("Rake run", 20, False)
    assert long.may_split


def test_prep_zero_gives_no_task():
    """PREP8 and CMD7: prep 0 gives none."""
    assert tasks(a_card(prep=0)) == ()
    assert tasks(a_prep_card("a", a_step("Look", 0), prep=0)) == ()


def test_a_card_placed_twice_is_prepared_once_for_the_earliest():
    """PREP9: its open days are taken together; without keeps once, for the earliest."""
    twice = [a_placement(weeks=(2,)), a_placement("science", weeks=(1,), on=("thu",))]
    (task,) = tasks(a_card(), placements=twice)
    assert moment_of(task.morning) == at(3)


def test_a_card_placed_twice_that_does_not_keep_goes_by_all_its_days():
    """PREP9: with keeps by PREP3."""
    card = a_prep_card("dough", a_step("Mix", 10), keeps="3 d")
    twice = [
        a_placement(activity="dough", days=(MONDAY,)),
        a_placement(
            "science", "dough", days=(MONDAY + dt.timedelta(days=2), MONDAY + dt.timedelta(days=4))
        ),
    ]
    days = [(moment_of(t.morning).date() - MONDAY).days for t in tasks(card, placements=twice)]
    assert days == [0, 4]


def test_only_ahead_steps_are_tasks():
    """PREP18: morning and daily steps are not scheduled."""
    card = a_prep_card(
        "a", a_step("Cut", 5), a_step("Fill", 2, "morning"), a_step("Wash", 3, "daily")
    )
    assert [task.do for task in tasks(card)] == ["Cut"]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("30 min", 30), ("12h", 720), ("2 d", 2880), ("1w", 10080), ("overnight", 720)],
)
def test_words_for_spans(text, minutes):
    """PREP20: min, h, d, w with or without a space; overnight is 12 h."""
    card = a_card(wait=read_span(text))
    (task,) = tasks(card)
    assert task.morning - task.latest_end == minutes


def test_the_steps_minutes_are_used_where_they_do_not_add_up():
    """PREP21: the steps' minutes are used, whatever prep says."""
    assert tasks(a_prep_card("a", a_step("Cut", 7), prep=30))[0].minutes == 7


def test_what_waits_longer_than_it_keeps_is_marked_with_all_its_steps():
    """PREP23: its steps are late."""
    card = a_prep_card("a", a_step("Cut", 5), a_step("Mix", 5), wait="3 d", keeps="2 d")
    assert all(task.spoils for task in tasks(card))


def test_closed_days_are_no_days_of_a_placement():
    """CAL5: the first morning is the first open one."""
    room = a_room(closed=frozenset([MONDAY]))
    assert moment_of(tasks(a_card(), room=room)[0].morning) == at(1)
    assert (
        tasks(a_card(), room=a_room(closed=frozenset(MONDAY + dt.timedelta(d) for d in range(14))))
        == ()
    )


def test_a_step_in_a_themes_dress_is_called_by_it():
    card = a_prep_card("a", a_step("Cut the {{cloth}}", 5), props={"cloth": "old sheet"})
    theme = a_theme(props={"cloth": "orange felt"})
    assert tasks(card, theme=theme)[0].do == "Cut the orange felt"


def test_batch_days_of_no_days_are_none():
    assert batch_days(a_card(), [], a_room()) == []
