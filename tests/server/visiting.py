"""An app that others can reach, with two rooms, and a browser for each kind of visitor."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from library.accounts.people import Role
from library.materials.amounts import Quantity
from library.paper.sheets import SHEETS
from library.room.demo import demo_room
from library.room.jotbook import JotBook
from library.room.jots import Jot
from library.room.room import Child, Policy, StockLine
from library.room.rooms import Rooms
from server import create_app
from server.printing import FORMS
from server.roomforms import SECTIONS
from server.settings import load_settings
from server.visitors import KEY
from tests.browser.places import starter_library
from tests.server.browsing import Browser, browser_at

HOST = "192.168.7.7"
AT = f"http://{HOST}"
LABELS = ("zaunkoenig-quux", "rotkehl-quux", "amsel-quux")
"""Labels of the Fern Room's children, long and unlikely."""
MARKS = (*LABELS, "allergen-quux", "note-quux", "jot-quux", "bin-quux", "2023-11", "November 2023")
"""What nobody outside the Fern Room may see anywhere."""
GOOD = "lantern gravel otter nine"
OWN, OTHER = "Fern Room", "Moss Room"


EXAMPLES = {
    "card_id": ["sponge-rain"],
    "file": ["activities/water/sponge-rain.md", "../../etc/passwd"],
    "filename": ["lowshelf.css"],
    "jot_id": [1],
    "name": ["2025-fall"],
    "number": [1],
    "part": ["needs", "needs.csv", "no-such-list"],
    "person_id": [1],
    "row": [0],
    "section": [*SECTIONS, "no-such-part"],
    "theme": ["leaves-and-wind"],
    "theme_id": ["leaves-and-wind"],
    "what": [
        *SHEETS,
        *(f"{name}.{form}" for name in ("allergy-notes", "closet-list") for form in FORMS),
        "no-such-sheet",
    ],
}
"""What stands for each part of an address; a new part needs a line here."""


def every_request(app) -> list[tuple[str, str, str]]:
    """Every way to ask for every route of an app: endpoint, method, address."""
    found, adapter = [], app.url_map.bind(HOST)
    for rule in app.url_map.iter_rules():
        missing = rule.arguments - set(EXAMPLES)
        assert not missing, f"add {missing} to EXAMPLES, so that {rule.endpoint} can be asked"
        for values in _choices(sorted(rule.arguments)):
            address = adapter.build(rule.endpoint, values)
            for method in sorted(rule.methods - {"HEAD", "OPTIONS"}):
                found.append((rule.endpoint, method, address))
    assert len(found) > 80
    return found


def _choices(names: list[str]) -> list[dict]:
    if not names:
        return [{}]
    rest = _choices(names[1:])
    return [{names[0]: value, **more} for value in EXAMPLES[names[0]] for more in rest]


def open_house(folder: Path):
    """An app over the starter library on an address that others can reach; two rooms in it."""
    paths = starter_library(folder)
    room = demo_room(dt.date(2025, 10, 6))
    children = (
        Child(LABELS[0], (2023, 11), ("wheat", "allergen-quux")),
        Child(LABELS[1], (2023, 11), ("milk",)),
        Child(LABELS[2], (2022, 11), ("egg", "sesame")),
    )
    stock = (StockLine("hand sponge", Quantity(Fraction(3), ""), "bin-quux"), *room.stock[1:])
    policies = (Policy("food", "note-quux", "Ada", dt.date(2025, 9, 1)),)
    fern = replace(room, name=OWN, demo=False, children=children, stock=stock, policies=policies)
    rooms = Rooms(paths.database)
    rooms.save(fern)
    moss_child = Child("robin", (2023, 5), (), days=("mon",))
    moss = replace(room, name=OTHER, demo=False, children=(moss_child,), policies=(), stock=())
    rooms.save(moss, make_current=False)
    day = dt.date(2025, 10, 6)
    JotBook(paths.database, OWN).add(Jot(day, "jot-quux", (LABELS[0],), "sponge-rain"))
    app = create_app(load_settings(paths, {}, host=HOST, watch=False))
    app.testing = True
    app.extensions["lowshelf"].refresh()
    return app


def stranger(app) -> Browser:
    """A browser in which nobody is signed in."""
    return browser_at(app, AT)


def signed_in(app, name: str, role: Role, *rooms: str) -> Browser:
    """A browser in which a person of a role and rooms is signed in; the account is made if need be."""
    accounts = app.extensions["lowshelf"].accounts
    person = accounts.staff.named(name) or accounts.staff.add(name, role, rooms, "no password")
    return _with_session(app, accounts.sessions.begin(person.id))


def tablet(app, room: str) -> Browser:
    """A shared tablet of a room."""
    return _with_session(
        app, app.extensions["lowshelf"].accounts.sessions.begin_tablet("Shelf", room)
    )


def _with_session(app, secret: str) -> Browser:
    browser = browser_at(app, AT)
    with browser.session_transaction(base_url=AT) as session:
        session[KEY] = secret
    return browser
