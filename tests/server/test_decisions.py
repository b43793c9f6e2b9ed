"""What a room decides, written down beside the finding: folded, never gone, asked again after a year."""

import datetime as dt
from dataclasses import replace

import pytest

from library.room.room import Policy, age_in_months
from library.room.times import show_day
from library.safety.policies import asks_again_on, policy_about
from library.units.parsing import write_theme, write_unit
from server.words import day_year
from tests.builders import CARD_TEXT, a_child, a_placement, a_room, a_theme, a_unit, write_library
from tests.server.pages import filled, soup, words

PLAN = "/units/leaves-and-wind/2026-fall"
CARD = "/activities/sponge-rain"
TODAY = dt.date.today()
MATERIALS = """\
- {item: hand sponge, kind: durable, loose: true, shape: disc 25 x 4 mm}
- {item: water, kind: consumable, loose: false}
"""


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT}, materials=MATERIALS)
    (paths.themes / "leaves-and-wind").mkdir()
    (paths.themes / "leaves-and-wind" / "theme.md").write_text(write_theme(a_theme()))
    unit = a_unit(a_placement("water", "sponge-rain"))
    (paths.themes / "leaves-and-wind" / "2026-fall.md").write_text(write_unit(unit))
    return paths


@pytest.fixture
def rooms(app):
    """A room with a two-year-old, and where it is kept."""
    rooms = app.extensions["lowshelf"].rooms
    rooms.save(a_room(a_child(born=(2024, 8)), centers=("water",)))
    return rooms


def form_at(client, page, button="/room/decisions"):
    """The form about water as a browser would send it."""
    forms = soup(client.get(page)).select(f"form[action='{button}']")
    return next(
        filled(form.parent, f"form[action='{button}']")
        for form in forms
        if form.select_one("[name=about]")["value"] == "water"
    )


def decide(client, page, note="basins only", by="M. Ortiz"):
    return client.post(
        "/room/decisions", data={**form_at(client, page).to_dict(), "note": note, "by": by}
    )


@pytest.mark.parametrize("page", [PLAN, CARD])
def test_a_decision_is_written_at_the_finding_and_folds_it(client, rooms, page):
    answer = decide(client, page)
    assert answer.status_code == 303
    assert answer.headers["Location"].startswith(page)
    youngest = age_in_months((2024, 8), TODAY)
    assert rooms.current().policies == (
        Policy("water", "basins only", "M. Ortiz", TODAY, youngest),
    )
    assert f"water play: basins only (M. Ortiz, {show_day(TODAY)})" in words(client.get("/room"))
    for each in (PLAN, CARD):
        folded = [
            item
            for item in soup(client.get(each)).select(".findings > li")
            if f"basins only (M. Ortiz, {show_day(TODAY)})" in item.select_one("summary").text
        ]
        assert len(folded) == 1
        assert "Caution." in folded[0].select_one("summary").text
        assert "drown" in folded[0].text  # the whole finding is still there
        assert not folded[0].details.has_attr("open")


@pytest.mark.parametrize("page", [PLAN, CARD])
def test_after_twelve_months_it_stands_in_full_and_asks(client, rooms, page):
    old = Policy("water", "basins only", "M. Ortiz", TODAY - dt.timedelta(days=366))
    rooms.save(replace(rooms.current(), policies=(old,)))
    text = words(client.get(page))
    assert "The room's policy is a year old, look at it again: basins only" in text
    summaries = [each.text for each in soup(client.get(page)).select(".findings summary")]
    assert not any("basins only" in each for each in summaries)


@pytest.mark.parametrize("page", [PLAN, CARD])
def test_when_a_younger_child_comes_it_stands_in_full_until_it_is_decided_anew(client, rooms, page):
    decide(client, page)
    room = rooms.current()
    younger = a_child("Moth", born=(2025, 1))
    rooms.save(replace(room, children=(*room.children, younger)), was=room)
    asks = "made before a younger child came"
    assert f"The room's policy was {asks}, look at it again: basins only" in words(client.get(page))
    assert f"which was {asks}: look at it again" in words(client.get("/room"))
    summaries = [each.text for each in soup(client.get(page)).select(".findings summary")]
    assert not any("basins only" in each for each in summaries)
    decide(client, page, note="basins only, Moth beside an adult")
    assert asks not in words(client.get(page))
    assert asks not in words(client.get("/room"))


def test_what_is_written_last_on_a_day_counts_also_when_it_was_said_before(client, rooms):
    for note in ("basins only", "no water this week", "basins only"):
        decide(client, CARD, note=note)
    assert policy_about("water", rooms.current()).note == "basins only"
    assert len(rooms.current().policies) == 2


def test_a_page_that_knows_no_ages_clashes_with_nobody_over_them(client, rooms):
    """One changes the words of one decision while another ends a second: both happen."""
    decide(client, CARD)
    room = rooms.current()
    food = replace(room.policies[0], kind="food", note="bananas cut lengthwise")
    rooms.save(replace(room, policies=(*room.policies, food)), was=room)
    form = filled(soup(client.get("/room/policies")), "form[data-keep]").to_dict(flat=False)
    both = rooms.current()
    rooms.save(replace(both, policies=both.policies[:1]), was=both)
    form["policies[0].note"] = ["basins only, Moth beside an adult"]
    merged = soup(client.post("/room/policies", data=form))
    assert "yours" not in merged.select_one("[role=alert]").text
    client.post("/room/policies", data=filled(merged, "form[data-keep]"))
    kept = rooms.current().policies
    assert [(p.kind, p.note) for p in kept] == [("water", "basins only, Moth beside an adult")]
    assert kept[0].youngest == both.policies[0].youngest


