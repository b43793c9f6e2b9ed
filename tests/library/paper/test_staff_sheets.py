"""Walk, substitute and jot sheet."""

import datetime as dt
from dataclasses import replace
from fractions import Fraction

import pytest

from library.cards.values import Adult, Step
from library.materials.amounts import Quantity
from library.materials.material import Kind
from library.paper.allergy_notes import allergy_notes
from library.paper.closet_list import closet_list
from library.paper.jot_sheet import jot_sheet
from library.paper.pack_away_list import pack_away_list
from library.paper.prep_sheet import prep_sheet
from library.paper.setup_walk import setup_walk
from library.paper.sheet import Audience, Panel
from library.paper.shopping_list import shopping_list
from library.paper.substitute_sheet import substitute_sheet
from library.paper.wash_list import wash_list
from library.plan.unitplan import plan_unit
from library.room.room import StockLine
from library.room.roomfile import read_room
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


def test_staff_read_at_the_center_what_must_not_be_put_out_and_find_nothing_to_carry():
    """Common practice, no source: whoever sets up in the morning has not seen the plan."""
    job = job_of(a_placement("dough", "dough-bed"))
    for sheet in (setup_walk(job), substitute_sheet(job)):
        text = flat(sheet)
        assert "Stop. Do not put this out: wheat dough (allergens). The plan says why." in text
    walk = setup_walk(job)
    assert "nothing, until the plan is changed" in flat(walk)
    assert walk.tables[0].rows == ()
    assert "wren" not in walk.text


def test_every_staff_sheet_that_asks_for_hands_says_what_a_stop_keeps_back_and_its_limits():
    """One makes nothing ready, takes nothing out and orders nothing for a tray that a stop keeps in."""
    job = job_of(a_placement("dough", "dough-bed"), a_placement("water"))
    said = {
        setup_walk: "Stop. Do not put this out: wheat dough (allergens).",
        substitute_sheet: "Stop. Do not put this out: wheat dough (allergens).",
        closet_list: "Stop. Take nothing for these. The plan says why. Dough bed: wheat dough",
        prep_sheet: "Not now: Dough bed. A stop stands on Dough bed.",
        shopping_list: "Do not order: a stop stands on wheat dough (Dough bed). Choose another card",
    }
    for make, words in said.items():
        text = flat(make(job))
        assert words in text, make.__name__
        assert "Published guidance" in text, make.__name__
        assert "no legal or medical advice" in text, make.__name__
    for make in (setup_walk, closet_list, prep_sheet, shopping_list):
        assert "wren" not in make(job).text, make.__name__
    assert "wheat dough" not in [row[1] for row in closet_list(job).tables[0].rows]
    assert "wheat dough" not in [row[1] for row in shopping_list(job).tables[0].rows]
    assert shopping_list(job).tables[1].rows[0][0] == "wheat dough"
    plain = job_of(a_placement("water"))
    for make in said:
        assert "Published guidance" not in make(plain).text, make.__name__
        assert len(make(plain).tables) == 1, make.__name__


def test_on_a_day_without_the_child_the_substitute_reads_no_stop():
    job = job_of(a_placement("dough", "dough-bed"), day=MONDAY + dt.timedelta(1))
    assert "Stop." not in flat(substitute_sheet(job))


def test_the_substitute_finds_the_bins_of_all_that_is_set_up_on_her_day():
    """What a stop keeps back for a child who comes on Mondays is put out on the other days."""
    for day, is_out in ((0, False), (1, True)):
        job = job_of(a_placement("dough", "dough-bed"), day=MONDAY + dt.timedelta(day))
        stock = (StockLine("wheat dough", Quantity(Fraction(2), ""), "D7"),)
        room = replace(job.room, stock=stock)
        text = flat(substitute_sheet(replace(job, plan=replace(job.plan, room=room))))
        assert ("Stop." not in text) is is_out
        assert ("Bin D7 wheat dough" in text) is is_out


