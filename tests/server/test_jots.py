"""Jots as pages: private, found by child, activity and date, and never in an address."""

import datetime as dt
from dataclasses import replace

import pytest

from library.room.jotbook import JotBook
from library.room.jots import Answer, Jot
from library.units.parsing import write_theme, write_unit
from tests.builders import CARD_TEXT, a_child, a_placement, a_room, a_theme, a_unit, write_library
from tests.server.pages import filled, soup, words

TODAY = dt.date.today()
MONDAY = TODAY - dt.timedelta(days=TODAY.weekday())
OLD = TODAY - dt.timedelta(days=90)


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT})
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir()
    (folder / "theme.md").write_text(write_theme(a_theme()))
    (folder / "now.md").write_text(write_unit(a_unit(a_placement(), starts=MONDAY, name="now")))
    return paths


@pytest.fixture
def book(app, paths):
    app.extensions["lowshelf"].rooms.save(a_room(a_child("wren"), a_child("robin")))
    return JotBook(paths.database, "Fern Room")


def write(client, **changes):
    fields = filled(soup(client.get("/jots")), "main form")
    for name, value in changes.items():
        fields.setlist(name, value if isinstance(value, list) else [value])
    return client.post("/jots", data=fields)


def test_a_line_is_kept_with_children_activity_day_and_answer(client, book):
    answer = write(
        client, words="poured side by side", child=["wren", "robin"], activity="sponge-rain",
        answer="harder",
    )  # fmt: skip
    assert answer.status_code == 303
    assert answer.headers["Location"] == "/jots"
    (jot,) = book.find()
    assert (jot.words, jot.children, jot.day) == ("poured side by side", ("robin", "wren"), TODAY)
    assert (jot.activity, jot.answer) == ("sponge-rain", Answer.HARDER)
    assert "next time harder" in words(client.get("/jots"))


def test_everything_that_is_missing_is_said_and_nothing_typed_is_lost(client, book):
    answer = write(client, words="", child=[], day="someday", answer="easier")
    assert answer.status_code == 422
    page = soup(answer)
    assert len(page.select("#problems li")) == 4
    assert page.select_one("[name=answer][value=easier]").has_attr("checked")
    answer = write(client, words="squeezed both sponges", child=[])
    assert "squeezed both sponges" in soup(answer).select_one("textarea").text
    assert book.find() == []


def offered(page):
    groups = page.select("#activity optgroup")
    return {each["label"]: [option["value"] for option in each.select("option")] for each in groups}


@pytest.fixture
def weeks(paths):
    """What stands this week, what stands in the next, and what stands nowhere."""
    for name in ("soap-suds", "ice-boats"):
        text = CARD_TEXT.replace("Sponge rain", name.replace("-", " ").capitalize())
        (paths.activities / "water" / f"{name}.md").write_text(text)
    unit = a_unit(
        a_placement(weeks=(1,)), a_placement(activity="soap-suds", weeks=(2,)), starts=MONDAY
    )
    (paths.themes / "leaves-and-wind" / "now.md").write_text(write_unit(replace(unit, name="now")))


def test_what_stands_on_the_day_is_offered_first_then_its_unit_then_everything(client, book, weeks):
    page = soup(write(client, words="", day=MONDAY.isoformat()))
    groups = list(offered(page).items())
    assert groups[0][0].startswith("Set up on Mon")
    assert [names for _, names in groups] == [["sponge-rain"], ["soap-suds"], ["ice-boats"]]
    assert [heading for heading, _ in groups[1:]] == [
        "On other days of the unit",
        "All other activities",
    ]


def test_another_day_shows_what_stood_on_it_and_keeps_nothing(client, book, weeks):
    fields = filled(soup(client.get("/jots")), "main form")
    after = MONDAY + dt.timedelta(days=7)
    fields["words"], fields["day"], fields["activity"] = "poured", after.isoformat(), "ice-boats"
    page = soup(client.post("/jots/day", data=fields))
    assert next(iter(offered(page).values())) == ["soap-suds"]
    again = filled(page, "main form")
    assert (again["words"], again["day"], again["activity"]) == (
        "poured",
        after.isoformat(),
        "ice-boats",
    )
    assert book.find() == []


def test_a_day_without_a_unit_offers_every_activity(client, book, weeks):
    page = soup(write(client, words="", day=OLD.isoformat()))
    assert list(offered(page)) == ["All other activities"]


