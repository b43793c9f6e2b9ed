"""What is known of children is looked for everywhere it must not be, after a walk through it all.

Labels, an allergen, a month of birth, a jot and a decision of the room are long and unlikely. A
real server is asked for every page, its forms are sent, and then everything it wrote or said is read.
"""

import datetime as dt
import io
import json
import zipfile
from dataclasses import replace

import pdfplumber
import pytest
from flask.sessions import SecureCookieSessionInterface
from PIL import Image

from library.history.versions import History
from library.paper.sheet import Audience
from library.paper.sheets import SHEETS
from library.room.demo import demo_room
from library.room.jotbook import JotBook
from library.room.jots import Jot
from library.room.room import Child, Policy
from library.room.rooms import Rooms
from server import create_app
from server.printing import FORMS
from server.settings import load_settings
from tests.browser.places import starter_library
from tests.packed import holds, within
from tests.served import Served
from tests.server.walking import Visitor

pytestmark = pytest.mark.timeout(300)
WREN, ROBIN, SWIFT = "zaunkoenig-quux", "rotkehlchen-quux", "mauersegler-quux"
MARKS = (
    WREN, ROBIN, SWIFT, "allergen-quux", "jot-quux", "note-quux",
    "1987-11", "November 1987", "Nov 1987", "11/1987",
)  # fmt: skip
"""What is looked for. The month lies far from any date that the library could hold by itself."""
UNIT = "/units/leaves-and-wind/2025-fall"
SIGNING_IN = ("door", "own", "people", "trust")
"""Pages that do nothing where only this machine reaches the server."""


@pytest.fixture(scope="module")
def paths(tmp_path_factory):
    return starter_library(tmp_path_factory.mktemp("privacy"))


@pytest.fixture(scope="module")
def app(paths):
    """An app of which only the routes and the cookies are used."""
    return create_app(load_settings(paths, {}, watch=False))


@pytest.fixture(scope="module")
def walked(paths, app):
    """A visitor who has been everywhere and done everything, and the server that has ended since."""
    _furnish(paths)
    served = Served(paths).wait()
    visitor = Visitor(served.url, app)
    try:
        _do_everything(visitor)
        for address in _dressed(app):
            visitor.get(address)
        visitor.walk("/", "/themes", "/room", "/jots", "/review", "/versions", UNIT, most=2)
    finally:
        served.stop()
    visitor.output = served.output.read_text(encoding="utf-8")
    return visitor


def _furnish(paths) -> None:
    example = demo_room(dt.date(2025, 10, 6))
    children = (
        Child(WREN, (2023, 10), ("wheat", "allergen-quux")),
        Child(ROBIN, (1987, 11), ("egg",)),
        Child(SWIFT, (2022, 11)),
    )
    decided = (Policy("food", "note-quux", "the team", dt.date(2025, 9, 1)),)
    room = replace(example, name="Moss Room", demo=False, children=children, policies=decided)
    Rooms(paths.database).save(room)
    jot = Jot(dt.date(2025, 10, 6), f"jot-quux of {WREN}", (WREN,), "sponge-rain")
    JotBook(paths.database, room.name).add(jot)
    card = paths.activities / "water" / "sponge-rain.md"
    for picture in ("sponge-rain-1.jpg", "gone-1.jpg"):  # the second of a card that was removed
        Image.new("RGB", (8, 8)).save(card.with_name(picture))
    text = card.read_text("utf-8").replace("---\n", "---\nphotos: [sponge-rain-1.jpg]\n", 1)
    card.write_text(text, "utf-8")


