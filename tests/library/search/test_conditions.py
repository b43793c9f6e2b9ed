"""What a set of conditions says of itself."""

from dataclasses import FrozenInstanceError

import pytest

from library.search.conditions import NOTHING_SAID, Conditions


def test_only_what_was_said_is_reported():
    asked = Conditions(prep_max=10, centers=("water", "sensory"), without=("wheat",))
    assert asked.as_read() == {
        "prep_max": 10,
        "centers": ["water", "sensory"],
        "without": ["wheat"],
    }


def test_no_prep_is_something_that_was_said():
    assert Conditions(prep_max=0).as_read() == {"prep_max": 0}
    assert not Conditions(mess_max=0).is_empty


def test_groups_of_materials_are_reported_as_one_plain_list():
    asked = Conditions(with_=(("poster paint", "finger paint"), ("hand sponge",)))
    assert asked.as_read() == {"with": ["poster paint", "finger paint", "hand sponge"]}


def test_ages_and_the_stock_are_reported_under_their_own_keys():
    assert Conditions(age_range=(24, 35), on_hand=True).as_read() == {
        "age_range": [24, 35],
        "on_hand": True,
    }


def test_nothing_said_is_empty_and_reports_nothing():
    assert NOTHING_SAID.is_empty
    assert NOTHING_SAID.as_read() == {}


def test_conditions_do_not_change_under_those_who_hold_them():
    with pytest.raises(FrozenInstanceError):
        NOTHING_SAID.prep_max = 3
