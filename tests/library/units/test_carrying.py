"""Placements carried over to another theme."""

import datetime as dt

import pytest

from library.cards.values import Season, Status
from library.store.errors import WrongUse
from library.units.carrying import carried_unit, carry_over, proposals_for, ties
from tests.builders import MONDAY, a_card, a_placement, a_room, a_theme, a_unit

DAY = dt.timedelta(days=1)

FALL = a_theme(
    "leaves-and-wind",
    seasons=("fall",),
    words=({"en": "leaf"}, {"en": "gust"}),
    props={"catcher": "silk leaves"},
)
SEA = a_theme(
    "by-the-sea", seasons=("summer",), words=({"en": "shell"},), props={"catcher": "shells"}
)
CARDS = {
    card.id: card
    for card in (
        a_card("rain", body="Rain on {{catcher}}.", technique="squeezing"),
        a_card("rake", body="Rake the leaves.", technique="raking", seasons=(Season.FALL,)),
        a_card("plain", technique="pouring"),
        a_card("pour", body="Pour over {{catcher}}.", technique="raking"),
        a_card("comb", technique="Raking"),
        a_card("draft", technique="raking", status=Status.DRAFT),
        a_card("far", technique="raking", centers=("art",)),
        a_card("also", technique="raking", centers=("art", "water")),
    )
}


def test_what_dresses_well_stays_and_leaves_its_old_props_behind():
    (carried,) = carry_over(
        [a_placement(activity="rain", props={"catcher": "oak leaves"})], FALL, SEA, CARDS
    )
    assert carried.tied_by == ()
    assert carried.proposals == ()
    assert carried.bare_props == ()
    assert carried.placement.props == {}


def test_a_prop_that_the_new_theme_lacks_is_named():
    bare = a_theme("soup-pot")
    (carried,) = carry_over([a_placement(activity="rain")], FALL, bare, CARDS)
    assert carried.tied_by == ()
    assert carried.bare_props == ()
    cards = {"rain": a_card("rain", body="On {{catcher}}.", props={"catcher": "lids"})}
    (carried,) = carry_over([a_placement(activity="rain")], FALL, bare, cards)
    assert carried.bare_props == ("catcher",)


def test_what_is_tied_gets_proposals_of_the_same_center_and_technique_first():
    (carried,) = carry_over([a_placement(activity="rake")], FALL, SEA, CARDS)
    assert carried.tied_by == ("it is for fall", "it speaks of leaf")
    assert carried.proposals == ("pour", "comb", "also", "rain", "plain")


def test_cards_already_taken_along_are_not_proposed():
    rows = [a_placement(activity=name) for name in ("rake", "pour", "comb")]
    assert carry_over(rows, FALL, SEA, CARDS)[0].proposals == ("also", "rain", "plain")


def test_a_missing_card_gets_proposals_of_its_center():
    (carried,) = carry_over([a_placement("art", "gone")], FALL, SEA, CARDS)
    assert carried.tied_by == ("its card is missing",)
    assert carried.proposals == ("also", "far")


def test_a_standing_center_goes_along():
    (carried,) = carry_over([a_placement("blocks", None, standing=True)], FALL, SEA, CARDS)
    assert (carried.placement.standing, carried.tied_by) == (True, ())


def test_a_word_of_both_themes_ties_nothing():
    both = a_theme("by-the-sea", words=({"en": "leaf"},))
    assert ties(a_card("a", body="A leaf."), FALL, both) == ()
    assert ties(a_card("a", body="A leaf."), FALL, SEA) == ("it speaks of leaf",)
    assert proposals_for(a_placement("music", "x"), FALL, SEA, CARDS) == ()


def test_one_word_in_passing_ties_nothing():
    passing = a_card("a", body="Wrap it.\n\nA leaf may help.")
    often = a_card("a", body="Wrap it.\n\nA leaf may help. Leaves may not.")
    assert ties(passing, FALL, SEA) == ()
    assert ties(often, FALL, SEA) == ("it speaks of leaf",)


def test_what_was_chosen_makes_a_unit_of_the_other_theme_with_dates_moved_along():
    """CLONE3 for the dates."""
    source = a_unit(
        a_placement(activity="rain", weeks=(1,), props={"catcher": "oak"}, note="slow", row=0),
        a_placement(activity="rake", days=(MONDAY + DAY, MONDAY + 2 * DAY), note="x", row=1),
        a_placement("blocks", None, standing=True, row=2),
        a_placement("art", "far", row=3),
    )
    starts = MONDAY + 28 * DAY
    room = a_room(closed=frozenset({starts + DAY}))
    unit = carried_unit(
        source, {0: "rain", 1: "comb", 2: "", 3: None}, SEA, "2026-fall", starts, room
    )
    assert unit.id == "by-the-sea/2026-fall"
    assert unit.title == f"{SEA.title}, fall 2026"
    assert unit.placements == (
        a_placement(activity="rain", weeks=(1,), note="slow"),
        a_placement(activity="comb", days=(starts + 2 * DAY,)),
        a_placement("blocks", None, standing=True),
    )


def test_a_carried_unit_starts_on_a_monday():
    with pytest.raises(WrongUse):
        carried_unit(a_unit(), {}, SEA, "2026-fall", MONDAY + DAY, a_room())
