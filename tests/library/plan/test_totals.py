"""Totals of a plan, against a slow recount."""

import datetime as dt

from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.values import Adult, Step, When
from library.materials.material import Kind
from library.plan.fewer import with_fewer_adults
from library.plan.prepweeks import window_minutes
from library.plan.reach import only_in_sight
from library.plan.totals import prep_minutes_left, total
from library.plan.unitplan import plan_unit
from library.room.room import WEEKDAYS, Block, PrepWindow
from tests.builders import (
    MONDAY,
    a_book,
    a_card,
    a_child,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_unit,
)

WINDOW = PrepWindow(("mon", "wed"), dt.time(13), dt.time(13, 40), adults=2)
RAIN = a_card(
    "rain",
    prep=8,
    adult=Adult.WITHIN_REACH,
    domains=("IT-C-4",),
    steps=(Step("Cut", 6), Step("Fill", 2, When.MORNING), Step("Wash", 4, When.DAILY)),
)
TUB = a_card("tub", prep=10, adult=Adult.WITHIN_REACH, centers=("sensory",))


def day(step):
    return MONDAY + dt.timedelta(days=step)


def planned(*placements, cards=(RAIN, TUB), **room):
    named = {card.id: card for card in cards}
    return plan_unit(a_unit(*placements), None, named, a_room(a_child(), **room))


def test_prep_stands_against_the_windows_of_the_week_before():
    """PREP18: only ahead steps, or the prep of a card without steps."""
    plan = planned(
        a_placement("water", "rain"),
        a_placement("sensory", "tub", weeks=(2,)),
        a_placement("light", "tub", weeks=(2,)),
        prep_windows=(WINDOW,),
        closed=frozenset({day(-7)}),
    )
    totals = total(plan)
    assert [(w.week, w.needed, w.windows, w.left) for w in totals.prep] == [
        (1, 6, 80, 74),
        (2, 10, 160, 150),
    ]
    assert totals.prep_minutes == 16
    assert prep_minutes_left(plan, 1) == 74
    assert prep_minutes_left(plan, 9) == 0


def test_adults_needed_are_those_within_reach_and_one_who_floats():
    """FIND2."""
    plan = planned(
        a_placement("water", "rain", weeks=(1,)),
        a_placement("sensory", "tub", days=(day(1),)),
        adults_on=((day(1), 1),),
    )
    found = {each.day: (each.within_reach, each.needed, each.there) for each in total(plan).adults}
    assert found == {
        day(0): (1, 2, 2), day(1): (2, 3, 1), day(2): (1, 2, 2), day(3): (1, 2, 2), day(4): (1, 2, 2),
    }  # fmt: skip


def test_goals_centers_and_new_cards_are_counted():
    plan = planned(
        a_placement("water", "rain"), a_placement("art", "gone"), centers=("water", "books")
    )
    past = a_unit(a_placement("water", "rain"), starts=day(-364))
    future = a_unit(a_placement("art", "gone"), starts=day(364))
    totals = total(plan, [past, future])
    assert totals.goals_met == ("IT-C-4",)
    assert totals.goals_in_all == 59
    assert totals.centers_empty == ("books",)
    assert (totals.used_cards, totals.new_cards) == (("rain",), ("gone",))


rows = st.lists(
    st.tuples(
        st.sampled_from(["rain", "tub", "gone"]),
        st.sets(st.integers(1, 2)),
        st.sets(st.sampled_from(WEEKDAYS[:5])),
    ),
    max_size=6,
)


