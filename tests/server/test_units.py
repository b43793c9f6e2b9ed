"""The plan page: every edit by forms and links, one fingerprint a change, nothing lost."""

import datetime as dt
import re
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from threading import Barrier

import pytest

from library.materials.amounts import Quantity
from library.room.room import StockLine
from library.units.parsing import write_theme, write_unit
from server.words import day_span
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
DAY = dt.timedelta(days=1)
JUGS = CARD_TEXT.replace("Sponge rain", "Jugs and bowls").replace("sponge squeezing", "pouring")
TUNNEL = JUGS.replace("Jugs and bowls", "Tunnel crawl").replace("[water, science]", "[outdoors]")
FLOUR = "- {item: hand sponge, kind: durable, loose: false, allergens: [wheat]}\n"
CARTON = "- {item: egg carton, kind: durable, loose: false, allergens: [egg]}\n"


@pytest.fixture
def paths(tmp_path):
    cards = {
        "water/sponge-rain.md": CARD_TEXT,
        "water/jugs.md": JUGS,
        "outdoors/tunnel.md": TUNNEL,
    }
    paths = write_library(tmp_path, cards, materials=FLOUR)
    (paths.themes / "leaves-and-wind").mkdir()
    theme = a_theme(props={"catcher": "curled silk leaves"})
    (paths.themes / "leaves-and-wind" / "theme.md").write_text(write_theme(theme))
    return paths


@pytest.fixture
def write(paths):
    """Writes the unit and gives its file."""

    def write(*placements, **fields):
        file = paths.themes / "leaves-and-wind" / "2026-fall.md"
        file.write_text(write_unit(a_unit(*placements, **fields)))
        return file

    return write


@pytest.fixture
def unit(app):
    """Reads the unit as it is now."""
    return lambda: app.extensions["lowshelf"].units.read("leaves-and-wind/2026-fall").unit


@pytest.fixture
def room(app):
    """Loads a room of two centers."""

    def load(*children, **fields):
        room = a_room(*children, **{"centers": ("water", "blocks", "outdoors"), **fields})
        app.extensions["lowshelf"].rooms.save(room)
        return room

    return load


def plan(client):
    return soup(client.get(PLAN))


def opened(client, row=0):
    """The page with the panel of a placement."""
    page = plan(client)
    link = page.select_one(f".placed[data-row='{row}'] a")["href"]
    return soup(client.get(link))


def press(client, page, selector, **changes):
    """Sends a form as it stands, with some fields changed."""
    form = page.select_one(selector)
    fields = filled(page, selector)
    for name, value in changes.items():
        fields.setlist(name, value if isinstance(value, list) else [value])
    return client.post(form["action"], data=fields)


def quick(do):
    """The form of a panel that does one thing."""
    return f".drawer form:has(input[value='{do}'])"


def test_rows_follow_the_walk_and_cells_say_what_stands_there_in_the_themes_dress(
    client, write, room
):
    write(a_placement("water", "sponge-rain", weeks=(1,)))
    room()
    page = plan(client)
    assert [row["id"] for row in page.select(".plan tbody tr")] == [
        "at-water",
        "at-blocks",
        "at-outdoors",
    ]
    cells = page.select("#at-water td")
    assert [cell["data-week"] for cell in cells] == ["1", "2"]
    assert cells[0].select_one("a").text == "Sponge rain"
    assert "Find" in cells[1].text


def test_a_cell_of_an_empty_center_says_that_it_leads_to_find(client, write, room):
    write()
    room()
    links = plan(client).select("#at-blocks td a")
    assert [link.text for link in links] == ["Find for week 1", "Find for week 2"]
    assert links[0]["aria-label"] == "Find for week 1: Blocks"


def test_cards_count_as_used_by_earlier_units_of_the_library_whatever_room_had_them(
    client, paths, write, room
):
    write(a_placement("water", "sponge-rain"), a_placement("blocks", "jugs"))
    earlier = a_unit(a_placement("water", "jugs"), name="2025-fall", starts=MONDAY - 364 * DAY)
    (paths.themes / "leaves-and-wind" / "2025-fall.md").write_text(write_unit(earlier))
    room()
    (cards,) = (t for t in plan(client).select(".totals dt") if t.text == "Cards")
    assert cards.find_next_sibling("dd").text == "1 new, 1 in earlier units of the library"


def test_days_that_differ_within_a_week_are_named_in_one_cell(client, write, room):
    write(
        a_placement("water", "sponge-rain", on=("tue", "thu")),
        a_placement("water", "jugs", on=("mon", "wed", "fri")),
    )
    room()
    cells = plan(client).select("#at-water td")
    assert len(cells) == 2
    assert [span.text for span in cells[0].select(".which")] == ["Tue Thu", "Mon Wed Fri"]


