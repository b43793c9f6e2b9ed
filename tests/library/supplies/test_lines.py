"""Supplies: every reading by its name."""

import datetime as dt
from decimal import Decimal
from fractions import Fraction

import pytest

from library.cards.values import Group, Span, Step
from library.materials.amounts import parse_quantity
from library.materials.material import Kind, MaterialBook, Weight
from library.room.room import BuyLine, StockLine
from library.supplies.checks import check_durables, check_orders
from library.supplies.lines import days_unlike, first_use, order_day, supplies_of
from library.units.placed import lay_out
from tests.builders import (
    MONDAY,
    a_card,
    a_child,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_unit,
)

BOOK = MaterialBook(
    (
        a_material("hand sponge", also=("bath sponge",)),
        a_material("book of rain", kind=Kind.BOOK),
        a_material("paper", kind=Kind.CONSUMABLE),
        a_material(
            "white rice",
            kind=Kind.CONSUMABLE,
            weight=Weight(parse_quantity("185 g"), parse_quantity("1 cup")),
        ),
        a_material("flour", kind=Kind.CONSUMABLE),
        a_material("water", kind=Kind.CONSUMABLE),
    )
)
FOUR = tuple(a_child(name) for name in ("wren", "moss", "teal", "lark"))


def supplies(*placements, cards, room=None, book=BOOK):
    fern = room or a_room(*FOUR)
    unit = a_unit(*placements)
    return supplies_of(
        unit.id, lay_out(unit, None, {card.id: card for card in cards}, fern), fern, book
    )


def line_of(item, amount, *, refresh="once", placements=None, room=None, **card):
    made = a_card(materials=(a_material_line(item, amount, refresh),), **card)
    found = supplies(*(placements or [a_placement()]), cards=[made], room=room)
    return found.lines[0]


def test_sup1_per_child_counts_the_children_of_the_placement():
    """SUP1."""
    room = a_room(
        a_child("wren", days=("mon",)),
        a_child("moss"),
        a_child("teal", until=MONDAY - dt.timedelta(1)),
    )
    assert line_of("paper", "2 per child", room=room).need.number == 4
    daily = line_of(
        "paper", "1 per child", refresh="each day", room=room, placements=[a_placement(weeks=(1,))]
    )
    assert daily.need.number == 1 + 5


def test_sup2_per_place_counts_the_most_children_at_once_else_one():
    """SUP2."""
    assert line_of("paper", "1 per place", group=Group(1, 4)).need.number == 4
    assert line_of("paper", "1 per place", group=None).need.number == 1


def test_sup3_sup6_one_set_up_a_placement_and_refresh_multiplies():
    """SUP3, SUP6."""
    assert line_of("water", "500 ml per setup").need.number == 500
    assert line_of("water", "500 ml per setup", refresh="each day").need.number == 5000
    assert line_of("water", "500 ml per setup", refresh="each week").need.number == 1000


def test_sup4_sup9_used_up_things_add_and_shared_ones_only_on_shared_days():
    """SUP4, SUP9."""
    twice = [a_placement(weeks=(1,)), a_placement("art", weeks=(2,))]
    assert line_of("paper", "3 per setup", placements=twice).need.number == 6
    assert line_of("hand sponge", "3 per setup", placements=twice).need.number == 3
    both = [a_placement(), a_placement("art")]
    assert line_of("hand sponge", "3 per setup", placements=both).need.number == 6


def test_sup5_in_all_counts_once_a_card():
    """SUP5."""
    both = [a_placement(), a_placement("art")]
    assert line_of("paper", "1 roll in all", refresh="each day", placements=both).need.number == 1
    assert line_of("hand sponge", "2 in all", placements=both).need.number == 2


def test_sup5_two_lines_in_all_of_one_item_on_one_card_are_two():
    """SUP5: what counts once is a line of a card, and a card may have two of one item."""
    lines = (
        a_material_line("paper", "2 sheets in all"),
        a_material_line("paper", "3 sheets in all"),
    )
    found = supplies(a_placement(), a_placement("art"), cards=[a_card(materials=lines)])
    assert found.lines[0].need.number == 5


