"""Other looks at a unit: goals by week, local rules, one adult fewer, another theme."""

import datetime as dt
import re

import pytest

from library.room.room import Block
from library.units.parsing import write_theme, write_unit
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

PLAN = "/units/leaves-and-wind/2026-fall"
NEAR = CARD_TEXT.replace("technique:", "domains: [IT-PMP 6, OUR-1]\ntechnique:")
JUGS = (
    CARD_TEXT.replace("Sponge rain", "Jugs and bowls")
    .replace("sponge squeezing", "pouring")
    .replace("within reach", "within sight")
    .replace("[fall, spring]", "[]")
)
RAKE = CARD_TEXT.replace("Sponge rain", "Rake").replace("[water, science]", "[outdoors]")
RAKE = RAKE.replace("A soaked sponge", "Leaves, and one more leaf: a sponge").replace(
    "[fall, spring]", "[fall]"
)
RUN = RAKE.replace("Rake", "Run and freeze").replace("Leaves, and one more leaf: a", "A")
RUN = RUN.replace("[fall]", "[]")


@pytest.fixture
def paths(tmp_path):
    cards = {
        "water/sponge-rain.md": NEAR,
        "water/jugs.md": JUGS,
        "outdoors/rake.md": RAKE,
        "outdoors/run.md": RUN,
    }
    paths = write_library(tmp_path, cards)
    leaf = {"words": ({"en": "leaf"},), "seasons": ("fall",), "props": {"catcher": "silk leaves"}}
    for theme in (a_theme(**leaf), a_theme("by-the-sea", title="By the sea", seasons=("summer",))):
        (paths.themes / theme.id).mkdir()
        (paths.themes / theme.id / "theme.md").write_text(write_theme(theme))
    return paths


@pytest.fixture
def planned(app, paths):
    """Writes the unit, saves a room, and gives the file of the unit."""

    def write(*placements, **room):
        file = paths.themes / "leaves-and-wind" / "2026-fall.md"
        file.write_text(write_unit(a_unit(*placements)))
        room = {"centers": ("water", "blocks", "outdoors"), **room}
        app.extensions["lowshelf"].rooms.save(a_room(a_child(), **room))
        return file

    return write


def _areas(client):
    page = soup(client.get(f"{PLAN}/goals"))
    return page, page.select("details.area")


def test_goals_are_counted_week_by_week_and_gaps_come_first(client, planned):
    planned(a_placement("water", "sponge-rain", weeks=(2,)))
    _, areas = _areas(client)
    assert "none in week 1 · none in week 2" in areas[0].summary.text
    assert areas[0].has_attr("open")
    last = areas[-1]
    assert last.summary.text.startswith("Perceptual, Motor, and Physical Development")
    assert "none in week 1 · week 2: 1" in last.summary.text
    rows = [[cell.get_text(" ") for cell in row.select("td")] for row in last.select("tbody tr")]
    met = next(row for row in rows if "IT-PMP-6" in row[0])
    assert met[1:] == ["–", "1"]
    assert rows.index(met) == len(rows) - 1


def test_a_goal_whose_wording_is_from_memory_says_so(client, planned):
    planned()
    page, _ = _areas(client)
    said = {row.text for row in page.select("td .soft")}
    assert any(text.endswith("wording from memory") for text in said)
    assert any("wording" not in text for text in said)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("our-town.csv", "code,area,title\nour 1,Hands,wrings a cloth\nour-2,Hands,folds it\n"),
        ("our-town.yaml", "- {code: our 1, area: Hands, title: wrings}\n- {code: our 2, area: Hands, title: folds}\n"),
    ],
)  # fmt: skip
def test_another_framework_stands_beside_with_its_own_table(client, paths, planned, name, text):
    planned(a_placement("water", "sponge-rain", weeks=(1,)))
    (paths.activities / "frameworks").mkdir()
    (paths.activities / "frameworks" / name).write_text(text)
    page, areas = _areas(client)
    assert page.select("h2")[-1].text == "Our town"
    assert areas[-1].summary.text.startswith("Hands: 1 of 2")
    assert "week 1: 1 · none in week 2" in areas[-1].summary.text


def test_a_framework_that_cannot_be_read_whole_says_where(client, paths, planned):
    planned()
    (paths.activities / "frameworks").mkdir()
    (paths.activities / "frameworks" / "our-town.csv").write_text("code,area,title\na-1,Hands,\n")
    problem = _areas(client)[0].select_one(".problem").text
    assert "activities/frameworks/our-town.csv, line 2: goals[0].title" in problem