def test_an_empty_center_leads_to_find_with_what_is_known_of_it(client, write, room):
    write()
    room(a_child(), prep_windows=())
    link = plan(client).select_one("#at-water th a")["href"]
    answer = client.get(link)
    assert answer.status_code == 200
    page = soup(answer)
    assert page.select_one("#q")["value"] == ""
    assert "Activities at Water" in page.select_one(".read").text
    assert "the children of the Fern Room" in page.select_one(".read").text
    assert "Choosing for Water" in page.select_one(".notice").text


@pytest.mark.parametrize(
    ("days", "asked"), [(("mon",), "24 minutes or less"), (("mon", "tue"), "")]
)
def test_find_leads_with_minutes_only_where_one_window_could_hold_them(
    client, write, room, days, asked
):
    from library.room.room import PrepWindow

    write(a_placement("blocks", "sponge-rain"))
    window = PrepWindow(days, dt.time(13), dt.time(13, 30))
    room(prep_windows=(window,))
    page = soup(client.get(plan(client).select_one("#at-water th a")["href"]))
    assert page.select_one("#q")["value"] == asked


def found(client, page, text):
    """Find after other words were typed where a card is chosen."""
    return soup(client.get("/", query_string={**filled(page, "#ask").to_dict(), "q": text}))


def test_own_words_stay_with_the_center_that_a_card_is_chosen_for(client, app, write, room):
    write()
    app.extensions["lowshelf"].refresh()
    room()
    page = soup(client.get(plan(client).select_one("#at-outdoors th a")["href"]))
    own = found(client, page, "bowls")
    assert "bowls" in own.select_one(".read").text
    assert "at Outdoors" in own.select_one(".read").text
    assert not own.select(".results h2:-soup-contains('Jugs')")
    every = own.find("a", string="in every center")
    wide = soup(client.get(every["href"]))
    assert wide.select(".results h2:-soup-contains('Jugs')")
    assert wide.select_one("form.place")
    assert filled(wide, "#ask")["anywhere"] == "yes"
    back = soup(client.get(wide.find("a", string="only for Outdoors")["href"]))
    assert "at Outdoors" in back.select_one(".read").text


def test_another_center_that_is_named_while_choosing_is_meant_and_leads_back(
    client, app, write, room
):
    write()
    app.extensions["lowshelf"].refresh()
    room()
    page = soup(client.get(plan(client).select_one("#at-outdoors th a")["href"]))
    named = found(client, page, "water center")
    assert "at Outdoors" not in named.select_one(".read").text
    assert named.select(".results h2:-soup-contains('Jugs')")
    back = soup(client.get(named.find("a", string="only for Outdoors")["href"]))
    assert [each.text for each in back.select(".results h2")] == ["Tunnel crawl"]


def test_a_card_at_a_center_it_does_not_name_says_so_on_the_plan(client, app, write, room):
    write()
    app.extensions["lowshelf"].refresh()
    room()
    page = soup(client.get(plan(client).select_one("#at-blocks th a")["href"]))
    wide = soup(client.get(page.find("a", string="in every center")["href"]))
    form = next(f for f in wide.select("form.place") if f.find("input", value="jugs"))
    sent = {each["name"]: each["value"] for each in form.select("input")}
    client.post(form["action"], data=sent)
    told = plan(client).select_one("#at-blocks .placed .meant")
    assert told.text == "this card is meant for Water or Science"
    press(client, opened(client), ".drawer form", center="water")
    assert not plan(client).select(".meant")


def test_choosing_a_card_places_it_and_returns_to_the_plan(client, write, room, unit):
    write()
    room()
    page = soup(client.get(plan(client).select_one("#at-water td a")["href"]))
    answer = press(client, page, "form.place")
    assert answer.status_code == 303
    assert answer.headers["Location"] == f"{PLAN}#at-water"
    (placement,) = unit().placements
    assert (placement.center, placement.weeks) == ("water", (1,))
    assert placement.activity in {"sponge-rain", "jugs"}


def test_what_is_found_for_a_plan_wears_its_theme_and_is_of_its_season(
    client, app, paths, write, room
):
    theme = a_theme(props={"catcher": "curled silk leaves"}, seasons=("winter",))
    (paths.themes / "leaves-and-wind" / "theme.md").write_text(write_theme(theme))
    snow = CARD_TEXT.replace("Sponge rain", "Snow on {{catcher}}").replace("[fall, spring]", "[]")
    (paths.activities / "water" / "snow.md").write_text(snow)
    app.extensions["lowshelf"].refresh()
    write()
    room()
    page = soup(client.get(plan(client).select_one("#at-water th a")["href"]))
    assert "winter" in page.select_one(".read").text
    (link,) = page.select(".results h2 a")
    assert link.text == "Snow on curled silk leaves"
    assert "rains on curled silk leaves" in page.select_one(".results").text
    card = soup(client.get(link["href"]))
    assert card.h1.text == "Snow on curled silk leaves"
    asked = filled(card, "aside form.screen")
    assert asked["place_in"] == "leaves-and-wind/2026-fall"
    plain = soup(client.get("/activities/snow", query_string={**asked.to_dict(), "theme": ""}))
    assert plain.h1.text == "Snow on shallow lids"
    assert plain.select_one("form.place")


