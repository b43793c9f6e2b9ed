"""The library that comes with the program, held against the cautions."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from library.cards.parsing import parse_card
from library.materials.material import Kind
from library.materials.parsing import parse_materials
from library.plan.checks import check_unit
from library.plan.opening import open_plan
from library.room.demo import demo_room
from library.safety.case import case_of_card
from library.safety.checks import card_findings, placement_findings
from library.safety.pieces import known_shape, what_to_measure
from library.store.paths import library_paths
from library.units.findings import Level
from library.units.folder import UnitFolder
from library.units.placed import lay_out
from tests.builders import MONDAY, a_book, a_card, a_material_line, a_placement, a_unit
from tests.library.safety.builders import a_material, a_piece

ACTIVITIES = Path(__file__).parents[3] / "activities"
MATERIALS = (ACTIVITIES / "materials.yaml").read_text(encoding="utf-8")
BOOK, PROBLEMS = parse_materials(MATERIALS)
CARDS = [
    card
    for file in sorted(ACTIVITIES.glob("*/*.md"))
    if (card := parse_card(file.read_text(encoding="utf-8"), file.name).card)
]


def stops(card) -> Iterator[str]:
    for finding in card_findings(card, BOOK):
        if finding.level is Level.STOP:
            yield f"{card.id}: {finding.text}"


def test_the_materials_read_without_a_problem():
    assert not PROBLEMS
    assert len(BOOK) > 50


def test_no_card_has_a_stop_for_the_youngest_age_it_names():
    assert CARDS
    assert not [stop for card in CARDS for stop in stops(card)]


def test_no_card_has_a_stop_in_the_fern_room_but_for_a_child_s_own_allergen():
    """AGE1: its youngest counts as 23 months. Flour for the child with a wheat allergy and paint for
    the one with an egg allergy are stops wherever they stand; no unit of the library has them."""
    room, stopped = demo_room(MONDAY), set()
    for card in CARDS:
        for center in card.centers:
            unit = a_unit(a_placement(center, card.id))
            (placed,) = lay_out(unit, None, {card.id: card}, room)
            found = placement_findings(placed, room, BOOK)
            stopped |= {(f.kind, f.item) for f in found if f.level is Level.STOP}
    assert stopped == {("allergen", "flour"), ("allergen", "washable tempera paint")}


def test_no_unit_of_the_library_has_a_stop_in_the_fern_room(tmp_path):
    paths = library_paths(ACTIVITIES.parent, tmp_path, working=tmp_path)
    units = UnitFolder(paths).read_all()[0]
    assert len(units) > 8
    found = [
        f"{unit.id}: {finding.text}"
        for unit in units
        for finding in check_unit(open_plan(paths, unit, demo_room(unit.starts))).findings
        if finding.level is Level.STOP
    ]
    assert not found


def test_no_material_of_a_card_is_left_to_be_measured():
    unmeasured = {
        item.name
        for card in CARDS
        for item in case_of_card(card, BOOK).items
        if item.material is None or what_to_measure(item.material)
    }
    assert not unmeasured


def test_every_loose_piece_has_a_size():
    assert not [m.item for m in BOOK if m.loose and known_shape(m) is None]


def test_every_durable_that_is_not_loose_and_has_no_size_says_why():
    """PART3: a one-line reason stands beside it in the file."""
    entries = re.split(r"^(?=- item:)", MATERIALS, flags=re.M)[1:]
    silent = []
    for entry in entries:
        (material,), _ = parse_materials(entry)
        if material.kind is Kind.DURABLE and material.loose is False and not material.shape:
            stated = next(line for line in entry.splitlines() if line.startswith("  loose:"))
            if not re.search(r"#\s*\w{2,}", stated):
                silent.append(material.item)
    assert len(entries) == len(BOOK)
    assert not silent


@pytest.mark.parametrize(
    ("material", "fields", "expected"),
    [
        (
            a_piece("disc 25 x 4 mm", "metal token"),
            {"body": "Post the tokens."},
            [("stop", "small-part", "metal token", None)],
        ),
        (
            a_piece("ball 40 mm", "table-tennis ball"),
            {"body": "Roll the balls."},
            [("stop", "ball", "table-tennis ball", None)],
        ),
        (
            a_material("tray"),
            {"body": "Shake glitter on wet glue."},
            [("stop", "hazard", None, "glitter")],
        ),
    ],
    ids=["small part", "small ball", "glitter"],
)
def test_a_broken_card_raises_exactly_its_fault(material, fields, expected):
    card = a_card(centers=("table",), materials=(a_material_line(material.item),), **fields)
    found = card_findings(card, a_book(material))
    assert [(f.level.value, f.kind, f.item, f.hazard) for f in found] == expected
