"""The lists of a unit's supplies: pages, files for spreadsheets, and what changes the stock."""

import csv
import datetime as dt
import io
import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from library.materials.amounts import parse_quantity
from library.room.room import BuyLine, PrepWindow, StockLine
from library.units.parsing import write_theme, write_unit
from library.units.theme import Book
from server.supplypage import PARTS
from tests.builders import (
    CARD_TEXT,
    a_child,
    a_placement,
    a_room,
    a_theme,
    a_unit,
    write_library,
)
from tests.server.pages import filled, soup, words

BASE = "/units/leaves-and-wind/2026-fall/supplies"
ITEMS = """\
  - {item: hand sponge, amount: 1 per place}
  - {item: "=1+cmd", amount: 3 per setup}
  - {item: paper, amount: 2 sheets per child, refresh: each day}
  - {item: picture card, amount: 5 per setup}
  - {item: water, amount: 500 ml per setup, refresh: each day}
"""
CARD = CARD_TEXT.replace(
    "  - {item: hand sponge, amount: 1 per place}\n"
    "  - {item: water, amount: 500 ml per setup, refresh: each day}\n",
    ITEMS,
)
MATERIALS = """\
- {item: hand sponge, kind: durable, loose: false, wash: daily}
- {item: "=1+cmd", kind: consumable, loose: false, from: outdoors}
- {item: paper, kind: consumable, loose: false, also: [copy paper]}
- {item: picture card, kind: printable, loose: true, shape: box 150 x 100 x 1 mm}
- {item: water, kind: consumable, loose: false}
"""


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD}, MATERIALS)
    theme = paths.themes / "leaves-and-wind"
    theme.mkdir()
    (theme / "theme.md").write_text(write_theme(a_theme(books=(Book("Rain", "A. Writer"),))))
    (theme / "2026-fall.md").write_text(write_unit(a_unit(a_placement(weeks=(1,)))))
    return paths


@pytest.fixture
def rooms(app):
    return app.extensions["lowshelf"].rooms


@pytest.fixture
def fern(rooms):
    stock = (StockLine("hand sponge", parse_quantity("3"), "B4"),)
    buy = (BuyLine("copy paper", parse_quantity("50 sheets"), Decimal("3.50"), 3, "Corner shop"),)
    children = (a_child("zaunkoenig"), a_child("finch", days=("mon", "wed", "thu", "fri")))
    rooms.save(a_room(*children, stock=stock, buy=buy))
    return rooms.current()


def stock(rooms):
    return {
        (line.item, line.bin): (str(line.amount), str(line.out)) for line in rooms.current().stock
    }


def test_every_list_is_a_page_and_two_files_that_name_no_child(client, fern):
    for part, title in PARTS.items():
        page = client.get(f"{BASE}/{part}", follow_redirects=True)
        assert soup(page).select_one("nav.parts a[aria-current]").get_text() == title
        assert soup(page).select_one("nav.tabs a[aria-current]").get_text() == "Supplies"
        text = client.get(f"{BASE}/{part}.csv").get_data(as_text=True)
        book = load_workbook(io.BytesIO(client.get(f"{BASE}/{part}.xlsx").data))
        head = [cell.value for cell in book[book.sheetnames[0]][1]]
        assert head == next(csv.reader(io.StringIO(text)))
        assert "zaunkoenig" not in page.get_data(as_text=True) + text


def test_the_lists_work_without_a_room(client):
    for part in PARTS:
        page = client.get(f"{BASE}/{part}", follow_redirects=True)
        assert page.status_code == 200
        assert "No room is loaded" in words(page)


@pytest.mark.parametrize("part", ["moon", "needs.pdf", "needs.csv.exe"])
def test_another_list_is_not_there(client, fern, part):
    assert client.get(f"{BASE}/{part}").status_code == 404


