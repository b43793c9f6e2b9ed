"""Two people change one plan: each change stands or is asked about, and no piece is made of two."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from library.store.errors import WrongUse
from library.units.merging import PIECES, WHOLE, differences, merge_text
from library.units.parsing import parse_unit, write_unit
from tests.builders import a_placement, a_unit

SHARED = ("sponge-rain", "leaf-tub", "broom-strokes", "rake-run")


@st.composite
def placements(draw, names):
    """At most one placement of each card, so that a test can tell them apart by the card alone."""
    chosen = draw(st.lists(st.sampled_from(names), unique=True))
    return tuple(
        a_placement(
            draw(st.sampled_from(["water", "art"])),
            name,
            weeks=draw(st.sampled_from([(), (1,), (2,)])),
            on=draw(st.sampled_from([(), ("tue",)])),
            note=draw(st.sampled_from(["", "clip both edges", "two tubs"])),
            props=draw(st.sampled_from([{}, {"catcher": "lids"}])),
            when=draw(st.sampled_from([(), ("free play",)])),
        )
        for name in chosen
    )


@st.composite
def three(draw):
    """A plan and two that came of it; each may also have a card that nobody else has."""
    units = [
        a_unit(*draw(placements((*SHARED, *own))), weeks=draw(st.sampled_from([2, 3])))
        for own in ((), ("mine-alone",), ("theirs-alone",))
    ]
    return [parsed(write_unit(unit)) for unit in units]


def parsed(text):
    unit = parse_unit(text, "leaves-and-wind", "2026-fall").unit
    assert unit is not None
    return unit


def by_card(unit):
    return {placement.activity: placement for placement in unit.placements}


def piece(placement, name):
    return placement and tuple(getattr(placement, field) for field in PIECES[name])


def merged(base, mine, theirs, chosen=()):
    return parsed(merge_text(write_unit(theirs), base, mine, theirs, dict(chosen)))


@settings(max_examples=60, deadline=None)
@given(three(), st.data())
def test_a_lone_change_stands_what_both_changed_is_chosen_and_pieces_stay_whole(units, data):
    """The expected value of each piece is worked out card by card, without looking at the merge."""
    base, mine, theirs = units
    for unit in units:  # a card that left one plan must not be taken for one that came into it
        there, before = set(by_card(unit)), set(by_card(base))
        assume(not (there - before and before - there))
    chosen = {
        number: data.draw(st.sampled_from(["mine", "theirs"]))
        for number, each in enumerate(differences(*units))
        if each.proposed is None
    }
    sides = {
        (each.placement.activity if each.placement else None, each.piece): chosen.get(number)
        for number, each in enumerate(differences(*units))
    }
    result = merged(*units, chosen)
    was, typed, now, got = (by_card(unit) for unit in (*units, result))
    assert len(result.placements) == len(got)
    for name in {*was, *typed, *now}:
        three_of = [each.get(name) for each in (was, typed, now)]
        if typed.get(name) is None or now.get(name) is None:
            assert got.get(name) == expected(*three_of, sides.get((name, WHOLE)))
            continue
        for part in PIECES:
            wanted = expected(*(piece(each, part) for each in three_of), sides.get((name, part)))
            assert piece(got[name], part) == wanted
    assert result.weeks == expected(
        base.weeks, mine.weeks, theirs.weeks, sides.get((None, "weeks"))
    )


def expected(was, typed, now, side):
    if typed in (was, now):
        return now
    if now == was:
        return typed
    assert side is not None
    return typed if side == "mine" else now


def test_the_second_note_and_the_first_days_meet_in_one_placement():
    base = parsed(write_unit(a_unit(a_placement(weeks=(1,)))))
    mine = parsed(write_unit(a_unit(a_placement(weeks=(1,), note="clip both edges"))))
    text = write_unit(a_unit(a_placement(weeks=(2,)))).replace("weeks: [2]", "weeks: [2], own: 7")
    result = merge_text(text, base, mine, parsed(text), {})
    assert "own: 7" in result
    (placement,) = parsed(result).placements
    assert (placement.weeks, placement.note) == ((2,), "clip both edges")


def test_what_both_changed_is_never_decided_alone():
    base, mine, theirs = (
        parsed(write_unit(a_unit(a_placement(note=note)))) for note in ("", "mine", "theirs")
    )
    with pytest.raises(WrongUse, match="choose one"):
        merged(base, mine, theirs)
    assert merged(base, mine, theirs, {0: "mine"}.items()).placements[0].note == "mine"
    assert merged(base, mine, theirs, {0: "theirs"}.items()) == theirs


def test_a_placement_that_one_took_out_and_the_other_changed_is_asked_about():
    base = parsed(write_unit(a_unit(a_placement())))
    gone, changed = replace(base, placements=()), parsed(write_unit(a_unit(a_placement(note="x"))))
    for mine, theirs in ((gone, changed), (changed, gone)):
        (difference,) = differences(base, mine, theirs)
        assert (difference.piece, difference.proposed) == (WHOLE, None)
        kept = {0: "theirs" if mine is gone else "mine"}
        assert merged(base, mine, theirs, kept.items()).placements == changed.placements
        other = {0: "mine" if mine is gone else "theirs"}
        assert merged(base, mine, theirs, other.items()).placements == ()


def test_a_card_that_one_swapped_is_the_same_placement_for_the_other():
    base = parsed(write_unit(a_unit(a_placement("water", "sponge-rain"))))
    mine = parsed(write_unit(a_unit(a_placement("water", "leaf-tub"))))
    theirs = parsed(write_unit(a_unit(a_placement("water", "sponge-rain", weeks=(2,)))))
    (placement,) = merged(base, mine, theirs).placements
    assert (placement.activity, placement.weeks) == ("leaf-tub", (2,))


@settings(max_examples=20, deadline=None)
@given(three())
def test_two_who_did_the_same_differ_in_nothing(units):
    base, mine, _ = units
    assert differences(base, mine, mine) == ()
    assert merge_text(write_unit(mine), base, mine, mine, {}) == write_unit(mine)
