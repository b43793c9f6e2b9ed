"""An app that others can reach, with two rooms, and a browser for each kind of visitor."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from library.accounts.people import Role
from library.materials.amounts import Quantity
from library.room.demo import demo_room
from library.room.jotbook import JotBook
from library.room.jots import Jot
from library.room.room import Child, Policy, StockLine
from library.room.rooms import Rooms
from server import create_app
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
