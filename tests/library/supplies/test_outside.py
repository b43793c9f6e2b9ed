"""Supplies against figures that others have published, and properties that hold for any unit."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.values import Group
from library.materials.amounts import parse_quantity
from library.materials.material import Kind, MaterialBook
from library.materials.measures import convert
from library.room.room import WEEKDAYS
from tests.builders import a_card, a_child, a_material, a_material_line, a_placement, a_room
from tests.library.supplies.test_lines import supplies
from tests.shelf import materials

KITCHEN = {"flour", "rice flour", "salt", "water", "vegetable oil", "cream of tartar", "cornstarch"}
RECIPES = {
    # Uncooked flour dough: a state early-childhood program's (Arkansas) published recipe.
    "flour": ("2 cups flour", "1 cup salt", "1 cup water", "1 tbsp vegetable oil"),
    # Cooked dough: a child-care resource agency's published recipe.
    "cooked": (
        "1 cup flour",
        "½ cup salt",
        "1 cup water",
        "1 tbsp vegetable oil",
        "1 tbsp cream of tartar",
    ),
    # Wheat-free dough: an allergy charity's published recipe.
    "wheat-free": (
        "1¼ cups rice flour",
        "½ cup salt",
        "2 tsp cream of tartar",
        "1 cup water",
        "1 tbsp vegetable oil",
    ),
    # Cornflour mix: an allergy charity's published recipe.
    "cornflour": ("1½ cups cornstarch", "1 cup water"),
}


def split(text):
    """``2 cups rice flour`` as amount and material."""
    words = text.split(" ")
    return " ".join(words[:2]), " ".join(words[2:])


def batches(recipe, times):
    """The needs of a recipe made so many times: the same card at so many centers, each once."""
    lines = tuple(
        a_material_line(item, f"{amount} per setup") for amount, item in map(split, RECIPES[recipe])
    )
    placements = [a_placement(f"dough-{number}", weeks=(1,)) for number in range(times)]
    found = supplies(*placements, cards=[a_card(materials=lines)], book=materials())
    assert (found.problems, found.cannot_add) == ((), ())
    return {line.item: line.need for line in found.lines}


@pytest.mark.parametrize(
    ("recipe", "times", "expected"),
    [
        ("flour", 3, ("6 cups flour", "3 cups salt", "3 cups water", "3 tbsp vegetable oil")),
        ("cooked", 2, ("2 cups flour", "1 cup salt", "2 tbsp vegetable oil")),
        (
            "wheat-free",
            4,
            (
                "5 cups rice flour",
                "2 cups salt",
                "8 tsp cream of tartar",
                "4 cups water",
                "¼ cup vegetable oil",
            ),
        ),
        ("cornflour", 2, ("3 cups cornstarch", "2 cups water")),
    ],
)
def test_published_recipes_scale_as_their_makers_would_scale_them(recipe, times, expected):
    """Exact, in whatever kitchen measure the scaled recipe would be written."""
    needed = batches(recipe, times)
    for text in expected:
        amount, item = split(text)
        wanted = parse_quantity(amount)
        assert convert(needed[item], wanted.measure).number == wanted.number


def test_eight_teaspoons_of_cream_of_tartar_are_two_tablespoons_and_two_teaspoons():
    tartar = batches("wheat-free", 4)["cream of tartar"]
    assert convert(tartar, "tbsp").number == 2 + Fraction(2, 3)


def test_half_a_batch_is_half_of_everything():
    """The published halves: ½ cup of salt, 1½ teaspoons of oil."""
    half = (("salt", "1/2 cup", "½ cup"), ("vegetable oil", "1/2 tbsp", "1½ tsp"))
    for item, amount, published in half:
        made = a_card(materials=(a_material_line(item, f"{amount} per setup"),))
        need = supplies(a_placement(), cards=[made], book=materials()).lines[0].need
        wanted = parse_quantity(published)
        assert convert(need, wanted.measure).number == wanted.number


def test_a_batch_of_flour_dough_weighs_what_the_cups_weigh():
    """250 + 292 + 237 + 13.6 g by the USDA's cup weights (partly from memory): within 10 %."""
    grams = sum(
        convert(need, "g", materials().find(item).weight).number
        for item, need in batches("flour", 1).items()
    )
    assert float(grams) == pytest.approx(792.6, rel=0.1)


USDA = {
    # Grams in a US cup: USDA FoodData Central SR Legacy and Home and Garden Bulletin 72; from
    # memory. Sand: a bag of 50 lb holds half a cubic foot (bag claim, from memory).
    "flour": 125, "salt": 292, "cornstarch": 128, "vegetable oil": 218, "water": 237, "sand": 379,
}  # fmt: skip


