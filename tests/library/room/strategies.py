"""Rooms for property tests."""

import datetime as dt
from fractions import Fraction

from hypothesis import strategies as st

from library.materials.amounts import Quantity
from library.room.room import (
    WEEKDAYS,
    Block,
    BuyLine,
    Child,
    Loans,
    Policy,
    PrepWindow,
    Room,
    StockLine,
)

words = (
    st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=12)
    .map(str.strip)
    .filter(bool)
)
weekdays = st.sets(st.sampled_from(WEEKDAYS)).map(
    lambda days: tuple(day for day in WEEKDAYS if day in days)
)
dates = st.dates(dt.date(2000, 1, 1), dt.date(2100, 1, 1))
quantities = st.builds(
    Quantity,
    st.fractions(Fraction(1, 8), 500, max_denominator=12),
    st.sampled_from(["", "kg", "sheet", "cup", "ml"]),
)
spans = st.tuples(
    st.times().map(lambda t: t.replace(second=0, microsecond=0)),
    st.times().map(lambda t: t.replace(second=0, microsecond=0)),
).filter(lambda pair: pair[0] < pair[1])
children = st.builds(
    Child,
    words,
    st.tuples(st.integers(2000, 2100), st.integers(1, 12)),
    st.lists(words.map(str.lower).map(str.strip), max_size=2, unique=True).map(tuple),
    weekdays,
)
rooms = st.builds(
    Room,
    name=words,
    adults=st.integers(0, 5),
    children=st.lists(children, max_size=3, unique_by=lambda c: c.label.casefold()).map(tuple),
    day=st.lists(
        st.builds(
            lambda name, span, kind: Block(name, *span, kind),
            words,
            spans,
            st.sampled_from(["free", "outdoor", "circle", "meal", "rest"]),
        ),
        max_size=2,
    ).map(tuple),
    prep_windows=st.lists(
        st.builds(
            lambda days, span, adults, away: PrepWindow(days, *span, adults, away),
            weekdays,
            spans,
            st.integers(1, 3),
            st.booleans(),
        ),
        max_size=2,
    ).map(tuple),
    open=weekdays,
    closed=st.frozensets(dates, max_size=4),
    centers=st.lists(st.sampled_from(["water", "art", "blocks"]), unique=True).map(tuple),
    languages=st.sampled_from([(), ("es",)]),
    stock=st.lists(
        st.builds(
            lambda item, amount, part: StockLine(item, amount, "B4", amount.number * part / 4),
            words,
            quantities,
            st.integers(0, 4),
        ),
        max_size=2,
    ).map(tuple),
    buy=st.lists(
        st.builds(
            BuyLine,
            words,
            st.none() | quantities,
            st.none() | st.decimals(0, 99, places=2),
            st.integers(0, 30),
        ),
        max_size=2,
    ).map(tuple),
    policies=st.lists(
        st.builds(Policy, words, words, words, dates, st.integers(0, 60)), max_size=2
    ).map(tuple),
    adults_on=st.dictionaries(dates, st.integers(0, 4), max_size=2).map(
        lambda days: tuple(sorted(days.items()))
    ),
    loans=st.builds(Loans, st.integers(1, 60), st.integers(0, 60), st.integers(0, 9)),
    shelf=st.sampled_from(["", "hall closet"]),
    units=st.sampled_from([(), ("leaves-and-wind/2026-fall",)]),
    zone=st.sampled_from(["", "America/Los_Angeles", "Europe/Berlin"]),
    prep_as_it_took=st.booleans(),
)
