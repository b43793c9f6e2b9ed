"""Merging two versions of a card: nothing that somebody changed is lost, no text is made of two."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.card import Card
from library.cards.merging import ORDER, differences, merge_cards
from library.cards.values import (
    Adult,
    AgeRange,
    Group,
    MaterialLine,
    Season,
    Span,
    Step,
    Translation,
    When,
)
from library.store.errors import WrongUse
from tests.builders import a_card

words = st.sampled_from(["rain", "foam hills", "two tubs", "a slow pour"])
bodies = st.lists(
    st.tuples(st.sampled_from(["Set up", "Invite", "Easier"]), words), unique_by=lambda row: row[0]
)


@st.composite
def versions(draw) -> Card:
    parts = "\n\n".join(f"## {heading}\n{text}" for heading, text in draw(bodies))
    items = draw(st.lists(st.sampled_from(["sponge", "tub", "water", "cup"]), unique=True))
    steps = draw(st.lists(st.sampled_from(["Fill", "Wring", "Dry"]), unique=True))
    return a_card(
        title=draw(words),
        centers=tuple(draw(st.lists(st.sampled_from(["water", "art"]), min_size=1, unique=True))),
        ages=AgeRange(24, draw(st.sampled_from([36, 48]))),
        prep=draw(st.integers(0, 3)),
        runs=draw(st.sampled_from([None, 10, 20])),
        wait=draw(st.sampled_from([None, Span(60)])),
        group=draw(st.sampled_from([None, Group(1, 4)])),
        adult=draw(st.sampled_from(Adult)),
        seasons=draw(st.sampled_from([(), (Season.FALL,)])),
        technique=draw(st.sampled_from(["", "squeezing"])),
        materials=tuple(MaterialLine(i, draw(st.sampled_from(["1", "2"]))) for i in items),
        steps=tuple(Step(s, draw(st.integers(1, 2)), draw(st.sampled_from(When))) for s in steps),
        props=draw(st.dictionaries(st.sampled_from(["catcher", "sky"]), words)),
        es=draw(st.sampled_from([None, Translation("Lluvia"), Translation("Lluvia", "Llueve")])),
        body=f"{draw(words)}\n\n{parts}".strip(),
    )


def by_key(found):
    return {each.key: each for each in found}


@settings(max_examples=150, deadline=None)
@given(versions(), versions(), versions(), st.data())
def test_no_change_is_lost_and_each_piece_is_whole(base, mine, theirs, data):
    """A piece of the merge is mine or theirs, and the one that was chosen; a lone change stands."""
    found = differences(base, mine, theirs)
    chosen = {
        each.key: data.draw(st.sampled_from(["mine", "theirs"]))
        for each in found
        if each.proposed is None
    }
    merged = merge_cards(base, mine, theirs, chosen)
    against_mine = by_key(differences(base, mine, merged))
    against_theirs = by_key(differences(base, theirs, merged))
    for each in found:
        if each.field.endswith(ORDER):
            continue  # pieces that only one side has stand between the others
        side = chosen.get(each.key, each.proposed)
        kept, other = (
            (against_mine, against_theirs) if side == "mine" else (against_theirs, against_mine)
        )
        assert each.key not in kept
        assert other[each.key].theirs == (each.mine if side == "mine" else each.theirs)
    agreed = {key for key in {**against_mine, **against_theirs} if not key[0].endswith(ORDER)}
    assert agreed <= set(by_key(found))


@settings(max_examples=60, deadline=None)
@given(versions(), versions())
def test_a_change_of_one_person_alone_is_taken_whole(base, changed):
    for pair in ((changed, base), (base, changed)):
        found = differences(base, *pair)
        assert all(each.proposed for each in found)
        assert differences(base, changed, merge_cards(base, *pair, {})) == ()


@settings(max_examples=60, deadline=None)
@given(versions(), versions())
def test_two_who_did_the_same_differ_in_nothing(base, changed):
    assert differences(base, changed, changed) == ()
    assert merge_cards(base, changed, changed, {}).body == changed.body


def test_what_both_changed_is_never_decided_alone():
    base = a_card(title="Rain")
    mine, theirs = replace(base, title="Storm", prep=9), replace(base, title="Drizzle", runs=7)
    with pytest.raises(WrongUse, match="title"):
        merge_cards(base, mine, theirs, {})
    merged = merge_cards(base, mine, theirs, {("title", "", 0): "mine"})
    assert (merged.title, merged.prep, merged.runs) == ("Storm", 9, 7)


def test_two_materials_added_by_two_people_both_stay():
    tub = MaterialLine("tub", "1 per setup")
    base = a_card(materials=(tub,))
    mine = replace(base, materials=(tub, MaterialLine("sponge", "1 per place")))
    theirs = replace(base, materials=(MaterialLine("apron", "1 per place"), tub))
    merged = merge_cards(base, mine, theirs, {})
    assert [line.item for line in merged.materials] == ["apron", "tub", "sponge"]


def test_a_new_order_of_steps_is_kept_beside_a_changed_step():
    base = a_card(steps=(Step("Fill", 1), Step("Dry", 2)))
    mine = replace(base, steps=(Step("Dry", 2), Step("Fill", 1)))
    theirs = replace(base, steps=(Step("Fill", 5), Step("Dry", 2)))
    assert merge_cards(base, mine, theirs, {}).steps == (Step("Dry", 2), Step("Fill", 5))


def test_parts_that_stay_keep_their_bytes():
    base = a_card(body="One.\n\n## Set up\nTub.\n\n\n## Invite\n\nSay rain.")
    mine = replace(base, body=base.body.replace("Tub.", "Two tubs."))
    merged = merge_cards(base, mine, replace(base, prep=9), {})
    assert merged.body == "One.\n\n## Set up\nTwo tubs.\n\n## Invite\n\nSay rain."
