"""When a new unit could start, and its name."""

import datetime as dt

import pytest

from library.units.starting import propose_again, propose_name, propose_start
from tests.builders import MONDAY, a_room, a_unit

WEEK = dt.timedelta(days=7)


def test_the_next_monday_is_proposed_where_nothing_is_planned():
    assert propose_start([], a_room(), MONDAY + dt.timedelta(days=2)) == MONDAY + WEEK
    assert propose_start([], a_room(), MONDAY) == MONDAY + WEEK


def test_what_is_planned_comes_first_and_what_is_over_does_not_count():
    over, planned = a_unit(starts=MONDAY - 8 * WEEK), a_unit(weeks=3)
    assert propose_start([planned, over], a_room(), MONDAY) == MONDAY + 3 * WEEK


def test_a_week_in_which_the_room_never_opens_is_passed_over():
    closed = frozenset(MONDAY + WEEK + dt.timedelta(days=n) for n in range(5))
    assert propose_start([], a_room(closed=closed), MONDAY) == MONDAY + 2 * WEEK


@pytest.mark.parametrize(
    ("month", "season"),
    [(12, "winter"), (2, "winter"), (3, "spring"), (6, "summer"), (9, "fall"), (11, "fall")],
)
def test_the_name_says_year_and_season(month, season):
    assert propose_name(dt.date(2026, month, 2), []) == f"2026-{season}"


def test_a_taken_name_gets_a_number():
    taken = {"2026-fall", "2026-fall-2"}
    assert propose_name(MONDAY, taken) == "2026-fall-3"


@pytest.mark.parametrize(
    ("starts", "today", "expected"),
    [
        ("2025-10-06", "2026-08-20", "2026-10-05"),
        ("2025-10-06", "2026-10-09", "2026-10-05"),
        ("2025-10-06", "2026-10-12", "2027-10-04"),
        ("2023-10-02", "2026-01-01", "2026-10-05"),
        ("2024-02-26", "2025-01-01", "2025-02-24"),
        ("2025-01-06", "2025-03-01", "2026-01-05"),
        ("2030-05-06", "2025-01-01", "2031-05-05"),
    ],
)
def test_the_same_time_of_year_is_proposed_again(starts, today, expected):
    unit = a_unit(starts=dt.date.fromisoformat(starts))
    assert propose_again(unit, dt.date.fromisoformat(today)).isoformat() == expected
