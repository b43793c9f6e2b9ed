"""Two versions of a card in words."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.card import field_order
from library.cards.comparing import compare_cards, in_words
from library.cards.parsing import parse_card
from library.cards.values import AgeRange, Step, Translation
from tests.builders import a_card, a_material_line

CARD = a_card(
    prep=10,
    domains=("IT-C-4",),
    props={"catcher": "lids"},
    materials=(a_material_line("hand sponge", "1 per place"), a_material_line("water")),
    steps=(Step("Cut", 6), Step("Fill", 4)),
    body="Rain.\n\n## Set up\n\nFill it.\n\n## Easier\n\nOne sponge.",
)


def test_the_change_is_said_as_a_teacher_would_say_it():
    after = replace(
        CARD, prep=15, materials=(*CARD.materials, a_material_line("clipboard", "1 in all"))
    )
    assert in_words(compare_cards(CARD, after)) == "prep 10 → 15, one material added: clipboard"


def test_rows_are_compared_by_what_they_are_about():
    after = replace(
        CARD,
        materials=(a_material_line("hand sponge", "2 per place"),),
        steps=(Step("Fill", 4), Step("Cut", 6)),
    )
    assert compare_cards(CARD, after) == (
        "one material removed: water",
        "hand sponge: amount 1 per place → 2 per place",
        "steps in another order",
    )


def test_other_fields_say_old_and_new():
    after = replace(
        CARD,
        ages=AgeRange(30, None),
        domains=("IT-PMP-6",),
        props={"catcher": "leaves"},
        es=Translation("Lluvia"),
    )
    assert compare_cards(CARD, after) == (
        "ages 24-48 → 30+",
        "one goal added: IT-PMP-6",
        "one goal removed: IT-C-4",
        "prop catcher lids → leaves",
        "Spanish title nothing → Lluvia",
    )


def test_the_text_is_compared_by_its_headings():
    after = replace(CARD, body="Rain.\n\n## Set up\n\nFill it half.\n\n## Harder\n\nTwo.")
    assert compare_cards(CARD, after) == ("Set up reworded", "Easier removed", "Harder added")


def test_another_layout_of_the_same_card_is_no_change():
    one = "---\ntitle: Rain\ncenters: [water]\nages: 24-48\nprep: 5\nadult: within sight\n---\n\nRain\nfalls.\n"
    two = "---\nages: 2y-4y\ntitle: 'Rain'\nprep: 5 min\ncenters: water\nadult: within sight\n---\nRain  falls.\n"
    assert compare_cards(parse_card(one, "a.md").card, parse_card(two, "a.md").card) == ()


CHANGES = {
    "title": "Other",
    "prep": 11,
    "mess": 3,
    "technique": "pouring",
    "by": "Moss Room",
    "centers": ("art", "water"),
    "photos": ("a.jpg",),
    "body": "Other.",
}


@given(st.sets(st.sampled_from(sorted(CHANGES))))
@settings(max_examples=60, deadline=None)
def test_each_changed_field_is_told_and_no_other(names):
    after = replace(CARD, **{name: CHANGES[name] for name in names})
    told = compare_cards(CARD, after)
    assert bool(told) == bool(names)
    simple = {"title", "prep", "mess", "technique", "by"} & names
    assert [phrase.split()[0] for phrase in told if phrase.split()[0] in field_order()] == [
        name for name in field_order() if name in simple
    ]
    assert compare_cards(after, after) == ()
