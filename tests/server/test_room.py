"""The room's pages: nothing typed is lost, nothing about a child leaves them."""

import datetime as dt
import io
from dataclasses import replace

import pytest

from library.room.jotbook import JotBook
from library.room.jots import Jot
from library.room.room import Block, Child, Policy, PrepWindow, youngest_months
from library.room.roomfile import write_room
from tests.builders import MONDAY, a_child, a_room
from tests.server.pages import filled, soup, words

SECTIONS = ("children", "adults", "day", "closed", "centers", "stock", "policies")
ROOM_FILE = """\
name: Moss Room
adults: 3
children:
  - {label: wren, born: 2024-03}
centers: [water, books]
"""


@pytest.fixture
def rooms(app):
    return app.extensions["lowshelf"].rooms


@pytest.fixture
def fern(client, rooms):
    """The example room, loaded by its button."""
    client.post("/room/example")
    return rooms.current()


def form_of(client, section):
    return filled(soup(client.get(f"/room/{section}")), "form[data-keep]")


def test_without_a_room_the_page_offers_the_example_an_own_one_and_a_file(client):
    page = soup(client.get("/room"))
    assert [form["action"] for form in page.select("main form")] == [
        "/room/example",
        "/room",
        "/room/load",
    ]


def test_the_example_is_marked_and_goes_in_one_click(client, rooms, fern):
    page = soup(client.get("/room"))
    assert "This room is an example." in page.select_one(".notice strong").text
    assert page.select_one(".notice form")["action"] == "/room/example/remove"
    client.post("/room/example/remove")
    assert rooms.names() == []


@pytest.mark.parametrize("section", SECTIONS)
def test_saving_a_form_as_it_stands_changes_nothing(client, rooms, fern, section):
    answer = client.post(f"/room/{section}", data=form_of(client, section))
    assert answer.status_code == 303
    assert rooms.current() == fern
    assert rooms.current().demo


def test_every_problem_comes_back_at_once_beside_its_field_with_what_was_typed(client, rooms, fern):
    form = form_of(client, "children")
    form["children[1].born"] = "soon"
    form.setlist("children[2].days", [])
    form["children[3].from"], form["children[3].until"] = "2026-09-02", "2026-09-01"
    form["children[8].label"] = "curlew"
    answer = client.post("/room/children", data=form)
    assert answer.status_code == 422
    page = soup(answer)
    wrong = {span["id"].removesuffix("-wrong") for span in page.select(".wrong")}
    assert wrong == {
        "children[1].born",
        "children[2].days",
        "children[3].until",
        "children[8].born",
    }
    assert len(page.select("#problems li")) == 4
    typed = filled(page, "form[data-keep]")
    assert typed["children[1].born"] == "soon"
    assert typed["children[8].label"] == "curlew"
    assert rooms.current() == fern


def test_a_child_is_added_with_days_and_allergens(client, rooms, fern):
    form = form_of(client, "children")
    form["children[8].label"], form["children[8].born"] = "curlew", "2024-02"
    form["children[8].allergens"] = "Milk, soy"
    form.setlist("children[8].days", ["mon", "tue"])
    client.post("/room/children", data=form)
    assert rooms.current().children[8] == Child(
        "curlew", (2024, 2), ("milk", "soy"), ("mon", "tue")
    )


def test_another_row_is_added_without_saving_or_losing_anything(client, rooms, fern):
    form = form_of(client, "stock")
    blank = len(fern.stock)
    form[f"stock[{blank}].item"] = "wool"
    form["add"] = "stock"
    page = soup(client.post("/room/stock", data=form))
    typed = filled(page, "form[data-keep]")
    assert typed[f"stock[{blank}].item"] == "wool"
    assert f"stock[{blank + 2}].item" in typed
    assert page.select_one("[role=status]").text == "Not saved yet."
    assert rooms.current() == fern


