"""Public holidays as proposals, against the published list of US federal holidays."""

import datetime as dt

import pytest

from library.room.publicdays import propose_closed_days
from library.store.errors import WrongUse

FEDERAL_2026 = [
    "2026-01-01", "2026-01-19", "2026-02-16", "2026-05-25", "2026-06-19", "2026-07-03",
    "2026-09-07", "2026-10-12", "2026-11-11", "2026-11-26", "2026-12-25",
]  # fmt: skip
"""5 U.S.C. 6103 applied to 2026 as the US Office of Personnel Management lists it; from memory."""


def test_all_federal_holidays_of_2026_are_proposed():
    days = propose_closed_days("us", None, dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    assert {dt.date.fromisoformat(day) for day in FEDERAL_2026} <= {each.day for each in days}
    assert all(each.name for each in days)


def test_the_rules_of_5_usc_6103_hold_over_thirty_years():
    """Third Monday of January, last Monday of May, fourth Thursday of November: 5 U.S.C. 6103(a)."""
    from dateutil.relativedelta import MO, TH, relativedelta

    first, last = dt.date(2000, 1, 1), dt.date(2029, 12, 31)
    proposed = {each.day for each in propose_closed_days("US", "NC", first, last)}
    for year in range(2000, 2030):
        assert dt.date(year, 1, 1) + relativedelta(weekday=MO(3)) in proposed
        assert dt.date(year, 5, 31) + relativedelta(weekday=MO(-1)) in proposed
        assert dt.date(year, 11, 1) + relativedelta(weekday=TH(4)) in proposed


def test_days_lie_between_the_limits_in_order():
    days = propose_closed_days("US", None, dt.date(2026, 11, 1), dt.date(2027, 1, 1))
    dates = [each.day for each in days]
    assert dates == sorted(dates)
    assert dates[0] >= dt.date(2026, 11, 1)
    assert dates[-1] == dt.date(2027, 1, 1)


@pytest.mark.parametrize(
    ("country", "state"),
    [
        ("XX", None),
        ("US", "ZZ"),
        ("", None),
        ("public", None),  # the package has a constant of this name
        ("bank", None),
        ("nyse", None),  # and a stock market of this one
        ("U" * 5_000, "NC"),
    ],
)
def test_an_unknown_country_or_state_is_wrong_use(country, state):
    with pytest.raises(WrongUse, match="no public holidays are known"):
        propose_closed_days(country, state, dt.date(2026, 1, 1), dt.date(2026, 2, 1))


def test_codes_are_read_in_small_letters_too():
    span = dt.date(2026, 1, 1), dt.date(2026, 12, 31)
    assert propose_closed_days("us", "nc", *span) == propose_closed_days("US", "NC", *span)
    assert propose_closed_days("US", "NC", *span) != propose_closed_days("US", None, *span)