def test_numbers_open_to_how_they_came_about(client, fern):
    said = words(client.get(BASE))
    assert "2 children × 2 sheets, new on each of 5 days, week 1; 1 on Tuesdays = 18 sheets" in said
    assert "4 needed − 3 there = 1" in said
    assert "18 sheets in packs of 50 sheets = 1 pack × 3.50 = 3.50" in said
    assert "4 needed on Mon 5 Oct" in said


def test_what_prep_wants_before_its_first_use_says_so(client, fern, rooms):
    """SUP18 fixes the day to order by; where the planned prep is earlier, the lists say it."""
    wednesday = PrepWindow(("wed",), dt.time(13), dt.time(13, 40), 1, away=True)
    rooms.save(replace(fern, prep_windows=(wednesday,)))
    told = "Prep begins on Wed 30 Sep: have it by then, so order by Mon 28 Sep"
    needs, shopping = words(client.get(BASE)), words(client.get(f"{BASE}/shopping"))
    assert "1 missing , order by Mon 28 Sep 2026 for prep on Wed 30 Sep" in needs
    assert "hand sponge To buy · Sponge rain · for prep on Wed 30 Sep" in shopping
    assert "1 thing to buy has no price yet." in needs
    assert told in needs
    assert "5 missing , print by Mon 28 Sep 2026 for prep on Wed 30 Sep" in needs
    assert told in shopping
    rows = list(csv.reader(io.StringIO(client.get(f"{BASE}/shopping.csv").get_data(as_text=True))))
    sponge = next(row for row in rows if row[2] == "hand sponge")
    assert (sponge[0], sponge[-1]) == ("2026-09-28", "2026-09-30")


def test_water_is_never_missing(client, fern):
    text = words(client.get(BASE))
    assert "from the tap" in text
    assert "l missing" not in text


def test_a_name_that_a_spreadsheet_would_run_is_harmless_in_every_file(client, fern):
    """Source: OWASP, CSV Injection."""
    text = client.get(f"{BASE}/shopping.csv").get_data(as_text=True)
    assert "'=1+cmd" in [row[2] for row in csv.reader(io.StringIO(text))]
    sheet = load_workbook(io.BytesIO(client.get(f"{BASE}/shopping.xlsx").data))["shopping"]
    cells = [cell for row in sheet.iter_rows() for cell in row if cell.value == "=1+cmd"]
    assert [cell.data_type for cell in cells] == ["s"]


def test_shopping_names_dates_packs_cost_and_what_is_left_over(client, fern):
    page = soup(client.get(f"{BASE}/shopping"))
    assert [each.get_text(" ", strip=True)[:24] for each in page.select("h2")] == [
        "Order by Fri 25 Sep 2026",
        "Order by Wed 30 Sep 2026",
    ]
    said = words(client.get(f"{BASE}/shopping"))
    assert "About 3.50 , without 1 thing that has no price yet: hand sponge" in said
    assert "paper Corner shop · Sponge rain 1 pack of 50 sheets · 3.50 32 sheets left over" in said
    assert "water" not in said
    assert "picture card" not in said


def test_to_print_counts_sheets_by_paper(client, fern):
    said = words(client.get(f"{BASE}/to-print"))
    assert "5 pieces, 2 to a sheet" in said
    assert "3 sheets of card stock" in said
    assert "sheets of plain paper and" in said or "sheet of plain paper and" in said


def test_to_print_on_the_paper_that_is_loaded(client, fern):
    """A4 by ISO 216 is 297 mm high: three cards of 100 mm would need 300, so two stay two."""
    said = words(client.get(f"{BASE}/to-print?paper=a4"))
    assert "laid out on A4 paper" in said
    assert "On Letter instead" in said
    assert "5 pieces, 2 to a sheet" in said


def test_the_lists_are_json_too(client, fern):
    found = client.get("/api/units/leaves-and-wind/2026-fall/supplies/to-borrow").get_json()
    assert found["tables"][0]["rows"][0]["title"] == "Rain"
    assert client.get("/api/units/leaves-and-wind/2026-fall/supplies/moon").status_code == 404


