"""A unit laid out on the room's days, and the parts of the day."""

import datetime as dt

from library.cards.values import Place
from library.room.room import Block
from library.units.blocks import blocks_of
from library.units.placed import lay_out, rain_swaps
from tests.builders import MONDAY, a_card, a_child, a_placement, a_room, a_theme, a_unit

FREE = Block("free play", dt.time(8, 30), dt.time(10))
LATE = Block("afternoon play", dt.time(15), dt.time(16))
OUT = Block("outside", dt.time(10), dt.time(11), "outdoor")
CIRCLE = Block("circle", dt.time(11), dt.time(11, 10), "circle")
LUNCH = Block("lunch", dt.time(11, 30), dt.time(12), "meal")
DAY = (FREE, OUT, CIRCLE, LUNCH, LATE)


def test_without_blocks_all_stand_in_one_free_block_but_circle_and_outdoors():
    """FIND2: circle and outdoors have times of their own."""
    room = a_room()
    names = [
        [b.name for b in blocks_of(a_placement(center), a_card(), room)]
        for center in ("water", "circle", "outdoors")
    ]
    assert names == [["the day"], [], []]


def test_with_blocks_a_placement_stands_in_all_that_suit():
    room = a_room(day=DAY)
    assert blocks_of(a_placement("water"), a_card(), room) == (FREE, LATE)
    assert blocks_of(a_placement("outdoors"), a_card(), room) == (OUT,)
    assert blocks_of(a_placement("circle"), a_card(), room) == (CIRCLE,)
    assert blocks_of(a_placement("water"), a_card(place=Place.OUTDOORS), room) == (OUT,)


def test_when_names_the_blocks_in_any_case():
    room = a_room(day=DAY)
    assert blocks_of(a_placement(when=("Free Play",)), a_card(), room) == (FREE,)


def test_a_block_that_the_room_does_not_have_hides_nothing():
    room = a_room(day=DAY)
    placement = a_placement(when=("tea",))
    assert blocks_of(placement, a_card(), room) == (FREE, LATE)


def test_a_placement_knows_its_card_days_and_children():
    """SUP1: the different children attending on any of its open days."""
    wren = a_child("wren", days=("mon", "wed"))
    late = a_child("robin", since=MONDAY + dt.timedelta(days=4))
    gone = a_child("finch", until=MONDAY - dt.timedelta(days=1))
    unit = a_unit(a_placement(days=(MONDAY, MONDAY + dt.timedelta(days=1))), weeks=1)
    (placed,) = lay_out(unit, a_theme(), {"sponge-rain": a_card()}, a_room(wren, late, gone))
    assert placed.first_day == MONDAY
    assert [c.label for c in placed.children(a_room(wren, late, gone))] == ["wren"]
    assert placed.card is not None
    assert not placed.is_missing


def test_a_card_that_is_gone_is_missing_and_a_standing_center_is_not():
    """FIND7."""
    unit = a_unit(a_placement(), a_placement("blocks", None, standing=True))
    gone, standing = lay_out(unit, None, {}, a_room())
    assert gone.is_missing
    assert not standing.is_missing
    assert standing.card is None


def test_rain_swaps_stand_apart_on_the_days_of_what_they_replace():
    unit = a_unit(a_placement("outdoors", "rake-run", weeks=(2,), instead="tunnel-crawl"))
    cards = {name: a_card(name) for name in ("rake-run", "tunnel-crawl")}
    assert [p.placement.activity for p in lay_out(unit, None, cards, a_room())] == ["rake-run"]
    (swap,) = rain_swaps(unit, None, cards, a_room())
    assert swap.card is cards["tunnel-crawl"]
    assert swap.days[0] == dt.date(2026, 10, 12)