def test_the_card_page_places_as_well(client, write, room, unit):
    write()
    room()
    found = soup(client.get(plan(client).select_one("#at-water th a")["href"]))
    card = soup(client.get(found.select_one(".results h2 a")["href"]))
    assert press(client, card, "form.place").status_code == 303
    assert unit().placements[0].weeks == ()


def test_a_center_stays_as_it_is_in_one_click(client, write, room, unit):
    write()
    room()
    press(client, plan(client), "#at-blocks form")
    assert unit().placements == (a_placement("blocks", None, standing=True),)
    assert not plan(client).select_one("#at-blocks form")


def test_the_panel_changes_days_blocks_props_note_and_rain_swap_at_once(
    client, write, room, unit, app
):
    from library.room.room import Block

    write(a_placement("outdoors", "sponge-rain"))
    app.extensions["lowshelf"].refresh()
    room(day=(Block("free play", dt.time(9), dt.time(10)), Block("late", dt.time(15), dt.time(16))))
    page = opened(client)
    assert page.select_one("#prop-catcher")["placeholder"] == "curled silk leaves"
    tuesdays = [(MONDAY + n * DAY).isoformat() for n in (1, 8)]
    answer = press(
        client,
        page,
        ".drawer form",
        day=tuesdays,
        when=["late"],
        note="with towels",
        center="water",
        **{"prop.catcher": "toy boats"},
    )
    assert answer.status_code == 303
    assert unit().placements == (
        a_placement(
            "water",
            "sponge-rain",
            on=("tue",),
            when=("late",),
            note="with towels",
            props={"catcher": "toy boats"},
        ),
    )


def test_saving_a_panel_as_it_stands_changes_no_byte(client, write, room):
    file = write(a_placement("water", "sponge-rain", weeks=(2,), note="x", instead="jugs"))
    room()
    before = file.read_bytes()
    assert press(client, opened(client), ".drawer form").status_code == 303
    assert file.read_bytes() == before


def test_without_a_day_the_panel_comes_back_with_what_was_typed(client, write, room, unit):
    write(a_placement("water", "sponge-rain"))
    room()
    answer = press(client, opened(client), ".drawer form", day=[], note="with towels")
    assert answer.status_code == 422
    page = soup(answer)
    assert "tick at least one day" in page.select_one(".drawer .problem").text.lower()
    assert page.select_one("#note")["value"] == "with towels"
    assert not page.select(".drawer [name=day][checked]")
    assert unit().placements[0].note == ""


@pytest.mark.parametrize(
    ("placement", "do", "changes", "after"),
    [
        ({"weeks": (1,)}, "copy", {}, [{"weeks": (1,)}, {"weeks": (2,)}]),
        ({"weeks": (1,)}, "push", {}, [{"weeks": (2,)}]),
        ({}, "shorten", {"last": (MONDAY + 4 * DAY).isoformat()}, [{"weeks": (1,)}]),
        ({}, "remove", {}, []),
    ],
)
def test_a_panel_copies_pushes_shortens_and_takes_out(
    client, write, room, unit, placement, do, changes, after
):
    write(a_placement("water", "sponge-rain", **placement))
    room()
    assert press(client, opened(client), quick(do), **changes).status_code == 303
    assert list(unit().placements) == [a_placement("water", "sponge-rain", **f) for f in after]


def test_another_card_is_chosen_by_way_of_find(client, write, room, unit):
    write(a_placement("water", "sponge-rain", weeks=(1,), note="of the old card"))
    room()
    link = opened(client).find("a", string="Another card")["href"]
    page = soup(client.get(link))
    forms = page.select("form.place")
    chosen = next(f for f in forms if f.select_one("[name=activity]")["value"] == "jugs")
    client.post(chosen["action"], data={i["name"]: i["value"] for i in chosen.select("input")})
    assert unit().placements == (a_placement("water", "jugs", weeks=(1,)),)


def test_a_dragged_placement_goes_to_another_center_and_week(client, write, room, unit):
    write(a_placement("water", "sponge-rain", weeks=(1,)))
    room()
    mark = plan(client).select_one(".planner")["data-fingerprint"]
    sent = {"do": "move", "center": "blocks", "week": "2", "from": "1", "fingerprint": mark}
    client.post(f"{PLAN}/placements/0", data=sent)
    assert unit().placements == (a_placement("blocks", "sponge-rain", weeks=(2,)),)


