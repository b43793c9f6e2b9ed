"""Theme and unit files: what is read, what is named as a problem, what survives."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.room.room import WEEKDAYS
from library.store.frontmatter import read_document
from library.store.problems import Unreadable
from library.units.parsing import (
    PLACEMENT_FIELDS,
    change_theme,
    parse_theme,
    parse_unit,
    plain_placement,
    read_again,
    write_theme,
    write_unit,
)
from library.units.theme import Book, Song, Theme
from library.units.unit import Again, LookBack, Placement
from tests.builders import MONDAY, a_unit

FALL = """\
---
title: Leaves and wind, fall 2025
starts: 2025-10-06                     # a Monday
weeks: 2
cloned_from: null
placements:
  - {center: water, activity: sponge-rain, weeks: [1, 2]}
  - {center: sensory, activity: leaf-tub, weeks: 1, on: [tue, Thursday]}
  - {center: easel, activity: broom-strokes, weeks: [1], props: {broom: rake}, when: [free play]}
  - {center: blocks, standing: true, add: gourds among the blocks}
  - {center: outdoors, activity: rake-run, days: [2025-10-07, 2025-10-07], instead: tunnel-crawl}
look_back:
  - {activity: broom-strokes, again: change, took: 14, note: paper slid; clip both edges}
  - {activity: sponge-rain, again: no}
---

What we learned.
"""


def parsed(text):
    return parse_unit(text, "leaves-and-wind", "2025-fall")


def test_the_whole_of_a_unit_file_is_read():
    unit, problems = parsed(FALL).unit, parsed(FALL).problems
    assert problems == ()
    assert unit.id == "leaves-and-wind/2025-fall"
    assert unit.file == "themes/leaves-and-wind/2025-fall.md"
    assert (unit.starts, unit.weeks, unit.cloned_from) == (dt.date(2025, 10, 6), 2, None)
    assert unit.placements[1].weeks == (1,)
    assert unit.placements[1].on == ("tue", "thu")
    assert unit.placements[2].props == {"broom": "rake"}
    assert unit.placements[3] == Placement(
        "blocks", None, standing=True, add="gourds among the blocks"
    )
    assert unit.placements[4].days == (dt.date(2025, 10, 7),)
    assert [placement.row for placement in unit.placements] == [0, 1, 2, 3, 4]
    assert unit.look_back[0] == LookBack(
        "broom-strokes", Again.CHANGE, 14, "paper slid; clip both edges"
    )
    assert unit.body == "What we learned."


@pytest.mark.parametrize(
    ("word", "again"),
    [("yes", "yes"), ("true", "yes"), ("on", "yes"), ("no", "no"), ("False", "no"), ("off", "no")],
)
def test_yaml_booleans_are_read_as_yes_and_no(word, again):
    """CLONE5: unquoted yes and no, which YAML makes true and false of, must read."""
    assert read_again(word) == again
    with pytest.raises(Unreadable, match="yes, change or no"):
        read_again("maybe")


def test_a_start_that_is_no_monday_is_named_with_the_monday_before():
    """CAL2: not shifted."""
    unit = parsed(FALL.replace("2025-10-06  ", "2025-10-08  ")).unit
    assert unit.starts == dt.date(2025, 10, 8)
    assert [(p.line, p.field, p.fix) for p in unit.problems if p.field == "starts"] == [
        (3, "starts", "write 2025-10-06, the Monday before")
    ]


def test_weeks_and_days_outside_the_unit_and_weekends_are_problems():
    """CAL3."""
    text = FALL.replace("weeks: [1, 2]", "weeks: [1, 3]").replace(
        "[2025-10-07, 2025-10-07]", "[2025-10-05, 2025-10-11]"
    )
    unit = parsed(text).unit
    assert [(p.line, p.field) for p in unit.problems] == [
        (7, "placements[0].weeks"),
        (11, "placements[4].days"),
        (11, "placements[4].days"),
    ]
    assert "outside the unit" in unit.problems[1].problem
    assert "weekend" in unit.problems[2].problem


def test_both_weeks_and_days_are_a_problem():
    """CAL4."""
    text = FALL.replace("weeks: [1, 2]", "weeks: [1], days: [2025-10-08]")
    unit = parsed(text).unit
    assert [p.field for p in unit.problems] == ["placements[0].weeks"]
    assert (unit.placements[0].weeks, unit.placements[0].days) == ((), (dt.date(2025, 10, 8),))


def test_all_problems_are_told_at_once_and_the_rest_still_counts():
    text = """\
---
title: Leaves
starts: 2025-10-06
weeks: 1
placements:
  - {activity: sponge-rain}
  - {center: water}
  - {center: art, activity: broom-strokes, weeks: [0], on: [someday]}
  - {center: art, activity: broom-strokes, weekz: 1}
  - water