def test_to_borrow_has_its_dates_and_follows_the_rooms_settings(client, fern, rooms):
    assert "ask by Fri 18 Sep 2026" in words(client.get(f"{BASE}/to-borrow"))
    form = filled(soup(client.get("/room/borrowing")), "form[data-keep]")
    form["loan_ahead"] = "28"
    assert client.post("/room/borrowing", data=form).status_code == 303
    assert rooms.current().loans.ahead == 28
    assert "ask by Fri 4 Sep 2026" in words(client.get(f"{BASE}/to-borrow"))


def arrival(client, part="shopping", place=0):
    page = soup(client.get(f"{BASE}/{part}"))
    return filled(page.select(".arrive")[place])


def test_what_arrived_raises_the_stock_and_leaves_the_list(client, fern, rooms):
    form = arrival(client)
    assert (form["item"], form["amount"]) == ("paper", "50 sheet")
    form["bin"] = "C1"
    answer = client.post(f"{BASE}/arrived", data=form, follow_redirects=True)
    assert "paper: 50 sheets put away in bin C1; 50 sheets there now." in words(answer)
    assert stock(rooms)["paper", "C1"] == ("50 sheets", "0")
    assert "Corner shop" not in words(client.get(f"{BASE}/shopping"))


def test_a_parcel_that_two_people_check_off_is_put_away_once(client, fern, rooms):
    form = arrival(client)
    client.post(f"{BASE}/arrived", data=form)
    second = client.post(f"{BASE}/arrived", data=form)
    assert second.status_code == 409
    assert "there is 50 sheets now" in words(second)
    assert stock(rooms)["paper", ""][0] == "50 sheets"
    client.post(f"{BASE}/arrived", data=filled(soup(second), "main form"))
    assert stock(rooms)["paper", ""][0] == "100 sheets"


def test_what_lies_there_in_another_measure_is_seen_as_well(client, fern, rooms):
    """A roll of paper is no sheets, but nobody put it there meanwhile."""
    rooms.save(replace(fern, stock=(StockLine("paper", parse_quantity("1 roll"), "C1"),)))
    form = next(
        each for place in range(2) if (each := arrival(client, place=place))["item"] == "paper"
    )
    assert client.post(f"{BASE}/arrived", data=form).status_code == 303
    assert stock(rooms)["paper", ""][0] == "50 sheets"


def test_what_is_printed_is_put_away_too(client, fern, rooms):
    answer = client.post(f"{BASE}/arrived", data=arrival(client, "to-print"))
    assert answer.location.endswith("/supplies/to-print")
    assert stock(rooms)["picture card", ""] == ("5", "0")


@pytest.mark.parametrize("amount", ["", "some", "-3", "0", "1,5"])
def test_what_is_no_amount_is_said_and_changes_nothing(client, fern, rooms, amount):
    form = arrival(client)
    form["amount"] = amount
    answer = client.post(f"{BASE}/arrived", data=form, follow_redirects=True)
    assert "expected" in words(answer)
    assert len(rooms.current().stock) == 1


def hands(client, do, amount, **changed):
    form = filled(soup(client.get(f"{BASE}/closet")), "form.hands")
    sent = {**form.to_dict(), "amount": amount, "do": do, **changed}
    return client.post(f"{BASE}/closet", data=sent, follow_redirects=True)


def test_the_closet_is_walked_with_four_hands(client, fern, rooms):
    assert "3 in all" in words(hands(client, "take out", "2"))
    assert stock(rooms)["hand sponge", "B4"] == ("3", "2")
    hands(client, "broken", "1")
    assert stock(rooms)["hand sponge", "B4"] == ("2", "1")
    hands(client, "put back", "1")
    assert stock(rooms)["hand sponge", "B4"] == ("2", "0")
    assert "7 counted" in words(hands(client, "count", "7"))
    assert stock(rooms)["hand sponge", "B4"] == ("7", "0")


