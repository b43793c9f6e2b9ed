"""Allergens of materials against the children's."""

from __future__ import annotations

from dataclasses import replace

import pytest

from library.materials.material import Kind
from library.safety.allergens import (
    EU_FOURTEEN,
    LABELS,
    US_NINE,
    check_allergens,
    check_labels,
    held,
    label_row,
    label_to_read,
    not_known,
    perhaps_meant,
    unmatched_allergens,
)
from library.units.calendar import open_days
from library.units.findings import Level
from library.units.placed import lay_out
from tests.builders import (
    MONDAY,
    a_book,
    a_card,
    a_child,
    a_material_line,
    a_placement,
    a_room,
    a_unit,
)
from tests.library.safety.builders import a_case, a_material


def with_children(case, *children):
    return replace(case, children=children)


def test_the_nine_of_the_united_states():
    """FALCPA 2004 and the FASTER Act: sesame is in; molluscs, celery and gluten are not."""
    assert len(US_NINE) == 9
    assert "sesame" in US_NINE
    assert {"mollusc", "celery", "gluten", "oats"}.isdisjoint(US_NINE)


def test_the_fourteen_of_the_european_union():
    """Regulation (EU) 1169/2011, Annex II: oats count as gluten there, wheat is part of it."""
    assert len(EU_FOURTEEN) == 14
    assert {"celery", "mustard", "lupin", "mollusc", "sulphite", "gluten"} <= set(EU_FOURTEEN)
    assert "wheat" not in EU_FOURTEEN
    assert "gluten" in held(["oats"], eu=True)
    assert "gluten" in held(["wheat"], eu=True)
    assert "gluten" not in held(["wheat", "oats"])


def test_one_stop_for_a_material_names_child_allergen_and_substitute():
    """FIND4; CDC guidelines (2013): identified allergens stay out of projects."""
    flour = a_material("flour", allergens=("wheat",))
    wren = a_child("wren", allergens=(" Wheat ",))
    (found,) = check_allergens(with_children(a_case(flour), wren, a_child("lark")))
    assert (found.level, found.kind, found.item) == (Level.STOP, "allergen", "flour")
    assert "wren: wheat" in found.text
    assert "lark" not in found.text
    assert "rice flour" in found.fix
    assert "read the label" in found.fix


def test_one_finding_for_two_allergens_and_two_children():
    pasta = a_material("dry pasta", allergens=("wheat", "egg"))
    there = a_child("wren", allergens=("egg", "wheat")), a_child("lark", allergens=("egg",))
    (found,) = check_allergens(with_children(a_case(pasta), *there))
    assert "wren: egg, wheat; lark: egg" in found.text
    assert found.in_the_open == found.text.replace("wren: egg, wheat; lark: egg", "egg, wheat")
    assert found.who == ("wren: egg, wheat", "lark: egg")


@pytest.mark.parametrize(
    ("material", "child"),
    [("oats", "wheat"), ("wheat", "gluten"), ("gluten", "wheat"), ("tree-nut", "peanut")],
)
def test_an_allergen_is_no_other(material, child):
    """FIND4: oats is not wheat, wheat is not gluten."""
    case = a_case(a_material(allergens=(material,)))
    assert not list(check_allergens(with_children(case, a_child(allergens=(child,)))))


def test_the_european_list_is_a_table_that_says_so():
    case = with_children(
        a_case(a_material(allergens=("wheat",))), a_child("wren", allergens=("gluten",))
    )
    assert not list(check_allergens(case))
    assert len(list(check_allergens(replace(case, eu=True)))) == 1


@pytest.mark.parametrize(
    ("child", "material"),
    [
        ("dairy", "milk"),
        ("lactose", "milk"),
        ("nuts", "peanut"),
        ("nuts", "tree-nut"),
        ("peanuts", "peanut"),
        ("eggs", "egg"),
        ("coeliac", "gluten"),
        ("milk", "dairy"),
    ],
)
def test_an_allergen_as_parents_write_it_stops_what_holds_it(child, material):
    """FIND4: a table says so. The child's own word is named."""
    case = a_case(a_material("finger paint", allergens=(material,)))
    (found,) = check_allergens(with_children(case, a_child("wren", allergens=(child,))))
    assert found.level is Level.STOP
    assert f"(wren: {child})" in found.text
    assert found.whose == (("wren", (child,)),)


def test_a_name_is_no_proof():
    """FIND4: only what a material states counts."""
    case = a_case(a_material("wheat flour"))
    assert not list(check_allergens(with_children(case, a_child(allergens=("wheat",)))))