@pytest.mark.parametrize("do", ["move", "copy", "place"])
@pytest.mark.parametrize("week", ["99999999999", "9" * 5_000, "next"])
def test_a_week_that_no_unit_has_is_said(client, write, room, do, week):
    file = write(a_placement("water", "sponge-rain", days=(MONDAY,)))
    room()
    before = file.read_bytes()
    mark = plan(client).select_one(".planner")["data-fingerprint"]
    sent = {"center": "blocks", "activity": "jugs", "week": week, "from": "1", "fingerprint": mark}
    to = f"{PLAN}/placements/0"
    answer = client.post(to, data={"do": do, **sent}, follow_redirects=True)
    assert answer.status_code < 500
    assert "expected a whole number from 0 to 52" in answer.get_data(as_text=True)
    assert file.read_bytes() == before


def test_a_unit_is_stretched_and_stopped_early(client, write, room, unit):
    write(a_placement("water", "sponge-rain", weeks=(2,)))
    room()
    press(client, plan(client), "#weeks form:has([value=stretch])")
    assert (unit().weeks, unit().placements[0].weeks) == (3, (2, 3))
    friday = (MONDAY + 11 * DAY).isoformat()
    press(client, plan(client), "#weeks form:has([value=stop])", last=friday)
    assert (unit().weeks, unit().placements[0].weeks) == (2, (2,))


def test_every_change_is_taken_back_to_the_same_bytes(client, write, room):
    file = write(a_placement("water", "sponge-rain"))
    room()
    before = [file.read_bytes()]
    press(client, plan(client), "#at-blocks form")
    before.append(file.read_bytes())
    press(client, opened(client), quick("remove"))
    for bytes_then in reversed(before):
        page = plan(client)
        assert page.select_one("#undo")
        press(client, page, ".totals form")
        assert file.read_bytes() == bytes_then
    assert not plan(client).select_one("#undo")


def test_what_was_done_is_said_in_words_also_of_a_card_that_is_out_now(client, app, write, room):
    write(a_placement("water", "jugs"), a_placement("blocks", None, standing=True))
    app.extensions["lowshelf"].refresh()
    room()
    days = [(MONDAY + n * DAY).isoformat() for n in range(7, 12)]
    saved = press(client, opened(client), ".drawer form", day=days, note="near the sink; jugs")
    assert "Jugs and bowls at Water: every week → week 2, note “near the sink; jugs”." in words(
        client.get(saved.headers["Location"])
    )
    gone = press(client, opened(client), quick("remove"))
    assert "Jugs and bowls taken out of Water." in words(client.get(gone.headers["Location"]))
    assert "Jugs and bowls taken out of Water" in plan(client).select_one("#undo").text
    stood = press(client, opened(client), quick("remove"))
    assert "Blocks no longer stays as it is." in words(client.get(stood.headers["Location"]))


def test_what_someone_else_changed_is_never_undone(client, write, room):
    file = write(a_placement("water", "sponge-rain"))
    room()
    press(client, plan(client), "#at-blocks form")
    page = plan(client)
    file.write_text(file.read_text().replace("weeks: 2", "weeks: 3"))
    theirs = file.read_bytes()
    press(client, page, ".totals form")
    assert file.read_bytes() == theirs
    assert not plan(client).select_one("#undo")


def test_the_second_of_two_editors_sees_both_versions_and_can_do_it_again(
    client, write, room, unit
):
    write(a_placement("water", "sponge-rain"))
    room()
    mine = opened(client)
    press(client, plan(client), "#at-blocks form")
    answer = press(client, mine, ".drawer form", note="with towels")
    assert answer.status_code == 409
    page = soup(answer)
    assert "Blocks stays as it is" in page.select_one("#theirs").text
    assert "with towels" in page.select_one("#mine").text
    assert len(unit().placements) == 2
    assert unit().placements[0].note == ""
    press(client, page, "form")
    assert [p.note for p in unit().placements] == ["with towels", ""]


def test_what_was_sent_is_said_in_words_where_its_plan_is_no_longer_known(client, write, room):
    """No name of a field, no key of a card or a center, nothing that a page carries unseen."""
    write(a_placement("water", "sponge-rain"))
    room()
    answer = press(
        client,
        opened(client),
        ".drawer form",
        fingerprint="of-another-day",
        note="with towels",
        **{"prop.catcher": "lids", "day": [MONDAY.isoformat(), (MONDAY + DAY).isoformat()]},
    )
    assert answer.status_code == 409
    said = [line.text for line in soup(answer).select("#mine li")]
    assert said == [
        "Change what stands there",
        "Stands on: Mon 5 Oct 2026, Tue 6 Oct 2026",
        "Catcher: lids",
        "Note for the team: with towels",
        "At: Water",
    ]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (
            {"do": "place", "center": "water", "activity": "jugs", "week": "2"},
            ["Put a card at a center", "At: Water", "Activity: Jugs and bowls", "Week: 2"],
        ),
        (
            {"do": "rain", "activity": "gone"},
            ["Take a card for when it rains", "Activity: gone"],
        ),
        (
            {"do": "stop", "last": "2026-10-09"},
            ["End the unit on a day", "Last day: Fri 9 Oct 2026"],
        ),
    ],
)
def test_every_kind_of_change_is_said_in_words(client, write, room, sent, said):
    write(a_placement("water", "sponge-rain"))
    room()
    to = f"{PLAN}/placements" if sent["do"] == "place" else f"{PLAN}/placements/0"
    answer = client.post(to, data={"fingerprint": "of-another-day", **sent})
    assert answer.status_code == 409
    assert [line.text for line in soup(answer).select("#mine li")] == said