def test_sup6_a_standing_placement_needs_nothing_again():
    """SUP6."""
    stays = [a_placement(weeks=(1,)), a_placement(weeks=(2,), standing=True)]
    assert line_of("paper", "3 per setup", placements=stays).need.number == 3


def test_sup7_sup8_refresh_does_nothing_to_what_is_shared():
    """SUP7, SUP8."""
    assert line_of("hand sponge", "2 per setup", refresh="each day").need.number == 2
    assert line_of("book of rain", "1 per setup", refresh="each day").need.number == 1


def test_sup10_an_unknown_item_counts_as_used_up_and_is_a_problem():
    """SUP10."""
    found = supplies(
        a_placement(), cards=[a_card(materials=(a_material_line("moon dust", "1 per setup"),))]
    )
    assert found.lines[0].kind is Kind.CONSUMABLE
    assert "Sponge rain" in found.problems[0].problem
    assert found.needs_a_person


def test_sup11_the_measure_is_the_first_cards_and_grams_where_volume_and_weight_meet():
    """SUP11."""
    cards = [
        a_card("one", materials=(a_material_line("white rice", "2 cups per setup"),)),
        a_card("two", materials=(a_material_line("white rice", "100 g per setup"),)),
    ]
    line = supplies(a_placement(activity="one"), a_placement(activity="two"), cards=cards).lines[0]
    assert (line.need.measure, line.need.number) == ("g", 470)


def test_sup12_sup28_halves_stay_exact_until_packs():
    """SUP12, SUP28."""
    room = a_room(
        *FOUR, a_child("rook"), buy=(BuyLine("paper", parse_quantity("1 sheet"), Decimal("0.10")),)
    )
    line = line_of("paper", "½ sheet per child", room=room)
    assert (line.need.number, line.packs, line.cost) == (Fraction(5, 2), 3, Decimal("0.30"))
    assert line.as_json()["need"] == 2.5


def test_sup13_sup26_packs_are_counted_in_exact_fractions_and_money_to_the_cent():
    """SUP13, SUP26."""
    room = a_room(buy=(BuyLine("flour", parse_quantity("0.1 kg"), Decimal("1.10")),))
    line = line_of("flour", "300 g per setup", room=room)
    assert (line.packs, line.cost) == (3, Decimal("3.30"))


def test_sup14_sup23_what_has_no_price_is_named_and_left_out_of_the_total():
    """SUP14, SUP23."""
    cards = [
        a_card(
            materials=(
                a_material_line("paper", "3 per setup"),
                a_material_line("flour", "200 g per setup"),
            )
        )
    ]
    room = a_room(
        buy=(BuyLine("paper", None, Decimal("0.50")), BuyLine("flour", parse_quantity("1 kg")))
    )
    found = supplies(a_placement(), cards=cards, room=room)
    assert [(line.packs, line.cost) for line in found.lines] == [(3, Decimal("1.50")), (1, None)]
    assert (found.total_cost, found.unpriced) == (Decimal("1.50"), ("flour",))


def test_sup14_a_pack_without_a_price_counts_packs_and_neither_counts_nothing():
    """SUP14: of a pack one knows how many to get; without pack and price one knows neither."""
    pack = a_room(buy=(BuyLine("flour", parse_quantity("150 g"), None, 3),))
    line = line_of("flour", "200 g per setup", room=pack)
    assert (line.packs, line.cost) == (2, None)
    neither = line_of("flour", "200 g per setup", room=a_room(buy=(BuyLine("flour"),)))
    nowhere = line_of("flour", "200 g per setup", room=a_room())
    assert (neither.packs, neither.cost) == (nowhere.packs, nowhere.cost) == (None, None)
    assert nowhere.order_by == dt.date(2026, 9, 30)
    assert line.order_by == dt.date(2026, 9, 25)


def test_sup15_nothing_to_buy_costs_nothing():
    """SUP15."""
    line = line_of(
        "paper", "3 per setup", room=a_room(stock=(StockLine("paper", parse_quantity("5")),))
    )
    assert (line.buy, line.packs, line.cost, line.order_by) == (0, 0, Decimal(0), None)