def test_water_is_not_filled_on_the_day_before():
    """CFOC 6.2.4.2: fresh water for the group, emptied after it."""
    steps = (Step("Fill the tub with water", 5),)
    filling = a_card("sponge-rain", body="It rains.", prep=5, wait=None, steps=steps)
    sand = replace(filling, steps=(Step("Fill the bags with sand", 5),))
    for card, center, is_early in ((filling, "water", True), (sand, "blocks", False)):
        unit = a_unit(a_placement(center))
        plan = plan_unit(unit, a_rich_theme(), {card.id: card}, fern_room())
        text = flat(prep_sheet(a_job(plan)))
        said = "Not now: Fill the tub with water. No filled water stands overnight"
        assert (said in text) == is_early


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


def test_the_shopping_list_rounds_up_to_what_one_can_buy_and_sorts_by_where_and_when():
    """SUP12: on the page amounts are rounded upwards; SUP14, SUP15: packs and prices where they are known."""
    room = read_room(
        "name: Fern Room\nstock: [{item: hand sponge, amount: 1}]\n"
        "buy:\n  - {item: hand sponge, pack: 4, price: 3.20, delivery_days: 2}\n"
        "  - {item: glue, pack: 100 ml, shop: Corner store}\n"
    ).room
    card = a_card(
        materials=(
            a_material_line("car sponge", "2 1/2 per setup"),
            a_material_line("glue", "30 ml per setup"),
            a_material_line("sand", "1.1 l per setup"),
            a_material_line("tube", "1 per setup"),
            a_material_line("water", "3 l per setup"),
        )
    )
    book = a_book(
        a_material("hand sponge", also=("car sponge",)),
        a_material("glue", kind=Kind.CONSUMABLE),
        a_material("sand", kind=Kind.CONSUMABLE),
        a_material("tube", origin="recycling"),
        a_material("water", origin="kitchen", kind=Kind.CONSUMABLE),
    )
    plan = plan_unit(a_unit(a_placement()), None, {card.id: card}, room, materials=book)
    sheet = shopping_list(a_job(plan))
    rows = {row[1]: row for row in sheet.tables[0].rows}
    assert set(rows) == {"hand sponge", "glue", "sand", "tube"}
    assert rows["hand sponge"][:3] == ("To buy", "hand sponge", "1 pack of 4")
    assert rows["glue"][0] == "Corner store"
    assert rows["sand"][2] == "1¼ l"
    assert rows["tube"][0] == "From recycling"
    assert "About 3.20 in all" in flat(sheet)
    assert flat(sheet).index("To buy") < flat(sheet).index("From recycling")


def test_amounts_that_cannot_be_added_stand_on_the_shopping_list():
    """SUP22."""
    cards = {
        "a": a_card("a", materials=(a_material_line("felt", "2 sheets per setup"),)),
        "b": a_card("b", materials=(a_material_line("felt", "2 rolls per setup"),)),
    }
    plan = plan_unit(
        a_unit(a_placement(activity="a"), a_placement(activity="b")), None, cards, fern_room()
    )
    assert "Not counted:" in flat(shopping_list(a_job(plan)))


def test_the_wash_list_has_a_box_for_each_day_a_thing_is_used_and_the_published_steps():
    """CFOC 6.2.4.2: water table and tools are cleaned and disinfected at the end."""
    job = job_of(a_placement("water", on=("tue",), weeks=(1,)))
    book = a_book(
        a_material("hand sponge", also=("car sponge",), wash="after each use"), a_material("water")
    )
    sheet = wash_list(replace(job, plan=replace(job.plan, materials=book)))
    assert ("hand sponge", "after each use", "Water") in sheet.tables[0].rows
    boxes = [
        i
        for i in sheet.pages[0].items
        if isinstance(i, Panel) and i.weight == 0.9 and i.box.x > 140
    ]
    assert len(boxes) == 1
    assert "disinfect the tub" in flat(sheet)


def test_allergy_notes_have_an_empty_column_for_names_and_say_where_a_thing_stands():
    sheet = allergy_notes(job_of(a_placement("dough", "dough-bed")))
    text = flat(sheet)
    assert "Label Name Must not meet In this unit" in text
    assert "wheat dough (wheat): Dough bed, Dough" in text
    assert "tern" not in text.replace("alternative", "")
    assert sheet.tables[0].rows == (("wren", "wheat", "wheat dough", "Dough bed", "Dough"),)