def test_local_rules_say_what_is_named_and_what_is_not_with_their_source(client, planned):
    """10A NCAC 09 .0508 and .0510; never that a rule is met."""
    day = (
        Block("free play", dt.time(9), dt.time(10)),
        Block("yard", dt.time(10), dt.time(10, 45), "outdoor"),
    )
    planned(
        a_placement("water", "sponge-rain", weeks=(1,)),
        a_placement("blocks", None, standing=True),
        day=day,
    )
    answer = client.get(f"{PLAN}/local-rules")
    rows = {
        row.select("td")[0].get_text(" ", strip=True): [
            cell.get_text(" ", strip=True) for cell in row.select("td")[1:]
        ]
        for row in soup(answer).select(".rules tbody tr")
    }

    def row(start):
        return next(cells for asks, cells in rows.items() if asks.startswith(start))

    assert row("60 minutes outdoors") == ["45 minutes a day", "15 minutes a day"]
    assert row("A time of arrival") == ["–", "no part of the room's day"]
    assert row("Sand and water play") == ["Sponge rain at Water", "week 2"]
    assert row("Four of five areas")[0] == "blocks, on each of 10 days"
    assert all("10A NCAC 09 .05" in asks for asks in rows)
    assert sum("Not compared with the rule’s text: do not rely" in asks for asks in rows) == 1
    text = words(answer)
    assert "Your local licensing rules and the room's own trained staff decide" in text
    assert not re.search(r"\b(OK|approved|compliant|safe|meets?|fulfil\w*)\b|✓|✔", text)


def test_a_card_under_a_stop_is_not_credited_by_a_rule(client, paths, planned):
    planned(a_placement("water", "sponge-rain"))
    card = paths.activities / "water" / "sponge-rain.md"
    card.write_text(card.read_text() + "\nThrow glitter over it.\n")
    page = soup(client.get(f"{PLAN}/local-rules"))
    (row,) = (r for r in page.select(".rules tbody tr") if "Sand and water play" in r.text)
    named, missing = (cell.get_text(" ", strip=True) for cell in row.select("td")[1:])
    assert named == "Sponge rain at Water (a stop stands on it, so it does not count)"
    assert missing == "week 1; week 2"


def test_rules_of_ones_own_stand_first_with_their_problems(client, paths, planned):
    planned(a_placement("water", "sponge-rain"))
    (paths.activities / "rules").mkdir()
    text = "title: Our town\nsource: Town rules, 4\nrules:\n"
    text += "  - {asks: water each week, looks: center, centers: [water], each: week}\n"
    text += "  - {asks: nothing, looks: elsewhere}\n"
    (paths.activities / "rules" / "our-town.yaml").write_text(text)
    page = soup(client.get(f"{PLAN}/local-rules"))
    assert page.h2.text == "Our town"
    cells = page.select_one(".rules tbody tr").select("td")
    assert "Town rules, 4" in cells[0].text
    assert cells[1].text.strip() == "Sponge rain at Water"
    assert "rules[1].looks" in page.select_one(".problem").text


def test_with_one_adult_fewer_it_says_what_to_close_or_put_out_instead(client, planned):
    """FIND2: one adult alone holds nothing within reach; the unit's file stays as it is."""
    file = planned(a_placement("water", "sponge-rain", weeks=(1,)))
    before = file.read_bytes()
    page = soup(client.get(f"{PLAN}/one-adult-fewer"))
    assert page.select_one("#adults")["value"] == "1"
    line = page.select_one(".lines li").get_text(" ", strip=True)
    assert line.startswith("Close Water : Sponge rain")
    assert "since water stands in each" in page.select_one(".lines").text
    assert not page.select(".lines a")
    second = (MONDAY + dt.timedelta(days=7)).isoformat()
    assert not soup(client.get(f"{PLAN}/one-adult-fewer?day={second}")).select(".lines")
    assert not soup(client.get(f"{PLAN}/one-adult-fewer?adults=2")).select(".lines")
    assert file.read_bytes() == before


def test_water_stays_open_only_with_an_adult_within_reach_whatever_the_card_says(client, planned):
    """CFOC 6.2.4.2; the count over the whole unit goes by the card (FIND2, FIND14)."""
    planned(a_placement("water", "jugs"))
    page = soup(client.get(f"{PLAN}/one-adult-fewer"))
    assert page.select_one(".lines li").get_text(" ", strip=True).startswith("Close Water")
    assert "within arm's reach, whatever the card says: Jugs and bowls at Water" in words(
        client.get(f"{PLAN}/one-adult-fewer")
    )
    head = soup(client.get(PLAN)).select_one(".totals").text
    assert "nothing within reach yet and one beside water: Jugs and bowls" in " ".join(head.split())
    facts = soup(client.get(f"/today?day={MONDAY.isoformat()}")).select_one("#at-water .facts")
    assert "an adult within arm’s reach" in facts.text