def test_a_day_that_has_not_come_is_asked_about_once(client, book):
    day = (TODAY + dt.timedelta(days=3)).isoformat()
    asked = write(client, words="poured", child="wren", day=day)
    assert asked.status_code == 422
    assert "This day has not come yet" in words(asked)
    assert book.find() == []
    fields = filled(soup(asked), "main form")
    other = (TODAY + dt.timedelta(days=4)).isoformat()
    assert client.post("/jots", data={**fields, "day": other}).status_code == 422
    assert client.post("/jots", data=fields).status_code == 303
    assert [jot.day.isoformat() for jot in book.find()] == [day]


def find(client, **asked):
    page = soup(client.get("/jots"))
    fields = filled(page, "form[role=search]")
    for name, value in asked.items():
        fields[name] = value
    return client.post("/jots/find", data=fields)


def test_jots_are_found_by_child_activity_and_date(client, book):
    book.add(Jot(TODAY, "poured into the tub", ("wren",), "sponge-rain"))
    book.add(Jot(OLD, "ran to the door", ("robin",)))
    assert "ran to the door" not in words(find(client, child="wren"))
    assert "poured into the tub" in words(find(client, child="wren"))
    assert "poured into the tub" not in words(find(client, until=OLD.isoformat()))
    assert "ran to the door" not in words(find(client, since=TODAY.isoformat()))
    by_card = client.get("/jots?activity=sponge-rain")
    assert "poured into the tub" in words(by_card)
    assert "ran to the door" not in words(by_card)
    assert "Nothing was jotted down that fits" in words(
        find(client, child="wren", until="2000-01-01")
    )


def test_nothing_of_a_child_is_in_an_address_a_cookie_or_a_cache(client, book):
    jot = book.add(Jot(TODAY, "poured", ("wren",), "sponge-rain"))
    answer = write(client, words="wren again", child="wren")
    assert "wren" not in str(answer.headers)
    for answer in (client.get("/jots"), client.get(f"/jots/{jot.id}"), find(client, child="wren")):
        assert answer.headers["Cache-Control"] == "no-store"
        page = soup(answer)
        addresses = [e.get("href") or e.get("action") or "" for e in page.select("a, form")]
        assert not [each for each in addresses if "wren" in each]
        assert all(f["method"] == "post" for f in page.select("main form"))
    assert "ran" not in words(client.get("/jots?child=wren&since=2000-01-01"))


def test_a_jot_is_changed_and_removed(client, book):
    jot = book.add(Jot(TODAY, "poured", ("wren",), "sponge-rain", Answer.AGAIN))
    address = f"/jots/{jot.id}"
    fields = filled(soup(client.get(address)), "main form")
    assert (fields["words"], fields["answer"]) == ("poured", "again")
    fields["words"], fields["answer"] = "poured and stopped", ""
    assert client.post(address, data=fields).status_code == 303
    assert [(j.words, j.answer) for j in book.find()] == [("poured and stopped", None)]
    wrong = client.post(address, data={**fields, "words": ""})
    assert wrong.status_code == 422
    assert client.post(address, data={**fields, "do": "remove"}).status_code == 303
    assert book.find() == []
    assert client.get(address).status_code == 404
    assert client.get(f"/jots/{'9' * 30}").status_code == 404


def test_another_rooms_jots_are_not_seen(client, app, paths, book):
    jot = book.add(Jot(TODAY, "poured", ("wren",)))
    app.extensions["lowshelf"].rooms.save(a_room(a_child("finch"), name="Moss Room"))
    assert "poured" not in words(client.get("/jots"))
    assert client.get(f"/jots/{jot.id}").status_code == 404
    assert client.post(f"/jots/{jot.id}", data={"do": "remove"}).status_code == 404
    assert len(book.find()) == 1


def test_nobody_is_counted_or_ranked(client, book):
    """AGE6."""
    for _ in range(3):
        book.add(Jot(TODAY, "poured", ("wren",)))
    shown = words(client.get("/jots")).lower()
    for word in ("score", "rank", "average", "milestone", "level", "3 jots"):
        assert word not in shown


def test_a_sheet_for_a_pen_is_a_click_away_while_a_unit_stands(client, book):
    link = soup(client.get("/jots")).select_one("a:-soup-contains('with a pen')")
    assert link["href"] == "/units/leaves-and-wind/now/print/jot-sheet"
    assert client.get(link["href"]).status_code == 200


def test_without_a_room_the_way_to_one_is_shown(client):
    assert "there is none yet" in words(client.get("/jots"))
    assert client.post("/jots", data={}).status_code == 404