look_back: [{activity: sponge-rain, again: maybe}, {again: yes}]
---
"""
    result = parsed(text)
    assert [(p.line, p.field) for p in result.problems] == [
        (6, "placements[0].center"),
        (7, "placements[1].activity"),
        (8, "placements[2].weeks[0]"),
        (8, "placements[2].on[0]"),
        (9, "placements[3].weekz"),
        (10, "placements[4]"),
        (11, "look_back[0].again"),
        (11, "look_back[1].activity"),
    ]
    assert [placement.row for placement in result.unit.placements] == [2, 3]


@pytest.mark.parametrize("text", ["", "no front matter", "---\ntitle: x\n---\n", "---\n- a\n---\n"])
def test_without_a_start_and_a_length_there_is_no_unit_but_a_problem(text):
    result = parsed(text)
    assert result.unit is None
    assert all(p.file == "themes/leaves-and-wind/2025-fall.md" for p in result.problems)
    assert result.problems


THEME = """\
---
title: Leaves and wind
seasons: [autumn]
words: [{en: leaf, es: hoja}, gust]
props: {catcher: curled silk leaves}
books: [{title: A walk, author: N. N., isbn: 9780306406157}, The red leaf]
songs: [{title: Rain on the roof, text: "Tap, tap"}]
bin: C2    # top shelf
---

For the team.
"""


def test_the_whole_of_a_theme_is_read():
    theme = parse_theme(THEME, "leaves-and-wind")
    assert theme.problems == ()
    assert theme.seasons == ("fall",)
    assert theme.words == ({"en": "leaf", "es": "hoja"}, {"en": "gust"})
    assert theme.books == (Book("A walk", "N. N.", "9780306406157"), Book("The red leaf"))
    assert theme.songs == (Song("Rain on the roof", "Tap, tap"),)
    assert (theme.bin, theme.body) == ("C2", "For the team.")


def test_a_theme_that_cannot_be_read_is_listed_with_its_problems():
    theme = parse_theme("title: Leaves", "leaves-and-wind")
    assert theme.title == "Leaves and wind"
    assert [(p.file, p.line) for p in theme.problems] == [("themes/leaves-and-wind/theme.md", 1)]
    assert parse_theme("---\nseasons: [mud]\nwords: [{es: hoja}]\n---\n", "x").problems


def test_changing_a_theme_touches_only_the_changed_lines():
    from dataclasses import replace

    theme = parse_theme(THEME, "leaves-and-wind")
    assert change_theme(THEME, theme) == THEME
    after = change_theme(THEME, replace(theme, props={"catcher": "maple leaves"}))
    assert after == THEME.replace("curled silk leaves", "maple leaves")
    assert change_theme(after, theme) == THEME


names = st.text("abcdefgh-", min_size=1, max_size=10).filter(lambda t: t.strip("-") == t)
phrases = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20).map(str.strip)
placements = st.one_of(
    st.builds(
        Placement,
        center=names,
        activity=names,
        weeks=st.sets(st.integers(1, 2)).map(lambda s: tuple(sorted(s))),
        on=st.sets(st.sampled_from(WEEKDAYS)).map(lambda s: tuple(d for d in WEEKDAYS if d in s)),
        props=st.dictionaries(names, phrases.filter(bool), max_size=2),
        note=phrases,
        when=st.lists(phrases.filter(bool), max_size=2).map(tuple),
        instead=st.none() | names,
    ),
    st.builds(
        Placement,
        center=names,
        activity=st.none() | names,
        days=st.sets(st.integers(0, 4)).map(
            lambda s: tuple(MONDAY + dt.timedelta(days=d) for d in sorted(s))
        ),
        standing=st.just(True),
        add=phrases,
    ),
)
look_backs = st.builds(
    LookBack, names, st.sampled_from(Again), st.none() | st.integers(0, 480), phrases
)


@given(st.lists(placements, max_size=4), st.lists(look_backs, max_size=3), phrases.filter(bool))
@settings(max_examples=120, deadline=None)
def test_a_unit_written_and_read_again_is_the_same(rows, look_back, title):
    unit = a_unit(*rows, look_back=tuple(look_back), title=title, body="What we learned.")
    result = parse_unit(write_unit(unit), unit.theme, unit.name)
    assert result.problems == ()
    assert result.unit == unit


@given(st.dictionaries(names, phrases.filter(bool), max_size=3), phrases.filter(bool))
@settings(max_examples=60, deadline=None)
def test_a_theme_written_and_read_again_is_the_same(props, title):
    theme = Theme(
        "wind",
        title,
        ("fall",),
        ({"en": title}, {"en": "leaf", "es": title}),
        props,
        (Book(title),),
        (Song(title, "one\ntwo"),),
        title,
    )
    assert parse_theme(write_theme(theme), "wind") == theme


def test_every_field_of_a_placement_has_a_key_in_the_file():
    assert set(Placement.__dataclass_fields__) - {"row"} == set(PLACEMENT_FIELDS)
    full = Placement("a", "b", (1,), (), ("mon",), True, "c", {"d": "e"}, "f", ("g",), "h")
    assert tuple(plain_placement(full)) == tuple(k for k in PLACEMENT_FIELDS if k != "days")


@given(st.text(max_size=60))
@settings(max_examples=100, deadline=None)
def test_no_text_makes_the_readers_fail(text):
    for each in (text, f"---\nstarts: 2025-10-06\nweeks: 2\n{text}\n---\n"):
        parse_unit(each, "t", "u")
        parse_theme(each, "t")
        read_document(each)
