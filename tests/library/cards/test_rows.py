"""Changing one row of a card's list leaves the bytes of the other rows alone."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.parsing import change_card, parse_card, plain_fields, write_card
from library.cards.values import MaterialLine, Step, When
from tests.builders import a_card

TEXT = """\
---
title: Foam hills
centers: [water]
ages: 24-48
prep: 5
adult: within reach
materials:
  - {item: hand sponge, amount: 1 per place}   # the blue ones
  # from the shelf by the sink
  - {item: water, amount: 2 l per setup, own: kept}
  - {amount: '1 per place', item: apron}
status: ready
---
"""


def changed(**fields):
    return change_card(TEXT, replace(parse_card(TEXT, "foam-hills.md").card, **fields))


@pytest.fixture
def lines():
    return list(parse_card(TEXT, "foam-hills.md").card.materials)


def test_one_amount_changes_one_value(lines):
    lines[1] = replace(lines[1], amount="3 l per setup")
    assert changed(materials=tuple(lines)) == TEXT.replace("2 l per", "3 l per")


def test_a_row_in_between_or_at_the_end_is_one_more_line(lines):
    new = MaterialLine("soap: mild", "1 cup in all")
    row = '  - {item: "soap: mild", amount: 1 cup in all}\n'
    lines.insert(2, new)
    assert changed(materials=tuple(lines)) == TEXT.replace("  - {amount", f"{row}  - {{amount")
    lines.append(lines.pop(2))
    assert changed(materials=tuple(lines)) == TEXT.replace("status:", f"{row}status:")


def test_a_row_that_goes_takes_its_line_along(lines):
    del lines[2]
    expected = TEXT.replace("  - {amount: '1 per place', item: apron}\n", "")
    assert changed(materials=tuple(lines)) == expected


def test_line_ends_of_another_system_stay(lines):
    card = parse_card(TEXT, "foam-hills.md").card
    lines[1] = replace(lines[1], amount="3 l per setup")
    text = change_card(TEXT.replace("\n", "\r\n"), replace(card, materials=tuple(lines)))
    assert text == TEXT.replace("2 l per", "3 l per").replace("\n", "\r\n")


names = st.sampled_from(["sponge", "tub: blue", "{{catcher}}", "on", "water, warm"])
steps = st.lists(st.builds(Step, names, st.integers(0, 9), st.sampled_from(When), st.booleans()))
rows = st.lists(st.builds(MaterialLine, names, st.sampled_from(["1 per place", "2 l per setup"])))


@settings(max_examples=100, deadline=None)
@given(rows, rows, steps, steps)
def test_whatever_changes_reads_back_as_it_was_meant(old, new, first, then):
    before = a_card(props={"catcher": "lids"}, materials=tuple(old), steps=tuple(first))
    after = replace(before, materials=tuple(new), steps=tuple(then))
    text = change_card(write_card(before), after)
    assert plain_fields(parse_card(text, "sponge-rain.md").card) == plain_fields(after)
