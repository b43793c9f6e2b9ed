"""Themes: made, changed and planned with; nothing typed is lost."""

import datetime as dt
import re

import pytest

from library.units.parsing import write_unit
from tests.builders import CARD_TEXT, MONDAY, a_child, a_room, a_unit, write_library
from tests.server.pages import filled, soup, words

THEME = """\
---
title: Leaves and wind   # the old name was longer
seasons: [fall]
words:
  - {en: leaf, es: hoja}
  - gust
props: {catcher: curled silk leaves}
songs:
  - title: One leaf
    text: |
      One leaf let go
      and rode the air
mood: brisk
---

Ask families for one bag each.
"""


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT})
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir()
    (folder / "theme.md").write_text(THEME)
    return paths


@pytest.fixture
def theme(app):
    return lambda name="leaves-and-wind": app.extensions["lowshelf"].units.read_theme(name).theme


def form_of(client, address):
    return filled(soup(client.get(address)), "form[data-keep]")


def test_a_theme_is_made_from_a_form(client, theme):
    form = form_of(client, "/themes/new")
    form["title"] = "By the sea"
    form.setlist("seasons", ["summer"])
    form["words[0].en"], form["props[0].name"], form["props[0].word"] = "shell", "catcher", "shells"
    form["songs[0].title"], form["songs[0].text"] = "Waves", "In and out\r\nand in"
    answer = client.post("/themes/new", data=form)
    assert answer.headers["Location"] == "/themes/by-the-sea"
    made = theme("by-the-sea")
    assert (made.title, made.seasons, made.words) == ("By the sea", ("summer",), ({"en": "shell"},))
    assert made.props == {"catcher": "shells"}
    assert made.songs[0].text == "In and out\nand in"
    assert made.problems == ()


def test_everything_missing_is_said_at_once_and_what_was_typed_stays(client, paths):
    form = form_of(client, "/themes/new")
    form["books[0].author"] = "Somebody"
    form["props[0].name"], form["props[1].word"] = "Two Words", "shells"
    answer = client.post("/themes/new", data=form)
    assert answer.status_code == 422
    page = soup(answer)
    assert {span["id"].removesuffix("-wrong") for span in page.select(".wrong")} == {
        "title",
        "books[0].title",
        "props[0].name",
        "props[0].word",
        "props[1].name",
    }
    assert filled(page, "form[data-keep]")["books[0].author"] == "Somebody"
    assert [each.name for each in paths.themes.iterdir()] == ["leaves-and-wind"]


def test_a_theme_called_new_has_a_page_of_its_own(client):
    """The address that its title would have is that of the form for another theme."""
    form = form_of(client, "/themes/new")
    form["title"] = "New"
    form.setlist("seasons", ["fall"])
    answer = client.post("/themes/new", data=form)
    assert answer.headers["Location"] == "/themes/new-theme"
    assert soup(client.get("/themes/new-theme")).h1.text == "New"
    assert "already" in words(client.post("/themes/new", data=form))


def test_a_theme_is_never_written_over(client, paths):
    form = form_of(client, "/themes/new")
    form["title"] = "Leaves and Wind"
    answer = client.post("/themes/new", data=form)
    assert answer.status_code == 422
    assert soup(answer).select_one("#title-wrong")
    assert (paths.themes / "leaves-and-wind" / "theme.md").read_text() == THEME


def test_saving_a_theme_as_it_stands_changes_no_byte(client, paths):
    client.post(
        "/themes/leaves-and-wind/edit", data=form_of(client, "/themes/leaves-and-wind/edit")
    )
    assert (paths.themes / "leaves-and-wind" / "theme.md").read_text() == THEME


def test_a_change_touches_only_its_lines(client, paths):
    form = form_of(client, "/themes/leaves-and-wind/edit")
    form["bin"] = "C2"
    client.post("/themes/leaves-and-wind/edit", data=form)
    text = (paths.themes / "leaves-and-wind" / "theme.md").read_text()
    assert text == THEME.replace("mood: brisk\n", "bin: C2\nmood: brisk\n")


def test_the_second_of_two_editors_of_a_theme_is_told(client, theme):
    first = form_of(client, "/themes/leaves-and-wind/edit")
    second = form_of(client, "/themes/leaves-and-wind/edit")
    first["props[0].word"] = "toy boats"
    client.post("/themes/leaves-and-wind/edit", data=first)
    second["bin"] = "C2"
    answer = client.post("/themes/leaves-and-wind/edit", data=second)
    assert answer.status_code == 409
    assert "toy boats" in soup(answer).select_one("[role=alert]").text
    assert theme().bin == ""
    assert filled(soup(answer), "form[data-keep]")["bin"] == "C2"


def test_props_that_cards_leave_open_are_named(client):
    page = client.get("/themes/new")
    assert soup(page).select_one("datalist option")["value"] == "catcher"
    assert "Without a word so far: catcher" in words(page)


def test_a_label_in_a_theme_is_asked_about(client, app, theme):
    app.extensions["lowshelf"].rooms.save(a_room(a_child("kinglet")))
    form = form_of(client, "/themes/leaves-and-wind/edit")
    form["body"] += "\r\nKinglet brings leaves."
    answer = client.post("/themes/leaves-and-wind/edit", data=form)
    assert answer.status_code == 422
    assert "Kinglet" in soup(answer).select_one("textarea").text
    assert "Kinglet" not in theme().body
    client.post(soup(answer).form["action"], data={**filled(soup(answer)), "labels_known": "yes"})
    assert "Kinglet" in theme().body


def test_a_unit_is_begun_on_the_monday_that_is_proposed(client, app, paths):
    later = MONDAY + dt.timedelta(days=7 * 300)
    file = paths.themes / "leaves-and-wind" / "2032-fall.md"
    file.write_text(write_unit(a_unit(name="2032-fall", starts=later)))
    page = soup(client.get("/themes/leaves-and-wind"))
    form = filled(page, "form[action$=units]")
    assert form["starts"] == (later + dt.timedelta(days=14)).isoformat()
    answer = client.post("/themes/leaves-and-wind/units", data=form)
    assert answer.status_code == 303
    assert re.fullmatch(r"/units/leaves-and-wind/2032-[a-z]+(-2)?", answer.headers["Location"])
    made = app.extensions["lowshelf"].units.read(answer.headers["Location"][7:]).unit
    assert (made.weeks, made.placements) == (2, ())
    assert made.title.startswith("Leaves and wind, ")


def test_a_start_that_is_no_monday_is_refused_beside_its_field(client, paths):
    """CAL2: the Monday before is named."""
    answer = client.post(
        "/themes/leaves-and-wind/units", data={"starts": "2026-10-07", "weeks": "0"}
    )
    assert answer.status_code == 422
    page = soup(answer)
    assert "2026-10-05" in page.select_one("#starts-wrong").text
    assert page.select_one("#weeks-wrong")
    assert page.select_one("#starts")["value"] == "2026-10-07"


def test_files_with_problems_are_listed(client, paths):
    (paths.themes / "leaves-and-wind" / "2026-fall.md").write_text("---\ntitle: x\n---\n")
    (paths.themes / "leaves-and-wind" / "theme.md").write_text("---\ntitle: [\n---\n")
    listed = " ".join(item.text for item in soup(client.get("/themes")).select(".problem li"))
    assert "2026-fall.md" in listed
    assert "theme.md" in listed