def _dressed(app) -> list[str]:
    """Addresses that a walk might miss: every one under ``/api/``, every sheet, views with wishes."""
    named = {"card_id": "sponge-rain", "theme_id": "leaves-and-wind", "name": "2025-fall"}
    named |= {"theme": "leaves-and-wind", "part": "shopping"}
    urls = app.url_map.bind("127.0.0.1")
    api = [rule for rule in app.url_map.iter_rules() if rule.rule.startswith("/api/")]
    found = [
        urls.build(r.endpoint, {key: named[key] for key in r.arguments})
        for r in api
        if r.arguments <= set(named)
    ]
    days = [f"/today?day=2025-10-0{day}" for day in (6, 7)]
    views = [f"{UNIT}/{view}" for view in ("carry-over?to=by-the-sea", "one-adult-fewer?adults=0")]
    room = [f"/room/{part}" for part in ("children", "adults", "policies", "year", "holidays")]
    sheets = [f"{UNIT}/print/{name}" for name in SHEETS]
    lost = ["/nowhere", "/room/nowhere", f"{UNIT}/print/nowhere", "/jots/999"]
    lone = urls.build("review.picture", {"file": "activities/water/gone-1.jpg"})
    later = [f"{UNIT}/later", "/activities/sponge-rain/photos/1", lone]
    asked = ["/?q=water&for=room", "/api/search?q=water&for=room", "/activities/sponge-rain"]
    return [*found, *later, *days, *views, *room, *sheets, *_files(), *lost, *asked]


def _files() -> list[str]:
    """The sheets for others as files, in every form."""
    return [
        f"{UNIT}/print/{name}.{ending}"
        for name, entry in SHEETS.items()
        if entry.audience is not Audience.STAFF
        for ending in FORMS
    ]


def _do_everything(visitor: Visitor) -> None:
    """Sends what a teacher sends, right and wrong; a text that names a child is asked about first."""
    _plan_and_look_back(visitor)
    children = visitor.get("/room/children")
    wrong = visitor.send(children, "form.sheet", **{"children[0].born": f"{SWIFT} November 1987"})
    assert wrong.status == 422
    renamed = {"children[0].label": f"{WREN}-anew", "children[0].allergens": "wheat, allergen-quux"}
    assert visitor.send(children, "form.sheet", **renamed).status == 303
    back = {"children[0].label": WREN}
    assert visitor.send(visitor.get("/room/children"), "form.sheet", **back).status == 303
    removing = {"room": "Moss Room", "label": SWIFT, **_token(children)}
    assert within(visitor.post("/room/children/remove", removing).text, [SWIFT])
    assert visitor.post("/room/children/remove", {**removing, "sure": "yes"}).status == 303
    exported = visitor.post("/room/file", {"room": "Moss Room", **_token(children)})
    assert within(exported.text, MARKS)
    visitor.post("/jots/find", {"child": WREN, **_token(children)})
    visitor.post("/jots", {"text": f"{WREN} jot-quux", "day": "no day", **_token(children)})


def _plan_and_look_back(visitor: Visitor) -> None:
    begun = visitor.send(visitor.get("/themes/puddle-days"), "form[action$='/units']")
    plan = begun.headers["Location"]
    rows = [("water", "sponge-rain", "place"), ("dough", "first-dough", "place")]
    for center, activity, do in [*rows, ("blocks", "", "stays")]:
        page = visitor.get(plan)
        mark = page.page.select_one(".planner")["data-fingerprint"]
        sent = {"center": center, "activity": activity, "do": do, "fingerprint": mark}
        assert visitor.post(f"{plan}/placements", {**sent, **_token(page)}).status == 303
    assert WREN in within(visitor.get(plan).text, MARKS)
    opened = visitor.get(visitor.get(plan).page.select_one(".placed a")["href"])
    asked = visitor.send(opened, ".drawer form", note=f"near {WREN}")
    assert (asked.status, within(asked.text, MARKS)) == (422, [WREN])
    assert visitor.send(asked, "main form", note="near the door").status == 303
    undone = visitor.send(visitor.get(plan), ".totals form")
    assert undone.status == 303
    back = visitor.get(f"{UNIT}/look-back").page.select_one("[name^='note.']")["name"]
    for address, selector, name in (
        (f"{UNIT}/look-back", "form.lookback", back),
        ("/themes/puddle-days/edit", "form[data-keep]", "body"),
        ("/themes/puddle-days", "form[action$='/units']", "title"),
    ):
        extra = {back.replace("note", "again"): "yes"}
        asked = visitor.send(visitor.get(address), selector, **extra, **{name: f"As {ROBIN} said"})
        assert (asked.status, within(asked.text, MARKS)) == (422, [ROBIN]), address
        assert visitor.send(asked, "main form", **{name: "As they said"}).status == 303
    clone = visitor.get(f"{UNIT}/clone")
    assert visitor.send(clone, "main form[method=post]").status == 303


def _token(answer) -> dict[str, str]:
    return {"form_token": answer.page.select_one("meta[name=form-token]")["content"]}


