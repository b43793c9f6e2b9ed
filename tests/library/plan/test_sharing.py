"""Rooms that share a closet, from their files to the findings of a unit."""

from dataclasses import replace

import pytest

from library.materials.amounts import parse_quantity
from library.plan.checks import check_unit
from library.plan.opening import open_plan
from library.room.room import StockLine
from library.room.rooms import Rooms
from library.units.folder import UnitFolder
from library.units.parsing import write_unit
from tests.builders import CARD_TEXT, a_child, a_placement, a_room, a_theme, a_unit, write_library

MATERIALS = "- {item: hand sponge, kind: durable, loose: false}\n"
UNIT = "leaves-and-wind/2026-fall"


@pytest.fixture
def paths(tmp_path):
    made = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT}, MATERIALS)
    units = UnitFolder(made)
    units.create_theme(a_theme())
    units.create(UNIT, write_unit(a_unit(a_placement())))
    return made


def short(paths, room):
    findings = check_unit(open_plan(paths, UNIT, room)).findings
    return [each.text for each in findings if each.kind == "durable"]


def test_two_rooms_with_one_closet_and_the_same_week_find_what_is_short(paths):
    stock = (StockLine("hand sponge", parse_quantity("6"), "B4"),)
    fern = a_room(a_child(), shelf="Hall closet", stock=stock, units=(UNIT,))
    moss = a_room(name="Moss Room", shelf=" hall closet ", units=(UNIT, "gone/2026-fall"))
    alone = a_room(name="Teal Room", units=(UNIT,))
    rooms = Rooms(paths.database)
    for room in (alone, moss, fern):
        rooms.save(room)
    for room in (fern, moss):
        assert "8 needed on Mon 5 Oct" in short(paths, room)[0]
    assert "than the room has (0)" in short(paths, alone)[0]
    rooms.save(replace(moss, units=()))
    assert short(paths, fern) == []
