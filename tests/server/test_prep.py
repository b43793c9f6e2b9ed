"""The prep page: nap times with their tasks, moved, ticked off and shared out."""

import datetime as dt
from dataclasses import replace

import pytest

from library.room.rooms import Rooms
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

PAGE = "/units/leaves-and-wind/2026-fall/prep"
WEEK = dt.timedelta(weeks=1)
CARD = CARD_TEXT.replace("on: ahead, away: true}", "on: ahead}")


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD})
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir(parents=True)
    (folder / "theme.md").write_text(write_theme(a_theme()))
    note = a_placement("water", "sponge-rain", note="Two towels were too few.")
    (folder / "2026-fall.md").write_text(write_unit(a_unit(note)))
    Rooms(paths.database).save(a_room(a_child()))
    return paths


def forms(page, do):
    """The forms of a page that have a button for it."""
    return [form for form in page.select("form") if form.select_one(f"[name=do][value='{do}']")]


def send(client, do, **fields):
    """Fills the first form that does it, as it stands but for some fields, and sends it."""
    page = soup(client.get(PAGE))
    values = filled(forms(page, do)[0].wrap(page.new_tag("div"))).to_dict()
    values.update({"do": do, **fields})
    return client.post(PAGE, data=values, follow_redirects=True)


def test_a_task_stands_in_its_nap_time_with_what_it_is_for(client):
    text = words(client.get(PAGE))
    assert "6 minutes of work ahead in 1 prep window" in text
    assert "Fri 2 Oct 13:00 to 13:40" in text
    assert "Trim the sponges 6 min" in text
    assert "Two towels were too few." in text
    assert "Fill the tub, 2 min" in text


def test_a_task_that_is_moved_stays_there_until_it_is_let_go(client):
    moved = words(send(client, "move", to="2026-09-30 13:00-13:40"))
    assert "Wed 30 Sep 13:00 to 13:40" in moved
    assert "stays here" in moved
    assert "Fri 2 Oct 13:00 to 13:40" in words(send(client, "let go"))


def test_only_days_are_offered_from_which_the_thing_would_keep(client, paths):
    """PREP2: what keeps three days can be made on Friday for Monday morning, and not on Thursday."""
    file = paths.activities / "water" / "sponge-rain.md"
    file.write_text(CARD.replace("prep: 8\n", "prep: 8\nkeeps: 3 d\n"))
    offered = soup(client.get(PAGE)).select_one("select[name=to]").select("option")
    assert [each["value"] for each in offered] == ["2026-10-02 13:00-13:40"]


def test_what_is_made_again_is_named_since_the_plan_counts_each_card_once(client, paths):
    """PREP3: made again for the second Monday; PREP18: the day's own steps lie in no window."""
    file = paths.activities / "water" / "sponge-rain.md"
    file.write_text(CARD.replace("prep: 8\n", "prep: 8\nkeeps: 7 d\n"))
    text = words(client.get(PAGE))
    assert "12 minutes of work ahead in 2 prep windows, 6 of them to make again" in text
    assert "This lies in no prep window and is not counted above" in text
    assert "Prep ahead week 1: 6 of 200 week 2: 0 of 200 min" in words(
        client.get("/units/leaves-and-wind/2026-fall")
    )


def test_a_task_that_was_put_where_it_cannot_be_says_why(client):
    text = words(send(client, "move", to="2026-09-30 09:00-09:40"))
    assert "it cannot stay where it was put" in text
    assert "There is no prep window 09:00-09:40 on that day" in text


def test_what_is_ticked_off_stays_ticked_and_can_be_taken_back(client):
    page = soup(send(client, "done"))
    assert page.select_one(".task.done")
    assert not soup(send(client, "not done")).select_one(".task.done")


def test_a_task_says_who_does_it(client):
    assert "for Mon 5 Oct · Ada" in words(send(client, "ask", who=" Ada "))


def test_the_plan_page_does_not_wait_for_prep(client, paths):
    room = Rooms(paths.database).current()
    Rooms(paths.database).save(replace(room, prep_windows=()))
    shown = client.get("/units/leaves-and-wind/2026-fall")
    assert "is being worked out" in words(shown)
    later = client.get(soup(shown).select_one("[data-fill]")["data-fill"])
    assert "Late prep" in later.get_data(as_text=True)
    assert "Will not fit" in words(client.get(PAGE))


def test_another_unit_in_the_same_weeks_is_said_to_want_the_same_windows(client, paths):
    """PREP19: one unit is planned with all windows; the page warns."""
    assert "the same windows" not in words(client.get(PAGE))
    other = a_unit(a_placement(), name="2026-again", title="Leaves again", starts=MONDAY + WEEK)
    file = paths.themes / "leaves-and-wind" / "2026-again.md"
    file.write_text(write_unit(other))
    assert "In the same weeks Leaves again wants the same windows" in words(client.get(PAGE))


@pytest.mark.parametrize("fields", [{"at": "soon"}, {"do": "dance"}, {"step": ""}])
def test_a_change_that_makes_no_sense_is_refused_in_words(client, fields):
    values = {"do": "done", "step": "x", "at": "2026-10-02 13:00-13:40", **fields}
    answer = client.post(PAGE, data=values)
    assert answer.status_code == 400
    assert words(answer)


def test_the_json_twin_says_what_the_command_says(client):
    answer = client.get("/api/units/leaves-and-wind/2026-fall/prep").json
    assert answer["feasible"] is True
    assert answer["sessions"][0]["tasks"][0]["minutes"] == 6


def test_the_unit_can_be_taken_into_a_calendar(client):
    file = client.get("/units/leaves-and-wind/2026-fall/calendar.ics")
    assert file.content_type.startswith("text/calendar")
    assert b"BEGIN:VEVENT" in file.data
    assert b"wren" not in file.data


def test_what_neither_fits_nor_can_stay_is_called_by_its_words(client, paths):
    send(client, "move", to="2026-09-30 13:00-13:40")
    Rooms(paths.database).save(replace(Rooms(paths.database).current(), prep_windows=()))
    assert "Trim the sponges: it cannot stay where it was put" in words(client.get(PAGE))


def test_water_that_would_stand_overnight_is_said_to_be_too_early(client, paths):
    """CFOC 6.2.4.2: fresh water for the group, emptied after it."""
    assert "Not ahead." not in words(client.get(PAGE))
    early = CARD.replace("Trim the sponges", "Fill the tub with water").replace("wait:", "waits:")
    (paths.activities / "water/sponge-rain.md").write_text(early)
    assert "Not ahead. No filled water stands overnight" in words(client.get(PAGE))


def test_nothing_is_made_ready_for_a_tray_that_a_stop_keeps_in(client, paths):
    """Common practice, no source: a box to tick reads as leave to go on."""
    assert soup(client.get(PAGE)).select(".task .box")
    (paths.activities / "materials.yaml").write_text("- {item: hand sponge, allergens: [egg]}\n")
    Rooms(paths.database).save(a_room(a_child("wren", allergens=("egg",))))
    page = client.get(PAGE)
    task = soup(page).select_one(".task")
    assert "Stop. Make nothing ready for this: hand sponge (allergens)." in " ".join(
        task.get_text(" ", strip=True).split()
    ).replace(" .", ".")
    assert not task.select(".box")
    assert "Published guidance" in words(page)
    assert "wren" not in page.get_data(as_text=True)
