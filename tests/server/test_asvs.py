"""The table of ASVS 4.0.3 beside this file is whole and true, and what no other test shows."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from library.accounts.accounts import Accounts, Caller
from library.accounts.people import Role
from library.accounts.secrets import TOKEN_BYTES, new_secret
from library.room.rooms import Rooms
from tests.docs import ROOT
from tests.server.pages import soup, words
from tests.server.visiting import GOOD, OWN, open_house, signed_in, stranger

TABLE = Path(__file__).with_name("asvs.md")
LEVEL_1 = {
    "2.1": range(1, 13), "2.2": range(1, 4), "2.3": [1], "2.5": range(1, 7), "2.7": range(1, 5),
    "2.8": [1], "3.1": [1], "3.2": range(1, 4), "3.3": range(1, 3), "3.4": range(1, 6), "3.7": [1],
    "4.1": [1, 2, 3, 5], "4.2": [1, 2], "4.3": [1, 2], "5.1": range(1, 6), "5.2": range(1, 9),
    "5.3": range(1, 11), "5.5": range(1, 5), "6.2": [1], "7.1": [1, 2], "7.4": [1],
    "8.2": range(1, 4), "8.3": range(1, 5), "9.1": range(1, 4), "10.3": range(1, 4),
    "11.1": range(1, 6), "12.1": [1], "12.3": range(1, 6), "12.4": [1, 2], "12.5": [1, 2],
    "12.6": [1], "13.1": [1, 3], "13.2": range(1, 4), "13.3": [1], "14.2": range(1, 4),
    "14.3": [2, 3], "14.4": range(1, 8), "14.5": range(1, 4),
}  # fmt: skip
"""The requirements of level 1 by chapter; from memory."""


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    return open_house(tmp_path_factory.mktemp("house"))


def rows():
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    cells = [line.strip("|").split("|") for line in lines if re.match(r"\| \d", line)]
    return {row[0].strip(): row[-1].strip() for row in cells}


def test_the_table_has_every_requirement_once():
    wanted = [f"{chapter}.{number}" for chapter, numbers in LEVEL_1.items() for number in numbers]
    lines = re.findall(r"^\| ([\d.]+) \|", TABLE.read_text(encoding="utf-8"), re.MULTILINE)
    assert [number for number, count in Counter(lines).items() if count > 1] == []
    assert set(lines) == set(wanted)


def test_every_row_names_tests_that_there_are_or_says_why_not():
    there = {
        name
        for file in (ROOT / "tests").rglob("test_*.py")
        for name in re.findall(r"^def (test_\w+)", file.read_text(encoding="utf-8"), re.MULTILINE)
    }
    for number, shown in rows().items():
        named = re.findall(r"`(test_\w+)`", shown)
        assert set(named) <= there, f"{number}: {set(named) - there}"
        assert named or shown.startswith("not"), number
        assert "missing" not in shown, number


def test_a_secret_has_256_bits():
    """ASVS 4.0.3, 3.2.2 asks for 64."""
    assert TOKEN_BYTES * 8 == 256
    found = {new_secret() for _ in range(2000)}
    assert len(found) == 2000
    assert {len(each) for each in found} == {43}


def test_a_password_stays_until_somebody_changes_it(tmp_path):
    now = [1_800_000_000]
    accounts = Accounts(tmp_path / "rooms.sqlite3", clock=lambda: now[0])
    accounts.accept(accounts.first_link(), "Ada", GOOD, Caller("10.0.0.1"))
    now[0] += 5 * 365 * 86_400
    assert accounts.sign_in("Ada", GOOD, Caller("10.0.0.1"))[0].name == "Ada"


def test_fields_for_passwords_help_managers_and_can_be_looked_at(app):
    page = soup(stranger(app).get("/sign-in"))
    field = page.select_one("#password")
    assert field["autocomplete"] == "current-password"
    assert page.select_one("#name")["autocomplete"] == "username"
    assert not field.has_attr("onpaste")
    assert page.select_one("[data-show] input[type=checkbox]")
    link = app.extensions["lowshelf"].accounts.invitations.invite("Bo", Role.READER, ())
    joining = soup(stranger(app).get("/join", query_string={"link": link}))
    assert joining.select_one("#password")["autocomplete"] == "new-password"


def test_a_database_that_cannot_be_read_lets_nobody_in(tmp_path):
    app = open_house(tmp_path)
    app.testing = app.config["PROPAGATE_EXCEPTIONS"] = False
    browser = signed_in(app, "Ada", Role.LEAD)
    assert browser.get("/room").status_code == 200
    app.extensions["lowshelf"].paths.database.write_bytes(b"no database" * 1000)
    answer = browser.get("/room")
    assert answer.status_code == 500
    assert b"quux" not in answer.data


def test_what_breaks_shows_nothing_of_its_insides(app, monkeypatch):
    def broken():
        raise RuntimeError("zaunkoenig-quux in the insides")

    monkeypatch.setitem(app.view_functions, "themes.index", broken)
    monkeypatch.setitem(app.config, "PROPAGATE_EXCEPTIONS", False)
    monkeypatch.setattr(app, "testing", False)
    assert not app.debug
    answer = signed_in(app, "Ada", Role.LEAD).get("/themes")
    assert answer.status_code == 500
    for word in (b"quux", b"RuntimeError", b"Traceback"):
        assert word not in answer.data


def test_a_field_that_is_sent_twice_does_no_harm(app):
    browser = signed_in(app, "Otis", Role.CONTRIBUTOR, "Moss Room")
    sent = {"room": ["Moss Room", OWN], "mark": ["", "x"]}
    assert b"quux" not in browser.post("/room/children", data=sent).data
    assert browser.get("/api/search?q=sponge&q=paint&limit=1&limit=2").status_code == 200


def test_a_field_that_no_form_has_changes_nothing(app):
    """Nobody makes themselves a lead by sending a field along."""
    browser = signed_in(app, "Rhea", Role.READER, OWN)
    accounts = app.extensions["lowshelf"].accounts
    more = {"role": "lead", "rooms": ["Moss Room"], "person": "1", "session": "1"}
    browser.post("/account/sign-out-everywhere", data=more)
    browser.post("/room/choose", data={**more, "room": OWN})
    assert accounts.staff.named("Rhea").role is Role.READER
    link = accounts.invitations.invite("Bo", Role.READER, ())
    form = {**more, "link": link, "name": "Bo", "password": GOOD}
    assert stranger(app).post("/join", data=form).status_code == 303
    assert (accounts.staff.named("Bo").role, accounts.staff.named("Bo").rooms) == (Role.READER, ())


@pytest.mark.parametrize(
    "typed", ["{{ 7*191 }}", "{% raw %}", "${7*191}", "#{7*191}", "<%= 7*191 %>"]
)
def test_what_is_typed_never_becomes_a_template(app, typed):
    browser = signed_in(app, "Ada", Role.LEAD)
    said = browser.post("/people/invite", data={"name": typed, "role": "reader"})
    assert typed in BeautifulSoup(said.data, "html.parser").get_text()
    assert b"1337" not in said.data


@pytest.mark.parametrize(
    "name",
    ["O'Brien; DROP TABLE person;--", 'A "quoted" name', "Zoë Ångström", "小林", "a%_b", "\\'"],
)
def test_any_sign_in_a_name_comes_back_as_it_was(app, name):
    staff = app.extensions["lowshelf"].accounts.staff
    person = staff.add(name, Role.READER, (OWN,), "no password")
    assert staff.named(name) == person
    assert person.name == name
    page = soup(signed_in(app, "Ada", Role.LEAD).get("/people"))
    assert name in [title.get_text() for title in page.select(".person h3")]


def test_a_changed_cookie_is_no_cookie(app):
    browser = signed_in(app, "Ada", Role.LEAD)
    name = app.config["SESSION_COOKIE_NAME"]
    value = browser.get_cookie(name, domain="192.168.7.7").value
    for forged in (value[:-1], value + "x", value.replace(".", "", 1), "e30.x.x", ""):
        thief = stranger(app)
        thief.set_cookie(name, forged, domain="192.168.7.7")
        assert thief.get("/people").status_code == 303


def test_scripts_evaluate_nothing():
    """Text becomes a value through JSON.parse, and never code."""
    for script in (ROOT / "server/static").rglob("*.js"):
        text = script.read_text(encoding="utf-8")
        assert not re.search(
            r"\beval\(|new Function|setTimeout\(\s*[\"'`]|document\.write", text
        ), script


def test_it_is_known_what_scripts_store():
    """Other stores need a line here, with what they hold."""
    known = {
        "today.js": "ticks by placement and step; nothing about a child; gone the next day",
        "halftyped.js": "a card that is being written, under who writes; gone on saving and signing out",
    }
    for script in (ROOT / "server/static").rglob("*.js"):
        text = script.read_text(encoding="utf-8")
        if re.search(r"localStorage|sessionStorage|indexedDB", text):
            assert script.name in known, f"say in this test what {script.name} keeps in the browser"


def test_every_form_that_speaks_of_a_child_is_posted(app):
    """What is typed about children never gets into an address."""
    browser = signed_in(app, "Ada", Role.LEAD)
    seen = 0
    for address in ("/room", "/room/children", "/room/stock", "/room/closed"):
        for form in soup(browser.get(address)).select("form"):
            seen += 1
            assert form.get("method") == "post", address
    assert seen >= 4


def test_pages_that_ask_about_children_say_where_it_stays(app):
    browser = signed_in(app, "Ada", Role.LEAD)
    foot = soup(browser.get("/room/children")).select_one(".foot").get_text()
    assert "stays on this computer" in foot


def test_a_download_has_a_name_of_the_servers_own(app):
    browser = signed_in(app, "Ada", Role.LEAD)
    saved = browser.post("/room/file", data={"room": OWN, "filename": "x.html"})
    assert saved.headers["Content-Disposition"] == 'attachment; filename="room-private.yaml"'


def test_json_is_a_download_with_a_name(app):
    browser = signed_in(app, "Ada", Role.LEAD)
    for address in ("/api/status", "/api/search?q=sponge", "/api/nowhere", "/api/openapi.json"):
        said = browser.get(address).headers["Content-Disposition"]
        assert said == 'attachment; filename="api.json"', address
    assert "Content-Disposition" not in browser.get("/").headers


def test_no_part_is_held_back():
    """Every part has a lower bound and no upper one, so that an installation takes the newest."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert len(project["dependencies"]) > 10
    for part in project["dependencies"]:
        assert re.fullmatch(r"[\w.-]+>=[\d.]+", part), part


@pytest.mark.parametrize(
    "address", ["/", "/sign-in", "/api/status", "/static/lowshelf.css", "/nowhere"]
)
def test_every_answer_says_its_kind_and_its_signs(app, address):
    answer = signed_in(app, "Ada", Role.LEAD).get(address, buffered=True)
    kind = answer.headers["Content-Type"]
    assert kind.endswith("charset=utf-8") or kind == "application/json"  # JSON is UTF-8, RFC 8259


def test_an_address_is_not_handed_on(app):
    answer = stranger(app).get("/sign-in", headers={"Origin": "https://evil.example"})
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"]
    assert "Access-Control-Allow-Origin" not in answer.headers


def test_the_lead_list_tells_nothing_about_children(app):
    """What a change of a room is noted as names its part and no child."""
    browser = signed_in(app, "Ada", Role.LEAD)
    browser.post("/room/children/remove", data={"room": OWN, "label": "amsel-quux", "sure": "yes"})
    assert Rooms(app.extensions["lowshelf"].paths.database).get(OWN).children
    listed = words(browser.get("/people/list"))
    assert "removed what was known of a child" in listed
    assert "quux" not in listed
