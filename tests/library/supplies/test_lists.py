"""The lists a unit's supplies become: shopping, printing, borrowing, the closet, packing away."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.portions import portions
from library.materials.amounts import Quantity, parse_quantity
from library.materials.material import CARD_STOCK, MADE, PLAIN_PAPER, Kind, MaterialBook, Weight
from library.room.room import BuyLine, Loans, StockLine
from library.supplies.at_hand import at_hand
from library.supplies.bins import walk
from library.supplies.borrowing import loan_dates, to_borrow
from library.supplies.checks import check_orders
from library.supplies.packing import NO_BIN, needed_next, packing
from library.supplies.printing import pieces_on, sheets_by_stock, to_print
from library.supplies.shopping import how_much, packed, rounded_up, shopping
from library.units.calendar import following
from library.units.theme import Book
from tests.builders import (
    MONDAY,
    a_card,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_theme,
    a_unit,
)
from tests.library.supplies.test_lines import FOUR, line_of, supplies

THINGS = MaterialBook(
    (
        a_material("hand sponge", wash="after each use"),
        a_material("picture book", kind=Kind.BOOK, origin="library"),
        a_material("paper", kind=Kind.CONSUMABLE, also=("copy paper",)),
        a_material("flour", kind=Kind.CONSUMABLE, origin="kitchen"),
        a_material("water", kind=Kind.CONSUMABLE),
        a_material("ice block", kind=Kind.CONSUMABLE, origin=MADE),
        a_material("glue", kind=Kind.CONSUMABLE),
        a_material("picture card", kind=Kind.PRINTABLE, loose=True, shape="box 150 x 100 x 1 mm"),
        a_material("wall picture", kind=Kind.PRINTABLE, shape="box 200 x 260 x 0.1 mm"),
        a_material(
            "photo book",
            kind=Kind.PRINTABLE,
            shape="box 200 x 150 x 8 mm",
            sheets=(Fraction(6), CARD_STOCK),
        ),
        a_material("cube", kind=Kind.PRINTABLE, shape="box 50 x 50 x 50 mm"),
    )
)


def needs(*amounts, room=None, placements=None, **card):
    """What one card needs of each ``item: amount``."""
    lines = tuple(a_material_line(*each.split(": ")) for each in amounts)
    made = a_card(materials=lines, **card)
    placed = placements or [a_placement()]
    return supplies(*placed, cards=[made], room=room or a_room(*FOUR), book=THINGS)


class TestShopping:
    def test_things_come_by_date_then_shops_then_what_costs_nothing(self):
        room = a_room(
            buy=(
                BuyLine("paper", parse_quantity("50 sheets"), Decimal("3.50"), 7, "Corner shop"),
                BuyLine("glue", parse_quantity("1 l"), Decimal("6.00"), 0, "Corner shop"),
            )
        )
        found = shopping(
            needs("flour: 1 kg per setup", "glue: 1 l per setup", "paper: 60 sheets per setup",
                  "water: 5 l per setup", "picture card: 3 per setup", "picture book: 1 per setup",
                  room=room),
            THINGS,
        )  # fmt: skip
        assert [(each.line.item, each.place) for each in found.things] == [
            ("paper", "Corner shop"),
            ("glue", "Corner shop"),
            ("flour", "From the kitchen"),
        ]
        assert (found.total, found.unpriced) == (Decimal("13.00"), ())
        assert [day for day, _ in found.by_date()] == [dt.date(2026, 9, 23), dt.date(2026, 9, 30)]
        paper = found.things[0]
        assert (paper.how_much, str(paper.left_over)) == ("2 packs of 50 sheets", "40 sheets")

    def test_what_the_team_makes_is_nowhere_fetched_or_late_to_order(self):
        """FIND11 is about something to buy; need and buy of the line stay exact (SUP12)."""
        found = needs("ice block: 2 per setup", "glue: 1 l per setup")
        assert [line.item for line in found.lines if line.buy] == ["ice block", "glue"]
        assert [line.item for line in found.short] == ["glue"]
        assert [each.line.item for each in shopping(found, THINGS).things] == ["glue"]
        late = check_orders(found, MONDAY + dt.timedelta(weeks=1))
        assert [finding.item for finding in late] == ["glue"]
        assert [line.item for line in walk(found, (), THINGS).nowhere] == ["glue"]

    def test_what_is_bought_without_a_price_is_named(self):
        """SUP14, SUP23."""
        found = shopping(needs("glue: 1 l per setup", "flour: 1 kg per setup"), THINGS)
        assert found.unpriced == ("glue",)

    def test_a_book_that_one_has_noted_how_to_buy_is_bought(self):
        room = a_room(buy=(BuyLine("picture book", parse_quantity("1"), Decimal(9)),))
        lists = needs("picture book: 1 per setup", room=room)
        assert [each.line.item for each in shopping(lists, THINGS).things] == ["picture book"]
        assert to_borrow(a_unit(), None, lists, room, THINGS) == ()

    @pytest.mark.parametrize(
        ("number", "measure", "shown"),
        [("5/2", "sheet", "3"), ("0.1", "l", "1/4"), ("2", "kg", "2"), ("33.4", "ml", "34")],
    )
    def test_sup12_what_is_not_packed_is_rounded_up_for_the_page(self, number, measure, shown):
        """SUP12: rounding on the page is upwards."""
        assert rounded_up(Fraction(number), measure) == Fraction(shown)

    def test_sup14_a_price_without_a_pack_is_for_one_of_the_measure(self):
        """SUP14."""
        room = a_room(buy=(BuyLine("paper", None, Decimal("0.50")),))
        line = line_of("paper", "2.5 sheets per setup", room=room)
        assert (how_much(line), packed(line)) == ("3 sheets", parse_quantity("3 sheets"))


AMOUNTS = st.builds(
    Quantity,
    st.fractions(Fraction(1, 8), 400, max_denominator=12),
    st.sampled_from(["", "g", "kg", "cup", "ml", "tbsp"]),
)
WEIGHED = Weight(parse_quantity("125 g"), parse_quantity("1 cup"))
ANYTHING = MaterialBook((a_material("flour", kind=Kind.CONSUMABLE, weight=WEIGHED),))


@given(
    amounts=st.lists(AMOUNTS, min_size=1, max_size=4),
    pack=st.none() | AMOUNTS,
    price=st.none() | st.decimals("0.01", 50, places=2),
    kept=st.none() | AMOUNTS,
)
@settings(max_examples=120, deadline=None)
def test_buying_and_running_again_buys_nothing(amounts, pack, price, kept):
    """Whatever the packs and measures are: what was put away is enough."""
    card = a_card(
        materials=tuple(
            a_material_line("flour", f"{each.number} {each.measure} per setup".replace("  ", " "))
            for each in amounts
        )
    )
    stock = (StockLine("flour", kept),) if kept else ()
    room = a_room(stock=stock, buy=(BuyLine("flour", pack, price),))
    before = supplies(a_placement(), cards=[card], room=room, book=ANYTHING)
    arrived = tuple(StockLine(line.item, packed(line)) for line in before.lines if line.buy)
    after = supplies(
        a_placement(), cards=[card], room=replace(room, stock=(*stock, *arrived)), book=ANYTHING
    )
    assert [line.buy for line in after.lines] == [0] * len(before.lines)
    assert after.total_cost == 0
    assert shopping(after, ANYTHING).things == ()


class TestPrinting:
    def test_pieces_are_laid_on_sheets_by_their_size(self):
        lists = needs("picture card: 5 per setup", "wall picture: 2 per setup")
        cards, picture = to_print(lists)
        assert (cards.stock, cards.sheets, cards.how) == (CARD_STOCK, 3, "5 pieces, 2 to a sheet")
        assert (picture.stock, picture.sheets) == (PLAIN_PAPER, 2)
        assert sheets_by_stock((cards, picture)) == ((CARD_STOCK, 3), (PLAIN_PAPER, 2))

    def test_what_the_material_says_of_its_sheets_comes_first(self):
        assert to_print(needs("photo book: 2 per setup"))[0].sheets == 12

    def test_what_is_no_flat_piece_says_what_to_write(self):
        cube = to_print(needs("cube: 2 per setup"))[0]
        assert (cube.sheets, cube.stock) == (None, "")
        assert "print: 1 sheet of card stock" in cube.how

    def test_what_lies_on_the_shelf_is_not_printed_again(self):
        room = a_room(stock=(StockLine("picture card", parse_quantity("8")),))
        assert to_print(needs("picture card: 5 per setup", room=room)) == ()

    def test_twenty_squares_of_two_inches_fit_on_a_letter_sheet(self):
        """8.5 x 11 in less 0.25 in at each edge (common practice, no source)."""
        assert pieces_on((8 * 25.4, 10.5 * 25.4), (50.8, 50.8)) == 20
        assert pieces_on((203.2, 266.7), (150, 100)) == pieces_on((203.2, 266.7), (100, 150)) == 2


class TestBorrowing:
    def test_the_books_of_the_theme_and_of_the_cards_have_their_dates(self):
        theme = a_theme(books=(Book("Rain", "A. Writer", "123"), Book("Kept", "B.")))
        room = a_room(stock=(StockLine("Kept", parse_quantity("1")),))
        lists = needs("picture book: 3 per setup", room=room)
        cards, book = to_borrow(a_unit(), theme, lists, room, THINGS)
        assert (cards.title, str(cards.many), cards.uses) == ("picture book", "3", ("Sponge rain",))
        assert (book.title, book.author, book.isbn) == ("Rain", "A. Writer", "123")
        assert book.dates.fetch_by == dt.date(2026, 10, 2)
        assert book.dates.back_by == dt.date(2026, 10, 22)
        assert not book.dates.renew

    def test_a_request_lies_two_weeks_ahead_and_the_return_before_day_21(self):
        """Use on Monday, 9 March 2026: asked for by Monday, 23 February, back before day 21.

        Source: published loan policies of five public libraries (loans of two to three weeks,
        hold shelves of three to seven days, requests two weeks ahead).
        """
        dates = loan_dates(dt.date(2026, 3, 9), dt.date(2026, 3, 20), a_room())
        assert dates.ask_by <= dt.date(2026, 2, 23)
        assert dates.ask_by == dates.fetch_by - dt.timedelta(days=14)
        assert 3 <= (dates.fetch_by - dates.fetch_from).days <= 7
        assert (dates.back_by - dates.fetch_by).days < 21
        assert dates.fetch_by == dt.date(2026, 3, 6)

    def test_a_loan_that_ends_too_early_is_renewed(self):
        room = a_room(loans=Loans(days=14))
        assert loan_dates(dt.date(2026, 3, 9), dt.date(2026, 3, 20), room).renew
        assert not loan_dates(dt.date(2026, 3, 9), dt.date(2026, 3, 19), room).renew

    def test_nobody_is_told_to_ask_or_return_on_a_day_the_room_is_closed(self):
        """Asking earlier is never late; and what is in use until the last open day is not renewed."""
        holidays = frozenset({dt.date(2026, 12, 24), dt.date(2026, 12, 25), dt.date(2027, 1, 28)})
        room = a_room(closed=holidays)
        dates = loan_dates(dt.date(2027, 1, 11), dt.date(2027, 1, 27), room)
        assert dates.fetch_by == dt.date(2027, 1, 8)
        assert dates.ask_by == dt.date(2026, 12, 23)
        assert dates.back_by == dt.date(2027, 1, 27)
        assert not dates.renew

    def test_a_room_that_is_never_open_still_gets_dates(self):
        assert loan_dates(MONDAY, MONDAY, a_room(open=())).back_by > MONDAY - dt.timedelta(days=70)


class TestCloset:
    def test_bins_from_which_the_unit_takes_come_first_and_no_bin_last(self):
        stock = (
            StockLine("glue", parse_quantity("1 l"), "A1"),
            StockLine("copy paper", parse_quantity("9 sheets")),
            StockLine("hand sponge", parse_quantity("6"), "B4"),
        )
        moss = a_room(
            name="Moss Room", stock=(StockLine("paper", parse_quantity("5 sheets"), "B4"),)
        )
        room = a_room(stock=stock)
        lists = needs(
            "paper: 12 sheets per setup", "hand sponge: 4 per setup", "flour: 1 kg per setup"
        )
        found = walk(lists, (room, moss), THINGS)
        assert [each.name for each in found.bins] == ["B4", "A1", ""]
        assert [(k.room, k.stock.item, k.consumable) for k in found.bins[0].taken] == [
            ("Moss Room", "paper", True),
            ("Fern Room", "hand sponge", False),
        ]
        assert [k.stock.item for k in found.bins[1].other] == ["glue"]
        assert [line.item for line in found.nowhere] == ["flour"]

    @pytest.mark.parametrize(
        ("amount", "out", "usual"), [("6", 0, "4"), ("3", 0, "3"), ("6", 4, "2"), ("6", 1, "3")]
    )
    def test_the_amount_is_what_one_would_take_out_or_put_back(self, amount, out, usual):
        line = StockLine("hand sponge", parse_quantity(amount), "B4", Fraction(out))
        room = a_room(stock=(line,))
        found = walk(needs("hand sponge: 4 per setup", room=room), (room,), THINGS)
        assert found.bins[0].taken[0].usual == usual


class TestPacking:
    def test_each_thing_goes_to_its_bin_and_what_stands_on_stays(self):
        room = a_room(
            stock=(
                StockLine("hand sponge", parse_quantity("6"), "B4"),
                StockLine("paper", parse_quantity("40 sheets"), "C1"),
            )
        )
        cards = [
            a_card(materials=(a_material_line("hand sponge", "4 per setup"),
                              a_material_line("paper", "3 sheets per setup"),
                              a_material_line("glue", "1 l per setup"))),
            a_card("stays", materials=(a_material_line("picture book", "2 per setup"),)),
        ]  # fmt: skip
        lists = supplies(
            a_placement(weeks=(1,)),
            a_placement("books", "stays", standing=True),
            cards=cards,
            room=room,
            book=THINGS,
        )
        found = packing(lists, dt.date(2026, 10, 16), {})
        assert [(name, [(t.item, t.amount) for t in things]) for name, things in found.bins] == [
            ("B4", [("hand sponge", "4")]),
            ("C1", [("paper", "what is left of 40 sheets")]),
        ]
        sponge = found.bins[0][1][0]
        assert (sponge.after, sponge.wash) == (dt.date(2026, 10, 9), "after each use")
        assert [(t.item, t.stays) for t in found.out] == [("picture book", "it stays at books")]

    def test_what_the_next_week_needs_stays_out_and_says_for_what(self):
        lists = needs("hand sponge: 4 per setup")
        later = a_unit(name="2026-late", title="Puddle days", starts=dt.date(2026, 10, 19))
        found = packing(lists, dt.date(2026, 10, 16), {"hand sponge": "needed again"})
        assert [(t.item, t.stays) for t in found.out] == [("hand sponge", "needed again")]
        words = needed_next(a_unit(title="Puddle days"), lists)
        assert words == {"hand sponge": "needed again from Fri 2 Oct for Puddle days"}
        assert following(a_unit(), [a_unit(), later]) == later

    def test_a_unit_after_a_pause_keeps_nothing_out(self):
        for starts in (MONDAY, dt.date(2026, 11, 2)):
            other = a_unit(name="other", starts=starts)
            assert following(a_unit(), [a_unit(), other]) is None

    def test_things_without_a_bin_come_last(self):
        found = packing(needs("hand sponge: 4 per setup"), dt.date(2026, 10, 16), {})
        assert [name for name, _ in found.bins] == [NO_BIN]


class TestAtHand:
    def test_a_card_says_where_things_lie_and_what_is_missing(self):
        room = a_room(
            stock=(
                StockLine("copy paper", parse_quantity("5"), "C1"),
                StockLine("hand sponge", parse_quantity("6"), "B4"),
                StockLine("flour", parse_quantity("2 bags"), "D2"),
            )
        )
        lines = ("paper: 3 sheets per setup", "paper: 4 sheets per setup", "hand sponge: 1 per place",
                 "flour: 100 g per setup", "water: 5 l per setup", "glue: some")  # fmt: skip
        card = a_card(materials=tuple(a_material_line(*each.split(": ")) for each in lines))
        found = at_hand(portions(card, children=4, adults=2), room, THINGS)
        assert [(each.bins, each.short and str(each.short), each.uncounted) for each in found] == [
            (("C1",), None, ""),
            (("C1",), "2 sheets", ""),
            (("B4",), None, ""),
            (("D2",), None, "2 bags"),
            ((), None, ""),
            ((), None, ""),
        ]
