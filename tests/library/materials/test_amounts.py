"""Amounts as people write them."""

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from library.materials.amounts import (
    Amount,
    Basis,
    Quantity,
    parse_amount,
    parse_quantity,
    show_number,
)
from library.store.problems import Unreadable


def quantity(number, measure=""):
    return Quantity(Fraction(number), measure)


@pytest.mark.parametrize(
    ("text", "number", "measure"),
    [
        ("a dozen", 12, ""),
        ("dozen", 12, ""),
        ("half a dozen", 6, ""),
        ("two dozen sheets", 24, "sheet"),
        ("1 1/2 dozen", 18, ""),
        ("2-3", 3, ""),
        ("2–3 sheets", 3, "sheet"),
        ("2 to 3 cups", 3, "cup"),
        ("1 or 2", 2, ""),
        ("½", "1/2", ""),
        ("¼ cup", "1/4", "cup"),
        ("¾ cup", "3/4", "cup"),
        ("⅓ cup", "1/3", "cup"),
        ("⅔ cup", "2/3", "cup"),
        ("⅛ l", "1/8", "l"),
        ("1½", "3/2", ""),
        ("1 ½ cups", "3/2", "cup"),
        ("1 1/2", "3/2", ""),
        ("1-1/2 cups", "3/2", "cup"),
        ("1⁄2 l", "1/2", "l"),
        ("1.5 kg", "3/2", "kg"),
        (".5 l", "1/2", "l"),
        ("half a cup", "1/2", "cup"),
        ("three quarters of a cup", "3/4", "cup"),
        ("two and a half cups", "5/2", "cup"),
        ("a couple", 2, ""),
        ("one", 1, ""),
    ],
)
def test_words_fractions_and_ranges_read_exactly(text, number, measure):
    """SUP19: a dozen is 12, of a range the larger counts, fractions are exact."""
    assert parse_quantity(text) == quantity(number, measure)


@pytest.mark.parametrize("text", ["1,5 kg", "1,000 g", "½,"])
def test_a_comma_is_no_decimal_point(text):
    """SUP19: decimal point only."""
    with pytest.raises(Unreadable):
        parse_quantity(text)


def test_a_decimal_comma_is_told_what_to_write():
    with pytest.raises(Unreadable) as caught:
        parse_amount("1,5 kg per setup")
    assert "decimal point" in caught.value.fix


@pytest.mark.parametrize(
    ("text", "measure"),
    [
        ("3 sheets", "sheet"),
        ("1 sheet", "sheet"),
        ("2 pouches", "pouch"),
        ("2 leaves", "leaf"),
        ("4 boxes", "box"),
        ("2 cups", "cup"),
        ("5 lbs", "lb"),
        ("5 lb.", "lb"),
        ("2 A4 sheets", "a4 sheet"),
        ("2 inches", "inch"),
        ("3 feet", "foot"),
    ],
)
def test_counted_words_and_measures_come_in_the_singular(text, measure):
    """SUP20: singular and plural are one."""
    assert parse_quantity(text).measure == measure


@pytest.mark.parametrize("text", ["8 fl oz", "8 fl. oz.", "8 FL OZ", "8  fl   oz"])
def test_fluid_ounces_read_with_a_space(text):
    """SUP21: "fl oz" with a space must read, and is not the oz of weight."""
    assert parse_quantity(text) == quantity(8, "fl oz")


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("1 per place", Amount(quantity(1), Basis.PLACE)),
        ("½ sheet per child", Amount(quantity("1/2", "sheet"), Basis.CHILD)),
        ("500 ml per setup", Amount(quantity(500, "ml"), Basis.SETUP)),
        ("500ml per set-up", Amount(quantity(500, "ml"), Basis.SETUP)),
        ("1 per adult", Amount(quantity(1), Basis.ADULT)),
        ("1 roll in all", Amount(quantity(1, "roll"), Basis.ALL)),
        ("6 in in all", Amount(quantity(6, "in"), Basis.ALL)),
        ("a dozen per setup", Amount(quantity(12), Basis.SETUP)),
        ("2-3 per place", Amount(quantity(3), Basis.PLACE)),
    ],
)
def test_an_amount_names_what_it_is_counted_by(text, amount):
    assert parse_amount(text) == amount


@pytest.mark.parametrize(
    "text",
    [
        "", "   ", "sponges", "1", "1 sheet", "per child", "1 each per child", "1 per child per day",
        "1 per place per setup", "1 per dog", "0 per child", "-1 per child", "1/0 per child",
        "a few per child", "some in all", "2 T per setup", "1 c per setup", "1e9 per child",
        "nan per child", "inf in all", "1.5.2 per child", "1/2/3 per child", "9" * 5000 + " in all",
        "1 " + "x" * 500 + " in all", "<b>1</b> per child", "=1+1 in all", "٣٣٣٣٣٣٣٣٣٣ in all",
        "{{catcher}} per place", "1 sheet; drop table per child", "\x00 per child",
    ],
)  # fmt: skip
def test_what_cannot_be_counted_is_refused_with_the_form_that_is_expected(text):
    with pytest.raises(Unreadable) as caught:
        parse_amount(text)
    assert caught.value.expected
    assert caught.value.fix


@pytest.mark.parametrize("raw", [None, True, False, [], {}, float("nan"), float("inf")])
def test_values_that_yaml_may_give_never_pass_as_a_number(raw):
    with pytest.raises(Unreadable):
        parse_quantity(raw)


def test_numbers_that_yaml_gives_read_as_bare_counts():
    assert parse_quantity(6) == quantity(6)
    assert parse_quantity(2.5) == quantity("5/2")


def test_zero_is_read_only_where_it_may_stand():
    assert parse_quantity("0 sheets", zero=True) == quantity(0, "sheet")
    with pytest.raises(Unreadable):
        parse_quantity("0 sheets")


@pytest.mark.parametrize(
    ("number", "shown"),
    [("3/2", "1½"), ("2/3", "⅔"), (12, "12"), ("11/4", "2¾"), ("12345.678", "12345.68"),
     ("0.05", "0.05"), ("1/7", "0.143"), (1000000, "1000000")],
)  # fmt: skip
def test_numbers_are_shown_as_people_write_them(number, shown):
    assert show_number(Fraction(number)) == shown


def test_more_than_one_is_shown_in_the_plural():
    assert str(parse_amount("2 sheets per child")) == "2 sheets per child"
    assert str(parse_amount("½ sheet per child")) == "½ sheet per child"
    assert str(parse_quantity("500 ml")) == "500 ml"


MEASURES = st.sampled_from(["", "sheet", "pouch", "ml", "cup", "fl oz", "leaf", "box", "a4 sheet"])
PARTS = st.sampled_from([Fraction(n, d) for d in (1, 2, 3, 4, 8) for n in range(d)])


@given(st.integers(0, 10**6), PARTS, MEASURES, st.sampled_from(Basis))
def test_reading_what_is_shown_gives_the_same_amount(whole, part, measure, basis):
    number = whole + part
    if number and (number.denominator in (1, 2, 3, 4, 8)):
        amount = Amount(Quantity(number, measure), basis)
        assert parse_amount(str(amount)) == amount


@given(st.text(max_size=200))
@example("1 " * 90)
@example("½" * 40 + " per child")
@example("a and a half")
@example("1 and")
def test_any_text_is_read_or_refused_and_nothing_else(text):
    for read in (parse_quantity, parse_amount):
        with suppress(Unreadable):
            read(text)
