"""Edits of a plan: each changes what is meant, and undone it leaves the same bytes."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.store.errors import Invalid, NotFound, StaleFile, WrongUse
from library.units import editing
from library.units.calendar import placement_days
from library.units.parsing import parse_unit, write_unit
from tests.builders import MONDAY, a_placement, a_room, a_unit

TEXT = """\
---
title: Leaves and wind, fall 2026
starts: 2026-10-05   # after the holiday
weeks: 2
placements:
  # wet side
  - {center: water, activity: sponge-rain, weeks: [1], note: "low: table", own: kept}   # loved
  - {center: art, activity: tub}
  - {center: easel, activity: broom, days: [2026-10-06, 2026-10-08]}
  - {center: blocks, standing: true, add: gourds}
---

Body.
"""
ROOM = a_room()


def day(step):
    return MONDAY + dt.timedelta(days=step)


def unit_of(text):
    parsed = parse_unit(text, "t", "u")
    assert parsed.problems == ()
    return parsed.unit


def row(text, number):
    return next(p for p in unit_of(text).placements if p.row == number)


def test_a_placement_is_added_at_the_end_and_taken_out_again():
    added = editing.add(TEXT, a_placement("books", "read-aloud", weeks=(2,)))
    assert row(added, 4).activity == "read-aloud"
    assert added.count("\n") == TEXT.count("\n") + 1
    assert editing.remove(added, 4) == TEXT


def test_an_empty_unit_can_be_filled():
    empty = write_unit(a_unit())
    filled = editing.add(editing.add(empty, a_placement("art", "tub")), a_placement())
    assert [p.center for p in unit_of(filled).placements] == ["art", "water"]


def test_a_move_touches_one_word_of_one_line():
    moved = editing.move(TEXT, 0, "science")
    assert moved == TEXT.replace("{center: water", "{center: science")
    assert editing.move(moved, 0, "water") == TEXT


def test_a_swap_keeps_days_and_center_and_drops_what_spoke_of_the_old_card():
    swapped = editing.swap(TEXT, 0, "ice-block")
    assert row(swapped, 0) == a_placement("water", "ice-block", weeks=(1,))
    assert "own: kept" in swapped


def test_a_copy_to_another_week_keeps_the_weekdays_of_dates():
    copied = editing.copy_to_week(editing.copy_to_week(TEXT, 0, 2), 2, 2)
    assert row(copied, 4).weeks == (2,)
    assert row(copied, 5).days == (day(8), day(10))
    with pytest.raises(WrongUse, match="week 3 is not in the unit"):
        editing.copy_to_week(TEXT, 0, 3)


def test_a_push_to_the_next_week_and_back_leaves_the_same_bytes():
    for number in (0, 2):
        pushed = editing.push(TEXT, number)
        assert editing.push(pushed, number, -1) == TEXT
    assert row(editing.push(TEXT, 0), 0).weeks == (2,)
    assert row(editing.push(TEXT, 1), 1).weeks == (2,)
    assert row(editing.push(TEXT, 2), 2).days == (day(8), day(10))
    with pytest.raises(WrongUse, match="stretch"):
        editing.push(editing.push(TEXT, 2), 2)
    with pytest.raises(WrongUse, match="stretch"):
        editing.push(editing.push(TEXT, 0), 0)


def test_shortening_keeps_whole_weeks_where_it_can():
    assert row(editing.shorten(TEXT, 1, day(4), ROOM), 1).weeks == (1,)
    assert row(editing.shorten(TEXT, 1, day(7), ROOM), 1).days == tuple(
        day(step) for step in (0, 1, 2, 3, 4, 7)
    )
    assert row(editing.shorten(TEXT, 2, day(1), ROOM), 2).days == (day(1),)
    with pytest.raises(WrongUse, match="take it out instead"):
        editing.shorten(TEXT, 2, day(0), ROOM)


def test_a_stretched_unit_goes_on_with_what_stood_last_and_can_be_cut_again():
    text = TEXT.replace("weeks: [1]", "weeks: [1, 2]")
    longer = editing.stretch(text)
    assert unit_of(longer).weeks == 3
    assert row(longer, 0).weeks == (1, 2, 3)
    assert row(longer, 2).days == (day(1), day(3))
    assert editing.stop_early(longer, day(11), ROOM) == text


def test_stopping_early_shortens_or_takes_out_what_would_stand_later():
    text = editing.add(TEXT, a_placement("light", "late", weeks=(2,)))
    stopped = editing.stop_early(text, day(2), ROOM)
    unit = unit_of(stopped)
    assert unit.weeks == 1
    assert [p.center for p in unit.placements] == ["water", "art", "easel", "blocks"]
    for placement in unit.placements:
        assert max(placement_days(placement, unit, ROOM)) <= day(2)
    assert editing.stop_early(TEXT, day(4), ROOM) == TEXT.replace("weeks: 2", "weeks: 1")
    with pytest.raises(WrongUse, match="outside the unit"):
        editing.stop_early(TEXT, day(14), ROOM)


def test_days_and_weeks_take_each_others_place():
    """CAL4: never both."""
    dated = editing.change(TEXT, 0, {"days": (day(1),)})
    assert (row(dated, 0).weeks, row(dated, 0).days) == ((), (day(1),))
    weekly = editing.change(dated, 0, {"weeks": (1,)})
    assert (row(weekly, 0).weeks, row(weekly, 0).days) == ((1,), ())


def test_what_is_no_edit_is_refused():
    with pytest.raises(NotFound, match="changed meanwhile"):
        editing.remove(TEXT, 9)
    with pytest.raises(WrongUse, match="has no 'colour'"):
        editing.change(TEXT, 0, {"colour": "red"})
    with pytest.raises(WrongUse, match="needs a center"):
        editing.change(TEXT, 0, {"activity": None})
    with pytest.raises(Invalid):
        editing.remove("no unit", 0)


def test_undo_refuses_to_lose_what_someone_else_changed():
    step = editing.Edited(TEXT, editing.move(TEXT, 0, "science"))
    assert step.undone(step.after) == TEXT
    with pytest.raises(StaleFile, match="would lose"):
        step.undone(step.after + " ")


numbers = st.integers(0, 3)
edits = st.one_of(
    st.tuples(st.just(editing.move), numbers, st.sampled_from(["sand", "water", "light"])),
    st.tuples(st.just(editing.swap), numbers, st.sampled_from(["tub", "ice"])),
    st.tuples(st.just(editing.remove), numbers),
    st.tuples(st.just(editing.push), numbers),
    st.tuples(st.just(editing.copy_to_week), numbers, st.integers(1, 3)),
    st.tuples(st.just(editing.shorten), numbers, st.integers(0, 13).map(day), st.just(ROOM)),
    st.tuples(st.just(editing.stretch)),
    st.tuples(st.just(editing.stop_early), st.integers(0, 13).map(day), st.just(ROOM)),
    st.tuples(
        st.just(editing.change),
        numbers,
        st.fixed_dictionaries({}, optional={
            "note": st.sampled_from(["", "a: b", "x, {y}", "# no comment"]),
            "on": st.sampled_from([(), ("mon",), ("tue", "thu")]),
            "when": st.sampled_from([(), ("free play",)]),
            "instead": st.sampled_from([None, "tunnel"]),
        }),
    ),
)  # fmt: skip


@given(
    st.sampled_from([TEXT, TEXT.replace("\n", "\r\n"), TEXT.replace("  - {center", "- {center")]),
    st.lists(edits, max_size=6),
)
@settings(max_examples=150, deadline=None)
def test_edits_stay_readable_touch_no_comment_and_undo_to_the_same_bytes(text, steps):
    done = []
    now = text
    for edit, *args in steps:
        try:
            done.append(editing.Edited(now, edit(now, *args)))
        except (WrongUse, NotFound):
            continue
        now = done[-1].after
        parsed = parse_unit(now, "t", "u")
        assert parsed.unit is not None
        assert "# wet side" in now
        assert "# after the holiday" in now
        assert now.endswith(text[-8:])
    for step in reversed(done):
        now = step.undone(now)
    assert now == text


@given(st.sampled_from(["water", "light", "sand"]), st.text("ab: ,#'\"{}", max_size=8), numbers)
@settings(max_examples=80, deadline=None)
def test_an_edit_and_its_opposite_leave_the_same_bytes(center, note, number):
    own = row(TEXT, number)
    there = editing.move(TEXT, number, center)
    assert editing.move(there, number, own.center) == TEXT
    noted = editing.change(TEXT, 1, {"note": note.strip()})
    assert row(noted, 1).note == note.strip()
    assert editing.change(noted, 1, {"note": ""}) == TEXT