@pytest.mark.parametrize("page", [PLAN, CARD, "/room/policies"])
def test_where_one_decides_stands_that_no_rule_is_changed_and_who_means_name_and_role(
    client, rooms, page
):
    """A room's note is no licence: it says how the room works."""
    text = words(client.get(page))
    assert "does not change a rule of your state or your licence" in text
    assert "name and role" in text


def test_it_says_on_which_day_it_asks_again(client, rooms):
    again = asks_again_on(Policy("water", "", "", TODAY))
    assert f"on {day_year(again)}, or when a younger child comes, it asks again" in words(
        client.get(PLAN)
    )
    answer = client.get(decide(client, PLAN).headers["Location"])
    assert f"asks again on {day_year(again)}" in words(answer)


def test_a_cord_that_nobody_has_measured_is_not_decided_away(client, rooms, paths):
    """FIND12 wants it measured; only a cord of known length is a matter of the room's ways."""
    for cord, offered in (("", False), ("400 mm", True)):
        entry = f"- {{item: hand sponge, kind: durable, loose: false, cord: '{cord}'}}\n"
        (paths.activities / "materials.yaml").write_text(entry)
        about = {field["value"] for field in soup(client.get(PLAN)).select("[name=about]")}
        assert ("cord" in about) == offered, cord


@pytest.mark.parametrize("page", [PLAN, CARD])
def test_it_is_ended_where_it_stands(client, rooms, page):
    decide(client, page)
    client.post("/room/decisions/end", data=form_at(client, page, "/room/decisions/end"))
    assert rooms.current().policies == ()
    assert "basins only" not in words(client.get(page))


@pytest.mark.parametrize("page", [PLAN, CARD])
def test_a_stop_and_a_small_part_offer_no_decision(client, rooms, page):
    about = {field["value"] for field in soup(client.get(page)).select("[name=about]")}
    assert "water" in about
    assert about.isdisjoint({"small-part", "ball", "allergen", "hazard"})
    answer = client.post("/room/decisions", data={"room": "Fern Room", "about": "small-part"})
    assert answer.status_code == 400
    assert rooms.current().policies == ()


def test_without_a_room_nothing_is_offered(client):
    assert not soup(client.get(CARD)).select("[name=about]")
    assert not soup(client.get(PLAN)).select("[name=about]")


def test_what_is_missing_is_asked_for_and_what_was_typed_stays(client, rooms):
    answer = decide(client, PLAN, note="basins only", by=" ")
    assert answer.status_code == 422
    page = soup(answer)
    assert page.select_one("#by-wrong")
    assert not page.select_one("#note-wrong")
    assert page.select_one("#note")["value"] == "basins only"
    assert rooms.current().policies == ()


def test_two_who_decide_at_once_see_each_other_and_lose_nothing(client, rooms):
    form = {**form_at(client, CARD).to_dict(), "note": "never on Mondays", "by": "J. Lind"}
    decide(client, PLAN)
    answer = client.post("/room/decisions", data=form)
    assert answer.status_code == 409
    page = soup(answer)
    assert "Basins only" in page.select_one("[role=alert]").text
    assert page.select_one("#note")["value"] == "never on Mondays"
    assert len(rooms.current().policies) == 1
    again = filled(page, "form[action='/room/decisions']")
    assert client.post("/room/decisions", data=again).status_code == 303
    assert [policy.note for policy in rooms.current().policies] == [
        "basins only",
        "never on Mondays",
    ]


def test_ending_what_someone_changed_meanwhile_ends_nothing(client, rooms):
    decide(client, PLAN)
    end = form_at(client, PLAN, "/room/decisions/end")
    decide(client, PLAN, note="sand only")
    client.post("/room/decisions/end", data=end)
    assert len(rooms.current().policies) == 2


def test_it_leads_back_only_to_a_page_of_ours(client, rooms):
    for back in ("//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example"):
        form = {**form_at(client, CARD).to_dict(), "note": back, "by": "x", "back": back}
        answer = client.post("/room/decisions", data=form)
        assert answer.headers["Location"] == "/room/policies"


def test_the_room_page_refuses_a_decision_about_nothing(client, rooms):
    form = filled(soup(client.get("/room/policies")), "form[data-keep]")
    form["policies[0].kind"], form["policies[0].note"] = "rice", "deep table"
    form["policies[0].by"], form["policies[0].on"] = "M. Ortiz", "2026-09-01"
    answer = client.post("/room/policies", data=form)
    assert answer.status_code == 422
    assert "one of the list" in soup(answer).select_one('[id="policies[0].kind-wrong"]').text
    form["policies[0].kind"] = "loose-fill"
    assert client.post("/room/policies", data=form).status_code == 303


def test_what_is_added_to_a_standing_center_is_marked_in_the_table(client, rooms, paths):
    """A finding about an addition has no card, and still its place."""
    unit = a_unit(a_placement("water", None, standing=True, add="glitter on the waves"))
    (paths.themes / "leaves-and-wind" / "2026-fall.md").write_text(write_unit(unit))
    page = soup(client.get(PLAN))
    assert page.select_one(".placed[data-row='0'] .level.stop, .placed .level.stop")
    summary = next(s.text for s in page.select(".looks summary") if "Stop" in s.text)
    assert "Water: glitter (hazards)" in summary