@given(rows, st.sets(st.integers(-7, 13), max_size=8), st.integers(1, 3))
@settings(max_examples=60, deadline=None)
def test_totals_equal_a_slow_recount(placements, closed, adults):
    shut = frozenset(day(step) for step in closed)
    plan = planned(
        *(
            a_placement(
                f"c{i}", name, weeks=tuple(sorted(w)), on=tuple(d for d in WEEKDAYS if d in on)
            )
            for i, (name, w, on) in enumerate(placements)
        ),
        prep_windows=(WINDOW,),
        closed=shut,
        adults=adults,
        centers=("c0",),
    )
    totals = total(plan, [a_unit(a_placement("water", "rain"), starts=day(-7))])

    def stands(weeks, on, step):
        week, weekday = step // 7 + 1, WEEKDAYS[step % 7]
        return (
            step % 7 < 5
            and step not in closed
            and (not weeks or week in weeks)
            and (not on or weekday in on)
        )

    slow = {}
    for step in range(14):
        near = sum(stands(w, on, step) for name, w, on in placements if name != "gone")
        if near:
            slow[day(step)] = near
    assert {each.day: each.within_reach for each in totals.adults} == slow
    minutes = {1: 0, 2: 0}
    for name, ahead in (("rain", 6), ("tub", 10)):
        first = [s for s in range(14) for n, w, on in placements if n == name and stands(w, on, s)]
        if first:
            minutes[min(first) // 7 + 1] += ahead
    assert {week.week: week.needed for week in totals.prep} == minutes
    named = [name for name, _, _ in placements]
    stood = {n for n, w, on in placements for s in range(14) if stands(w, on, s)}
    assert totals.centers_empty == () if placements else totals.centers_empty == ("c0",)
    assert set(totals.goals_met) == ({"IT-C-4"} if "rain" in stood else set())
    assert totals.used_cards == (("rain",) if "rain" in named else ())
    assert set(totals.new_cards) == set(named) - {"rain"}
    windows = [sum(80 for s in (a, a + 2) if s not in closed) for a in (-7, 0)]
    assert [week.windows for week in totals.prep] == windows


def test_windows_count_on_open_days_only():
    room = a_room(prep_windows=(WINDOW,), closed=frozenset({day(0)}))
    assert window_minutes(room, [day(step) for step in range(7)]) == 80


SIGHT = [
    a_card("quick", centers=("water", "sensory"), prep=2),
    a_card("slow", centers=("water", "sensory"), prep=9),
    a_card("old", centers=("water", "sensory"), prep=0, ages=RAIN.ages.__class__(40, 48)),
]


def test_with_one_adult_fewer_the_program_says_what_to_close_or_swap():
    """FIND2: two adults hold one within reach, one adult holds none; the unit is not changed."""
    plan = planned(
        a_placement("water", "rain"),
        a_placement("sensory", "tub", days=(day(0),)),
        centers=("water", "sensory"),
        adults=3,
    )
    (two,) = with_fewer_adults(plan, MONDAY, 2, SIGHT)
    assert (two.holds, [p.center for p in two.close]) == (1, ["water"])
    assert two.swaps[0][1] == ()  # water stands at the water table with any card
    (one,) = with_fewer_adults(plan, MONDAY, 1, SIGHT)
    assert one.swaps[1][1] == ("quick", "slow")
    assert (one.holds, [p.center for p in one.close]) == (0, ["water", "sensory"])
    assert with_fewer_adults(plan, MONDAY, 3, SIGHT) == ()
    assert with_fewer_adults(plan, day(5), 1, SIGHT) == ()


def test_standing_water_is_within_reach_whatever_its_card_says():
    """CFOC 6.2.4.2 and 6.3.5.2; what is counted for a unit goes by the card (FIND2, FIND14)."""
    plan = planned(
        a_placement("water", "far"),
        a_placement("sensory", "dry"),
        cards=(a_card("far"), a_card("dry")),
        centers=("water", "sensory"),
    )
    (one,) = with_fewer_adults(plan, MONDAY, 1, ())
    assert [p.center for p in one.close] == ["water"]
    assert [p.center for p in one.beside_water] == ["water"]
    assert [p.center for p in only_in_sight(plan)] == ["water"]
    assert total(plan).adults == ()


def test_only_the_blocks_with_too_many_are_named():
    blocks = (
        Block("early", dt.time(8), dt.time(9)),
        Block("late", dt.time(9), dt.time(10)),
    )
    plan = planned(
        a_placement("water", "rain", when=("early",)),
        a_placement("sensory", "tub", when=("early",)),
        a_placement("light", "tub", when=("late",)),
        day=blocks,
    )
    assert [each.block for each in with_fewer_adults(plan, MONDAY, 2, ())] == ["early"]


def test_what_could_stand_there_instead_has_no_stop_for_the_children_of_the_day():
    """A card with a child's allergen is passed over on the days on which that child comes."""
    flour = a_material("flour", kind=Kind.CONSUMABLE, allergens=("wheat",))
    dough = a_card("dough", centers=("sensory",), prep=0, materials=(a_material_line("flour"),))
    cards = {card.id: card for card in (TUB, dough, *SIGHT)}
    room = a_room(a_child(), a_child("robin", allergens=("wheat",), days=("mon",)), adults=1)
    unit = a_unit(a_placement("sensory", "tub"))
    plan = plan_unit(unit, None, cards, room, materials=a_book(flour))
    for step, instead in ((0, ("quick", "slow")), (1, ("dough", "quick", "slow"))):
        (block,) = with_fewer_adults(plan, day(step), 1, (dough, *SIGHT))
        assert block.swaps[0][1] == instead
