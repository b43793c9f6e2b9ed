"""Ages of the children attending against the ages of a card."""

import datetime as dt

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.values import AgeRange, read_ages
from library.plan.ages import age_fits, check_ages
from library.plan.unitplan import plan_unit
from library.units.findings import Level
from tests.builders import MONDAY, a_card, a_child, a_placement, a_room, a_unit

TWOS_AND_THREES = AgeRange(24, 48)


def planned(*placements, ages=TWOS_AND_THREES, children=(), **room):
    cards = {"sponge-rain": a_card(ages=ages)}
    return plan_unit(a_unit(*placements), None, cards, a_room(*children, **room))


def numbers(plan):
    return [(fit.center, fit.fit, fit.younger, fit.older) for fit in age_fits(plan)]


def test_a_child_is_a_month_older_from_the_first():
    """AGE1: born in October 2024 is 24 months on any day of October 2026."""
    plan = planned(a_placement(), children=[a_child(born=(2024, 10))])
    assert numbers(plan) == [("water", 1, 0, 0)]
    plan = planned(a_placement(), children=[a_child(born=(2024, 11))])
    assert numbers(plan) == [("water", 0, 1, 0)]


def test_age_is_judged_on_the_first_open_day_for_those_attending_then():
    """AGE2."""
    children = [
        a_child("a", (2024, 11), days=("mon",)),
        a_child("b", (2024, 1), days=("tue",)),
        a_child("c", (2024, 1), since=MONDAY + dt.timedelta(days=4)),
    ]
    closed = frozenset({MONDAY})
    assert numbers(planned(a_placement(), children=children)) == [("water", 0, 1, 0)]
    assert numbers(planned(a_placement(), children=children, closed=closed)) == [("water", 1, 0, 0)]


def test_one_finding_a_placement_caution_if_any_is_younger():
    """AGE3: caution if any is younger, note if only older; the text gives the three numbers."""
    young, fit, old = (
        a_child(n, b) for n, b in (("a", (2025, 1)), ("b", (2024, 1)), ("c", (2022, 1)))
    )
    (mixed,) = check_ages(planned(a_placement(), children=[young, fit, old]))
    assert (mixed.level, mixed.kind) == (Level.CAUTION, "age")
    assert "on its first day 3 attend: 1 fit, 1 younger, 1 older" in mixed.text
    (older,) = check_ages(planned(a_placement(), children=[fit, old]))
    assert older.level is Level.NOTE
    assert list(check_ages(planned(a_placement(), children=[fit]))) == []


@pytest.mark.parametrize(
    ("ages", "months", "fits"),
    [
        ("2y-4y", 48, True),
        ("2y-4y", 49, False),
        ("2y-4y", 24, True),
        ("2y-4y", 23, False),
        ("30m+", 30, True),
        ("30m+", 200, True),
        ("30m+", 29, False),
        ("2y6m-4y", 29, False),
    ],
)
def test_both_ends_are_included_and_plus_has_no_upper_end(ages, months, fits):
    """AGE4: out at 49 completed months."""
    born = MONDAY - relativedelta(months=months)
    plan = planned(
        a_placement(), ages=read_ages(ages), children=[a_child(born=(born.year, born.month))]
    )
    assert (age_fits(plan)[0].fit == 1) == fits


def test_the_same_activity_in_two_centers_gives_two_findings():
    """AGE5: per placement, told apart by center."""
    plan = planned(a_placement("water"), a_placement("light"), children=[a_child(born=(2025, 1))])
    assert [finding.center for finding in check_ages(plan)] == ["water", "light"]
    assert numbers(plan) == [("water", 0, 1, 0), ("light", 0, 1, 0)]


def test_no_child_is_named_ranked_or_rated():
    """AGE6: numbers only."""
    plan = planned(a_placement(), children=[a_child("zaunkoenig", (2025, 1))])
    (finding,) = check_ages(plan)
    assert "zaunkoenig" not in str(finding)


def test_a_placement_that_never_stands_has_no_children():
    plan = planned(
        a_placement(weeks=(2,)),
        children=[a_child()],
        closed=frozenset(MONDAY + dt.timedelta(days=7 + d) for d in range(5)),
    )
    assert numbers(plan) == [("water", 0, 0, 0)]
    assert list(check_ages(plan)) == []


months = st.tuples(st.integers(2022, 2026), st.integers(1, 12)).filter(lambda m: m < (2026, 10))


@given(st.lists(months, max_size=8), st.integers(0, 60), st.integers(0, 24))
@settings(max_examples=80, deadline=None)
def test_ages_agree_with_dateutil_over_random_dates(births, low, length):
    """AGE1, AGE4: completed months of dateutil.relativedelta from the 1st of the birth month."""
    children = [a_child(f"c{i}", born) for i, born in enumerate(births)]
    plan = planned(a_placement(), ages=AgeRange(low, low + length), children=children)
    gone = [relativedelta(MONDAY, dt.date(*born, 1)) for born in births]
    ages = [delta.years * 12 + delta.months for delta in gone]
    expected = (
        sum(low <= age <= low + length for age in ages),
        sum(age < low for age in ages),
        sum(age > low + length for age in ages),
    )
    assert numbers(plan) == [("water", *expected)]