def test_sup16_stock_in_two_bins_adds_under_any_of_its_names():
    """SUP16."""
    stock = (
        StockLine("hand sponge", parse_quantity("1"), "A"),
        StockLine("bath sponge", parse_quantity("2"), "B"),
    )
    line = line_of("bath sponge", "4 per setup", room=a_room(stock=stock))
    assert (line.item, line.on_hand, line.buy) == ("hand sponge", 3, 1)


@pytest.mark.parametrize(("on_shelf", "counted"), [("3 rolls", 0), ("2 kg", 2000)])
def test_sup16_stock_that_cannot_be_counted_is_named_and_the_rest_goes_on(on_shelf, counted):
    """SUP16: an error that names the item and the card; every other number still stands."""
    stock = (
        StockLine("flour", parse_quantity(on_shelf)),
        StockLine("paper", parse_quantity("9 sheets")),
    )
    lines = (a_material_line("flour", "500 g per setup"), a_material_line("paper", "2 per setup"))
    found = supplies(a_placement(), cards=[a_card(materials=lines)], room=a_room(stock=stock))
    flour, paper = found.lines
    assert (flour.on_hand, paper.on_hand, paper.buy) == (counted, 9, 0)
    assert found.needs_a_person is bool(found.problems) is (counted == 0)
    for problem in found.problems:
        assert "flour: Sponge rain takes 500 g, but the shelf has 3 rolls" in problem.problem


def test_sup16_what_to_do_about_a_bag_is_said_without_a_file():
    """SUP16: a bag of what is taken in cups is measured; no line of a file tells how much it holds."""
    room = a_room(stock=(StockLine("flour", parse_quantity("1 bag")),))
    made = a_card("hidden-in-dough", materials=(a_material_line("flour", "5 cups per setup"),))
    problem = supplies(a_placement(activity=made.id), cards=[made], room=room).problems[0]
    assert problem.problem == (
        "flour: Hidden in dough takes 5 cups, but the shelf has 1 bag, so it is not counted"
    )
    assert problem.fix == "measure how many cups a bag holds, and note it in cups on the shelf list"


def test_sup16_the_line_of_a_file_stands_last_where_a_weight_helps():
    """SUP16: what a cup weighs is written down once, for every card."""
    room = a_room(stock=(StockLine("flour", parse_quantity("2 lb")),))
    made = a_card(materials=(a_material_line("flour", "5 cups per setup"),))
    fix = supplies(a_placement(), cards=[made], room=room).problems[0].fix
    assert fix == (
        "note it in cups on the shelf list, or have somebody write down what a cup of it weighs "
        "(in materials.yaml: weight: 185 g per cup)"
    )


def test_what_cannot_be_counted_or_is_not_known_names_the_title_of_its_card():
    made = a_card(
        "hidden-in-dough",
        materials=(a_material_line("flour", "a lot"), a_material_line("glitter", "1 per setup")),
    )
    found = supplies(a_placement(activity=made.id), cards=[made]).problems
    assert [each.problem for each in found] == [
        "'a lot' of flour in Hidden in dough cannot be counted",
        "'glitter' of Hidden in dough is described nowhere, so it counts as used up",
    ]
    assert "materials.yaml" not in found[1].fix


def test_a_pack_that_cannot_be_counted_is_named_and_the_rest_goes_on():
    """SUP16, SUP14: without a pack that counts there are no packs and no cost."""
    buy = (BuyLine("flour", parse_quantity("1 sack"), Decimal(4)),)
    made = a_card(materials=(a_material_line("flour", "500 g per setup"),))
    found = supplies(a_placement(), cards=[made], room=a_room(buy=buy))
    assert (found.lines[0].packs, found.lines[0].buy, found.unpriced) == (None, 500, ("flour",))
    assert "a pack holds 1 sack" in found.problems[0].problem


def test_sup17_days_are_plain_calendar_days_then_back_to_an_open_one():
    """SUP17."""
    assert order_day(dt.date(2026, 10, 5), 2, a_room()) == dt.date(2026, 10, 1)
    assert order_day(dt.date(2026, 10, 6), 0, a_room()) == dt.date(2026, 10, 2)


