"""Rules over a card: each is seen to fail on a card with its fault."""

import pytest

from library.cards.checking import CHECKS, Known, check_card
from library.cards.values import MaterialLine, Span, Step, When
from tests.builders import a_book, a_card, a_material, the_card

KNOWN = Known(
    materials=a_book(a_material("hand sponge", also=("bath sponge",)), a_material("water")),
    centers=frozenset({"water", "science"}),
    goals=frozenset({"IT-C-4"}),
)

FAULTS = {
    "prep_adds_up": (
        a_card(prep=8, steps=(Step("Cut", 5), Step("Fill", 2, When.MORNING))),
        "write prep: 7",
    ),
    "wait_fits_keeps": (a_card(wait=Span(2880), keeps=Span(1440)), "shorter"),
    "group_for_places": (
        a_card(group=None, materials=(MaterialLine("water", "1 per place"),)),
        "group: 1-4",
    ),
    "materials_are_known": (a_card(materials=(MaterialLine("sponj", "1 per place"),)), "its names"),
    "centers_are_known": (a_card(centers=("water", "kitchen")), "centers.yaml"),
    "goals_are_known": (a_card(domains=("IT-C-99",)), "IT-C-4"),
    "props_have_defaults": (a_card(body="Take {{catcher}}."), "catcher"),
}


def test_every_check_has_a_card_with_its_fault():
    assert [check.__name__ for check in CHECKS] == list(FAULTS)


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_found_by_its_check_alone(name):
    card, words = FAULTS[name]
    problems = check_card(card, KNOWN)
    assert len(problems) == 1, problems
    assert words in problems[0].fix
    assert problems[0].file == card.file


def test_the_example_card_passes_every_check():
    assert check_card(the_card(), KNOWN) == ()


def test_daily_steps_do_not_count_as_prep():
    assert (
        check_card(a_card(prep=5, steps=(Step("Cut", 5), Step("Rinse", 4, When.DAILY))), KNOWN)
        == ()
    )


def test_prep21_the_minutes_of_the_steps_are_used():
    """PREP21."""
    card = a_card(prep=20, steps=(Step("Cut", 5), Step("Fill", 2, When.MORNING)))
    assert card.prep_minutes == 7


def test_a_prop_stands_for_its_default_when_materials_are_looked_up():
    card = a_card(
        props={"tool": "bath sponges"}, materials=(MaterialLine("{{tool}}", "1 per place"),)
    )
    assert check_card(card, KNOWN) == ()