def test_a_row_taken_out_goes_only_with_save(client, rooms, fern):
    form = form_of(client, "stock")
    form["drop"] = "stock[0]"
    page = soup(client.post("/room/stock", data=form))
    assert rooms.current() == fern
    client.post("/room/stock", data=filled(page, "form[data-keep]"))
    assert rooms.current().stock == fern.stock[1:]


def test_centers_are_moved_along_the_walk(client, rooms, fern):
    form = form_of(client, "centers")
    form["down"] = "sensory"
    page = soup(client.post("/room/centers", data=form))
    client.post("/room/centers", data=filled(page, "form[data-keep]"))
    assert rooms.current().centers[:3] == ("water", "sensory", "light")


def test_closed_days_are_added_as_a_span_and_opened_by_their_tick(client, rooms, fern):
    form = form_of(client, "closed")
    form["closing[0].from"], form["closing[0].to"] = "2026-12-24", "2026-12-28"
    client.post("/room/closed", data=form)
    assert len(rooms.current().closed) == 5
    form = form_of(client, "closed")
    form.setlist("closed", form.getlist("closed")[1:])
    client.post("/room/closed", data=form)
    assert dt.date(2026, 12, 24) not in rooms.current().closed
    assert len(rooms.current().closed) == 4


def test_a_span_that_runs_backwards_stays_on_the_page(client, rooms, fern):
    form = form_of(client, "closed")
    form["closing[0].from"], form["closing[0].to"] = "2026-12-28", "2026-12-24"
    answer = client.post("/room/closed", data=form)
    assert answer.status_code == 422
    assert soup(answer).select_one('[id="closing[0].to-wrong"]')
    assert filled(soup(answer), "form[data-keep]")["closing[0].from"] == "2026-12-28"


def test_parts_of_the_day_and_windows_are_read(client, rooms, fern):
    form = form_of(client, "day")
    form["day[6].name"], form["day[6].from"], form["day[6].to"] = "late play", "16:00", "17:00"
    form["prep_windows[2].from"], form["prep_windows[2].to"] = "07:30", "08:00"
    form["prep_windows[2].away"] = "yes"
    client.post("/room/day", data=form)
    room = rooms.current()
    assert room.day[6] == Block("late play", dt.time(16), dt.time(17))
    assert room.prep_windows[2] == PrepWindow(
        ("mon", "tue", "wed", "thu", "fri"), dt.time(7, 30), dt.time(8), 1, True
    )


def test_a_new_label_takes_the_jots_along(client, app, rooms, fern):
    book = JotBook(app.extensions["lowshelf"].paths.database, "Fern Room")
    book.add(Jot(MONDAY, "poured and poured", ("wren",)))
    form = form_of(client, "children")
    form["children[0].label"] = "kinglet"
    client.post("/room/children", data=form)
    assert [jot.children for jot in book.find()] == [("kinglet",)]


def test_an_emptied_row_is_no_removed_child(client, rooms, fern):
    form = form_of(client, "children")
    for field in ("label", "born", "allergens"):
        form[f"children[0].{field}"] = ""
    answer = client.post("/room/children", data=form)
    assert answer.status_code == 422
    assert filled(soup(answer), "form[data-keep]")["children[0].label"] == "wren"
    assert "Remove" in words(answer)
    assert rooms.current() == fern


def test_removing_a_child_saves_the_form_asks_once_and_takes_the_jots(client, app, rooms, fern):
    book = JotBook(app.extensions["lowshelf"].paths.database, "Fern Room")
    book.add(Jot(MONDAY, "poured and poured", ("wren",)))
    form = form_of(client, "children")
    form["children[1].allergens"] = "sesame"
    form["remove"] = "wren"
    question = client.post("/room/children", data=form)
    assert "Remove wren?" in words(question)
    assert len(rooms.current().children) == 8
    client.post("/room/children/remove", data=filled(soup(question)))
    assert [child.label for child in rooms.current().children][:2] == ["robin", "finch"]
    assert rooms.current().children[0].allergens == ("sesame",)
    assert [(jot.words, jot.children) for jot in book.find()] == [("", ())]