@pytest.mark.parametrize(
    ("do", "amount", "changed", "said"),
    [
        ("take out", "9", {}, "3 are in the bin now"),
        ("count", "2", {"seen": "5"}, "someone changed it meanwhile, from 5 to 3"),
        ("count", "2", {"seen": "many"}, "expected the number that was there"),
        ("count", "2", {"seen": "1/0"}, "expected the number that was there"),
        ("count", "2", {"seen": "1e3000000"}, "expected the number that was there"),
        ("count", "2", {"seen": "9" * 5_000}, "expected the number that was there"),
        ("count", "2", {"seen": "7/2"}, "someone changed it meanwhile, from 3½ to 3"),
        ("eat", "1", {}, "expected one of: take out, put back, used up, broken"),
        ("take out", "1", {"item": "moon dust"}, "not on the shelf list any more"),
    ],
)
def test_what_cannot_be_done_at_the_closet_is_said(client, fern, rooms, do, amount, changed, said):
    assert said in words(hands(client, do, amount, **changed))
    assert stock(rooms) == {("hand sponge", "B4"): ("3", "0")}


def test_two_people_at_the_closet_lose_nothing(app, fern, rooms):
    clients = [app.test_client() for _ in range(2)]
    forms = [
        {**filled(soup(each.get(f"{BASE}/closet")), "form.hands").to_dict(), "amount": "1"}
        for each in clients
    ]

    def act(number):
        one = number % 2
        sent = {**forms[one], "do": "take out"}
        return clients[one].post(f"{BASE}/closet", data=sent).status_code

    with ThreadPoolExecutor(2) as people:
        assert set(people.map(act, range(3))) == {303}
    assert stock(rooms)["hand sponge", "B4"] == ("3", "3")


def test_a_room_that_shares_nothing_is_left_alone(client, fern, rooms):
    other = a_room(name="Moss Room", stock=(StockLine("hand sponge", parse_quantity("9"), "B4"),))
    rooms.save(other, make_current=False)
    answer = client.post(
        f"{BASE}/closet",
        data={"room": "Moss Room", "item": "hand sponge", "bin": "B4", "measure": "",
              "amount": "1", "do": "broken"},
    )  # fmt: skip
    assert answer.status_code == 400
    assert rooms.get("Moss Room").stock[0].amount.number == 9


def test_rooms_with_one_closet_walk_it_together(client, fern, rooms):
    rooms.save(
        a_room(
            name="Moss Room",
            shelf="hall",
            stock=(StockLine("paper", parse_quantity("9 sheets"), "C1"),),
        ),
        make_current=False,
    )
    form = filled(soup(client.get("/room/borrowing")), "form[data-keep]")
    form["shelf"] = "Hall"
    client.post("/room/borrowing", data=form)
    said = words(client.get(f"{BASE}/closet"))
    assert "is shared with Moss Room" in said
    assert "paper Moss Room" in said
    assert "9 sheets there = 9 sheets" in words(client.get(BASE))
    assert "shared with Moss Room" in words(client.get("/room"))


def test_a_room_says_that_it_does_a_unit_and_the_other_sees_what_is_short(client, fern, rooms):
    """Four sponges for each room, three in the closet that they share."""
    rooms.save(replace(fern, shelf="hall"))
    rooms.save(a_room(name="Moss Room", shelf="hall"))
    assert "Fern Room does not see yet" in words(client.get(BASE))
    assert "4 needed on Mon 5 Oct" in words(client.get(BASE))
    client.post("/room/choose", data={"room": "Fern Room"})
    client.post(f"{BASE}/counted", data={"do": "count"})
    assert rooms.get("Fern Room").units == ("leaves-and-wind/2026-fall",)
    assert "Moss Room sees what this unit takes" in words(client.get(BASE))
    client.post("/room/choose", data={"room": "Moss Room"})
    said = words(client.get(BASE))
    assert "8 needed on Mon 5 Oct" in said
    assert "Fern Room for Leaves and wind, fall 2026 (Sponge rain) 4" in said
    assert "(Sponge rain) 4, on 5 days from Mon 5 Oct" in said
    client.post("/room/choose", data={"room": "Fern Room"})
    client.post(f"{BASE}/counted", data={"do": "leave"})
    assert rooms.get("Fern Room").units == ()


