"""Steps by hand around water, sensory play, dough and sand."""

from __future__ import annotations

import pytest

from library.cards.values import Group, Place
from library.materials.material import MaterialBook
from library.safety.hygiene import Moment, around_play, groups_for, hygiene_steps
from tests.builders import a_card, a_child, a_material_line


def steps(center, *materials, groups=1, children=(), **card):
    lines = tuple(a_material_line(name) for name in materials)
    made = a_card(materials=lines, **card)
    return hygiene_steps(made, center, MaterialBook(), groups=groups, children=children)


def washes(found):
    return [step.at for step in found if step.do.startswith("Wash all hands")]


def test_water_has_at_least_eight_steps_with_their_source():
    """CFOC 6.2.4.2."""
    found = steps("water", "water")
    assert len(found) >= 8
    assert {"CFOC 6.2.4.2", "CFOC 6.3.5.2", "CFOC 3.2.2.1"} == {step.source for step in found}
    text = " ".join(step.do for step in found)
    for part in ("fresh drinking water", "open cut", "nobody drinks", "disinfect", "at once"):
        assert part in text


def test_each_group_has_fresh_water():
    """CFOC 6.2.4.2: changed for the next group."""
    fills = [step for step in steps("water", groups=2) if "resh" in step.do and "water" in step.do]
    assert len(fills) == 2
    assert [step.at for step in fills] == [Moment.SET_UP, Moment.BETWEEN]


def test_hands_are_washed_at_both_ends_of_water_and_after_sand_and_outdoors():
    """CFOC 3.2.2.1."""
    assert washes(steps("water")) == [Moment.SET_UP, Moment.PACK_AWAY]
    assert washes(steps("sensory", "play sand")) == [Moment.PACK_AWAY]
    assert washes(steps("sensory", "ice block")) == [Moment.SET_UP, Moment.PACK_AWAY]
    assert washes(steps("blocks", place=Place.OUTDOORS)) == [Moment.PACK_AWAY]
    assert washes(steps("outdoors")) == [Moment.PACK_AWAY]


def test_water_in_the_sensory_table_is_water():
    assert len(steps("sensory", "water")) >= 8


def test_dough_is_dated_and_a_child_with_an_allergy_has_their_own():
    """CFOC 5.2.9.8."""
    wren = a_child("wren", allergens=("wheat",))
    found = steps("dough", children=(wren, a_child("lark", allergens=("egg",))))
    text = " ".join(step.do for step in found)
    assert "date" in text
    assert "portion of wren" in text
    assert "lark" not in text
    assert {step.source for step in found} == {"CFOC 5.2.9.8", "CFOC 3.2.2.1"}


def test_steps_come_in_the_order_in_which_they_are_done():
    order = list(Moment)
    found = [order.index(step.at) for step in steps("water", groups=3)]
    assert found == sorted(found)


def test_other_centers_have_none():
    assert not steps("blocks")


def test_groups_by_the_children_a_card_takes():
    card = a_card(group=Group(1, 4))
    assert [groups_for(card, children) for children in (0, 4, 5, 8)] == [1, 1, 2, 2]
    assert groups_for(a_card(group=None), 8) == 1


def test_a_day_around_water_has_its_minutes_moment_by_moment():
    """CFOC 6.2.4.2: before each group, between groups, and at once afterwards."""
    card = a_card(group=Group(1, 4))
    parts = {part.at: part for part in around_play(card, "water", MaterialBook(), children=8)}
    assert list(parts) == list(Moment)
    assert parts[Moment.BETWEEN].minutes == 10
    assert all(part.minutes == sum(s.minutes for s in part.steps) for part in parts.values())
    alone = around_play(card, "water", MaterialBook(), children=4)
    assert Moment.BETWEEN not in [part.at for part in alone]


def test_a_center_without_a_card_has_them_too():
    assert around_play(None, "water", MaterialBook())
    assert around_play(None, "dough", MaterialBook())
    assert not around_play(None, "blocks", MaterialBook())


def test_what_everybody_may_read_names_no_child():
    """CFOC 5.2.9.8: a portion of their own, without saying whose."""
    said = " ".join(
        step.do for part in around_play(None, "dough", MaterialBook()) for step in part.steps
    )
    assert "portion of their own" in said
    assert "stored apart" in said


@pytest.mark.parametrize(("material", "said"), [("leaf", True), ("play sand", False)])
def test_a_sensory_table_says_what_the_standard_names_for_it(material, said):
    """CFOC 6.2.4.3: toddlers have water, sand and fixed plastic things only; many rooms do differ."""
    found = [step for step in steps("sensory", material) if "the licence decides" in step.do]
    assert bool(found) is said
    assert all((step.source, step.minutes) == ("CFOC 6.2.4.3", 0) for step in found)