def test_two_who_change_one_placement_choose_piece_by_piece(client, write, room, unit):
    """What only one changed is chosen already; what both changed is asked; nothing is decided alone."""
    write(a_placement("water", "sponge-rain"))
    room()
    mine, theirs = opened(client), opened(client)
    press(client, theirs, ".drawer form", note="two tubs", **{"prop.catcher": "lids"})
    answer = press(client, mine, ".drawer form", note="with towels")
    assert answer.status_code == 409
    again = press(client, soup(answer), "#choices")
    assert again.status_code == 422
    assert "Choose one of the two" in words(again)
    assert unit().placements[0].note == "two tubs"
    form = filled(soup(again), "#choices")
    titles = [each.text for each in soup(again).select("#choices legend")]
    asked = next(n for n, title in enumerate(titles) if "both of you changed it" in title)
    form[f"pick[{asked}]"] = "mine"
    assert client.post(f"{PLAN}/merge", data=form).status_code == 303
    placement = unit().placements[0]
    assert (placement.note, placement.props) == ("with towels", {"catcher": "lids"})


def test_a_third_change_while_two_are_chosen_from_is_looked_at_too(client, write, room, unit):
    file = write(a_placement("water", "sponge-rain"))
    room()
    mine = opened(client)
    press(client, opened(client), ".drawer form", **{"prop.catcher": "lids"})
    answer = press(client, mine, ".drawer form", note="with towels")
    file.write_text(file.read_text().replace("weeks: 2", "weeks: 3"))
    again = press(client, soup(answer), "#choices")
    assert again.status_code == 409
    assert press(client, soup(again), "#choices").status_code == 303
    placement = unit().placements[0]
    assert (unit().weeks, placement.note, placement.props) == (
        3,
        "with towels",
        {"catcher": "lids"},
    )


def test_a_child_named_in_what_is_put_together_is_asked_about(client, write, room, unit):
    """However the text came into the form."""
    label = "wren"
    write(a_placement("water", "sponge-rain"))
    room(a_child(label))
    mine = opened(client)
    press(client, opened(client), ".drawer form", **{"prop.catcher": "lids"})
    answer = press(client, mine, ".drawer form", note="with towels")
    form = filled(soup(answer), "#choices")
    form["mine"] = form["mine"].replace("with towels", f"towels for {label}")
    asked = client.post(f"{PLAN}/merge", data=form)
    assert asked.status_code == 422
    assert label in words(asked)
    assert asked.headers["Cache-Control"] == "no-store"
    assert unit().placements[0].note == ""
    sure = filled(soup(asked), "main form")
    again = client.post(f"{PLAN}/merge", data={**sure, "again": "yes"})
    assert soup(again).select("#choices input[type=radio]")
    assert client.post(f"{PLAN}/merge", data={**sure, "labels_known": "yes"}).status_code == 303
    assert unit().placements[0].note == f"towels for {label}"


def test_a_form_of_two_versions_that_lost_one_of_them_writes_nothing(client, write, room, unit):
    write(a_placement("water", "sponge-rain"))
    room()
    mark = plan(client).select_one(".planner")["data-fingerprint"]
    answer = client.post(f"{PLAN}/merge", data={"fingerprint": mark, "base": "torn", "mine": ""})
    assert answer.status_code == 400
    assert "look at the plan" in words(answer)


def test_a_change_of_what_is_gone_is_not_made_on_something_else(client, write, room, unit):
    write(a_placement("water", "sponge-rain"), a_placement("water", "jugs"))
    room()
    mine = opened(client, row=0)
    press(client, opened(client, row=0), quick("remove"))
    page = soup(press(client, mine, quick("remove")))
    assert not page.select("form")
    assert [p.activity for p in unit().placements] == ["jugs"]


def test_of_eight_who_save_at_the_same_moment_one_is_first_and_the_others_are_told(
    client, app, write, room, unit
):
    write(a_placement("water", "sponge-rain"))
    room()
    mark = plan(client).select_one(".planner")["data-fingerprint"]
    barrier = Barrier(8)

    def save(number):
        sent = {"do": "stays", "center": "blocks", "add": f"box {number}", "fingerprint": mark}
        browser = app.test_client()
        barrier.wait()
        return browser.post(f"{PLAN}/placements", data=sent).status_code

    with ThreadPoolExecutor(8) as people:
        answers = sorted(people.map(save, range(8)))
    assert answers == [303, *[409] * 7]
    assert len(unit().placements) == 2


