"""Walk, substitute and jot sheet."""

import datetime as dt
from dataclasses import replace

from library.cards.values import Adult
from library.paper.jot_sheet import jot_sheet
from library.paper.setup_walk import setup_walk
from library.paper.sheet import Panel
from library.paper.substitute_sheet import substitute_sheet
from library.plan.unitplan import plan_unit
from tests.builders import (
    MONDAY,
    a_book,
    a_card,
    a_child,
    a_material,
    a_material_line,
    a_placement,
    a_unit,
)
from tests.library.paper.samples import a_job, a_rich_theme, fern_room

WREN = a_child("wren", allergens=("wheat",), days=("mon",))
TERN = a_child("tern", days=("tue", "thu"))


def job_of(*placements, **job):
    cards = {
        "sponge-rain": a_card(
            "sponge-rain",
            adult=Adult.WITHIN_REACH,
            body="A sponge rains.",
            materials=(
                a_material_line("car sponge", "2 per setup"),
                a_material_line("water", "3 l per setup", "each day"),
            ),
        ),
        "dough-bed": a_card(
            "dough-bed", body="Dough is a bed.", materials=(a_material_line("wheat dough"),)
        ),
    }
    room = replace(fern_room(), children=(WREN, TERN), centers=("dough", "water"))
    book = a_book(
        a_material("hand sponge", also=("car sponge",)),
        a_material("wheat dough", allergens=("wheat",)),
    )
    plan = plan_unit(a_unit(*placements), a_rich_theme(), cards, room, materials=book)
    return a_job(plan, **job)


def flat(sheet):
    return " ".join(sheet.text.split())


def test_the_walk_goes_in_walking_order_with_amounts_and_bins_under_any_name():
    text = flat(setup_walk(job_of(a_placement("water"), a_placement("dough", "dough-bed"))))
    assert text.index("Dough-bed" if "Dough-bed" in text else "Dough bed") < text.index(
        "Sponge rain"
    )
    assert "car sponge 2 · bin B4" in text
    assert "theme bin C2" in text


def test_the_walk_has_a_part_for_each_day_on_which_something_is_new_and_says_what_goes():
    text = flat(
        setup_walk(
            job_of(a_placement("water", weeks=(1,)), a_placement("water", "dough-bed", weeks=(2,)))
        )
    )
    assert text.index("Before Mon 5 Oct") < text.index("Before Mon 12 Oct")
    assert "First put away: Sponge rain" in text


def test_what_is_renewed_each_day_is_said_once():
    text = flat(
        setup_walk(job_of(a_placement("water", weeks=(1,)), a_placement("water", weeks=(2,))))
    )
    assert text.count("new water 3 l") == 1


def test_the_substitute_learns_who_comes_who_stands_where_and_whose_portion_is_apart():
    text = flat(substitute_sheet(job_of(a_placement("water"), a_placement("dough", "dough-bed"))))
    assert "All you need for Mon 5 Oct" in text
    assert "1 child and 2 adults today. Children: wren." in text
    assert "8:30 to 10:00 free play Water (Sponge rain)" in text
    assert "wren wheat wheat dough at Dough" in text
    assert "Bin B4 hand sponge" in text
    assert "Whom to ask" in text


def test_the_substitute_sheet_is_for_the_day_that_is_asked_for():
    job = job_of(a_placement("water", weeks=(1,)), day=MONDAY + dt.timedelta(8))
    text = flat(substitute_sheet(job))
    assert "Tue 13 Oct" in text
    assert "Children: tern." in text
    assert "Sponge rain" not in text


def test_the_jot_sheet_has_a_field_for_each_child_and_day_and_greys_the_rest():
    sheet = jot_sheet(job_of(a_placement()))
    assert len(sheet.pages) == 2
    assert {"wren", "tern", "Mon 5 Oct", "Fri 16 Oct"} <= set(sheet.text.split("\n"))
    grey = [i for i in sheet.pages[0].items if isinstance(i, Panel) and i.fill]
    assert len(grey) == 4 + 3
    assert ("2026-10-06", "tern", "") in sheet.tables[0].rows
    assert ("2026-10-05", "tern", "") not in sheet.tables[0].rows


def test_many_children_get_rows_high_enough_to_write_in():
    job = job_of(a_placement())
    children = tuple(a_child(f"c{n}") for n in range(25))
    sheet = jot_sheet(
        replace(job, plan=replace(job.plan, room=replace(job.room, children=children)))
    )
    assert len(sheet.pages) > 2
    assert all(f"c{n}" in sheet.text.split("\n") for n in range(25))
