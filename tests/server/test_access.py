"""Every route, asked by everybody, with the data of a room that is theirs and of one that is not.

The requests are made from the app's own map of routes, so that no new route can be left out
(``EXAMPLES`` in ``visiting.py`` says what stands for the parts of an address); what is expected
is written here and knows nothing of the table in the server.
"""

from __future__ import annotations

import io
import zipfile
from urllib.parse import urljoin, urlsplit

import pypdfium2
import pytest

from library.accounts.people import Role
from library.room.rooms import Rooms
from server.permissions import Need, rule_of
from server.visitors import STANDING
from tests.server.pages import soup
from tests.server.visiting import (
    LABELS,
    MARKS,
    OTHER,
    OWN,
    every_request,
    open_house,
    signed_in,
    stranger,
    tablet,
)

OPEN_TO_ALL = {"static", "status.show", "trust.show", "trust.certificate"} | {
    f"door.{name}" for name in "sign_in enter code finish join accept judge tablet pair".split()
}
TABLET_TOO = {"today.show", "door.sign_out"}
READERS_CHANGE = {"printing.edit", "room.choose", "door.sign_out"} | {
    f"own.{name}"
    for name in "change_password end_session sign_out_everywhere seen".split()
    + "begin_code confirm_code end_code".split()
}
"""The changes that somebody who only looks may send: of their own account, or kept nowhere."""
LEADS_ALONE = {
    f"room.{name}"
    for name in "create load load_example remove_example export remove year clear_year".split()
}
FORM = {
    "room": OWN,
    "label": LABELS[0],
    "text": "a letter",
    "day": "2025-10-06",
    "to": "night-and-lanterns",
    "starts": "2026-10-05",
    "q": LABELS[0],
}
"""What every change is sent with: it names the other room and its child."""


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    return open_house(tmp_path_factory.mktemp("house"))


@pytest.fixture(scope="module")
def requests(app):
    """Every way to ask for every route: endpoint, method, address."""
    return every_request(app)


def ask(browser, method, address):
    if method == "GET":
        query = "?day=2025-10-06&for=room&room=Fern+Room&q=sponge"
        return browser.get(address + query, buffered=True)
    return browser.open(address, method=method, data=dict(FORM), buffered=True)


def text_of(answer) -> str:
    """Everything a person could read in an answer, the words of a PDF or a table included."""
    if answer.mimetype == "application/pdf":
        document = pypdfium2.PdfDocument(answer.data)
        return "\n".join(page.get_textpage().get_text_range() for page in document)
    if answer.data[:2] == b"PK":
        with zipfile.ZipFile(io.BytesIO(answer.data)) as sheets:
            return "\n".join(sheets.read(name).decode() for name in sheets.namelist())
    headers = "\n".join(value for _, value in answer.headers)
    return headers + answer.get_data(as_text=True)


def marks_in(answer, method="GET") -> list[str]:
    """What an answer says of the Fern Room, besides what was sent and comes back as it was typed."""
    sent = FORM.values() if method == "POST" else ()
    text = text_of(answer)
    return [mark for mark in MARKS if mark not in sent and mark in text]


def test_a_stranger_is_led_to_the_door_from_everywhere(app, requests):
    for endpoint, method, address in requests:
        answer = ask(stranger(app), method, address)
        if endpoint in OPEN_TO_ALL:
            assert answer.status_code not in {401, 500}, endpoint
        elif method == "GET" and not address.startswith("/api/"):
            assert answer.status_code == 303, endpoint
            assert answer.location.startswith("/sign-in"), endpoint
        else:
            assert answer.status_code == 401, endpoint
        assert marks_in(answer, method) == [], endpoint


def test_a_tablet_shows_the_day_and_nothing_else(app, requests):
    for endpoint, method, address in requests:
        answer = ask(tablet(app, OTHER), method, address)
        if endpoint in OPEN_TO_ALL | TABLET_TOO:
            assert answer.status_code < 500, endpoint
        else:
            assert answer.status_code == 403, endpoint
        assert marks_in(answer, method) == [], endpoint


def test_somebody_who_only_looks_changes_nothing(app, requests):
    for endpoint, method, address in requests:
        if method == "GET" or endpoint in OPEN_TO_ALL | READERS_CHANGE:
            continue
        answer = ask(signed_in(app, "Rhea", Role.READER, OWN), method, address)
        assert answer.status_code == 403, endpoint


def test_only_the_lead_decides_about_people_and_rooms(app, requests):
    for endpoint, method, address in requests:
        if endpoint in LEADS_ALONE or endpoint.startswith("people."):
            for name, role in (("Cleo", Role.CONTRIBUTOR), ("Rhea", Role.READER)):
                answer = ask(signed_in(app, name, role, OWN), method, address)
                assert answer.status_code == 403, endpoint