def test_a_row_that_moved_up_is_found_again(client, write, room, unit):
    write(a_placement("water", "sponge-rain"), a_placement("water", "jugs"))
    room()
    mine = opened(client, row=1)
    press(client, opened(client, row=0), quick("remove"))
    page = soup(press(client, mine, ".drawer form", note="mine"))
    press(client, page, "form")
    assert [(p.activity, p.note) for p in unit().placements] == [("jugs", "mine")]


def test_a_panel_of_an_older_plan_is_not_opened(client, write, room):
    write(a_placement("water", "sponge-rain"))
    room()
    link = plan(client).select_one(".placed a")["href"]
    press(client, plan(client), "#at-blocks form")
    assert client.get(link).headers["Location"] == PLAN


def test_an_edit_that_cannot_be_is_explained_on_the_plan(client, write, room):
    write(a_placement("water", "sponge-rain", weeks=(2,)))
    room()
    mark = plan(client).select_one(".planner")["data-fingerprint"]
    answer = client.post(
        f"{PLAN}/placements/0", data={"do": "push", "fingerprint": mark}, follow_redirects=True
    )
    assert "stretch it first" in words(answer)


def test_totals_are_right_after_each_change(client, write, room):
    write()
    room()

    def totals():
        page = plan(client).select_one(".totals")
        return {
            term.text: " ".join(term.find_next_sibling("dd").text.split())
            for term in page.select("dt")
        }

    assert totals()["Still empty"] == "Water, Blocks, Outdoors"
    press(client, plan(client), "#at-blocks form")
    assert totals()["Still empty"] == "Water, Outdoors"
    page = soup(client.get(plan(client).select_one("#at-water th a")["href"]))
    press(client, page, "form.place")
    now = totals()
    assert now["Still empty"] == "Outdoors"
    counts = plan(client).select_one("#prep-counts").text
    assert counts.startswith("Prep ahead counts each card once")
    assert now["Prep ahead"] == "week 1: 6 of 200 week 2: 0 of 200 min"
    assert now["Cards"] == "1 new, 0 in earlier units of the library"
    assert now["Adults at once"] == "at most 2 of 2"


def test_findings_stand_beside_the_plan_by_rule_with_shape_word_source_and_remedy(
    client, write, room
):
    """FIND4, FIND6: a stop is open, a note is folded, and each has its source."""
    write(a_placement("water", "sponge-rain"))
    room(a_child("wren", allergens=("wheat",)))
    groups = plan(client).select(".looks .findings > li")
    first = groups[0]
    assert first.select_one("svg.stop use")["href"].endswith("#stop")
    assert first.select_one("summary").text.startswith("Stop.")
    assert first.select_one("details").has_attr("open")
    assert "Source:" in first.text
    assert first.find("a", string="Choose another card")
    last = groups[-1]
    assert last.select_one("summary").text.startswith("Note.")
    assert not last.select_one("details").has_attr("open")


def test_whose_allergen_it_is_stands_behind_a_fold(client, write, room):
    """FIND4 names the label; a page that others may see says what, and whose only to who asks."""
    write(a_placement("water", "sponge-rain"))
    room(a_child("wren", allergens=("wheat",)), a_child("heron", allergens=("egg",)))
    page = plan(client)
    stop = page.select_one(".looks .findings > li")
    who = next(s for s in stop.select("details") if s.summary.text == "Who?")
    assert "wren: wheat" in who.text
    assert not who.has_attr("open")
    who.decompose()
    assert "(wheat)" in stop.text
    assert "wren" not in page.text
    assert "heron" not in page.text


def test_every_allergen_that_was_looked_for_is_named_though_nothing_was_found(client, write, room):
    """Silence would read as leave: what no material lists is said beside what one does."""
    write(a_placement("water", "sponge-rain"))
    room(a_child("wren", allergens=("Wheat",)), a_child("heron", allergens=("egg", "wheat")))
    told = " ".join(plan(client).select_one("#allergens").text.split())
    assert "wheat (1 stop); egg (nothing listed for these materials)." in told
    assert "Not known for water: nobody has described it, or read its label." in told
    assert "This clears nothing" in told
    assert "wren" not in told
    room(a_child("wren"))
    assert not plan(client).select("#allergens")