@pytest.mark.parametrize("item", sorted(USDA))
def test_what_a_cup_of_our_materials_weighs_agrees_with_the_usda(item):
    weight = materials().find(item).weight
    grams = convert(parse_quantity("1 cup"), "g", weight).number
    assert float(grams) == pytest.approx(USDA[item], rel=0.1)


COUNTED = MaterialBook(
    (
        a_material("book", kind=Kind.BOOK),
        a_material("large block"),
        a_material("small block"),
        a_material("rhythm instrument"),
        a_material("dramatic-play piece"),
        a_material("puzzle"),
    )
)


@pytest.mark.parametrize(
    ("children", "item", "amount", "needed"),
    [
        # Toddlers: 1 book a child, 24 large blocks a group.
        (10, "book", "1 per child", 10),
        (10, "large block", "24 per setup", 24),
        # Preschoolers: 2 books, 1 instrument and 1 puzzle a child; blocks and play pieces a group.
        (14, "book", "2 per child", 28),
        (14, "large block", "48 per setup", 48),
        (14, "small block", "200 per setup", 200),
        (14, "rhythm instrument", "1 per child", 14),
        (14, "puzzle", "1 per child", 14),
        (14, "dramatic-play piece", "5 per setup", 5),
    ],
)
def test_what_counts_by_child_and_what_by_group_differ(children, item, amount, needed):
    """Source: Minnesota's form of required equipment (Rules 9503)."""
    room = a_room(*(a_child(f"child{number}") for number in range(children)))
    made = a_card(materials=(a_material_line(item, amount),))
    line = supplies(a_placement(), cards=[made], room=room, book=COUNTED).lines[0]
    assert line.need.number == needed


NAMES = sorted(KITCHEN)
LINES = st.lists(
    st.builds(
        a_material_line,
        st.sampled_from(NAMES),
        st.builds(
            "{} {} per {}".format,
            st.sampled_from(["½", "1", "2/3", "3", "1.25"]),
            st.sampled_from(["cup", "tbsp", "g", "kg"]),
            st.sampled_from(["child", "place", "setup", "adult"]),
        ),
        st.sampled_from(["once", "each day", "each week"]),
    ),
    min_size=1,
    max_size=3,
)
PLACEMENTS = st.lists(
    st.builds(
        lambda center, weeks, on: a_placement(center, weeks=tuple(weeks), on=tuple(sorted(on))),
        st.sampled_from(["dough", "table", "science"]),
        st.sets(st.sampled_from([1, 2])),
        st.sets(st.sampled_from(WEEKDAYS[:5])),
    ),
    min_size=1,
    max_size=3,
)
CHILDREN = st.lists(
    st.sets(st.sampled_from(WEEKDAYS[:5]), min_size=1).map(tuple), min_size=0, max_size=5
)


def children(days):
    return tuple(a_child(f"child{number}", days=each) for number, each in enumerate(days))


@given(LINES, PLACEMENTS, CHILDREN, st.sets(st.sampled_from(WEEKDAYS[:5]), min_size=1))
@settings(max_examples=120, deadline=None)
def test_need_never_falls_when_a_child_is_added(lines, placements, days, more):
    """SUP1: each line needs as much as before or more, and no line goes away."""
    card = a_card(materials=tuple(lines), group=Group(1, 3))
    needed = []
    for attending in (days, [*days, tuple(more)]):
        room = a_room(*children(attending))
        found = supplies(*placements, cards=[card], room=room, book=materials())
        needed.append({line.item: line.need for line in found.lines})
    before, after = needed
    assert before.keys() == after.keys()
    for item, need in before.items():
        assert after[item].measure == need.measure
        assert after[item].number >= need.number


@given(LINES, PLACEMENTS, CHILDREN)
@settings(max_examples=60, deadline=None)
def test_a_line_is_the_sum_of_its_placements(lines, placements, days):
    """SUP4: what is used up adds; each placement alone, added, is the whole."""
    card, room = a_card(materials=tuple(lines)), a_room(*children(days))
    whole = supplies(*placements, cards=[card], room=room, book=materials())
    for line in whole.lines:
        weight = materials().find(line.item).weight
        alone = [
            convert(each.need, line.need.measure, weight).number
            for placement in placements
            for each in supplies(
                replace(placement), cards=[card], room=room, book=materials()
            ).lines
            if each.item == line.item
        ]
        assert sum(alone) == line.need.number
