"""``materials.yaml``: what it says of printed things."""

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
