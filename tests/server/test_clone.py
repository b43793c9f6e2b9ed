"""The clone page: everything is seen and can be changed before one new file is saved."""

import datetime as dt
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from library.units.parsing import write_theme, write_unit
from library.units.unit import Again, LookBack
from tests.builders import (
    CARD_TEXT,
    a_child,
    a_placement,
    a_room,
    a_theme,
    a_unit,
    write_library,
)
from tests.server.pages import filled, soup, words

OLD, NEW = dt.date(2025, 10, 6), dt.date(2026, 10, 5)
CLONE = "/units/leaves-and-wind/2025-fall/clone"
ASK = f"{CLONE}?starts=2026-10-05"
JUGS = CARD_TEXT.replace("Sponge rain", "Jugs and bowls")
TUB = CARD_TEXT.replace("Sponge rain", "Leaf tub").replace("24-48", "36-48")


def named(step):
    return OLD + dt.timedelta(days=step)


@pytest.fixture
def paths(tmp_path):
    cards = {"water/sponge-rain.md": CARD_TEXT, "water/jugs.md": JUGS, "sensory/leaf-tub.md": TUB}
    paths = write_library(tmp_path, cards)
    for theme in (
        a_theme(props={"catcher": "leaves"}),
        a_theme("by-the-sea", title="By the sea", props={"catcher": "shells"}),
    ):
        (paths.themes / theme.id).mkdir()
        (paths.themes / theme.id / "theme.md").write_text(write_theme(theme))
    unit = a_unit(
        a_placement("water", "sponge-rain"),
        a_placement("sensory", "leaf-tub", days=(named(2), named(8))),
        a_placement("art", "jugs", weeks=(1,), note="low table"),
        a_placement("light", "gone"),
        starts=OLD,
        name="2025-fall",
        look_back=(
            LookBack("sponge-rain", Again.CHANGE, note="clip both edges"),
            LookBack("jugs", Again.NO, note="too wet"),
            LookBack("leaf-tub", Again.YES, note="maple, not oak"),
        ),
    )
    (paths.themes / "leaves-and-wind" / "2025-fall.md").write_text(write_unit(unit))
    return paths


@pytest.fixture
def rooms(app):
    found = app.extensions["lowshelf"].rooms
    closed = frozenset({dt.date(2026, 10, 7)})
    centers = ("sensory", "water", "art", "light")
    children = (a_child(born=(2024, 3)), a_child("robin", born=(2023, 3)))
    found.save(a_room(*children, closed=closed, centers=centers))
    return found


@pytest.fixture
def unit(app):
    """Reads a unit as it is now."""
    return lambda name="2026-fall", theme="leaves-and-wind": (
        app.extensions["lowshelf"].units.read(f"{theme}/{name}").unit
    )


def line(page, row):
    return page.select_one(f"#line-{row}")


def text(element):
    return " ".join(element.get_text(" ").split())


def files(paths):
    return {p: p.read_bytes() for p in paths.folder.rglob("*") if p.is_file()}


def save(client, address=ASK, **changes):
    page = soup(client.get(address))
    fields = filled(page, "form[method=post]")
    for name, value in changes.items():
        fields.setlist(name, [value])
    return client.post(CLONE, data=fields)


def test_each_line_says_what_becomes_of_it_before_anything_is_written(client, rooms, paths):
    before = files(paths)
    page = soup(client.get(ASK))
    assert "Learned: clip both edges" in text(line(page, 0))
    assert "less Wed 7 Oct" in text(line(page, 0))
    assert "Wednesday 2026-10-07 is closed; it goes to Thursday 2026-10-08" in text(line(page, 1))
    assert "Wed 8 Oct, Tue 14 Oct" in text(line(page, 1))
    assert "Thu 8 Oct, Tue 13 Oct" in text(line(page, 1))
    assert "1 younger" in text(line(page, 1))
    assert "Said then: Maple, not oak" in text(line(page, 1))
    assert "Left out Not again: too wet" in text(line(page, 2))
    assert "Missing: the card was removed" in text(line(page, 3))
    assert "not known which cards were changed since" in words(client.get(ASK))
    assert files(paths) == before


def test_no_label_of_a_child_stands_on_the_lines_or_in_an_address(client, rooms):
    page = soup(client.get(ASK))
    shown = " ".join(text(row) for row in page.select(".clone tr"))
    assert "wren" not in shown
    addresses = [a["href"] for a in page.select("a[href]")]
    assert not [a for a in addresses if "wren" in a or "robin" in a]
    assert client.get(ASK).headers["Cache-Control"] == "no-store"


