"""Looking back: what was said, what it took, what changed from year to year."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.values import Step, When
from library.units.comparing import compare_units
from library.units.lookback import (
    as_it_took,
    asked_of,
    history_of,
    minutes_it_took,
    took_in_words,
    write_look_back,
)
from library.units.parsing import parse_unit, write_unit
from library.units.unit import Again, LookBack
from library.units.years import earlier_years, later_years
from tests.builders import MONDAY, a_card, a_placement, a_room, a_unit

TEXT = """\
---
title: Leaves
starts: 2026-10-05
weeks: 1
placements:
  - {center: art, activity: tub}
look_back:
  - {activity: tub, again: yes}   # everyone
  - {activity: rain, again: no, shelf: B4}
---
"""


def test_activities_are_asked_of_once_in_walking_order():
    unit = a_unit(
        a_placement("art", "tub"),
        a_placement("water", "rain"),
        a_placement("light", "tub"),
        a_placement("blocks", None, standing=True),
        a_placement("outdoors", "run", instead="tunnel"),
        look_back=(LookBack("tub", Again.NO), LookBack("tub", Again.YES)),
    )
    asked = asked_of(unit, a_room(centers=("water", "light", "art")))
    assert [(a.activity, a.centers, a.said and a.said.again.value) for a in asked] == [
        ("rain", ("water",), None),
        ("tub", ("light", "art"), "yes"),
        ("run", ("outdoors",), None),
        ("tunnel", ("outdoors",), None),
    ]


def test_what_is_said_is_written_into_its_row_and_others_keep_their_bytes():
    said = [
        LookBack("rain", Again.CHANGE, 14, "paper slid; clip both edges"),
        LookBack("new", Again.YES),
    ]
    after = write_look_back(TEXT, said)
    assert after == TEXT.replace(
        "{activity: rain, again: no, shelf: B4}",
        "{activity: rain, again: change, took: 14, note: paper slid; clip both edges, shelf: B4}\n"
        "  - {activity: new, again: 'yes'}",
    )
    unit = parse_unit(after, "t", "u").unit
    assert unit.look_back[0] == LookBack("tub", Again.YES)
    assert unit.look_back[1:] == tuple(said)


def test_a_first_look_back_begins_the_list():
    text = write_unit(a_unit(a_placement()))
    after = write_look_back(text, [LookBack("sponge-rain", Again.NO)])
    assert parse_unit(after, "t", "u").unit.look_back == (LookBack("sponge-rain", Again.NO),)


def year(number, *look_back, **fields):
    starts = {2024: dt.date(2024, 10, 7), 2025: dt.date(2025, 10, 6), 2026: MONDAY}[number]
    rows = fields.pop("rows", [a_placement("water", "rain")])
    return a_unit(*rows, name=f"{number}-fall", starts=starts, look_back=tuple(look_back), **fields)


def test_a_card_knows_every_unit_it_stood_in_and_what_was_said():
    units = [
        year(2024, LookBack("rain", Again.CHANGE, 14)),
        year(2026),
        year(2025, LookBack("rain", Again.YES, 16)),
        year(2025, rows=[a_placement("art", "tub")]),
    ]
    stood = history_of("rain", units)
    assert [(s.unit.name, s.said and s.said.again.value) for s in stood] == [
        ("2026-fall", None),
        ("2025-fall", "yes"),
        ("2024-fall", "change"),
    ]
    assert minutes_it_took(units) == {"rain": (14, 16)}


def test_prep_can_be_planned_as_it_took():
    """Planned 10, took 14 and 16: 15; steps share it, daily steps are no prep."""
    assert as_it_took(a_card(prep=10), (14, 16)).prep == 15
    assert as_it_took(a_card(prep=10), ()).prep == 10
    steps = (Step("Cut", 6), Step("Fill", 4, When.MORNING), Step("Wash", 5, When.DAILY))
    card = as_it_took(a_card(prep=10, steps=steps), (14, 15))
    assert [step.minutes for step in card.steps] == [9, 6, 5]
    assert card.prep == card.prep_minutes == 15


@given(
    st.lists(st.tuples(st.integers(0, 60), st.sampled_from(When)), max_size=5),
    st.lists(st.integers(0, 120), min_size=1, max_size=3),
)
@settings(max_examples=100, deadline=None)
def test_shared_out_minutes_are_whole_and_add_up(steps, took):
    rows = tuple(Step(f"s{i}", minutes, on) for i, (minutes, on) in enumerate(steps))
    total = sum(step.minutes for step in rows if step.on is not When.DAILY)
    card = as_it_took(a_card(prep=total, steps=rows), took)
    mean = -(-sum(took) // len(took))
    assert card.prep_minutes == (mean if total or not rows else 0)
    for before, after in zip(rows, card.steps, strict=True):
        assert isinstance(after.minutes, int)
        if before.on is When.DAILY or before.minutes == 0:
            assert after.minutes == before.minutes


@pytest.mark.parametrize(
    ("took", "words"),
    [((), ""), ((14,), "planned 10, took 14"), ((14, 16), "planned 10, took 14 and 16"),
     ((14, 16, 9), "planned 10, took 14, 16 and 9")],
)  # fmt: skip
def test_what_it_took_is_said_beside_what_was_planned(took, words):
    assert took_in_words(10, took) == words


def test_two_years_of_a_unit_are_compared_in_words():
    old = year(
        2025,
        rows=[
            a_placement("water", "rain", weeks=(1,)),
            a_placement("art", "tub", days=(dt.date(2025, 10, 7),)),
            a_placement("light", "glow"),
            a_placement("blocks", None, standing=True),
        ],
    )
    new = year(
        2026,
        LookBack("rain", Again.YES, note="loved"),
        weeks=3,
        rows=[
            a_placement("water", "rain", weeks=(1, 2), note="low table"),
            a_placement("art", "tub", days=(dt.date(2026, 10, 6),)),
            a_placement("table", "glow"),
            a_placement("music", "drum"),
        ],
    )
    assert compare_units(old, new) == (
        "starts 2025-10-06 → 2026-10-05",
        "weeks 2 → 3",
        "rain at water: week 1 → weeks 1 and 2, note “low table”",
        "glow moved from light to table",
        "standing taken out of blocks",
        "drum added to music",
        "looked back on rain: yes (loved)",
    )
    assert compare_units(old, old) == ()


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ({}, {"weeks": (2,)}, "every week → week 2"),
        ({"weeks": (1, 2)}, {"weeks": (1, 2), "on": ("tue",)}, "weeks 1 and 2 → Tue of weeks 1 and 2"),
        ({}, {"days": (dt.date(2025, 10, 7),)}, "every week → Tue of week 1"),
        ({"note": "low"}, {}, "note “low” → none"),
        ({"instead": "tub"}, {"instead": None}, "in rain tub → no swap"),
        ({}, {"when": ("free play",)}, "parts of the day: free play"),
        ({}, {"props": {"fill": "snow"}}, "words of the theme: fill “snow”"),
    ],
)  # fmt: skip
def test_what_a_placement_does_otherwise_is_said_in_the_words_of_a_teacher(before, after, said):
    old, new = (year(2025, rows=[a_placement("water", "rain", **f)]) for f in (before, after))
    assert compare_units(old, new) == (f"rain at water: {said}",)


def test_a_unit_shows_the_years_it_goes_back_to_with_what_changed():
    first = year(2024)
    second = year(
        2025, cloned_from=first.id, rows=[a_placement("water", "rain"), a_placement("art", "tub")]
    )
    third = year(2026, cloned_from=second.id)
    years = earlier_years(third, [first, third, second])
    assert [y.unit.name for y in years] == ["2025-fall", "2024-fall"]
    assert "tub taken out of art" in years[0].changes
    assert "tub added to art" in years[1].changes
    assert earlier_years(first, [first, second]) == ()
    assert earlier_years(third, [third]) == ()


def test_a_unit_knows_what_was_cloned_from_it():
    first = year(2024)
    later = [year(2026, cloned_from=first.id), year(2025, cloned_from=first.id)]
    assert [unit.name for unit in later_years(first, [*later, first])] == ["2025-fall", "2026-fall"]
    assert later_years(later[0], later) == ()


def test_units_that_name_each_other_end_somewhere():
    one = year(2025, cloned_from="leaves-and-wind/2026-fall")
    two = year(2026, cloned_from="leaves-and-wind/2025-fall")
    assert [y.unit.name for y in earlier_years(two, [one, two])] == ["2025-fall"]