def test_it_is_one_tap_from_the_plan_and_from_the_day(client, planned):
    planned(a_placement("water", "sponge-rain"))
    day = (MONDAY + dt.timedelta(days=1)).isoformat()
    total = soup(client.get(PLAN)).select_one(".totals a[href$='/one-adult-fewer']")
    assert total.text == "at most 2 of 2"
    link = soup(client.get(f"/today?day={day}")).find("a", string="One adult fewer today")
    page = soup(client.get(link["href"]))
    assert page.select_one("#day option[selected]")["value"] == day
    assert page.select(".lines li")


def _carry(client):
    page = soup(client.get(f"{PLAN}/carry-over?to=by-the-sea&starts=2027-07-05"))
    return page, page.select("fieldset.carry")


def test_what_is_tied_to_the_old_theme_gets_proposals_and_the_rest_goes_along(client, planned):
    file = planned(
        a_placement("water", "jugs", note="low table"),
        a_placement("outdoors", "rake", weeks=(1,), note="the long rakes"),
        a_placement("blocks", None, standing=True),
    )
    before = file.read_bytes()
    page, (rake, jugs, blocks) = _carry(client)
    assert "It is for fall, leaf" in rake.select_one(".soft").text
    ticked = [each.select_one("[checked]")["value"] for each in (rake, jugs, blocks)]
    assert ticked == ["run", "keep", "keep"]
    assert "By the sea has no word for catcher; the card’s own shows" in jugs.text
    answer = client.post(f"{PLAN}/carry-over", data=filled(page, "main form[method=post]"))
    new = soup(client.get(answer.headers["Location"]))
    assert new.h1.text == "By the sea, summer 2027"
    assert new.select_one("#at-outdoors .placed a").text == "Run and freeze"
    assert "low table" in new.select_one("#at-water").text
    assert "the long rakes" not in new.text
    assert file.read_bytes() == before


def test_each_proposal_can_be_changed_before_the_unit_is_begun(client, app, planned):
    planned(a_placement("outdoors", "rake"), a_placement("water", "jugs"))
    page, _ = _carry(client)
    fields = filled(page, "main form[method=post]")
    fields["take[0]"], fields["take[1]"] = "keep", "out"
    client.post(f"{PLAN}/carry-over", data=fields)
    unit = app.extensions["lowshelf"].units.read("by-the-sea/2027-summer").unit
    assert [placement.activity for placement in unit.placements] == ["rake"]


def test_first_a_theme_and_a_monday_are_chosen(client, planned):
    planned()
    page = soup(client.get(f"{PLAN}/carry-over"))
    assert [each["value"] for each in page.select("#to option")] == ["by-the-sea"]
    wrong = client.get(f"{PLAN}/carry-over?to=by-the-sea&starts=2027-07-06")
    assert wrong.status_code == 422
    page = soup(wrong)
    assert "2027-07-05, the Monday before" in page.select_one("[role=alert]").text
    assert page.select_one("#to [selected]")["value"] == "by-the-sea"
    assert page.select_one("#starts")["value"] == "2027-07-06"


def test_the_api_says_the_same_as_the_pages(client, planned):
    planned(a_placement("water", "sponge-rain", weeks=(2,)))
    api = f"/api{PLAN}"
    goals = client.get(f"{api}/goals").json["frameworks"][0]["goals"]
    assert next(g["weeks"] for g in goals if g["code"] == "IT-PMP-6") == [0, 1]
    rules = client.get(f"{api}/local-rules").json["rules"][0]["lines"]
    water = next(line for line in rules if line["asks"].startswith("sand and water"))
    assert (water["on_plan"], water["not_on_plan"]) == (["Sponge rain at Water"], ["week 1"])
    second = (MONDAY + dt.timedelta(days=7)).isoformat()
    fewer = client.get(f"{api}/one-adult-fewer?day={second}").json
    close = [{"center": "water", "activity": "sponge-rain", "instead": []}]
    assert fewer["adults"] == 1
    assert fewer["blocks"][0]["close"] == close
    for other in ("2031-01-01", "0096-04-20", "soon"):
        assert client.get(f"{api}/one-adult-fewer?day={other}").status_code == 404, other
    totals = client.get(f"{api}/totals").json
    assert [week["needed"] for week in totals["prep"]] == [0, 6]
    assert totals["centers_empty"] == ["blocks", "outdoors"]
    assert {each["needed"] for each in totals["adults"]} == {2}
    room = client.get("/api/room").json
    assert (room["room"], room["children"]) == ("Fern Room", 1)
    assert "wren" not in client.get("/api/room").text