def test_saving_writes_one_new_file_and_leads_to_its_plan(client, rooms, paths, unit):
    before = files(paths)
    answer = save(client)
    assert answer.status_code == 303
    assert answer.headers["Location"] == "/units/leaves-and-wind/2026-fall"
    after = files(paths)
    assert {p.name for p in after.keys() - before.keys()} == {"2026-fall.md"}
    assert {p: after[p] for p in before} == before
    made = unit()
    assert [(p.center, p.activity, p.note) for p in made.placements] == [
        ("water", "sponge-rain", "clip both edges"),
        ("sensory", "leaf-tub", ""),
        ("light", "gone", ""),
    ]
    assert made.cloned_from == "leaves-and-wind/2025-fall"
    plan = client.get(answer.headers["Location"])
    assert "clip both edges" in words(plan)


def test_cloning_twice_never_overwrites_and_proposes_a_free_name(client, rooms, paths):
    page = soup(client.get(ASK))
    fields = filled(page, "form[method=post]")
    assert client.post(CLONE, data=fields).status_code == 303
    before = files(paths)
    again = client.post(CLONE, data=fields)
    assert again.status_code == 409
    assert "there is a unit 'leaves-and-wind/2026-fall' already" in words(again).lower()
    assert "'2026-fall-2' is free" in words(again)
    assert soup(again).select_one("#name")["value"] == "2026-fall-2"
    assert files(paths) == before
    answer = client.post(CLONE, data=filled(soup(again), "form[method=post]"))
    assert answer.headers["Location"].endswith("/2026-fall-2")
    assert {p: files(paths)[p] for p in before} == before


def follow(client, page, selector):
    return soup(client.get(page.select_one(selector)["href"].split("#")[0]))


def test_what_was_left_out_can_be_kept_and_what_goes_along_left_out(client, rooms, unit):
    page = follow(client, soup(client.get(ASK)), "#line-2 .act a")
    assert "Learned: too wet" in text(line(page, 2))
    page = follow(client, page, "#line-0 .act a")
    assert "Left out Left out here" in text(line(page, 0))
    client.post(CLONE, data=filled(page, "form[method=post]"))
    assert [(p.activity, p.note) for p in unit().placements] == [
        ("leaf-tub", ""),
        ("jugs", "low table; too wet"),
        ("gone", ""),
    ]
    back = follow(client, follow(client, page, "#line-2 .act a"), "#line-0 .act a")
    address = back.select_one("#open-0")["href"]
    assert set(parse_qs(urlsplit(address).query)) == {"starts", "to", "open"}


def panel(client, page, row):
    return soup(client.get(page.select_one(f"#open-{row}")["href"]))


def send_panel(client, page, **changes):
    form = page.select_one(".drawer form")
    fields = filled(page, ".drawer form")
    for name, value in changes.items():
        fields.setlist(name, value if isinstance(value, list) else [value])
        if value == []:
            fields.poplist(name)
    answer = client.get(form["action"], query_string=fields)
    assert answer.status_code == 303
    return answer.headers["Location"].split("#")[0]


def test_a_line_goes_to_other_days_and_the_note_can_stay_behind(client, rooms, unit):
    page = panel(client, soup(client.get(ASK)), 1)
    ticks = [t["value"] for t in page.select(".drawer input[name=day][checked]")]
    assert ticks == ["2026-10-08", "2026-10-13"]
    address = send_panel(client, page, day=["2026-10-06", "2026-10-16"])
    page = panel(client, soup(client.get(address)), 0)
    address = send_panel(client, page, note=[])
    client.post(CLONE, data=filled(soup(client.get(address)), "form[method=post]"))
    made = unit().placements
    assert made[1].days == (dt.date(2026, 10, 6), dt.date(2026, 10, 16))
    assert (made[0].note, made[0].weeks, made[0].days) == ("", (), ())


def test_days_as_proposed_are_no_choice_and_no_day_at_all_is_refused(client, rooms):
    page = panel(client, soup(client.get(ASK)), 1)
    assert "days.1" not in send_panel(client, page)
    address = send_panel(client, page, day=[])
    assert "Tick at least one day" in words(client.get(address))