def test_the_lead_is_refused_no_page(app, requests):
    browser = signed_in(app, "Ada", Role.LEAD)
    for endpoint, method, address in requests:
        if method == "GET":
            answer = ask(browser, method, address)
            assert answer.status_code in {200, 303, 400, 404, 422}, (endpoint, answer.status_code)
            assert not (answer.location or "").startswith("/sign-in"), endpoint


@pytest.mark.parametrize("role", [Role.READER, Role.CONTRIBUTOR])
def test_nobody_of_another_room_sees_or_changes_anything_of_its_children(app, requests, role):
    """From no page, no JSON, no file, no PDF, no error, whatever is asked for or sent."""
    rooms = Rooms(app.extensions["lowshelf"].paths.database)
    before = rooms.get(OWN)
    for endpoint, method, address in requests:
        browser = signed_in(app, f"Otis {role.value}", role, OTHER)
        answer = ask(browser, method, address)
        assert answer.status_code < 500, endpoint
        assert marks_in(answer, method) == [], (endpoint, address)
        follows = answer.location if answer.status_code == 303 else None
        if follows and follows.startswith("/"):
            assert marks_in(browser.get(follows)) == [], (endpoint, follows)
    assert rooms.get(OWN) == before


def test_what_is_looked_for_can_be_found_by_those_who_may(app, requests):
    """Without this the tests above could look for something that no page ever shows."""
    browser, seen, kinds = signed_in(app, "Cleo", Role.CONTRIBUTOR, OWN), set(), set()
    for _, method, address in requests:
        if method == "GET":
            answer = ask(browser, method, address)
            found = set(marks_in(answer))
            seen |= found
            if found:
                kinds.add(answer.mimetype)
    assert set(MARKS) - {"November 2023"} <= seen
    assert {"text/html", "application/pdf", "application/json", "text/csv", "text/plain"} <= kinds
    assert any("spreadsheet" in kind for kind in kinds)


def test_a_posted_name_of_another_room_gets_the_answer_of_none(app):
    """The refusal names neither the room's children nor whether there is such a room."""
    browser = signed_in(app, "Otis contributor", Role.CONTRIBUTOR, OTHER)
    theirs, none = (
        browser.post("/room/children", data={"room": name, "mark": ""}) for name in (OWN, "No Room")
    )
    assert theirs.status_code == none.status_code == 404
    told = (each.get_data(as_text=True) for each in (theirs, none))
    assert next(told).replace(OWN, "…") == next(told).replace("No Room", "…")


def test_a_label_of_another_room_cannot_be_found_out_by_writing_it(app):
    """Where a text names a child of one's own room, it is asked about; others are just words."""
    browser = signed_in(app, "Otis contributor", Role.CONTRIBUTOR, OTHER)
    for label, asked in ((LABELS[0], False), ("robin", True)):
        data = {"title": f"Leaves of {label}", "seasons": "fall"}
        answer = browser.post("/themes/new", data=data)
        assert ("Is a child meant here?" in answer.get_data(as_text=True)) is asked, label


PAGES = [
    "/",
    "/?q=sponge",
    "/activities/sponge-rain",
    "/themes",
    "/themes/leaves-and-wind",
    "/units/leaves-and-wind/2025-fall",
    "/units/leaves-and-wind/2025-fall/goals",
    "/units/leaves-and-wind/2025-fall/supplies",
    "/units/leaves-and-wind/2025-fall/look-back",
    "/units/leaves-and-wind/2025-fall/print",
    "/today?day=2025-10-06",
    "/today?day=2020-01-01",
    "/room",
    "/review",
    "/account",
]


@pytest.mark.parametrize("who", ["tablet", Role.READER, Role.CONTRIBUTOR])
def test_no_link_or_button_leads_to_what_is_refused(app, who):
    """Put ``{% if may("endpoint") %}`` around it. Forms are hidden from who only looks anyway."""
    browser = tablet(app, OWN) if who == "tablet" else signed_in(app, f"Uma {who}", who, OWN)
    standing = Need.TABLET if who == "tablet" else STANDING[who]
    adapter = app.url_map.bind("192.168.7.7")
    refused, seen = set(), 0
    for address in PAGES:
        answer = browser.get(address)
        if answer.status_code == 403:
            continue
        page = soup(answer)
        led = [(link["href"], "GET") for link in page.select("a[href]")]
        if who is Role.CONTRIBUTOR:
            forms = page.select('form[method="post"]')
            led += [(form.get("action") or address, "POST") for form in forms]
        for link, method in led:
            path = urlsplit(urljoin(address, link)).path
            endpoint = adapter.match(path, method)[0]
            seen += 1
            if rule_of(endpoint).need > standing:
                refused.add((address, endpoint))
    assert refused == set()
    assert seen > (5 if who == "tablet" else 200)