def test_the_second_of_two_editors_sees_both_versions_and_decides(client, rooms, fern):
    first, second = form_of(client, "adults"), form_of(client, "adults")
    first["adults"] = "3"
    client.post("/room/adults", data=first)
    second["adults"] = "4"
    answer = client.post("/room/adults", data=second)
    assert answer.status_code == 409
    assert rooms.current().adults == 3
    page = soup(answer)
    assert "Someone changed this meanwhile" in page.select_one("[role=alert]").text
    assert filled(page, "form[data-keep]")["adults"] == "4"
    client.post("/room/adults", data=filled(page, "form[data-keep]"))
    assert rooms.current().adults == 4


def test_two_who_count_the_shelf_at_once_lose_nothing(client, rooms, fern):
    """The second sees both together; a thing that both counted is named with both numbers."""
    first, second = form_of(client, "stock"), form_of(client, "stock")
    names = [name for name in first if name.startswith("stock[") and name.endswith(".amount")]
    one, other, third = names[:3]
    first[one], first[other] = "41", "42"
    second[one], second[third] = "51", "53"
    client.post("/room/stock", data=first)
    saved = rooms.current().stock
    answer = client.post("/room/stock", data=second)
    assert (answer.status_code, rooms.current().stock) == (409, saved)
    said = soup(answer).select_one("[role=alert]").text
    assert "yours 51, theirs 41" in said
    assert "42" not in said.partition("What is saved now")[0]
    form = filled(soup(answer), "form[data-keep]")
    assert [form[name] for name in (one, other, third)] == ["51", "42", "53"]
    assert client.post("/room/stock", data=form).status_code == 303
    numbers = [str(line.amount.number) for line in rooms.current().stock[:3]]
    assert numbers == ["51", "42", "53"]


def test_a_form_that_lost_what_it_began_with_still_shows_both(client, rooms, fern):
    form = form_of(client, "adults")
    client.post("/room/adults", data={**form, "adults": "3"})
    answer = client.post("/room/adults", data={**form, "adults": "4", "base": "[torn"})
    assert answer.status_code == 409
    assert "yours 4, theirs 3" in soup(answer).select_one("[role=alert]").text


def test_a_form_saves_to_the_room_it_was_opened_for(client, rooms, fern):
    form = form_of(client, "adults")
    client.post("/room", data={"name": "Moss Room"})
    form["adults"] = "5"
    client.post("/room/adults", data=form)
    assert rooms.current().name == "Moss Room"
    assert (rooms.get("Fern Room").adults, rooms.get("Moss Room").adults) == (5, 2)


def test_a_new_name_keeps_the_room(client, rooms, fern):
    form = form_of(client, "adults")
    form["name"] = "The Ferns"
    client.post("/room/adults", data=form)
    assert rooms.names() == ["The Ferns"]
    assert rooms.current().children == fern.children


def test_one_of_several_rooms_is_chosen(client, rooms, fern):
    client.post("/room", data={"name": "Moss Room"})
    client.post("/room/choose", data=filled(soup(client.get("/room")), "form[action$=choose]"))
    assert rooms.current().name == "Fern Room"


@pytest.mark.parametrize("way", ["pasted", "chosen"])
def test_a_room_file_is_loaded(client, rooms, way):
    sent = (
        {"text": ROOM_FILE} if way == "pasted" else {"file": (io.BytesIO(ROOM_FILE.encode()), "r")}
    )
    assert client.post("/room/load", data=sent).status_code == 303
    assert rooms.current().centers == ("water", "books")


def test_a_room_file_with_problems_names_them_all_and_stays_in_the_box(client, rooms):
    text = ROOM_FILE.replace("adults: 3", "adults: some").replace("2024-03", "2024-13")
    answer = client.post("/room/load", data={"text": text})
    assert answer.status_code == 422
    assert len(soup(answer).select("[role=alert] li")) == 2
    assert soup(answer).select_one("textarea").text == text
    assert rooms.names() == []