def test_only_children_who_attend_on_its_days_count():
    from library.safety.case import case_of_placement

    wren = a_child("wren", allergens=("wheat",), days=("mon",))
    room = a_room(wren, a_child("lark"))
    card = a_card("dough-logs", materials=(a_material_line("flour"),))
    book = a_book(a_material("flour", allergens=("wheat",)))
    for on, count in ((("mon",), 1), (("tue", "wed"), 0)):
        unit = a_unit(a_placement("dough", "dough-logs", on=on), starts=MONDAY)
        assert open_days(unit, room)
        (placed,) = lay_out(unit, None, {card.id: card}, room)
        found = check_allergens(case_of_placement(placed, room, book))
        assert len(list(found)) == count


@pytest.mark.parametrize(
    ("name", "may_hold"),
    [
        ("bought play dough", {"wheat"}),
        ("dry pasta", {"wheat", "egg"}),
        ("finger paint", {"wheat", "milk", "oats"}),
        ("washable tempera paint", {"egg"}),
        ("dustless chalk", {"milk"}),
        ("chunky crayons", {"soy"}),
        ("egg cartons", {"egg"}),
    ],
)
def test_the_label_table_of_play_materials(name, may_hold):
    """An allergy charity's chart (2013 to 2023) and the allergy press."""
    row = label_row(name)
    assert row is not None
    assert set(row.may_hold) == may_hold
    assert row.confirmed
    assert row.instead


def test_rows_from_memory_say_so():
    assert not label_row("bird seed").confirmed
    assert not label_row("shaving foam").confirmed
    assert label_row("wooden block") is None


def test_cornstarch_mix_and_rice_flour_dough_are_in_no_row():
    """Corn is listed neither in the US nor in the EU; rice-flour dough holds none of the nine."""
    assert label_row("cornstarch") is None
    assert all("corn" not in row.may_hold for row in LABELS)


def test_an_allergen_that_nothing_can_match_is_named():
    children = (a_child("wren", allergens=("Celery", "kiwi", "milk", "nuts", "gluten")),)
    assert unmatched_allergens(children, a_book()) == ("celery", "kiwi", "gluten")
    kiwi = a_book(a_material(allergens=("kiwi",)))
    assert unmatched_allergens(children, kiwi) == ("celery", "gluten")
    assert unmatched_allergens(children, replace(kiwi, eu=True)) == ()


def test_of_two_written_as_one_the_unknown_is_named():
    children = (a_child("wren", allergens=("milk and kiwi",)),)
    assert unmatched_allergens(children, a_book()) == ("kiwi",)


def test_what_may_have_been_meant_is_among_what_can_be_found():
    assert perhaps_meant("diary", a_book()) == ("milk",)
    assert perhaps_meant("sulphites", a_book()) == ()
    assert perhaps_meant("sulphites", replace(a_book(), eu=True)) == ("sulphite",)


FOOD = {"kind": Kind.CONSUMABLE, "hazards": ("food",)}


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"label_read": False}, "nobody has read it yet"),
        (FOOD, "nobody has written down what it names"),
        ({**FOOD, "hazards": ("choking-food",)}, "nobody has written down what it names"),
        ({**FOOD, "label_read": True}, None),
        ({**FOOD, "allergens": ("milk",)}, None),
        ({"kind": Kind.CONSUMABLE}, None),
        ({"kind": Kind.DURABLE, "hazards": ("food",)}, None),
    ],
)
def test_a_label_has_to_be_read_where_nobody_has_and_of_food_that_states_nothing(fields, reason):
    """Most things of a library have no label, so that a missing word asks nothing of these."""
    assert label_to_read(a_material("plain yogurt", **fields)) == reason


def test_a_label_that_nobody_read_is_a_caution_and_names_no_child():
    """FIND1: an allergen is a stop and is known; what is not known is a caution about food."""
    case = a_case(a_material("plain yogurt", label_read=False))
    (alone,) = check_labels(case)
    assert (alone.level, alone.kind, alone.item) == (Level.CAUTION, "food", "plain yogurt")
    assert "read its label, because nobody has read it yet" in alone.text
    (there,) = check_labels(with_children(case, a_child("wren", allergens=("milk",))))
    assert there.level is Level.CAUTION
    assert "wren" not in there.text
    assert there.in_the_card
    assert not list(check_labels(with_children(case, a_child("lark"))))


def test_what_nobody_has_described_is_not_known_either():
    book = a_book(
        a_material("plain yogurt", label_read=False, also=("yogurt",)), a_material("tray")
    )
    asked = ["yogurt", "trays", "odd thing", "plain yogurt"]
    assert not_known(asked, book) == ("plain yogurt", "odd thing")