def test_the_api_gives_what_the_command_prints(client, fern):
    found = client.get("/api/units/leaves-and-wind/2026-fall/supplies").get_json()
    lines = {line["item"]: line for line in found["lines"]}
    assert (lines["hand sponge"]["need"], lines["hand sponge"]["buy"]) == (4, 1)
    assert lines["paper"]["order_by"] == "2026-09-25"
    assert json.dumps(found).count("zaunkoenig") == 0


def test_the_plan_joins_what_is_missing_and_its_cost(client, fern):
    page = soup(client.get("/units/leaves-and-wind/2026-fall"))
    link = page.select_one(f".totals a[href='{BASE}']")
    assert link.get_text(strip=True) == "4 missing, about 3.50"


def test_a_card_says_what_is_missing_and_where_things_lie(client, fern):
    said = words(client.get("/activities/sponge-rain?children=2"))
    assert "bin B4; 1 missing" in said
    assert "; 4 sheets missing" in said


def test_with_what_we_have_is_asked_of_the_stock(client, fern, rooms):
    def total():
        return client.get("/api/search?q=with+what+we+have").get_json()["total"]

    assert total() == 0
    everything = ("hand sponge", "=1+cmd", "paper", "picture card")
    lines = tuple(StockLine(item, parse_quantity("9")) for item in everything)
    rooms.save(a_room(stock=lines))
    assert total() == 1
    rooms.save(
        a_room(stock=(*lines[:-1], StockLine("picture card", parse_quantity("0", zero=True))))
    )
    assert total() == 0


@pytest.fixture
def stopped(paths, fern, rooms):
    """A child for whom a stop stands on the sponge."""
    (paths.activities / "materials.yaml").write_text(
        MATERIALS.replace("wash: daily}", "wash: daily, allergens: [egg]}")
    )
    rooms.save(replace(fern, children=(a_child("zaunkoenig", allergens=("egg",)),)))


SAID = "a stop stands on hand sponge (Sponge rain). Choose another card first."


def test_what_a_stop_stands_on_is_not_to_be_ordered_on_any_list(client, stopped):
    """The numbers of the API stay as they are counted (SUP1 to SUP28)."""
    for part in PARTS:
        page = client.get(f"{BASE}/{part}", follow_redirects=True)
        assert f"Do not order: {SAID}" in words(page), part
        assert "Published guidance" in words(page), part
        assert "zaunkoenig" not in page.get_data(as_text=True)
    needs = words(client.get(BASE))
    assert "5 things are needed, and 3 of them are not there. 1 thing is held back by" in needs
    assert "no price yet" not in needs  # nothing of what is left is bought
    assert "borrow or buy" not in needs
    assert "hand sponge" not in words(client.get(f"{BASE}/shopping")).split("Order by", 1)[1]
    plan = soup(client.get("/units/leaves-and-wind/2026-fall"))
    link = plan.select_one(f".totals a[href='{BASE}']")
    assert link.get_text(strip=True).startswith("3 missing, 1 held back")
    found = client.get("/api/units/leaves-and-wind/2026-fall/supplies").get_json()
    assert found["lines"][0]["item"] == "hand sponge"
    assert found["lines"][0]["need"] == 4


def test_the_files_of_the_lists_say_the_same(client, stopped):
    rows = list(csv.DictReader(io.StringIO(client.get(f"{BASE}/needs.csv").get_data(as_text=True))))
    sponge = next(row for row in rows if row["item"] == "hand sponge")
    assert sponge["stop"] == f"Do not order: {SAID}".removesuffix(".")
    assert sponge["order-by"] == ""
    assert [row["stop"] for row in rows if row["item"] != "hand sponge"] == [""] * 4
    book = load_workbook(io.BytesIO(client.get(f"{BASE}/shopping.xlsx").data))
    assert "hand sponge" not in [row[2].value for row in book["shopping"].iter_rows()]
    assert [row[0].value for row in book["held-back"].iter_rows()] == ["item", "hand sponge"]
