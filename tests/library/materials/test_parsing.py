"""``materials.yaml``: what it says of printed things and of labels."""

from fractions import Fraction

import pytest

from library.materials.material import CARD_STOCK, PLAIN_PAPER
from library.materials.parsing import parse_materials


def read(words):
    text = f"- {{item: photo book, kind: printable, loose: true, print: {words}}}\n"
    book, problems = parse_materials(text)
    return book.find("photo book").sheets, problems


@pytest.mark.parametrize(
    ("words", "sheets"),
    [
        ("6 sheets of card stock", (Fraction(6), CARD_STOCK)),
        ("½ sheet of plain paper", (Fraction(1, 2), PLAIN_PAPER)),
        ("1 1/2 Sheets of Card Stock", (Fraction(3, 2), CARD_STOCK)),
    ],
)
def test_the_sheets_of_a_piece_are_read(words, sheets):
    assert read(words) == (sheets, ())


@pytest.mark.parametrize("words", ["6 sheets", "2 kg sheets of card stock", "6 sheets of felt"])
def test_what_is_no_number_of_sheets_is_named_with_what_is_expected(words):
    sheets, problems = read(words)
    assert sheets is None
    assert problems[0].field == "photo book.print"
    assert "6 sheets of card stock" in problems[0].problem


@pytest.mark.parametrize(
    ("words", "allergens", "label_read"),
    [
        ("", (), None),
        ("allergens: [milk]", ("milk",), True),
        ("allergens: []", (), True),
        ("allergens:", (), False),
        ("allergens: {milk: yes}", (), False),
    ],
)
def test_a_label_was_read_named_none_was_not_read_or_is_not_spoken_of(words, allergens, label_read):
    """A key without a value says that nobody has read it; what cannot be read is looked at again."""
    text = f"- item: plain yogurt\n  kind: consumable\n  loose: false\n  {words}\n"
    yogurt = parse_materials(text)[0].find("plain yogurt")
    assert (yogurt.allergens, yogurt.label_read) == (allergens, label_read)