def test_the_stops_are_counted_first_at_the_head_and_over_the_findings(client, write, room, paths):
    """Two things on one tray are two stops, told as one with the rule once."""
    (paths.activities / "materials.yaml").write_text(FLOUR + CARTON)
    card = CARD_TEXT.replace("steps:", "  - {item: egg carton, amount: 1 per setup}\nsteps:")
    (paths.activities / "water" / "sponge-rain.md").write_text(card)
    write(a_placement("water", "sponge-rain"), a_placement("blocks", None, standing=True))
    room(a_child("wren", allergens=("wheat", "egg")))
    page = plan(client)
    first = page.select_one(".totals dl > div")
    assert first.get_text(" ", strip=True) == "Stops 2 on 1 tray"
    assert first.a["href"] == "#" + page.select_one(".looks h2")["id"]
    assert page.select_one(".looks h2").text == "2 stops, 2 cautions to look at"
    care = page.select_one(".looks .findings").select("li > svg + div")
    assert [each.summary.text.split(".")[0] for each in care] == ["Stop", "Caution", "Caution"]
    stops = care[:1]
    assert [s.summary.text for s in stops] == [
        "Stop. Sponge rain: hand sponge and egg carton (allergens)"
    ]
    assert stops[0].text.count("Source:") == 1


@pytest.mark.parametrize("address", [PLAN, f"{PLAN}/clone?starts={MONDAY.isoformat()}"])
def test_adults_at_once_are_said_once_with_all_their_days(client, write, room, address):
    """FIND2 gives one finding for each day and block; a page need not repeat the sentence."""
    write(a_placement("light", "sponge-rain"))
    room(adults=1, centers=("light",), closed=frozenset({MONDAY + 8 * DAY}))
    page = soup(client.get(address))
    (entry,) = (each for each in page.select(".findings details") if "at once" in each.text)
    (line,) = entry.select("li p:first-child")
    said = " ".join(line.text.split())
    days = f"{spanned(0, 4)}, {spanned(7, 7)}, {spanned(9, 11)}"
    assert said.startswith(f"{days}, ")
    assert "(Sponge rain at Light table)" in said
    assert not re.search(r"\d{4}-\d\d", said)
    if address == PLAN:
        (total,) = page.select("#adults li")
        assert total.text.startswith(f"{days}, ")


def spanned(first, last):
    """Days of a plan as its table names them."""
    return day_span(tuple(MONDAY + n * DAY for n in range(first, last + 1)))


def test_what_is_for_planning_stands_apart_from_cautions_and_the_limits_come_first(
    client, write, room
):
    write(a_placement("water", "sponge-rain"))
    room(a_child("wren"))
    looks = plan(client).select_one(".looks")
    assert looks.select_one("h2 + p").text.startswith("Published guidance")
    for_planning = looks.select_one("#planning").find_all_next("summary")
    assert any("Empty centers" in each.text for each in for_planning)
    before = looks.select_one("#planning").find_all_previous("summary")
    assert not any("Empty centers" in each.text for each in before)


def test_what_nobody_counted_on_the_shelf_is_one_entry_and_what_is_short_one_each(
    client, write, room, paths
):
    """FIND9 names each thing; what no shelf is known of would be every one of them."""
    sponge = "  - {item: hand sponge, amount: 1 per place}\n"
    more = "  - {item: egg carton, amount: 2 per setup}\n  - {item: jug, amount: 2 per setup}\n"
    card = paths.activities / "water" / "sponge-rain.md"
    card.write_text(card.read_text().replace(sponge, sponge + more))
    jug = "- {item: jug, kind: durable, loose: false, also: [pouring jug]}\n"
    (paths.activities / "materials.yaml").write_text(FLOUR + CARTON + jug)
    write(a_placement("water", "sponge-rain"))

    def about_the_shelf(address, *stock):
        room(stock=tuple(StockLine(each, Quantity(Fraction(1), "")) for each in stock))
        entries = soup(client.get(address)).select(".findings details")
        return [each for each in entries if "shelf" in each.text]

    (entry,) = about_the_shelf(PLAN)
    assert entry.summary.text.endswith("Not counted on a shelf yet (3)")
    assert entry.text.count("Count what is on the shelf") == 1
    for address in (PLAN, f"{PLAN}/clone"):
        entries = about_the_shelf(address, "pouring jug")
        assert [" ".join(each.summary.text.split())[:49] for each in entries] == [
            "Caution. Not counted on a shelf yet (2)",
            "Caution. Not enough on the shelf: jug",
        ]
        assert "Count what is on the shelf" in entries[0].text
        assert "Count what is on the shelf" not in entries[1].text


def test_an_empty_center_is_mended_from_its_finding(client, write, room, unit):
    write(a_placement("water", "sponge-rain"))
    room()
    press(client, plan(client), ".looks form:has([value=blocks])")
    assert unit().placements[1] == a_placement("blocks", None, standing=True)


def test_nothing_found_is_said_as_it_is_and_no_page_gives_its_blessing(client, write, room):
    write(a_placement("blocks", None, standing=True))
    room(centers=("blocks",))
    page = client.get(PLAN)
    text = words(page)
    assert not re.search(r"\b(OK|approved|compliant|safe|meets)\b|✓|✔", text)


