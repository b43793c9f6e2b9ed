"""Two people change one part of a room: no change is lost without being named, no value is made of two."""

from hypothesis import given, settings
from hypothesis import strategies as st

from library.room.merging import Clash, merge_values

amounts = st.sampled_from(["1", "2 kg", "6"])
bins = st.sampled_from(["", "B4"])
lines = st.lists(
    st.fixed_dictionaries(
        {"item": st.sampled_from(["sponge", "rice", "tub"]), "bin": bins},
        optional={"amount": amounts, "out": st.sampled_from(["1", "2"])},
    ),
    max_size=5,
    unique_by=lambda row: (row["item"], row["bin"]),
)


def by_name(values):
    return {(row["item"], row["bin"]): row for row in values["stock"]}


def saw(clashes, name, value=None):
    title = " ".join(filter(None, name))
    return any(each.row == title and each.value in ("", value) for each in clashes)


@settings(max_examples=300, deadline=None)
@given(lines, lines, lines)
def test_every_change_stands_or_is_named_and_no_value_is_made_of_two(base, mine, theirs):
    three = [{"stock": rows} for rows in (base, mine, theirs)]
    merged = merge_values(*three)
    was, typed, now = (by_name(values) for values in three)
    got = by_name(merged.values)
    assert len(got) == len(merged.values["stock"])
    for name in {*was, *typed, *now, *got}:
        rows = [values.get(name) for values in (was, typed, now)]
        row = got.get(name)
        if row is None:
            assert rows[1] is None or rows[2] is None
            changed = [other for other in rows[1:] if other is not None and other != rows[0]]
            assert changed == [] or saw(merged.clashes, name)
            continue
        for value in ("amount", "out"):
            before, one, other = ((each or {}).get(value) for each in rows)
            kept = row.get(value)
            assert kept in (one, other)
            for said in (one, other):
                assert said in (before, kept) or saw(merged.clashes, name, value)


@settings(max_examples=100, deadline=None)
@given(lines, lines)
def test_a_change_of_one_alone_is_taken_whole_and_clashes_with_nothing(base, changed):
    for mine, theirs in ((changed, base), (base, changed)):
        merged = merge_values({"stock": base}, {"stock": mine}, {"stock": theirs})
        assert by_name(merged.values) == by_name({"stock": changed})
        assert merged.clashes == ()


def test_two_counts_of_two_things_both_stand():
    base = [{"item": "sponge", "amount": "6"}, {"item": "rice", "amount": "2 kg"}]
    mine = [{"item": "sponge", "amount": "5"}, base[1]]
    theirs = [base[0], {"item": "rice", "amount": "1 kg"}, {"item": "tub", "amount": "1"}]
    merged = merge_values({"stock": base}, {"stock": mine}, {"stock": theirs})
    assert merged.clashes == ()
    assert merged.values["stock"] == [mine[0], theirs[1], theirs[2]]


def test_one_thing_counted_by_both_is_named_and_never_added_up():
    base, mine, theirs = ([{"item": "sponge", "amount": amount}] for amount in "654")
    merged = merge_values({"stock": base}, {"stock": mine}, {"stock": theirs})
    assert merged.clashes == (Clash("stock", "sponge", "amount", "5", "4"),)
    assert merged.values["stock"] == mine


def test_a_row_that_one_took_out_and_the_other_changed_comes_back_and_is_named():
    base, theirs = ([{"item": "sponge", "amount": amount}] for amount in "64")
    merged = merge_values({"stock": base}, {"stock": []}, {"stock": theirs})
    assert merged.values["stock"] == theirs
    assert merged.clashes == (Clash("stock", "sponge", "", None, "sponge, 4"),)


def test_closed_days_of_both_stand_and_an_order_is_taken_whole():
    base = {"closed": ["2026-11-26"], "centers": ["water", "art"], "adults": "2"}
    mine = {"closed": ["2026-11-26", "2026-11-27"], "centers": ["art", "water"], "adults": "2"}
    theirs = {"closed": ["2026-12-24"], "centers": ["water", "art", "music"], "adults": "3"}
    merged = merge_values(base, mine, theirs)
    assert merged.values["closed"] == ["2026-12-24", "2026-11-27"]
    assert merged.values["adults"] == "3"
    assert merged.clashes == (Clash("centers", "", "", mine["centers"], theirs["centers"]),)


def test_a_child_that_one_renames_is_the_same_child():
    base = [{"label": "wren", "was": "wren", "born": "2024-03"}]
    mine = [{"label": "wren b", "was": "wren", "born": "2024-03"}]
    theirs = [{"label": "wren", "was": "wren", "born": "2024-04"}]
    merged = merge_values({"children": base}, {"children": mine}, {"children": theirs})
    assert merged.values["children"] == [{"label": "wren b", "was": "wren", "born": "2024-04"}]
    assert merged.clashes == ()