@pytest.mark.parametrize("sheet_of", [allergy_notes, substitute_sheet])
def test_a_thing_whose_label_nobody_has_read_is_not_passed_over(sheet_of):
    job = job_of(a_placement("dough", "dough-bed"))
    book = a_book(a_material("wheat dough", label_read=False))
    text = flat(sheet_of(replace(job, plan=replace(job.plan, materials=book))))
    assert "not known, read the label first: wheat dough" in text
    assert "nothing in the materials list" not in text.partition("tern")[0]


def test_a_rain_swap_counts_for_allergies_too():
    sheet = allergy_notes(job_of(a_placement("water", instead="dough-bed")))
    assert "wheat dough (wheat)" in flat(sheet)


def test_without_allergens_the_notes_say_so():
    job = job_of(a_placement("dough", "dough-bed"))
    room = replace(job.room, children=(TERN,))
    sheet = allergy_notes(replace(job, plan=replace(job.plan, room=room)))
    assert "No allergens are noted" in flat(sheet)


def test_the_closet_list_goes_bin_by_bin_with_first_days():
    sheet = closet_list(job_of(a_placement("water", weeks=(2,))))
    assert ("B4", "hand sponge", "2", "Water", "Mon 12 Oct") in [
        tuple(str(v).replace("\N{NO-BREAK SPACE}", " ") for v in row)
        for row in sheet.tables[0].rows
    ]
    assert "Bin C2: all of it" in flat(sheet)


def test_the_pack_away_list_has_a_part_for_each_last_day_and_lists_what_lasts():
    sheet = pack_away_list(
        job_of(a_placement("water", weeks=(1,)), a_placement("dough", "dough-bed"))
    )
    text = flat(sheet)
    assert text.index("After Fri 9 Oct") < text.index("After Fri 16 Oct")
    assert ("2026-10-09", "Water", "hand sponge", "B4") in sheet.tables[0].rows
    assert "water" not in [row[2] for row in sheet.tables[0].rows]
    assert "For the look back" in text


def prep_job(*steps, windows=None, note=""):
    card = a_card(
        "rain-jars",
        prep=sum(step[1] for step in steps),
        steps=tuple(Step(*each) for each in steps),
        materials=(a_material_line("tall jar", "2 per setup"),),
    )
    room = replace(fern_room(), stock=(StockLine("tall jar", Quantity(Fraction(2), ""), bin="B4"),))
    if windows is not None:
        room = replace(room, prep_windows=windows)
    unit = a_unit(a_placement("water", "rain-jars", note=note))
    book = a_book(a_material("tall jar"))
    return a_job(plan_unit(unit, a_rich_theme(), {card.id: card}, room, materials=book))


def test_the_prep_sheet_says_when_what_for_which_day_and_from_which_bin():
    sheet = prep_sheet(prep_job(("Wash the jars", 9)))
    words = flat(sheet)
    assert "Wash the jars 9 min" in words
    assert "for Mon 5 Oct" in words
    assert "tall jar bin B4" in words
    assert "Bins to pull for Mon 5 Oct : B4, C2" in words
    assert sheet.audience is Audience.STAFF


def test_what_was_learned_stands_once_where_the_work_is_done():
    steps = (("Wash the jars", 9), ("Dry the jars", 3))
    words = flat(prep_sheet(prep_job(*steps, note="the tall ones tip; take the short")))
    assert words.count("the tall ones tip; take the short") == 1
    assert words.index("Dry the jars") < words.index("the tall ones tip")
    assert "the tall ones tip" not in flat(prep_sheet(prep_job(*steps)))


def test_the_prep_sheet_puts_what_does_not_fit_first():
    words = flat(prep_sheet(prep_job(("Wash the jars", 9), windows=())))
    assert words.index("Does not fit before its day") < words.index("Wash the jars")
    assert "9 min, wanted for Mon 5 Oct" in words


def test_a_unit_without_work_ahead_says_so_on_its_prep_sheet():
    assert "No step of this unit has to be done" in flat(prep_sheet(prep_job()))
