"""New entries of ``materials.yaml``: what was said of a label, and what nobody has said."""

from __future__ import annotations

import pytest

from library.materials.adding import NewMaterial, add_materials, wrong_about_label
from library.materials.parsing import parse_materials

YOGURT = "- item: plain yogurt\n  kind: consumable\n  loose: false\n"


@pytest.mark.parametrize(
    ("label", "allergens", "line", "label_read"),
    [
        ("names", ("milk",), "  allergens: [milk]\n", True),
        ("", ("milk",), "  allergens: [milk]\n", True),
        ("none", (), "  allergens: []\n", True),
        ("unread", (), "  allergens:\n", False),
        ("", (), "  allergens:\n", False),
    ],
)
def test_what_was_said_of_a_label_is_kept_and_what_was_not_is_unknown(
    label, allergens, line, label_read
):
    text = add_materials(
        "", [NewMaterial("plain yogurt", "consumable", "no", "", allergens, label)]
    )
    assert text == YOGURT + line
    assert parse_materials(text)[0].find("plain yogurt").label_read is label_read


def test_an_answer_about_a_label_is_asked_for_and_must_fit_the_ticks():
    assert "nobody has read it yet" in wrong_about_label("", ())
    assert "tick what its label names" in wrong_about_label("names", ())
    assert "milk is ticked" in wrong_about_label("none", ("milk",))
    assert "milk is ticked" in wrong_about_label("unread", ("milk",))
    for answer, ticked in (("names", ("milk",)), ("", ("milk",)), ("none", ()), ("unread", ())):
        assert not wrong_about_label(answer, ticked)
