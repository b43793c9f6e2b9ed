"""After a unit: what was said of each activity, and the years before."""

import datetime as dt

import pytest

from library.room.jotbook import JotBook
from library.room.jots import Answer, Jot
from library.units.parsing import write_theme, write_unit
from library.units.unit import Again, LookBack
from tests.builders import (
    CARD_TEXT,
    MONDAY,
    a_child,
    a_placement,
    a_room,
    a_theme,
    a_unit,
    write_library,
)
from tests.server.pages import filled, soup, words

BACK = "/units/leaves-and-wind/2026-fall/look-back"
YEARS = "/units/leaves-and-wind/2026-fall/years"
JUGS = CARD_TEXT.replace("Sponge rain", "Jugs and bowls")
OLD = dt.date(2025, 10, 6)


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT, "water/jugs.md": JUGS})
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir()
    (folder / "theme.md").write_text(write_theme(a_theme()))
    old = a_unit(
        a_placement("water", "sponge-rain"),
        a_placement("art", "gone"),
        starts=OLD, name="2025-fall", title="Leaves and wind, fall 2025",
        look_back=(LookBack("sponge-rain", Again.CHANGE, 14, "clip both edges"),),
    )  # fmt: skip
    new = a_unit(
        a_placement("art", "jugs", weeks=(1,)),
        a_placement("water", "sponge-rain", note="clip both edges"),
        cloned_from=old.id,
    )
    for unit in (old, new):
        (folder / f"{unit.name}.md").write_text(write_unit(unit))
    return paths


@pytest.fixture
def file(paths):
    return paths.themes / "leaves-and-wind" / "2026-fall.md"


@pytest.fixture(autouse=True)
def room(app):
    room = a_room(a_child(), centers=("water", "art"))
    app.extensions["lowshelf"].rooms.save(room)
    return room


def send(client, **changes):
    fields = filled(soup(client.get(BACK)), ".lookback")
    for name, value in changes.items():
        fields.setlist(name, [value])
    return client.post(BACK, data=fields)


def test_activities_are_asked_of_in_walking_order_with_what_is_known(client, app, room):
    book = JotBook(app.extensions["lowshelf"].paths.database, room.name)
    book.add(Jot(MONDAY, "squeezed", ("wren",), "sponge-rain", Answer.HARDER))
    book.add(Jot(OLD, "squeezed", ("wren",), "sponge-rain", Answer.AGAIN))
    page = soup(client.get(BACK))
    legends = [" ".join(each.get_text().split()) for each in page.select("legend")]
    assert legends == ["Water: Sponge rain", "Art: Jugs and bowls"]
    first = " ".join(page.select_one("fieldset").get_text(" ").split())
    assert "Remembered from before: clip both edges" in first
    assert "planned 8, took 14" in first
    assert "Your jots say harder (1)." in first
    assert "wren" not in page.get_text()


def test_what_is_said_is_written_and_shown_on_the_card_and_in_the_next_clone(client, file):
    before = file.read_text()
    answer = send(
        client,
        **{
            "again.sponge-rain": "change",
            "took.sponge-rain": "16",
            "note.sponge-rain": "two tubs",
            "again.jugs": "no",
        },
    )
    assert answer.status_code == 303
    assert "Kept what you said of 2 activities" in words(client.get(BACK))
    assert file.read_text().startswith(before.removesuffix("---\n"))
    assert "{activity: sponge-rain, again: change, took: 16, note: two tubs}" in file.read_text()
    card = words(client.get("/activities/sponge-rain"))
    assert "planned 8, took 14 and 16" in card
    clone = words(client.get("/units/leaves-and-wind/2026-fall/clone?starts=2027-10-04"))
    assert "Learned: two tubs" in clone
    assert "Jugs and bowls Left out Not again" in clone


def test_a_note_without_a_word_on_whether_to_do_it_again_is_asked_about(client, file):
    before = file.read_bytes()
    answer = send(client, **{"note.jugs": "too wet", "took.sponge-rain": "long"})
    assert answer.status_code == 422
    page = soup(answer)
    assert len(page.select("#problems li")) == 3
    assert page.select_one("[name='note.jugs']")["value"] == "too wet"
    assert page.select_one("[name='took.sponge-rain']")["value"] == "long"
    assert file.read_bytes() == before


