"""Text that would go into the library folder is asked about first where it names a child."""

from inspect import getsource

import pytest
from werkzeug.datastructures import MultiDict

from library.store.atomic import fingerprint
from library.units.parsing import write_theme, write_unit
from tests.builders import CARD_TEXT, a_child, a_placement, a_room, a_theme, a_unit
from tests.server.pages import filled, soup

PLAN = "/units/leaves-and-wind/2026-fall"
NEW = {"centers": "water", "ages": "24-48", "prep": "5", "group": "1-4", "parts[0].text": "Pour."}
"""What a new card needs besides its title."""
ASKS = {
    "renaming.save": ("/activities/sponge-rain/rename", {"name": "Rain of wren"}),
    "themes.create": ("/themes/new", {"title": "wren's nest", "words[0].en": "wren"}),
    "themes.update": ("/themes/leaves-and-wind/edit", {"title": "Leaves", "body": "as wren said"}),
    "themes.begin_unit": (
        "/themes/leaves-and-wind/units",
        {"title": "Wren", "starts": "2026-11-02", "weeks": "1"},
    ),
    "units.place": (f"{PLAN}/placements", {"do": "stays", "center": "art", "add": "for Wren"}),
    "units.edit": (f"{PLAN}/placements/0", {"do": "change", "prop.catcher": "cups of wren"}),
    "writing.create": ("/activities/new", {"title": "Jugs of wren", **NEW}),
    "writing.update": ("/activities/sponge-rain/edit", {"title": "Wren rain"}),
    "plainfile.save": (
        "/activities/sponge-rain/file",
        {"text": CARD_TEXT.replace("Sponge rain", "Wren rain")},
    ),
    "review.comment": ("/review/sponge-rain/comments", {"text": "as wren said"}),
    "clone.save": (f"{PLAN}/clone", {"name": "2027-wren", "starts": "2027-10-04"}),
    "materials.state_label": ("/materials/hand-sponge/label", {"label": "names", "other": "wren"}),
    "lookback.save": (
        f"{PLAN}/look-back",
        {"again.sponge-rain": "yes", "note.sponge-rain": "wren poured"},
    ),
}
"""Endpoint → an address of it, and a form that names a child."""
WRITES_NO_TEXT = {
    "materials.choose_lists", "materials.measure", "photos.add", "photos.remove", "prep.change",
    "printing.edit", "removing.remove", "review.join",
    "review.mark", "review.remove_comment", "review.take_out_picture", "supplies.arrive",
    "supplies.change", "supplies.count", "units.edit_weeks", "units.undo", "unitviews.carry_on",
    "versions.remove",
}  # fmt: skip
"""Changes without any text of one's own, with text that was asked about before, or not of the folder."""
PRIVATE = ("room.", "decisions.", "jots.", "door.", "own.", "people.")
"""Pages that write into the private database alone."""


@pytest.fixture
def library(app, paths):
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir()
    (folder / "theme.md").write_text(write_theme(a_theme()))
    (folder / "2026-fall.md").write_text(write_unit(a_unit(a_placement())))
    app.extensions["lowshelf"].rooms.save(a_room(a_child("wren")))
    return paths


def _files(paths):
    return {file: file.read_bytes() for file in paths.folder.rglob("*") if file.is_file()}


@pytest.mark.parametrize("endpoint", ASKS)
def test_a_label_is_shown_and_asked_about_and_nothing_is_written(client, library, endpoint):
    address, fields = ASKS[endpoint]
    before, form = _files(library), MultiDict()
    if endpoint.startswith("writing."):
        form = filled(soup(client.get(address)), "form[data-card]")
    for name, value in fields.items():
        form.setlist(name, [value])
    answer = client.post(address, data=form)
    assert answer.status_code == 422
    assert answer.headers["Cache-Control"] == "no-store"
    page = soup(answer)
    assert page.h1.text == "Is a child meant here?"
    assert page.select_one("form")["action"] == address
    kept = {field["name"] for field in page.select("form [name]")}
    assert set(fields) <= kept
    assert _files(library) == before


def test_a_version_that_names_a_child_is_asked_about_before_it_comes_back(client, app, library):
    """A file may have named a bird long before a child came who is called so."""
    history, file = app.extensions["lowshelf"].history, "themes/leaves-and-wind/2026-fall.md"
    path = library.folder / file
    now = path.read_text()
    path.write_text(now.replace("title: Leaves", "title: Wren and leaves"))
    history.record([file], "named")
    path.write_text(now)
    history.record([file], "no longer")
    sent = {"version": history.versions(file)[1].id, "mark": fingerprint(path.read_bytes())}
    answer = client.post(f"/versions/{file}", data=sent)
    assert (answer.status_code, answer.headers["Cache-Control"]) == (422, "no-store")
    assert b"wren" in answer.data
    assert path.read_text() == now


def test_every_change_says_whether_it_writes_text_that_others_see(app):
    changes = {
        rule.endpoint
        for rule in app.url_map.iter_rules()
        if "POST" in rule.methods and not rule.endpoint.startswith(PRIVATE)
    }
    ways = ("named_children(", "ask_about_choice(")
    sources = {endpoint: getsource(app.view_functions[endpoint]) for endpoint in changes}
    asking = {each for each in changes if any(way in sources[each] for way in ways)}
    missing = changes - asking - ASKS.keys() - WRITES_NO_TEXT
    assert sorted(missing) == [], (
        "If it writes typed text into the library folder, ask first with named_children() and "
        "ask_about() of server/naming.py; otherwise add it to WRITES_NO_TEXT."
    )


def test_it_is_saved_when_the_word_is_said_to_be_just_a_word(client, library):
    address, fields = ASKS["units.edit"]
    mark = soup(client.get(PLAN)).select_one(".planner")["data-fingerprint"]
    sent = {**fields, "fingerprint": mark, "labels_known": "yes"}
    assert client.post(address, data=sent).status_code == 303
    assert "cups of wren" in (library.themes / "leaves-and-wind" / "2026-fall.md").read_text()
