"""What is short on one day, for one room or for two that share a closet, and the ways out of it."""

import pytest

from library.materials.amounts import parse_quantity
from library.room.room import StockLine
from library.supplies.checks import check_durables
from library.supplies.lines import supplies_of
from library.supplies.needs import needs_of
from library.supplies.sharing import Claim, claim_words, claims_of, joint_stock
from library.units.placed import lay_out
from tests.builders import a_card, a_material_line, a_placement, a_room, a_unit
from tests.library.supplies.test_lines import BOOK


def sponges(number):
    return (StockLine("hand sponge", parse_quantity(str(number)), "B4"),)


CARDS = {
    name: a_card(name, materials=(a_material_line("hand sponge", f"{number} per setup"),))
    for name, number in (("rain", 4), ("boats", 3), ("prints", 1))
}


def needs_in(room, *placements):
    return lay_out(a_unit(*placements), None, CARDS, room)


def findings(room, *placements, claims=()):
    placed = needs_in(room, *placements)
    return list(
        check_durables(supplies_of("leaves-and-wind/2026-fall", placed, room, BOOK), claims)
    )


def test_find9_both_placements_their_amounts_and_the_day_are_named():
    """FIND9: one finding a thing, with every placement of its fullest day."""
    found = findings(
        a_room(stock=sponges(5)),
        a_placement("water", "rain"),
        a_placement("science", "boats", on=("wed",)),
    )
    assert [(f.kind, f.item, f.activity) for f in found] == [("durable", "hand sponge", "rain")]
    assert "7 needed on Wed 7 Oct" in found[0].text
    assert "2 more than the room has (5)" in found[0].text
    assert "Rain at water 4 and Boats at science 3" in found[0].text


def test_what_is_there_often_enough_is_no_finding():
    room = a_room(stock=sponges(4))
    other_days = (
        a_placement("water", "rain", on=("mon",)),
        a_placement("art", "boats", on=("tue",)),
    )
    assert findings(room, *other_days) == []


@pytest.mark.parametrize(
    ("there", "said", "unsaid"),
    [
        (
            5,
            (
                "move Boats at science to other days",
                "let Rain at water stand on Mondays, Wednesdays and Fridays and Boats at science "
                "on Tuesdays and Thursdays",
                "borrow or buy 2",
            ),
            "make do",
        ),
        (
            3,
            ("move Rain at water", "make do with fewer for Rain at water", "borrow or buy 4"),
            "let",
        ),
    ],
)
def test_the_ways_out_are_those_that_help(there, said, unsaid):
    placements = (a_placement("water", "rain"), a_placement("science", "boats"))
    fix = findings(a_room(stock=sponges(there)), *placements)[0].fix
    for words in said:
        assert words in fix
    assert unsaid not in fix


def test_one_placement_alone_is_not_told_to_move():
    fix = findings(a_room(stock=sponges(3)), a_placement("water", "rain"))[0].fix
    assert fix == (
        "make do with fewer for Rain at water, which takes 4 by itself; or borrow or buy 1"
    )


def claims(room, *placements):
    return claims_of(room, "Puddle days", needs_of(needs_in(room, *placements), room, BOOK))


def test_rooms_that_share_a_closet_see_what_the_other_takes_on_a_day():
    moss = a_room(name="Moss Room", shelf="hall", stock=sponges(1))
    fern = joint_stock(a_room(shelf="hall", stock=sponges(5)), [moss])
    others = claims(moss, a_placement("art", "boats", on=("tue",)))
    found = findings(fern, a_placement("water", "rain"), claims=others)
    assert "7 needed on Tue 6 Oct" in found[0].text
    assert "the closet has (6)" in found[0].text
    assert "Moss Room for Puddle days (Boats) 3" in found[0].text
    assert found[0].fix == "move Rain at water to other days; or borrow or buy 1"


def test_what_the_others_take_is_said_also_where_there_is_enough():
    moss = a_room(name="Moss Room", shelf="hall")
    others = claims(moss, a_placement("art", "boats", on=("tue",), weeks=(1,)))
    room = a_room(shelf="hall", stock=sponges(9))
    placed = needs_in(room, a_placement("water", "rain"))
    line = supplies_of("leaves-and-wind/2026-fall", placed, room, BOOK).lines[0]
    assert claim_words(line, others) == ("Moss Room for Puddle days (Boats) 3, on Tue 6 Oct",)
    assert claim_words(line, ()) == ()


def test_what_the_other_room_takes_on_other_days_is_no_finding():
    moss = a_room(name="Moss Room", shelf="hall")
    others = claims(moss, a_placement("art", "boats", on=("tue",)))
    fern = a_room(shelf="hall", stock=sponges(6))
    assert findings(fern, a_placement("water", "rain", on=("mon",)), claims=others) == []
    assert findings(fern, a_placement("water", "prints"), claims=others) == []


def test_what_is_used_up_is_no_claim():
    room = a_room(name="Moss Room")
    card = a_card(materials=(a_material_line("paper", "2 per setup"),))
    placed = lay_out(a_unit(a_placement()), None, {card.id: card}, room)
    assert claims_of(room, "Puddle days", needs_of(placed, room, BOOK)) == ()


def test_a_claim_in_another_measure_is_passed_over_here():
    """The other room's own page names what it cannot count."""
    room = a_room(stock=sponges(4))
    odd = a_card("odd", materials=(a_material_line("hand sponge", "2 kg per setup"),))
    placed = lay_out(a_unit(a_placement("art", "odd")), None, {"odd": odd}, room)
    strange = tuple(Claim("Moss Room", "x", each) for each in needs_of(placed, room, BOOK).needs)
    assert findings(room, a_placement("water", "rain"), claims=strange) == []
