"""Questions put together from conditions in many wordings read back to those conditions."""

from __future__ import annotations

import sys

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from library.search.conditions import Conditions
from library.search.joining import merge
from library.search.question import read_question
from tests.library.search.test_question import VOCABULARY

PAINTS = ("washable tempera paint", "liquid watercolor")
MINUTES = {
    5: "five",
    7: "seven",
    10: "ten",
    12: "twelve",
    15: "fifteen",
    20: "twenty",
    30: "thirty",
}

LONGEST = tuple(
    (f"{before}{number} {unit}{behind}", {"prep_max": minutes})
    for minutes, word in MINUTES.items()
    for number in (str(minutes), word)
    for unit in ("minutes", "min", "mins", "minuets")
    for before, behind in (
        ("under ", ""), ("less than ", ""), ("up to ", " of prep"), ("no more than ", ""),
        ("", " or less"), ("", " tops"), ("at most ", " to set up"),
    )
)  # fmt: skip
OTHERWISE = (
    ("no prep", {"prep_max": 0}),
    ("zero prep", {"prep_max": 0}),
    ("quick", {"prep_max": 5}),
    ("half an hour tops", {"prep_max": 30}),
    ("takes less than a quarter of an hour to set up", {"prep_max": 15}),
)
AGES = (
    ("for a 30 month old", {"age_months": 30}),
    ("for 2½ year olds", {"age_months": 30}),
    ("for two and a half year olds", {"age_months": 30}),
    ("for twos", {"age_range": (24, 35)}),
    ("for two-year-olds", {"age_range": (24, 35)}),
    ("for my older twos", {"age_range": (30, 35)}),
    ("for young threes", {"age_range": (36, 41)}),
    ("for threes", {"age_range": (36, 47)}),
    ("for toddlers", {"age_range": (12, 35)}),
    ("30 to 36 months", {"age_range": (30, 36)}),
)
CENTERS = (
    ("for the water table", {"centers": ("water",)}),
    ("for the sensory table", {"centers": ("sensory",)}),
    ("at the easel", {"centers": ("easel",)}),
    ("for circle time", {"centers": ("circle",)}),
    ("for the block center", {"centers": ("blocks",)}),
)
WANTED = (
    ("with sponges", {"with_": (("hand sponge",),)}),
    ("using tongs", {"with_": (("tongs",),)}),
    ("with cardboard boxes", {"with_": (("cardboard box",),)}),
    ("that uses paint", {"with_": (("washable tempera paint",),)}),
)
NOT_WANTED = (
    ("no paint", {"without": PAINTS}),
    ("without scissors", {"without": ("scissors",)}),
    ("wheat free", {"without": ("wheat",)}),
    ("no glue", {"without": ("washable glue",)}),
    ("gluten-free", {"without": ("wheat",)}),
    ("without any sand", {"without": ("sand",)}),
)
PLACES = (
    ("outdoors", {"place": "outdoors"}),
    ("outside", {"place": "outdoors"}),
    ("indoors", {"place": "indoors"}),
)
SEASONS = (
    ("in winter", {"season": "winter"}),
    ("in the fall", {"season": "fall"}),
    ("this autumn", {"season": "fall"}),
    ("in summer", {"season": "summer"}),
)
GROUPS = (
    ("for a group of four", {"group": 4}),
    ("for 3 children", {"group": 3}),
    ("two kids at a time", {"group": 2}),
)
MESS = (("no mess", {"mess_max": 0}), ("mess free", {"mess_max": 0}))
STOCK = (("with what we have", {"on_hand": True}),)
WORDS = ("pouring", "owls", "squeezing and wringing", "big brown bears")

KINDS = (
    LONGEST + OTHERWISE, AGES, CENTERS, WANTED, NOT_WANTED, PLACES, SEASONS, GROUPS, MESS, STOCK,
)  # fmt: skip


@st.composite
def questions(draw) -> tuple[str, Conditions]:
    """A question of some conditions in any order, and what it asks."""
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=6, unique_by=id))
    said = [draw(st.sampled_from(kind)) for kind in kinds]
    phrases = [phrase for phrase, _ in said]
    if draw(st.booleans()):
        phrases.insert(0, draw(st.sampled_from(WORDS)))
    text = draw(st.sampled_from((", ", "; ", " - ", ". "))).join(phrases)
    asked = {key: value for _, means in said for key, value in means.items()}
    upper = draw(st.sampled_from((str, str.capitalize, str.upper)))
    return upper(text), Conditions(**asked)


@settings(max_examples=300, deadline=None)
@given(questions())
def test_a_question_built_from_conditions_reads_back_to_them(made):
    text, asked = made
    assert read_question(text, VOCABULARY).conditions == asked


@settings(max_examples=150, deadline=None)
@given(questions())
def test_the_sentence_of_any_question_reads_back_to_the_same(made):
    question = read_question(made[0], VOCABULARY)
    again = read_question(question.sentence(), VOCABULARY)
    assert (again.conditions, again.words) == (question.conditions, question.words)


@settings(max_examples=100, deadline=None)
@given(questions())
def test_striking_a_part_out_of_any_question_removes_that_part_alone(made):
    question = read_question(made[0], VOCABULARY)
    for part in question.parts:
        left = read_question(question.without(part), VOCABULARY)
        others = (each for each in question.parts if each is not part)
        assert left.conditions == merge(others)


@settings(max_examples=200, deadline=None)
@example("no ² minutes")
@example("ʼ")
@example("¼Y")
@example("no ʼ paint")
@given(st.text(max_size=200))
def test_any_text_is_read_and_its_sentence_reads_back(text):
    question = read_question(text, VOCABULARY)
    again = read_question(question.sentence(), VOCABULARY)
    assert again.conditions == question.conditions


@pytest.mark.parametrize("months", range(14))
@pytest.mark.parametrize("asked", ["{} months old", "up to {} months old", "over {} months old",
                                   "under {} months old", "{} to 13 months old"])  # fmt: skip
def test_the_ages_of_babies_read_back_too(months, asked):
    question = read_question(asked.format(months), VOCABULARY)
    again = read_question(question.sentence(), VOCABULARY)
    assert again.conditions == question.conditions


@pytest.mark.parametrize(
    "piece",
    ["no ", "under ten minutes or ", "with ", "2 to ", "½", "no paint, glue or ", "two and a ",
     "not for the ", "30 months ", "wheat, milk or egg free ", "in the ", "(", "“"],
)  # fmt: skip
def test_reading_costs_steps_in_proportion_to_the_length(piece):
    """Twice the text takes about twice the calls; a power of the length would take four times."""
    short, long = (calls_of((piece * 2000)[:length]) for length in (900, 1800))
    assert long <= 2.6 * short


def calls_of(text: str) -> int:
    """How many functions are called to read a text."""
    read_question("warm", VOCABULARY)
    count = 0

    def counting(frame, event, argument):
        nonlocal count
        count += event in {"call", "c_call"}

    sys.setprofile(counting)
    try:
        read_question(text, VOCABULARY)
    finally:
        sys.setprofile(None)
    return count