@pytest.mark.parametrize(
    ("fields", "use"),
    [
        ({"prep": 0}, dt.date(2026, 10, 5)),
        ({"prep": 5}, dt.date(2026, 10, 2)),
        ({"prep": 5, "wait": Span(3 * 1440)}, dt.date(2026, 10, 1)),
        ({"prep": 5, "steps": (Step("Fill", 5, "morning"),)}, dt.date(2026, 10, 5)),
    ],
)
def test_sup18_first_use_is_when_the_work_ahead_begins(fields, use):
    """SUP18: Monday with no wait gives Friday, with three days the Thursday before."""
    card = a_card(**fields)
    placed = lay_out(a_unit(a_placement()), None, {card.id: card}, a_room())[0]
    assert first_use(placed, a_room()) == use


def test_sup22_what_cannot_be_added_names_both_cards_and_nothing_else_counts():
    """SUP22."""
    cards = [
        a_card("one", materials=(a_material_line("flour", "2 cups per setup"),)),
        a_card("two", materials=(a_material_line("flour", "100 g per setup"),)),
    ]
    found = supplies(a_placement(activity="one"), a_placement(activity="two"), cards=cards)
    answer = found.as_json()
    assert set(answer) == {"unit", "problems"}
    assert "One (one) takes 2 cups" in answer["problems"][0]["problem"]
    assert "Two (two) takes 100 g" in answer["problems"][0]["problem"]
    assert "weight: 185 g per cup" in answer["problems"][0]["fix"]


def test_sup24_a_placement_without_an_open_day_needs_nothing():
    """SUP24."""
    card = a_card(materials=(a_material_line("paper", "1 per setup"),))
    assert supplies(a_placement(weeks=(7,)), cards=[card]).lines == ()


def test_sup25_lines_stand_in_the_order_of_first_mention_with_each_card_once():
    """SUP25."""
    one = a_card(
        "one",
        materials=(
            a_material_line("flour", "1 g per setup"),
            a_material_line("paper", "1 per setup"),
        ),
    )
    two = a_card("two", materials=(a_material_line("paper", "1 per setup"),))
    found = supplies(
        a_placement(activity="one"),
        a_placement(activity="two"),
        a_placement(activity="one"),
        cards=[one, two],
    )
    assert [(line.item, line.activities) for line in found.lines] == [
        ("flour", ("one",)),
        ("paper", ("one", "two")),
    ]


def test_sup27_props_are_dressed_before_they_are_counted():
    """SUP27."""
    card = a_card(
        props={"tool": "bath sponge"}, materials=(a_material_line("{{tool}}", "2 per setup"),)
    )
    assert supplies(a_placement(), cards=[card]).lines[0].item == "hand sponge"


def test_find7_a_missing_card_is_named_and_the_rest_is_computed():
    """FIND7."""
    card = a_card(materials=(a_material_line("paper", "1 per setup"),))
    found = supplies(a_placement(), a_placement(activity="gone"), cards=[card])
    assert (found.missing, len(found.lines), found.needs_a_person) == (("gone",), 1, True)


def test_find9_find11_short_and_late_things_are_findings():
    """FIND9, FIND11."""
    cards = [
        a_card(
            materials=(
                a_material_line("hand sponge", "4 per setup"),
                a_material_line("paper", "1 per setup"),
            )
        )
    ]
    found = supplies(
        a_placement(),
        cards=cards,
        room=a_room(stock=(StockLine("hand sponge", parse_quantity("3")),)),
    )
    assert [(f.kind, f.item) for f in check_durables(found)] == [("durable", "hand sponge")]
    late = list(check_orders(found, MONDAY))
    assert [f.item for f in late] == ["hand sponge", "paper"]
    assert list(check_orders(found, MONDAY - dt.timedelta(60))) == []


def test_of_days_on_which_the_same_things_stand_the_first_speaks_for_all():
    """SUP9: the fullest day, and the first of several."""
    days = ("mon", "wed")
    both = [a_placement(), a_placement("art", on=days)]
    line = line_of("hand sponge", "3 per setup", placements=both)
    assert line.fullest == MONDAY
    assert [day - MONDAY for day in days_unlike(line.needs)] == [dt.timedelta(0), dt.timedelta(1)]