def test_a_missing_card_is_shown_with_similar_cards_to_take_in_one_step(
    client, app, write, room, unit
):
    """FIND7; nothing is known of this card but its name."""
    app.extensions["lowshelf"].refresh()
    write(a_placement("water", "jugs-of-sand", weeks=(2,)))
    room()
    page = plan(client)
    assert page.select_one("#at-water .gone").text == "jugs-of-sand is missing"
    stop = page.select_one(".looks .findings > li")
    assert stop.find("a", string="Choose another card")
    assert stop.find("button", string="Take it out")
    assert "There is no card of this name" in opened(client).select_one(".drawer").text
    assert stop.select_one("button").text == "Take Jugs and bowls"
    press(client, page, ".looks form:has([value=jugs])")
    assert unit().placements == (a_placement("water", "jugs", weeks=(2,)),)


def test_a_removed_card_can_be_brought_back_or_replaced_by_one_like_it(
    client, app, paths, write, room, unit
):
    shelf, file = app.extensions["lowshelf"], paths.activities / "water" / "sponge-rain.md"
    (paths.activities / "water" / "wet-sponge.md").write_text(CARD_TEXT.replace("rain", "walk"))
    write(a_placement("water", "sponge-rain"), a_placement("water", "jugs", instead="sponge-rain"))
    shelf.history.record_outside_changes()
    text = file.read_bytes()
    file.unlink()
    shelf.history.record_outside_changes()
    shelf.refresh()
    room()
    drawer = opened(client).select_one(".drawer")
    assert "“Sponge rain” was removed on" in drawer.text
    assert "same technique: sponge squeezing" in drawer.select_one(".lines li").text
    press(client, opened(client), ".drawer .lines li form")
    assert unit().placements[0].activity == "wet-sponge"
    rain = plan(client).select_one(".looks .findings form:has([value=rain])")
    client.post(rain["action"], data={i["name"]: i["value"] for i in rain.select("input")})
    assert (unit().placements[1].activity, unit().placements[1].instead) == ("jugs", "wet-sponge")
    press(client, plan(client), ".totals form")
    press(client, plan(client), ".totals form")
    press(client, opened(client), ".drawer .problem form")
    assert file.read_bytes() == text
    assert not plan(client).select(".gone")


def test_without_a_room_every_center_is_there_and_the_way_to_a_room(client, write):
    write()
    page = plan(client)
    assert len(page.select(".plan tbody tr")) == 15
    assert page.select_one(".looks .notice a")["href"] == "/room"


def test_a_label_in_a_note_is_asked_about_and_nothing_is_lost(client, write, room, unit):
    write(a_placement("water", "sponge-rain"))
    room(a_child("wren"))
    answer = press(client, opened(client), ".drawer form", note="near Wren", center="blocks")
    assert answer.status_code == 422
    assert unit().placements[0].note == ""
    page = soup(answer)
    assert page.select_one("textarea").text == "near Wren"
    form = filled(page)
    client.post(page.form["action"], data={**form.to_dict(flat=True), "note": "near the door"})
    assert (unit().placements[0].note, unit().placements[0].center) == ("near the door", "blocks")


def test_a_label_that_is_just_a_word_is_saved_when_said_so(client, write, room, unit):
    write(a_placement("water", "sponge-rain"))
    room(a_child("wren"))
    page = soup(press(client, opened(client), ".drawer form", note="a wooden wren"))
    client.post(
        page.form["action"], data={**filled(page).to_dict(flat=True), "labels_known": "yes"}
    )
    assert unit().placements[0].note == "a wooden wren"
    again = press(client, opened(client), ".drawer form", center="blocks")
    assert again.status_code == 303


def test_each_change_is_kept_in_the_history(client, app, write, room):
    from library.history.versions import History

    write()
    room()
    press(client, plan(client), "#at-blocks form")
    versions = History(app.extensions["lowshelf"].paths).versions(
        "themes/leaves-and-wind/2026-fall.md"
    )
    assert versions[0].note == "leaves-and-wind/2026-fall: standing added to blocks"


def test_no_browser_keeps_a_plan(client, write, room):
    write()
    room()
    for address in (PLAN, f"{PLAN}/goals", f"{PLAN}/one-adult-fewer", f"/api{PLAN}/check"):
        assert client.get(address).headers["Cache-Control"] == "no-store", address


def test_the_api_gives_what_the_command_prints(client, write, room, app):
    from library.plan.checks import check_unit
    from library.plan.opening import open_plan

    write(a_placement("water", "sponge-rain"))
    fern = room(a_child("wren", allergens=("wheat",)))
    plan = open_plan(
        app.extensions["lowshelf"].paths, "leaves-and-wind/2026-fall", fern, today=dt.date.today()
    )
    assert client.get(f"/api{PLAN}/check").json == check_unit(plan).as_json()