def test_the_room_is_saved_as_a_file_that_reads_back(client, rooms, fern):
    answer = client.post("/room/file", data={"room": fern.name})
    assert answer.text == write_room(fern)
    assert "attachment" in answer.headers["Content-Disposition"]


def test_public_holidays_are_proposed_and_only_the_chosen_close_the_room(client, rooms, fern):
    """Dates published by the US Office of Personnel Management for 2026 and 2027."""
    page = soup(client.get("/room/holidays?country=US&from=2026-11-01"))
    proposed = [box["value"] for box in page.select("input[type=checkbox]")]
    assert {"2026-11-26", "2026-12-25", "2027-01-18"} <= set(proposed)
    assert not page.select("input[checked]")
    client.post("/room/holidays", data={"room": fern.name, "day": ["2026-11-26"]})
    assert rooms.current().closed == {dt.date(2026, 11, 26)}
    page = soup(client.get("/room/holidays?country=US&from=2026-11-01"))
    assert [box["value"] for box in page.select("input[checked][disabled]")] == ["2026-11-26"]


def test_an_unknown_country_is_explained(client, fern):
    assert "country’s code" in words(client.get("/room/holidays?country=XX")).replace("'", "’")


def test_the_year_is_cleared_after_its_counts_were_shown(client, rooms):
    rooms.save(a_room(a_child(), closed=frozenset({dt.date(2020, 1, 1)})))
    page = client.get("/room/year")
    assert "1 child" in words(page)
    assert "1 closed day " in words(page)
    client.post("/room/year", data=filled(soup(page)))
    assert rooms.current() == a_room()


def test_a_room_is_removed_after_a_question(client, rooms, fern):
    question = client.post("/room/remove", data={"room": fern.name})
    assert rooms.names() == [fern.name]
    client.post("/room/remove", data=filled(soup(question)))
    assert rooms.names() == []


def test_no_page_of_the_room_is_kept_by_a_browser(client, fern):
    for address in ("/room", *(f"/room/{section}" for section in SECTIONS), "/room/year"):
        assert client.get(address).headers["Cache-Control"] == "no-store", address


def test_the_tables_of_ratios_are_chosen_by_what_people_call_them(client, rooms, fern):
    page = soup(client.get("/room/adults"))
    chosen = page.select_one("#rules option[selected]")
    assert chosen.text == "Caring for Our Children 1.1.1.2 (centers)"
    form = form_of(client, "adults")
    form["rules"] = "montana"
    client.post("/room/adults", data=form)
    assert rooms.current().rules == "montana"


def test_a_table_or_a_decision_that_is_not_known_here_stays_as_it_is(client, rooms, fern):
    rooms.save(
        replace(
            fern,
            rules="our-county",
            policies=(Policy("ours", "as ever", "the team", dt.date(2026, 9, 1)),),
        )
    )
    assert form_of(client, "adults")["rules"] == "our-county"
    assert form_of(client, "policies")["policies[0].kind"] == "ours"


def test_what_the_room_has_decided_is_kept_and_offered_kinds_are_those_that_fold(
    client, rooms, fern
):
    page = soup(client.get("/room/policies"))
    options = page.select("select[name='policies[0].kind'] option")
    offered = {option["value"] for option in options}
    assert {"Water play", "Food", "Ratio and group size"} <= {option.text for option in options}
    assert {"water", "adults", "glitter"} <= offered
    assert not offered & {"small-part", "ball", "allergen", "missing", "prep"}
    form = form_of(client, "policies")
    form["policies[0].kind"], form["policies[0].note"] = "water", "basins only"
    form["policies[0].by"], form["policies[0].on"] = "the team", "2026-09-01"
    client.post("/room/policies", data=form)
    there = [c for c in fern.children if c.since is None or c.since <= dt.date(2026, 9, 1)]
    assert rooms.current().policies == (
        Policy(
            "water",
            "basins only",
            "the team",
            dt.date(2026, 9, 1),
            youngest_months(there, dt.date(2026, 9, 1)),
        ),
    )


def test_an_unknown_part_is_not_found(client, fern):
    assert client.get("/room/moods").status_code == 404