def test_another_card_is_chosen_through_find_and_everything_else_stays(client, rooms, unit):
    page = follow(client, soup(client.get(ASK)), "#line-0 .act a")
    page = panel(client, page, 2)
    found = soup(client.get(page.select_one(".drawer a:-soup-contains('Another card')")["href"]))
    assert "the clone of Leaves and wind" in text(found.select_one(".notice"))
    more = soup(client.get("/?" + "&".join(
        [found.select_one("#ask")["action"].lstrip("/")]
        + [f"{f['name']}={f['value'].replace('&', '%26').replace('=', '%3D')}"
           for f in found.select("#ask input[type=hidden]")]
        + ["q=sponge", "anywhere=yes"]
    )))  # fmt: skip
    form = next(
        f
        for f in more.select("form.place")
        if f.select_one("[name=activity]")["value"] == "sponge-rain"
    )
    assert form["method"] == "get"
    sent = {f["name"]: f["value"] for f in form.select("input")}
    address = client.get(form["action"], query_string=sent).headers["Location"].split("#")[0]
    page = soup(client.get(address))
    assert "in place of Jugs and bowls" in text(line(page, 2))
    assert "Left out here" in text(line(page, 0))
    client.post(CLONE, data=filled(page, "form[method=post]"))
    assert [(p.center, p.activity, p.weeks, p.note) for p in unit().placements] == [
        ("sensory", "leaf-tub", (), ""),
        ("art", "sponge-rain", (1,), ""),
        ("light", "gone", (), ""),
    ]


def test_another_theme_start_and_name_are_taken(client, rooms, unit):
    address = f"{CLONE}?starts=2026-06-01&to=by-the-sea&name=Early+summer"
    page = soup(client.get(address))
    assert "By the sea, early summer" in words(client.get(address))
    assert page.select_one("#name")["value"] == "early-summer"
    client.post(CLONE, data=filled(page, "form[method=post]"))
    made = unit("early-summer", "by-the-sea")
    assert (made.starts, made.title) == (dt.date(2026, 6, 1), "By the sea, early summer")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("starts=2026-10-06", "2026-10-05, the Monday before"),
        ("starts=soon", "expected a date"),
        ("to=nowhere", "no theme 'nowhere'"),
        ("name=2025-fall", "here is a unit 'leaves-and-wind/2025-fall' already"),
        ("card.0=nothing&at={mark}", "no card 'nothing'"),
        ("card.0=jugs&at=old", "what you had chosen for its lines is gone"),
    ],
)
def test_what_cannot_be_is_said_and_a_proposal_takes_its_place(client, rooms, asked, said):
    mark = soup(client.get(CLONE)).select_one("[name=at]")["value"]
    answer = client.get(f"{CLONE}?{asked.format(mark=mark)}")
    assert answer.status_code == 200
    assert said in soup(answer).select_one(".problem").get_text()
    assert soup(answer).select_one("form[method=post]")


def test_a_plan_that_changed_meanwhile_is_looked_at_once_more(client, rooms, paths):
    """A line is a row of the source's file, so a choice may not be carried to another state."""
    fields = filled(soup(client.get(ASK)), "form[method=post]")
    file = paths.themes / "leaves-and-wind" / "2025-fall.md"
    file.write_text(file.read_text().replace("clip both edges", "two sheets"))
    before = files(paths)
    answer = client.post(CLONE, data=fields)
    assert answer.status_code == 409
    assert "two sheets" in words(answer)
    assert files(paths) == before


def test_a_name_with_a_childs_label_is_asked_about(client, rooms, paths):
    before = files(paths)
    answer = save(client, name="wren-fall")
    assert answer.status_code == 422
    assert "Is a child meant here?" in words(answer)
    assert files(paths) == before


def test_findings_that_the_old_unit_did_not_have_are_marked(client, rooms):
    """Robin was there then and fitted; wren was not, and is too young for the leaf tub now."""
    rooms.save(a_room(a_child(born=(2024, 3)), a_child("robin", born=(2022, 9))))
    page = soup(client.get(ASK))
    ages = page.select_one("[id^=g-caution-ages]")
    assert "New" in text(ages)
    assert page.select(".looks mark")


def test_the_stops_that_stay_open_are_counted_where_one_saves(client, rooms, paths):
    """Whoever saves reads how many stops go along, and for whom they were counted."""
    shown = text(soup(client.get(ASK)).select_one("form .look"))
    assert shown.startswith("It is saved with 3 stops open")  # a card that is gone, and late prep
    card = paths.activities / "sensory" / "leaf-tub.md"
    card.write_text(card.read_text() + "\nThrow glitter over it.\n")
    page = soup(client.get(ASK))
    assert text(page.select_one("form .look")).startswith("It is saved with 4 stops open")
    assert page.select_one("form .look a")["href"] == "#" + page.select_one(".looks h2")["id"]
    looks = text(page.select_one(".looks"))
    assert "Counted as if the same children stay." in looks
    assert "if a younger child joins" in looks


