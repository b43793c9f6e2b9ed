"""Random cards and conditions for property tests."""

from __future__ import annotations

from hypothesis import strategies as st

from library.cards.values import Adult, AgeRange, Group, Place, Season, Status
from library.search.conditions import Conditions
from tests.builders import a_card, a_material_line

WORDS = ["sponge", "sponges", "rain", "rainy", "leaf", "leaves", "pour", "pouring", "tub", "the",
         "set-up", "piñata", "spray", "bottle", "mister", "sand"]  # fmt: skip
MATERIALS = ["hand sponge", "car sponge", "spray bottle", "mister", "washable paint", "tempera",
             "painter's tape", "flour", "wheat flour", "water", "white rice"]  # fmt: skip
CENTERS = ["water", "light", "art", "dough"]
DOMAINS = ["IT-PMP-6", "IT-PMP-2", "IT-C-4", "P-C-1"]
TECHNIQUES = ["", "sponge squeezing", "pouring"]

words = st.lists(st.sampled_from(WORDS), min_size=1, max_size=8).map(" ".join)
seasons = st.lists(st.sampled_from(list(Season)), unique=True, max_size=2).map(tuple)


def cards(count: int = 8):
    """Up to so many cards of different ids."""
    one = st.builds(
        lambda low, length, **fields: a_card(
            ages=AgeRange(low, None if length == 30 else low + length), **fields
        ),
        low=st.sampled_from([18, 24, 30, 36]),
        length=st.sampled_from([5, 6, 12, 24, 30]),
        id=st.sampled_from([f"card-{letter}" for letter in "abcdefghijkl"]),
        title=words,
        body=words,
        centers=st.lists(st.sampled_from(CENTERS), unique=True, min_size=1, max_size=2).map(tuple),
        prep=st.sampled_from([0, 5, 10, 20, 45]),
        group=st.sampled_from([None, Group(1, 2), Group(2, 4), Group(4, 8)]),
        adult=st.sampled_from(list(Adult)),
        mess=st.integers(0, 3),
        place=st.sampled_from(list(Place)),
        seasons=seasons,
        technique=st.sampled_from(TECHNIQUES),
        domains=st.lists(st.sampled_from(DOMAINS), unique=True, max_size=2).map(tuple),
        materials=st.lists(st.sampled_from(MATERIALS), unique=True, max_size=3).map(
            lambda items: tuple(a_material_line(item) for item in items)
        ),
        status=st.sampled_from([Status.READY, Status.READY, Status.DRAFT]),
    )
    return st.lists(one, min_size=1, max_size=count, unique_by=lambda card: card.id)


_materials = st.sampled_from(["hand sponge", "spray bottle", "flour", "water", "washable paint"])
_ages = st.sampled_from([(24, 35), (30, 36), (36, 47), (20, 60)])
conditions = st.builds(
    lambda age, **asked: Conditions(
        age_months=age if isinstance(age, int) else None,
        age_range=age if isinstance(age, tuple) else None,
        **asked,
    ),
    age=st.one_of(st.none(), st.integers(18, 50), _ages),
    prep_max=st.sampled_from([None, None, 0, 10]),
    prep_min=st.sampled_from([None, None, 10]),
    centers=st.lists(st.sampled_from(CENTERS), unique=True, max_size=2).map(tuple),
    with_=st.lists(st.lists(_materials, min_size=1, max_size=2).map(tuple), max_size=1).map(tuple),
    without=st.lists(st.one_of(_materials, st.just("wheat")), unique=True, max_size=2).map(tuple),
    place=st.sampled_from([None, None, "indoors", "outdoors"]),
    season=st.sampled_from([None, None, "fall", "spring"]),
    group=st.sampled_from([None, None, 2, 4]),
    mess_max=st.sampled_from([None, None, 0, 2]),
    adult=st.sampled_from([None, None, "within reach"]),
    domains=st.lists(st.sampled_from(["IT-PMP", "IT-C-4"]), max_size=1).map(tuple),
    technique=st.sampled_from([None, None, None, "pouring"]),
    status=st.sampled_from([None, None, "draft"]),
    on_hand=st.sampled_from([False, False, False, True]),
)
mild_conditions = st.builds(
    Conditions,
    prep_max=st.sampled_from([None, 10]),
    without=st.lists(_materials, max_size=1).map(tuple),
    place=st.sampled_from([None, None, "indoors"]),
    season=st.sampled_from([None, "fall"]),
    age_months=st.sampled_from([None, None, 30]),
)
"""Conditions that leave something over."""
