"""A plan says the same whether it was worked out anew or out of what was kept of an earlier one."""

import datetime as dt
from dataclasses import replace

import pytest

from library.plan.checks import QUICK_CHECKS, check_unit
from library.plan.opening import open_plan
from library.room.demo import demo_room
from library.units.folder import UnitFolder
from tests.shelf import cards, paths

UNITS = ("leaves-and-wind/2025-fall", "the-soup-pot/2025-fall")


def said_of(unit, room):
    """All that is found and fetched."""
    plan = open_plan(paths(), unit, room, today=dt.date(2025, 9, 1))
    return check_unit(plan, QUICK_CHECKS).as_json(), plan.supplies.as_json()


def swapped(unit, row, card):
    placements = list(unit.placements)
    placements[row] = replace(placements[row], activity=card.id, props={}, instead=None)
    return replace(unit, placements=tuple(placements))


@pytest.mark.parametrize("name", UNITS)
def test_what_was_kept_says_the_same_as_what_is_worked_out_anew(name):
    """Also after swaps, other dates and other props, which touch only a part of what was kept."""
    unit = UnitFolder(paths()).read(name).unit
    room = demo_room(unit.starts)
    changed = [unit, *(swapped(unit, row, cards()[row * 7]) for row in range(4))]
    changed.append(replace(unit, starts=unit.starts + dt.timedelta(days=7)))
    changed.append(
        replace(unit, placements=tuple(replace(each, add="glass jars") for each in unit.placements))
    )
    changed.append(replace(unit, weeks=1))
    for each in (*changed, unit):
        assert said_of(each, room) == said_of(each, replace(room))


def test_another_room_is_never_taken_for_the_one_before():
    unit = UnitFolder(paths()).read(UNITS[0]).unit
    room = demo_room(unit.starts)
    fewer = replace(room, children=room.children[:3])
    assert said_of(unit, room) != said_of(unit, fewer)
    assert said_of(unit, fewer) == said_of(unit, replace(fewer))
