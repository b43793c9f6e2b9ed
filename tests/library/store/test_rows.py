"""Single rows of a list in front matter: what is meant changes, every other byte stays."""

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from library.store.errors import Invalid
from library.store.frontmatter import read_document
from library.store.rows import add_row, change_row, remove_row

FLOW = """\
---
title: Leaves   # as it hangs on the door
placements:
  # the wet side
  - {center: water, activity: sponge-rain, weeks: [1, 2], own: kept}   # favourite
  - {center: "easel",  activity: broom-strokes}
  # outside
  - {center: outdoors, note: 'rake: ready'}
mood: calm
---

Body.
"""
BLOCK = """\
---
placements:
- center: water  # tub
  activity: sponge-rain
  # two of them
  days:
    - 2025-10-06
    - 2025-10-07

  own: kept
- activity: leaf-tub
  note: |
    a long
    note
title: Leaves
---
"""


def rows_of(text, key="placements"):
    document, problems = read_document(text)
    assert problems == []
    return document.fields[key]


def changed_lines(before, after):
    return [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=False) if a != b]


def test_one_value_changes_and_spacing_comments_and_unknown_keys_stay():
    after = change_row(FLOW, "placements", 0, {"center": "science"})
    assert changed_lines(FLOW, after) == [
        (
            "  - {center: water, activity: sponge-rain, weeks: [1, 2], own: kept}   # favourite",
            "  - {center: science, activity: sponge-rain, weeks: [1, 2], own: kept}   # favourite",
        )
    ]
    assert change_row(after, "placements", 0, {"center": "water"}) == FLOW


def test_a_new_key_goes_behind_its_predecessor_and_away_again():
    order = ("center", "activity", "weeks", "note")
    for index, text in ((0, FLOW), (1, FLOW), (2, FLOW), (0, BLOCK), (1, BLOCK)):
        after = change_row(text, "placements", index, {"props": {"a": "b, c"}}, order)
        assert rows_of(after)[index]["props"] == {"a": "b, c"}
        assert change_row(after, "placements", index, {"props": None}) == text
    after = change_row(FLOW, "placements", 1, {"weeks": [1]}, order)
    assert '{center: "easel",  activity: broom-strokes, weeks: [1]}' in after
    after = change_row(BLOCK, "placements", 1, {"center": "sensory"}, order)
    assert "- center: sensory\n  activity: leaf-tub\n" in after
    assert change_row(after, "placements", 1, {"center": None}) == BLOCK


def test_block_values_are_replaced_whole():
    after = change_row(BLOCK, "placements", 0, {"days": ["2025-10-08"]})
    assert rows_of(after)[0] == {
        "center": "water",
        "activity": "sponge-rain",
        "days": ["2025-10-08"],
        "own": "kept",
    }
    assert "  # two of them\n" in after
    after = change_row(BLOCK, "placements", 1, {"note": "short: and plain"})
    assert rows_of(after)[1]["note"] == "short: and plain"
    assert after.endswith("title: Leaves\n---\n")


@pytest.mark.parametrize("text", [FLOW, BLOCK])
def test_a_row_added_and_removed_leaves_the_same_bytes(text):
    after = add_row(text, "placements", {"center": "art", "note": "it's: {x}, #3"})
    rows = rows_of(after)
    assert rows[-1] == {"center": "art", "note": "it's: {x}, #3"}
    assert remove_row(after, "placements", len(rows) - 1) == text


def test_comments_between_rows_stay_when_a_row_goes():
    after = remove_row(FLOW, "placements", 1)
    assert after == FLOW.replace('  - {center: "easel",  activity: broom-strokes}\n', "")
    assert rows_of(remove_row(BLOCK, "placements", 0)) == rows_of(BLOCK)[1:]


def test_a_list_on_one_line_stays_on_one_line():
    text = "---\nplacements: [{center: water}, {center: art}]  # short\n---\n"
    added = add_row(text, "placements", {"center": "books"})
    assert "[{center: water}, {center: art}, {center: books}]  # short" in added
    assert remove_row(added, "placements", 2) == text
    assert "[{center: art}]" in remove_row(text, "placements", 0)


