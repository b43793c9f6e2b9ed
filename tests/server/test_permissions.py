"""Nobody forgets to say who may open a new page, and a page that was forgotten is closed."""

import re
from collections import Counter

import pytest

from library.room.rooms import Rooms
from server.ownrooms import OwnRooms
from server.permissions import RULES, Need, rule_of
from tests.docs import ROOT


def endpoints(app):
    return {rule.endpoint for rule in app.url_map.iter_rules()}


def test_every_route_says_who_may_open_it(app):
    missing = sorted(endpoints(app) - set(RULES))
    assert not missing, (
        f"Add a row for {', '.join(missing)} to RULES in server/permissions.py: who may open it at least "
        "(TABLET, READER, CONTRIBUTOR or LEAD), and for a change what the lead's list shall say. "
        "Until then only the lead can open it."
    )


def test_no_route_has_two_rows():
    """The later one would win unseen."""
    source = (ROOT / "server/permissions.py").read_text(encoding="utf-8")
    table = source[source.index("RULES: dict") : source.index("def rule_of")]
    named = re.findall(r'"(\w+(?:\.\w+)?)"[,:)]', table)
    assert [name for name, count in Counter(named).items() if count > 1] == []
    assert set(RULES) <= set(named)


def test_no_rule_is_left_of_a_route_that_is_gone(app):
    assert sorted(set(RULES) - endpoints(app)) == []


def test_every_change_that_a_person_makes_is_noted(app):
    """What the library notes itself, and what changes nothing, is listed here."""
    quiet = {"door.enter", "door.finish", "door.accept", "door.pair", "own.change_password"}
    quiet |= {"own.confirm_code", "own.end_code", "people.without_code"}
    nothing_kept = {"printing.edit", "room.choose", "jots.find", "jots.day", "door.judge"}
    nothing_kept |= {"own.begin_code", "own.seen"}
    silent = {
        rule.endpoint
        for rule in app.url_map.iter_rules()
        if "POST" in rule.methods and not RULES.get(rule.endpoint, rule_of("")).did
    }
    assert silent == quiet | nothing_kept, (
        "Give the row in server/permissions.py words for the lead's list, such as 'changed {theme}'."
    )


def test_what_is_noted_names_only_parts_of_the_address(app):
    for rule in app.url_map.iter_rules():
        RULES[rule.endpoint].did.format_map(dict.fromkeys(rule.arguments, "x"))


def test_a_route_without_a_rule_is_for_the_lead_alone():
    assert rule_of("tomorrow.show").need is Need.LEAD


@pytest.mark.parametrize(
    "endpoint", ["people.index", "people.invite", "people.audit", "room.remove"]
)
def test_what_only_the_lead_may_stays_so(endpoint):
    assert rule_of(endpoint).need is Need.LEAD


def test_nothing_that_is_known_of_rooms_goes_around_the_door():
    """What is missing in OwnRooms would show every room to everybody."""
    builds_on_others = {"choose"}
    offered = {name for name in vars(Rooms) if not name.startswith("_")} - builds_on_others
    assert offered <= set(vars(OwnRooms)), (
        f"Add {sorted(offered - set(vars(OwnRooms)))} to server/ownrooms.py, so that it is refused for "
        "rooms of others."
    )


def test_pages_reach_rooms_only_through_the_shelf():
    """A route that opened the database by itself would see every room."""
    for file in (ROOT / "server").rglob("*.py"):
        if file.parent.name == "commands" or file.name in {"shelf.py", "ownrooms.py"}:
            continue
        text = file.read_text(encoding="utf-8")
        assert "Rooms(" not in text.replace("OwnRooms(", ""), f"use shelf().rooms in {file.name}"
        assert "open_database" not in text, f"use shelf() in {file.name}"