def test_nothing_said_writes_nothing(client, file):
    before = file.read_bytes()
    assert send(client).status_code == 303
    assert file.read_bytes() == before


def test_a_unit_that_changed_meanwhile_keeps_both(client, file):
    fields = filled(soup(client.get(BACK)), ".lookback")
    fields["again.jugs"], fields["note.jugs"] = "yes", "loved"
    theirs = file.read_text().replace("weeks: 2", "weeks: 3")
    file.write_text(theirs)
    answer = client.post(BACK, data=fields)
    assert answer.status_code == 409
    assert "weeks 2 → 3" in words(answer)
    assert file.read_text() == theirs
    again = filled(soup(answer), ".lookback")
    assert again["note.jugs"] == "loved"
    assert client.post(BACK, data=again).status_code == 303
    assert "weeks: 3" in file.read_text()
    assert "note: loved" in file.read_text()


def test_what_others_said_meanwhile_stays_where_nothing_else_was_typed(client, file):
    """The form showed what was said when it was opened; that is no answer of its own."""
    said = (LookBack("sponge-rain", Again.YES, 5, "loved"), LookBack("jugs", Again.NO))
    rows = (a_placement("art", "jugs"), a_placement("water", "sponge-rain"))
    file.write_text(write_unit(a_unit(*rows, look_back=said)))
    fields = filled(soup(client.get(BACK)), ".lookback")
    fields["again.jugs"] = "yes"
    file.write_text(file.read_text().replace("took: 5, note: loved", "took: 6, note: ask for bags"))
    answer = client.post(BACK, data=fields)
    assert answer.status_code == 409
    again = filled(soup(answer), ".lookback")
    assert (again["note.sponge-rain"], again["again.jugs"]) == ("ask for bags", "yes")
    assert client.post(BACK, data=again).status_code == 303
    assert "took: 6, note: ask for bags" in file.read_text()
    assert "{activity: jugs, again: 'yes'}" in file.read_text()


def test_a_childs_label_in_a_note_is_asked_about(client, file):
    before = file.read_bytes()
    answer = send(client, **{"again.jugs": "yes", "note.jugs": "Wren poured all morning"})
    assert answer.status_code == 422
    assert "Is a child meant here?" in words(answer)
    assert file.read_bytes() == before
    kept = client.post(BACK, data={**filled(soup(answer)), "labels_known": "yes"})
    assert kept.status_code == 303
    assert "Wren poured all morning" in file.read_text()


def test_a_unit_shows_the_years_before_and_what_changed_each_time(client):
    shown = words(client.get(YEARS))
    assert "Jugs and bowls added to Art" in shown
    assert "Gone taken out of Art" in shown
    assert "Looked back: 1 to change" in shown
    assert "Sponge rain to change clip both edges" in shown
    old = words(client.get(YEARS.replace("2026", "2025")))
    assert "not made from an earlier one" in old
    assert "Cloned into Leaves and wind, fall 2026" in old


def test_what_children_did_is_kept_by_no_browser(client):
    assert client.get(BACK).headers["Cache-Control"] == "no-store"


def test_the_api_gives_the_years_before(client):
    found = client.get("/api/units/leaves-and-wind/2026-fall/years").json
    assert found["unit"] == "leaves-and-wind/2026-fall"
    (year,) = found["years"]
    assert (year["unit"], year["starts"]) == ("leaves-and-wind/2025-fall", "2025-10-06")
    assert "jugs added to art" in year["changes"]
    assert year["look_back"][0]["note"] == "clip both edges"


def test_a_unit_that_is_over_asks_to_be_looked_back_on(client, file):
    over = write_unit(a_unit(a_placement(), starts=dt.date(2020, 10, 5)))
    file.write_text(over)
    assert "This unit is over." in words(client.get(BACK.removesuffix("/look-back")))
    said = LookBack("sponge-rain", Again.YES)
    file.write_text(write_unit(a_unit(a_placement(), starts=OLD, look_back=(said,))))
    assert "This unit is over." not in words(client.get(BACK.removesuffix("/look-back")))