@pytest.mark.parametrize("head", ["", "placements:\n", "placements: []\n"])
def test_a_list_that_is_not_there_yet_is_begun(head):
    after = add_row(f"---\ntitle: x\n{head}---\n", "placements", {"center": "art"}, ("title",))
    assert rows_of(after) == [{"center": "art"}]
    assert remove_row(add_row(after, "placements", {"center": "b"}), "placements", 1) == after


def test_one_mapping_counts_as_a_list_of_one():
    """CMD9."""
    text = "---\nplacements: {center: water, activity: rain}\n---\n"
    after = change_row(text, "placements", 0, {"center": "art"})
    assert rows_of(after) == [{"center": "art", "activity": "rain"}]


def test_line_ends_of_another_system_survive():
    text = FLOW.replace("\n", "\r\n")
    after = add_row(text, "placements", {"center": "art"})
    assert after.count("\n") == after.count("\r\n")
    assert remove_row(after, "placements", 3) == text
    changed = change_row(text, "placements", 0, {"center": "art"})
    assert changed == FLOW.replace("center: water", "center: art").replace("\n", "\r\n")


def test_a_file_that_cannot_be_read_is_refused():
    for text in ("no front matter", "---\nplacements: [{]\n---\n"):
        with pytest.raises(Invalid):
            add_row(text, "placements", {"center": "art"})


keys = st.sampled_from(["center", "activity", "note", "own", "weeks", "props"])
texts = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=10)
values = st.one_of(
    texts.map(str.strip).filter(bool),
    st.lists(texts.map(str.strip).filter(bool), min_size=1, max_size=3),
)


@given(
    st.sampled_from([FLOW, BLOCK, FLOW.replace("\n", "\r\n")]),
    st.integers(0, 1),
    st.lists(st.tuples(keys, values | st.none()), min_size=1, max_size=5),
)
@settings(max_examples=200, deadline=None)
def test_any_changes_read_back_and_leave_the_other_rows_alone(text, index, changes):
    expected = [dict(row) for row in rows_of(text)]
    after = text
    for name, value in changes:
        if len(expected[index]) == 1 and value is None and name in expected[index]:
            continue
        after = change_row(after, "placements", index, {name: value}, ("center", "activity"))
        expected[index] = {k: v for k, v in {**expected[index], name: value}.items() if v}
    assert rows_of(after) == expected
    assert read_document(after)[0].fields["title"] == "Leaves"


anything = st.one_of(
    st.sampled_from(
        ["plain", "with: colon", "# hash", "12:30", "no", "*star", "line\nline\n", "a " * 40]
    ),
    st.lists(st.sampled_from(["a", "b, c", "[d]", "- e"]), min_size=1, max_size=3),
    st.dictionaries(st.sampled_from("pqr"), st.sampled_from(["u", "v, w"]), min_size=1),
)
any_row = st.dictionaries(keys, anything, min_size=1, max_size=4)


@given(
    st.lists(any_row, min_size=1, max_size=3),
    st.sampled_from([None, False]),
    st.sampled_from([2, 4]),
    st.sampled_from([20, 80, 1000]),
    keys,
    anything,
)
@settings(max_examples=200, deadline=None)
def test_rows_in_any_layout_change_only_where_meant(rows, flow, indent, width, key, value):
    """Layouts as PyYAML writes them: blocks, braces, folded and literal texts, zero indents."""
    head = yaml.safe_dump(
        {"title": "T", "placements": rows, "mood": "calm"},
        sort_keys=False, default_flow_style=flow, indent=indent, width=width,
    )  # fmt: skip
    text = f"---\n{head}---\n\nBody.\n"
    before = read_document(text)[0].fields["placements"]
    changed = read_document(change_row(text, "placements", 0, {key: value}, ("center", "note")))
    added = read_document(add_row(text, "placements", {"center": "x"}))
    assert changed[1] == added[1] == []
    assert changed[0].fields["placements"] == [{**before[0], key: value}, *before[1:]]
    assert added[0].fields["placements"] == [*before, {"center": "x"}]
    assert changed[0].fields["mood"] == added[0].fields["mood"] == "calm"
    if len(before) > 1:
        gone = read_document(remove_row(text, "placements", 0))[0]
        assert gone.fields["placements"] == before[1:]
