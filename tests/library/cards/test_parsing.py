"""Cards are read whole or listed; written back byte for byte."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.card import Card, catalogue, field_order
from library.cards.parsing import READERS, change_card, parse_card, write_card
from library.cards.values import (
    Adult,
    AgeRange,
    Group,
    MaterialLine,
    Place,
    Refresh,
    Season,
    Span,
    Status,
    Step,
    Translation,
    When,
    read_ages,
    read_span,
)
from library.store.problems import Unreadable
from tests.builders import CARD_TEXT, the_card


def test_the_example_card_reads_without_a_problem():
    card = the_card()
    assert card.problems == ()
    assert card.centers == ("water", "science")
    assert card.ages == AgeRange(24, 48)
    assert card.materials[1] == MaterialLine("water", "500 ml per setup", Refresh.EACH_DAY)
    assert card.steps[0] == Step("Trim the sponges", 6, When.AHEAD, away=True)
    assert card.summary == "A soaked sponge rains on {{catcher}}."


def test_writing_an_unchanged_card_changes_no_byte():
    for text in (CARD_TEXT, CARD_TEXT.replace("\n", "\r\n")):
        assert change_card(text, the_card(text)) == text


def test_changing_the_prep_changes_one_line():
    changed = change_card(CARD_TEXT, replace(the_card(), prep=12))
    assert changed == CARD_TEXT.replace("prep: 8", "prep: 12")


def test_every_field_of_the_catalogue_has_a_reader():
    assert set(READERS) == set(catalogue())


@pytest.mark.parametrize(
    ("line", "field", "words"),
    [
        ("prep: twenty", "prep", "found 'twenty'; expected whole minutes from 0 to 480"),
        ("prep: 12:30", "prep", "found '12:30'"),
        ("prep: -1", "prep", "found '-1'"),
        ("prep: 8.5", "prep", "found '8.5'"),
        ("ages: young", "ages", "expected months such as '24-48'"),
        ("ages: 48-24", "ages", "the younger age first"),
        ("place: inside", "place", "one of indoors, outdoors, either"),
        ("mess: 4", "mess", "from 0 (none) to 3"),
        ("wait: soon", "wait", "a span such as '30 min'"),
        ("status: done", "status", "one of draft, ready"),
        ("seasons: [fall, rainy]", "seasons", "found 'rainy'"),
        ("group: 4-2", "group", "children at once"),
        ("props: [a]", "props", "names with texts"),
        ("title: [a, b]", "title", "a text"),
        ("photos: {a: b}", "photos", "a list such as"),
    ],
)
def test_a_value_that_cannot_be_read_names_field_line_and_form(line, field, words):
    key = line.split(":")[0]
    kept = [row for row in CARD_TEXT.split("\n") if not row.startswith(f"{key}:")]
    text = "\n".join([kept[0], line, *kept[1:]])
    problems = [
        problem
        for problem in parse_card(text, "activities/a/b.md").problems
        if problem.field == field
    ]
    assert [problem.line for problem in problems] == [2]
    assert words in problems[0].problem
    assert problems[0].file == "activities/a/b.md"
    assert problems[0].fix


def test_all_problems_come_at_once_and_good_rows_stay():
    text = (
        CARD_TEXT.replace("1 per place", "some")
        .replace("minutes: 2", "minutes: two")
        .replace("mess: 2", "mess: 9")
    )
    parsed = parse_card(text, "activities/a/b.md")
    assert [problem.field for problem in parsed.problems] == [
        "mess",
        "materials[0].amount",
        "steps[1].minutes",
    ]
    assert [line.item for line in parsed.card.materials] == ["water"]


@pytest.mark.parametrize("name", ["title", "centers", "ages", "prep"])
def test_without_a_required_field_there_is_no_card_but_a_problem(name):
    text = "\n".join(row for row in CARD_TEXT.split("\n") if not row.startswith(f"{name}:"))
    parsed = parse_card(text, "activities/a/b.md")
    assert parsed.card is None
    assert [problem.field for problem in parsed.problems] == [name]


def test_find14_a_missing_adult_counts_as_within_sight_and_is_a_problem():
    """FIND14."""
    parsed = parse_card(CARD_TEXT.replace("adult: within reach\n", ""), "activities/a/b.md")
    assert parsed.card.adult is Adult.WITHIN_SIGHT
    assert [problem.field for problem in parsed.problems] == ["adult"]


def test_a_key_that_is_nearly_a_field_is_named_and_an_unknown_one_is_let_be():
    parsed = parse_card(
        CARD_TEXT.replace("technique:", "tecnique:").replace(
            "status: ready", "status: ready\nown: 3"
        ),
        "a/b.md",
    )
    assert [problem.field for problem in parsed.problems] == ["tecnique"]


def test_cmd6_a_code_with_a_blank_reads_with_a_hyphen():
    """CMD6."""
    card = the_card(CARD_TEXT.replace("props:", "domains: [IT-PMP 6, it-c-4]\nprops:"))
    assert card.domains == ("IT-PMP-6", "IT-C-4")


@pytest.mark.parametrize(
    ("text", "ages"),
    [
        ("24-48", AgeRange(24, 48)),
        ("2y-4y", AgeRange(24, 48)),
        ("2y6m-4y", AgeRange(30, 48)),
        ("30m+", AgeRange(30, None)),
        ("30m-42m", AgeRange(30, 42)),
        ("24 to 48", AgeRange(24, 48)),
    ],
)
def test_age4_ages_as_people_write_them(text, ages):
    """AGE4."""
    assert read_ages(text) == ages


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("30 min", 30),
        ("12h", 720),
        ("2 d", 2880),
        ("1 w", 10080),
        ("overnight", 720),
        ("1.5 h", 90),
        ("3 days", 4320),
    ],
)
def test_prep20_words_for_spans(text, minutes):
    """PREP20."""
    assert read_span(text) == Span(minutes)


@pytest.mark.parametrize("text", ["12", "h", "-2 d", "2 months", ""])
def test_a_span_that_is_none_is_refused(text):
    with pytest.raises(Unreadable):
        read_span(text)


WORDS = (
    st.text(
        st.characters(codec="utf-8", exclude_categories=["C", "Z"]) | st.just(" "),
        min_size=1,
        max_size=30,
    )
    .map(lambda text: " ".join(text.split()))
    .filter(bool)
)
KEYS = st.from_regex(r"[a-z][a-z0-9]{0,7}", fullmatch=True)
AMOUNTS = st.sampled_from(
    ["1 per place", "500 ml per setup", "½ sheet per child", "1 roll in all", "2-3 per adult"]
)
STEPS = st.builds(Step, WORDS, st.integers(0, 60), st.sampled_from(When), st.booleans())
CARDS = st.builds(
    Card,
    id=st.just("a-card"),
    title=WORDS,
    centers=st.lists(KEYS, min_size=1, max_size=3, unique=True).map(tuple),
    ages=st.tuples(st.integers(0, 60), st.none() | st.integers(60, 100)).map(
        lambda pair: AgeRange(*pair)
    ),
    prep=st.integers(0, 480),
    wait=st.none() | st.integers(1, 10_000).map(Span),
    keeps=st.none() | st.integers(1, 10_000).map(Span),
    runs=st.none() | st.integers(0, 60),
    group=st.none()
    | st.tuples(st.integers(1, 4), st.integers(4, 9)).map(lambda pair: Group(*pair)),
    adult=st.sampled_from(Adult),
    mess=st.integers(0, 3),
    place=st.sampled_from(Place),
    seasons=st.lists(st.sampled_from(Season), unique=True).map(tuple),
    technique=WORDS | st.just(""),
    domains=st.lists(st.sampled_from(["IT-C-4", "P-SCI-1", "IT-PMP-6"]), unique=True).map(tuple),
    props=st.dictionaries(KEYS, WORDS, max_size=3),
    materials=st.lists(
        st.builds(MaterialLine, WORDS, AMOUNTS, st.sampled_from(Refresh)), max_size=3
    ).map(tuple),
    steps=st.lists(
        st.builds(Step, WORDS, st.integers(0, 60), st.sampled_from(When), st.booleans()), max_size=3
    ).map(tuple),
    status=st.sampled_from(Status),
    by=WORDS | st.just(""),
    photos=st.lists(WORDS.filter(lambda text: "," not in text), max_size=2, unique=True).map(tuple),
    es=st.none() | st.builds(Translation, WORDS, WORDS, WORDS | st.just("")),
    body=st.lists(WORDS.filter(lambda text: text[0] not in "#-"), max_size=3).map("\n\n".join),
)


def same(one: Card, other: Card) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in (*field_order(), "body"))


@settings(max_examples=150, deadline=None)
@given(CARDS)
def test_a_card_that_is_written_reads_back(card):
    parsed = parse_card(write_card(card), "activities/x/a-card.md")
    assert parsed.card is not None, parsed.problems
    assert same(parsed.card, card)


@settings(max_examples=60, deadline=None)
@given(CARDS, CARDS)
def test_changing_one_card_into_another_gives_the_other(old, new):
    parsed = parse_card(change_card(write_card(old), new), "activities/x/a-card.md")
    assert parsed.card is not None, parsed.problems
    assert same(parsed.card, new)


def test_a_step_that_asks_something_can_be_changed():
    """Readers of YAML differ about a question mark inside braces; a file may hold one all the same."""
    text = CARD_TEXT.replace("do: Fill the tub", "do: Is it dry?")
    card = parse_card(text, "sponge-rain.md").card
    steps = (card.steps[0], replace(card.steps[1], minutes=4))
    changed = change_card(text, replace(card, prep=10, steps=steps))
    again = parse_card(changed, "sponge-rain.md").card
    assert again.steps == steps
    assert '"Is it dry?"' in changed
