"""Whole numbers out of addresses and forms: what is read, and what is said of the rest."""

import pytest

from library.store.errors import WrongUse
from server.figures import BIGGEST, read_whole


@pytest.mark.parametrize(
    ("text", "number"), [("0", 0), (" 12 ", 12), ("007", 7), (str(BIGGEST), BIGGEST)]
)
def test_digits_are_a_number(text, number):
    assert read_whole({"week": text}, "week", None) == number


@pytest.mark.parametrize("values", [{}, {"week": ""}, {"week": " "}])
def test_where_nothing_is_said_the_usual_counts(values):
    assert read_whole(values, "week", None) is None
    assert read_whole(values, "week", 3) == 3


@pytest.mark.parametrize(
    "text", ["-1", "1.5", "1e3", "²", "١٢", "two", "+2", "1_0", str(BIGGEST + 1), "9" * 5_000]
)
def test_anything_else_is_said_with_the_field(text):
    with pytest.raises(WrongUse, match=r"^week: found '.{1,20}'; expected a whole number$"):
        read_whole({"week": text}, "week", 3)


@pytest.mark.parametrize("text", ["0", "53"])
def test_bounds_are_kept_and_said(text):
    with pytest.raises(WrongUse, match=f"found '{text}'; expected a whole number from 1 to 52"):
        read_whole({"week": text}, "week", None, least=1, most=52)
