"""What needs an adult within reach at the same time of a day."""

import datetime as dt

from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.values import Adult
from library.room.room import Block
from library.units.placed import lay_out
from library.units.together import adults_for_reach, at_once
from tests.builders import MONDAY, a_card, a_placement, a_room, a_unit

NEAR = a_card("near", adult=Adult.WITHIN_REACH)
FAR = a_card("far", adult=Adult.WITHIN_SIGHT)
CARDS = {"near": NEAR, "far": FAR}


def standing(*placements, day=()):
    placed = lay_out(a_unit(*placements), None, CARDS, a_room(day=day))
    return [(each.block.name, [p.center for p in each.placed]) for each in at_once(placed, MONDAY)]


def test_only_what_is_within_reach_counts_and_circle_and_outdoors_do_not():
    """FIND2: without a day's blocks."""
    rows = [a_placement(c, "near") for c in ("water", "art", "circle", "outdoors")]
    assert standing(*rows, a_placement("blocks", "far")) == [("the day", ["water", "art"])]


def test_a_card_that_states_no_adult_counts_as_within_sight():
    """FIND14."""
    unit = a_unit(a_placement("water", "unsaid"))
    placed = lay_out(unit, None, {"unsaid": a_card("unsaid")}, a_room())
    assert at_once(placed, MONDAY) == ()


def test_placements_in_different_blocks_do_not_meet():
    day = (
        Block("early", dt.time(8), dt.time(9)),
        Block("late", dt.time(9), dt.time(10)),
    )
    rows = (
        a_placement("water", "near", when=("early",)),
        a_placement("art", "near", when=("late",)),
    )
    assert standing(*rows, day=day) == [("early", ["water"]), ("late", ["art"])]


def test_blocks_that_overlap_are_counted_together():
    day = (
        Block("early", dt.time(8), dt.time(9, 30)),
        Block("middle", dt.time(9), dt.time(10)),
    )
    rows = (
        a_placement("water", "near", when=("early",)),
        a_placement("art", "near", when=("middle",)),
    )
    assert standing(*rows, day=day) == [("early", ["water"]), ("middle", ["water", "art"])]


def test_one_adult_floats():
    """FIND2: adults - 1, and with one adult none."""
    assert [adults_for_reach(n) for n in (0, 1, 2, 3)] == [0, 0, 1, 2]


spans = st.tuples(st.integers(0, 8), st.integers(1, 4))


@given(st.lists(spans, min_size=1, max_size=5), st.lists(st.sets(st.integers(0, 4)), max_size=5))
@settings(max_examples=80, deadline=None)
def test_the_most_at_once_equals_a_count_minute_by_minute(blocks, rows):
    day = tuple(
        Block(f"b{i}", dt.time(8 + start), dt.time(8 + start + length))
        for i, (start, length) in enumerate(blocks)
    )
    named = [[f"b{i}" for i in sorted(row) if i < len(day)] for row in rows]
    named = [names for names in named if names]
    placements = [a_placement(f"c{i}", "near", when=tuple(n)) for i, n in enumerate(named)]
    placed = lay_out(a_unit(*placements), None, CARDS, a_room(day=day))
    most = max((len(each.placed) for each in at_once(placed, MONDAY)), default=0)
    slow = max(
        (
            sum(
                any(b.name in n and b.start <= dt.time(hour, 30) < b.end for b in day)
                for n in named
            )
            for hour in range(8, 21)
        ),
        default=0,
    )
    assert most == slow