def test_the_walk_went_past_every_page_there_is(walked, app):
    reached = {answer.endpoint for answer in walked.answers if answer.status == 200}
    wanted = {
        rule.endpoint
        for rule in app.url_map.iter_rules()
        if "GET" in rule.methods and rule.endpoint.split(".")[0] not in (*SIGNING_IN, "static")
    }
    assert sorted(wanted - reached - {"clone.choose"}) == [], "lead the walk there in _dressed()"
    assert not [answer.address for answer in walked.answers if answer.status >= 500]


def test_no_address_names_a_child(walked):
    for answer in walked.answers:
        for address in (answer.address, *answer.addresses()):
            assert within(address, MARKS) == [], f"{address} on {answer.address}"


def test_no_cookie_and_no_header_names_a_child(walked, app):
    signer = SecureCookieSessionInterface().get_signing_serializer(app)
    for answer in walked.answers:
        for name, value in answer.headers.items():
            assert within(value, MARKS) == [], f"{name} of {answer.address}"
            if name == "Set-Cookie" and "lowshelf" in value:
                cookie = value.split(";")[0].partition("=")[2]
                read = json.dumps(signer.loads(cookie), default=str)
                assert within(read, MARKS) == [], f"cookie of {answer.address}"


def test_a_page_that_names_a_child_is_kept_by_no_browser_and_is_one_of_those_that_may(walked):
    naming = {a.endpoint for a in walked.answers if within(a.text, MARKS)}
    for answer in walked.answers:
        if within(answer.text, MARKS):
            assert answer.headers["Cache-Control"] == "no-store", answer.address
    team = {"units.show", "units.edit", "api.unit_check", "printing.index", "printing.show"}
    team |= {"clone.show", "materials.show"}  # their findings say what the room decided about them
    jots = {"jots.index", "jots.edit", "jots.find", "jots.create"}
    asking = {"lookback.save", "themes.update", "themes.begin_unit"}
    rooms = {e for e in naming if e.startswith("room.")}
    assert naming <= team | jots | asking | rooms
    assert {"units.show", "jots.index", "room.show", "room.edit"} <= naming


def test_what_is_printed_for_others_names_no_child_in_any_form(walked):
    others = [name for name, entry in SHEETS.items() if entry.audience is not Audience.STAFF]
    assert {"posted-plan", "family-letter"} <= set(others)
    pages = {answer.address: answer for answer in walked.answers}
    for address in (*(f"{UNIT}/print/{name}" for name in others), *_files()):
        answer = pages[address]
        assert answer.status in (200, 404), address
        assert within(_words_of(answer), MARKS) == [], address


def test_the_server_says_nothing_of_children(walked):
    assert "cards are ready" in walked.output
    assert within(walked.output, MARKS) == []


def test_no_file_of_the_library_and_none_but_the_database_holds_them(walked, paths):
    for folder in (paths.folder, paths.data):
        holding = {
            file.relative_to(folder).as_posix()
            for file in folder.rglob("*")
            if file.is_file() and holds(file, MARKS)
        }
        names = {file.name for file in folder.rglob("*") if within(file.name, MARKS)}
        assert names == set()
        allowed = {each for each in holding if each.startswith(paths.database.name)}
        assert holding == (allowed if folder == paths.data else set())
    assert paths.database.name in allowed


def test_this_search_finds_what_is_packed_away(tmp_path):
    """The search above would be worth nothing if it could not see into the history."""
    paths = starter_library(tmp_path)
    (paths.themes / "puddle-days" / "theme.md").write_text(f"---\ntitle: {WREN}\n---\n")
    History(paths).record_outside_changes()
    (paths.themes / "puddle-days" / "theme.md").unlink()
    assert any(holds(file, MARKS) for file in paths.history.rglob("*") if file.is_file())


def _words_of(answer) -> str:
    if answer.body[:2] == b"PK":
        with zipfile.ZipFile(io.BytesIO(answer.body)) as book:
            return " ".join(book.read(name).decode("utf-8", "replace") for name in book.namelist())
    if answer.body[:4] != b"%PDF":
        return answer.text
    with pdfplumber.open(io.BytesIO(answer.body)) as pdf:
        return " ".join(page.extract_text() for page in pdf.pages)
