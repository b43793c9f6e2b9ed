"""Questions in plain English read as a teacher means them; the cases stand in a golden file."""

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from library.cards.centers import center_names
from library.frameworks.everyday import domain_words
from library.frameworks.framework import head_start
from library.search.joining import merge
from library.search.question import READERS, places_of_readers, read_question
from library.search.readers.text import Text, split_text
from library.search.titles import title_list
from library.search.vocabulary import Vocabulary

GOLDEN = Path(__file__).parents[2] / "golden" / "questions.yaml"
VOCABULARY = Vocabulary(
    centers=center_names(),
    materials={
        "hand sponge": ("hand sponge", "bath sponge"),
        "tongs": ("tongs",),
        "washable tempera paint": ("washable tempera paint", "paint"),
        "liquid watercolor": ("liquid watercolor", "watercolor paint"),
        "painter's tape": ("painter's tape",),
        "washable glue": ("washable glue", "glue"),
        "spray bottle": ("spray bottle", "mister"),
        "cardboard box": ("cardboard box",),
        "scissors": ("scissors",),
        "sand": ("sand",),
        "water": ("water",),
    },
    allergens=("milk", "egg", "wheat", "tree-nut", "peanut"),
    techniques=("sponge squeezing", "posting through slots", "large brush strokes"),
    titles=title_list(
        ("Sponge rain", "No-cook soup", "Hats and coats at the mirror", "Washing the window")
    ),
    domains=domain_words(head_start().goals),
)


def cases():
    groups = yaml.safe_load(GOLDEN.read_text(encoding="utf-8"))
    return [
        pytest.param(case, id=f"{group}: {case['ask']}")
        for group, rows in groups.items()
        for case in rows
    ]


@pytest.mark.parametrize("case", cases())
def test_a_question_reads_as_the_golden_file_says(case):
    question = read_question(case["ask"], VOCABULARY)
    assert question.conditions.as_read() == case.get("read", {})
    assert " ".join(question.words) == case.get("words", "")


@pytest.mark.parametrize("case", cases())
def test_the_sentence_that_is_shown_reads_back_to_the_same(case):
    question = read_question(case["ask"], VOCABULARY)
    again = read_question(question.sentence(), VOCABULARY)
    assert again.conditions == question.conditions
    assert again.words == question.words


@pytest.mark.parametrize("case", cases())
def test_striking_out_a_part_removes_that_part_alone(case):
    question = read_question(case["ask"], VOCABULARY)
    for part in question.parts:
        left = read_question(question.without(part), VOCABULARY)
        others = (each for each in question.parts if each is not part)
        assert left.conditions == merge(others)


@pytest.mark.parametrize(
    "text", ["(" * 2000, "no " * 700, "under ten minutes or " * 100, "½" * 2000, "a" * 5000]
)
def test_a_long_question_is_read_to_its_limit(text):
    assert len(read_question(text, VOCABULARY).text) <= 2000


@pytest.mark.parametrize("ask", ["sponges for the older ones", "sponges, the big ones"])
def test_ones_that_stand_for_something_else_are_no_word_to_search_for(ask):
    assert "ones" not in read_question(ask, VOCABULARY).words


@pytest.mark.parametrize("place", range(len(READERS)), ids=lambda place: READERS[place].reads)
def test_a_reader_that_is_passed_over_would_have_read_nothing(place):
    """Also of words out of their order: each question is read with every word left out once."""
    for ask in (case.values[0]["ask"] for case in cases()):
        words = ask.split()
        for left_out in range(len(words) + 1):
            asked = " ".join(words[:left_out] + words[left_out + 1 :])
            text = Text(asked, split_text(asked))
            if place not in places_of_readers(text, VOCABULARY):
                assert list(READERS[place].read(text, VOCABULARY)) == []


@given(st.text("aZ95 .,-\n½", max_size=40))
def test_tokens_are_the_same_whatever_stands_before_them(text: str):
    """A question of words, numbers and blanks alone is split in another way, to the same tokens."""
    behind_a_sign = split_text(f"½. {text}")[1:]
    alone = split_text(text)
    assert [(t.word, t.key, t.start) for t in alone] == [
        (t.word, t.key, t.start - 3) for t in behind_a_sign
    ]
    assert [t[5:] for t in alone[1:]] == [t[5:] for t in behind_a_sign[1:]]