def test_what_children_as_young_as_today_would_stop_is_said_before_saving(client, rooms, paths):
    """In a plan for three years on, children of today are four and more, and glitter is silent."""
    today = dt.date.today()
    rooms.save(a_room(a_child(born=(today.year - 2, 1))))
    card = paths.activities / "water" / "sponge-rain.md"
    card.write_text(card.read_text() + "\nThrow glitter over it.\n")
    monday = dt.date(today.year + 3, 1, 1)
    monday += dt.timedelta(days=(7 - monday.weekday()) % 7)
    looks = text(soup(client.get(f"{CLONE}?starts={monday}")).select_one(".looks"))
    assert "With children as young as those here today 1 tray more would be stopped" in looks
    assert "Sponge rain: glitter (hazards)" in looks


def test_a_unit_goes_to_another_room(client, rooms):
    rooms.save(a_room(a_child("finch", born=(2023, 3)), name="Moss Room"), make_current=False)
    page = soup(client.get(f"{ASK}&room=Moss+Room&stood_in=Fern+Room"))
    assert text(page.select_one(".looks h2")).endswith("for Moss Room")
    assert "younger" not in text(line(page, 1))


def test_without_a_room_a_clone_can_still_be_made(client):
    assert "No room is loaded" in words(client.get(ASK))
    assert save(client).status_code == 303


def test_one_placement_alone_is_carried_over(client, rooms, unit):
    """From its own panel on the plan; the others stay behind unless someone takes them along."""
    address = "/units/leaves-and-wind/2025-fall/carry-over?only=1&to=by-the-sea&starts=2026-06-01"
    page = soup(client.get(address))
    assert page.select_one("summary").get_text() == "3 placements stay behind"
    form = page.select_one("form[method=post]")
    answer = client.post(form["action"], data=filled(page, "form[method=post]"))
    made = unit("2026-summer", "by-the-sea")
    assert answer.headers["Location"].endswith("/by-the-sea/2026-summer")
    assert [p.activity for p in made.placements] == ["leaf-tub"]


def test_the_api_says_what_a_clone_would_be_and_writes_nothing(client, rooms, paths):
    before = files(paths)
    found = client.get("/api/units/leaves-and-wind/2025-fall/clone?starts=2026-10-05").json
    assert found["unit"] == "leaves-and-wind/2026-fall"
    assert [entry["activity"] for entry in found["left_out"]] == ["jugs"]
    assert found["moved"] == [
        {"activity": "leaf-tub", "center": "sensory", "from": "2026-10-07", "to": "2026-10-08"}
    ]
    assert all(place < len(found["findings"]) for place in found["new_findings"])
    wrong = client.get("/api/units/leaves-and-wind/2025-fall/clone?starts=2026-10-06")
    assert wrong.status_code == 400
    assert "Monday before" in wrong.json["error"]["message"]
    assert files(paths) == before


keys = st.sampled_from(
    ["starts", "to", "name", "room", "stood_in", "at", "open", "activity", "day", "has_days"]
) | st.builds(
    lambda what, row: f"{what}.{row}",
    st.sampled_from(["take", "card", "days", "note"]),
    st.integers(0, 9),
)
values = st.sampled_from(
    ["yes", "no", "2026-10-05", "2026-10-06,2026-10-13", "jugs", "gone", "by-the-sea", "Moss Room",
     "MARK", "0", "3"]
) | st.text(max_size=8)  # fmt: skip


@given(st.lists(st.tuples(keys, values), max_size=8), st.sampled_from(["", "/lines/1"]))
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_whatever_an_address_says_the_page_answers_and_writes_nothing(
    client, rooms, paths, pairs, line
):
    before = files(paths)
    mark = soup(client.get(ASK)).select_one("[name=at]")["value"]
    asked = urlencode([(key, mark if value == "MARK" else value) for key, value in pairs])
    answer = client.get(f"{CLONE}{line}?{asked}")
    assert answer.status_code in {200, 303}
    if answer.status_code == 303:
        assert client.get(answer.headers["Location"].split("#")[0]).status_code == 200
    assert files(paths) == before
