"""Steps lie as late as the chosen sessions have room for them."""

import datetime as dt
from dataclasses import replace

import pytest

from library.prep.stages import best_plan
from library.prep.work import Pin, lay_work_out
from tests.builders import MONDAY, a_placement, a_room
from tests.library.prep.planned import (
    a_prep_card,
    a_step,
    a_window,
    plan,
    tasks_for,
    when,
    windows_on,
)

WEDNESDAY = a_window(dt.time(7, 30), dt.time(8, 30), days=("wed",), away=True)


def day_of(prep, activity):
    return {step[2]: step[0] for step in when(prep, activity)}


def test_a_step_lies_in_the_last_session_that_has_room_for_it():
    """PREP13 fixes start and sessions; of what it leaves open the later is taken."""
    first = a_prep_card("sponge-rain", a_step("Trim", 6))
    boxes = a_prep_card("box-tower", a_step("Stuff", 10))
    ice = a_prep_card("block-of-ice", a_step("Freeze", 5), keeps="7 d")
    prep = plan(
        first, boxes, ice, windows=[WEDNESDAY], weeks=2,
        placements=[
            a_placement(activity="sponge-rain", weeks=(1,)),
            a_placement(activity="box-tower", weeks=(2,)),
            a_placement(activity="block-of-ice", weeks=(2,)),
        ],
    )  # fmt: skip
    assert day_of(prep, "sponge-rain") == {"Trim": MONDAY - dt.timedelta(days=5)}
    assert day_of(prep, "box-tower") == {"Stuff": MONDAY + dt.timedelta(days=2)}


def test_a_batch_is_cooked_in_the_session_in_which_it_is_kneaded():
    """PREP4 binds the last step alone; the one above it still lies as near as it can."""
    dough = a_prep_card("dough", a_step("Cook", 12, away=True), a_step("Knead", 8), keeps="7 d")
    early = a_prep_card("sponge-rain", a_step("Trim", 6))
    room = a_room(prep_windows=(WEDNESDAY,), closed=frozenset({MONDAY + dt.timedelta(days=7)}))
    prep = plan(
        dough, early, room=room, weeks=2,
        placements=[
            a_placement(activity="dough", weeks=(1, 2)),
            a_placement(activity="sponge-rain", weeks=(1,)),
        ],
    )  # fmt: skip
    second = [step for session in prep.sessions for step in session.steps if step.batch == 2]
    assert {step.begins.date() for step in second} == {MONDAY + dt.timedelta(days=2)}


@pytest.mark.parametrize("chains", [((10,), (10, 5)), ((10, 5), (10,)), ((10,), (10,), (10, 5))])
def test_what_spoils_takes_the_room_there_is_later(chains):
    """Where not all steps have room in the last session, a batch that spoils goes there first."""
    windows = windows_on((-5, 13 * 60, 40), (-3, 13 * 60, 15))
    tasks = tasks_for(*chains)
    last = next(task for task in tasks if task.minutes == 5)
    tasks[last.number] = replace(last, earliest_end=windows[1].start)
    slots = best_plan(lay_work_out(tasks, windows)).slots
    late = {slot.piece.task for slot in slots if slot.piece.window == 1}
    assert late == {last.number, last.after}


def test_a_step_that_was_put_somewhere_is_not_put_off():
    tasks = tasks_for((10,), (10,))
    windows = windows_on((-5, 13 * 60, 40), (-3, 13 * 60, 40))
    pins = [Pin(0, 0), Pin(1, 1)]
    slots = best_plan(lay_work_out(tasks, windows, pins)).slots
    assert {s.piece.task: s.piece.window for s in slots} == {0: 0, 1: 1}


def test_a_step_that_lies_longer_before_its_day_than_it_keeps_says_so():
    """PREP4: keeps binds the last step alone, and whoever cooks five days ahead is told."""
    dough = a_prep_card("dough", a_step("Cook", 12, away=True), a_step("Knead", 8), keeps="4 d")
    prep = plan(dough, windows=[WEDNESDAY, a_window(days=("thu", "fri"))])
    told = {step.do: step.outlasted for session in prep.sessions for step in session.steps}
    assert told == {"Cook": True, "Knead": False}
