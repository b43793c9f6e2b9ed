"""Review: who marks a draft ready, what is said of it in private, and two cards made one."""

import re

import pytest

from library.accounts.people import Role
from library.history.versions import History
from library.room.comments import Comments
from library.room.prepbook import PrepBook, Settled
from library.room.rooms import Rooms
from server import create_app
from server.settings import load_settings
from tests.builders import CARD_TEXT, MONDAY, a_child, a_room, write_library
from tests.server.pages import filled, soup, words
from tests.server.visiting import HOST, signed_in

DRAFT = CARD_TEXT.replace("status: ready", "status: draft")
TWIN = CARD_TEXT.replace("title: Sponge rain", "title: Rain sponge").replace(
    "  - {item: water, amount: 500 ml per setup, refresh: each day}",
    "  - {item: apron, amount: 1 per place}",
)
UNIT = """\
---
title: Leaves, fall 2026
starts: 2026-10-05
weeks: 1
placements:
  - {center: water, activity: rain-sponge, weeks: [1]}   # by the window
---
"""
CARD, OTHER = "activities/water/sponge-rain.md", "activities/water/rain-sponge.md"
STATUS = "#comments form[action$=status]"


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": DRAFT, "water/rain-sponge.md": TWIN})
    theme = paths.themes / "leaves-and-wind"
    theme.mkdir(parents=True, exist_ok=True)
    (theme / "theme.md").write_text("---\ntitle: Leaves and wind\n---\n", encoding="utf-8")
    (theme / "2026-fall.md").write_text(UNIT, encoding="utf-8")
    return paths


def test_review_lists_drafts_and_cards_that_are_much_alike(client):
    said = words(client.get("/review"))
    drafts = said[said.index("Drafts") : said.index("Files to mend")]
    assert "Sponge rain" in drafts
    assert "Rain sponge" not in drafts
    assert "Rain sponge and Sponge rain Look at both nearly the same title" in said


def test_the_api_lists_what_the_page_lists(client, paths):
    (paths.activities / "water" / "torn.md").write_text("---\ntitle: [\n", encoding="utf-8")
    found = client.get("/api/review").json
    assert [(each["id"], each["by"], each["comments"]) for each in found["drafts"]] == [
        ("sponge-rain", "", 0)
    ]
    assert {each["file"] for each in found["problems"]} >= {"activities/water/torn.md"}
    assert [(each["one"]["id"], each["other"]["id"]) for each in found["alike"]] == [
        ("rain-sponge", "sponge-rain")
    ]
    shown = words(client.get("/review"))
    assert all(each["item"] in shown for each in found["unmeasured"])
    assert found["unused"] == found["pictures"] == []


def test_the_reason_why_two_cards_are_alike_is_in_plain_words(client, paths):
    """What a theme may swap is named by the card's own word, not by the mark in its file."""
    for name in ("one", "other"):
        text = CARD_TEXT.replace("title: Sponge rain", f"title: Quite {name}")
        text = text.replace("item: hand sponge", "item: '{{catcher}}'")
        (paths.activities / "water" / f"{name}.md").write_text(text, encoding="utf-8")
    said = words(client.get("/review"))
    assert "shallow lids" in said
    assert "{{" not in said


def test_who_works_alone_marks_a_draft_ready_with_one_click(client, paths):
    form = filled(soup(client.get("/activities/sponge-rain")), STATUS)
    answer = client.post("/review/sponge-rain/status", data={**form, "status": "ready"})
    assert answer.status_code == 303
    text = (paths.activities / "water" / "sponge-rain.md").read_text("utf-8")
    assert text == CARD_TEXT


def test_a_card_that_changed_since_it_was_looked_at_is_not_marked(client, paths):
    form = filled(soup(client.get("/activities/sponge-rain")), STATUS)
    file = paths.activities / "water" / "sponge-rain.md"
    file.write_text(DRAFT.replace("prep: 8", "prep: 9"), encoding="utf-8")
    answer = client.post("/review/sponge-rain/status", data={**form, "status": "ready"})
    assert answer.status_code == 409
    assert "status: draft" in file.read_text("utf-8")


@pytest.fixture
def staff(paths):
    """A browser for each of two people of a server that others can reach."""
    app = create_app(load_settings(paths, {}, host=HOST, watch=False))
    app.extensions["lowshelf"].refresh()
    roles = {"Ada": Role.LEAD, "Bo": Role.CONTRIBUTOR, "Cy": Role.READER}
    return {name: signed_in(app, name, role) for name, role in roles.items()}


def test_where_several_sign_in_another_person_marks_it_ready(staff, paths):
    file = paths.activities / "water" / "sponge-rain.md"
    form = filled(soup(staff["Bo"].get("/activities/sponge-rain/edit")), "form[data-card]")
    form["runs"] = "20"
    assert staff["Bo"].post("/activities/sponge-rain/edit", data=form).status_code == 303
    own = staff["Bo"].get("/activities/sponge-rain")
    assert "You changed it last" in words(own)
    assert not soup(own).select(STATUS)
    theirs = soup(staff["Ada"].get("/activities/sponge-rain"))
    mark = filled(theirs, STATUS)["fingerprint"]
    sent = {"fingerprint": mark, "status": "ready"}
    assert staff["Bo"].post("/review/sponge-rain/status", data=sent).status_code == 400
    assert "status: draft" in file.read_text("utf-8")
    assert staff["Ada"].post("/review/sponge-rain/status", data=sent).status_code == 303
    assert "status: ready" in file.read_text("utf-8")


def test_comments_are_private_to_those_who_write_cards(staff, paths):
    said = {"text": "Longer brushes?"}
    assert staff["Bo"].post("/review/sponge-rain/comments", data=said).status_code == 303
    assert "Longer brushes? Take out Bo," in words(staff["Ada"].get("/activities/sponge-rain"))
    assert "Longer brushes" not in words(staff["Cy"].get("/activities/sponge-rain"))
    assert staff["Cy"].post("/review/sponge-rain/comments", data=said).status_code == 403
    files = [each for each in paths.folder.rglob("*") if each.is_file()]
    assert not any(b"Longer brushes" in each.read_bytes() for each in files)


def test_a_comment_that_names_a_child_is_asked_about(client, paths):
    Rooms(paths.database).save(a_room(a_child("wren")))
    answer = client.post("/review/sponge-rain/comments", data={"text": "wren loved it"})
    assert answer.status_code == 422
    assert Comments(paths.database).of("sponge-rain") == []


def test_comments_follow_a_card_that_gets_another_name(client, paths):
    client.post("/review/sponge-rain/comments", data={"text": "Longer brushes?"})
    client.post("/activities/sponge-rain/rename", data={"name": "slow rain"})
    assert [each.text for each in Comments(paths.database).of("slow-rain")] == ["Longer brushes?"]


def test_a_comment_can_be_taken_out(client, paths):
    client.post("/review/sponge-rain/comments", data={"text": "Longer brushes?"})
    button = soup(client.get("/activities/sponge-rain")).select_one("[name=comment]")
    client.post("/review/sponge-rain/comments/remove", data={"comment": button["value"]})
    assert Comments(paths.database).of("sponge-rain") == []


def test_one_card_is_made_of_two_and_the_plans_follow(client, paths):
    page = soup(client.get("/review/alike?kept=sponge-rain&gone=rain-sponge"))
    form = filled(page, "form[action='/review/alike']")
    titles = [legend.text for legend in page.select("fieldset legend")]
    at = titles.index("Name")
    assert form[f"pick[{at}]"] == "theirs"
    form[f"pick[{at}]"] = "mine"
    answer = client.post("/review/alike", data=form)
    assert answer.status_code == 303, words(answer)
    assert answer.headers["Location"] == "/activities/sponge-rain"
    text = (paths.activities / "water" / "sponge-rain.md").read_text("utf-8")
    assert "title: Rain sponge\n" in text
    assert all(f"item: {item}," in text for item in ("hand sponge", "water", "apron"))
    assert not (paths.activities / "water" / "rain-sponge.md").exists()
    unit = (paths.themes / "leaves-and-wind" / "2026-fall.md").read_text("utf-8")
    assert unit == UNIT.replace("rain-sponge", "sponge-rain")
    removed = words(client.get("/versions"))
    assert re.search("rain-sponge|Rain sponge", removed)


def test_prep_done_for_the_card_that_goes_is_no_prep_of_the_one_that_stays(client, paths):
    Rooms(paths.database).save(a_room())
    prep = PrepBook(paths.database, "Fern Room")
    prep.tick("leaves-and-wind/2026-fall", Settled("rain-sponge/1/1", MONDAY, "13:00-13:40"))
    page = soup(client.get("/review/alike?kept=sponge-rain&gone=rain-sponge"))
    client.post("/review/alike", data=filled(page, "form[action='/review/alike']"))
    assert not (paths.activities / "water" / "rain-sponge.md").exists()
    assert [each.step for each in prep.settled("leaves-and-wind/2026-fall")] == ["rain-sponge/1/1"]


def test_two_cards_of_which_one_changed_meanwhile_stay_two(client, paths):
    form = filled(
        soup(client.get("/review/alike?kept=sponge-rain&gone=rain-sponge")),
        "form[action='/review/alike']",
    )
    gone = paths.activities / "water" / "rain-sponge.md"
    gone.write_text(TWIN.replace("prep: 8", "prep: 9"), encoding="utf-8")
    assert client.post("/review/alike", data=form).status_code == 409
    assert gone.exists()
    unit = (paths.themes / "leaves-and-wind" / "2026-fall.md").read_text("utf-8")
    assert unit == UNIT


def test_a_card_is_not_made_one_with_itself(client, paths):
    form = filled(
        soup(client.get("/review/alike?kept=sponge-rain&gone=sponge-rain")),
        "form[action='/review/alike']",
    )
    assert client.post("/review/alike", data=form).status_code == 400
    assert (paths.activities / "water" / "sponge-rain.md").exists()


def test_one_who_writes_alone_among_readers_is_not_held_up(paths):
    app = create_app(load_settings(paths, {}, host=HOST, watch=False))
    app.extensions["lowshelf"].refresh()
    ada, _ = signed_in(app, "Ada", Role.LEAD), signed_in(app, "Cy", Role.READER)
    form = filled(soup(ada.get("/activities/sponge-rain/edit")), "form[data-card]")
    form["runs"] = "20"
    ada.post("/activities/sponge-rain/edit", data=form)
    form = filled(soup(ada.get("/activities/sponge-rain")), STATUS)
    answer = ada.post("/review/sponge-rain/status", data={**form, "status": "ready"})
    assert answer.status_code == 303
    file = paths.activities / "water" / "sponge-rain.md"
    assert "status: ready" in file.read_text("utf-8")


def test_putting_two_versions_together_makes_no_draft_ready(staff, paths):
    """Whatever the form says: that is for another person to decide, on the card."""
    file = paths.activities / "water" / "sponge-rain.md"
    forms = [
        filled(soup(staff["Bo"].get("/activities/sponge-rain/edit")), "form[data-card]")
        for _ in range(2)
    ]
    forms[0]["runs"], forms[1]["prep"] = "20", "9"
    staff["Bo"].post("/activities/sponge-rain/edit", data=forms[0])
    asked = staff["Bo"].post("/activities/sponge-rain/edit", data=forms[1])
    form = filled(soup(asked), "[data-merge]")
    form["mine"] = form["mine"].replace("status: draft", "status: ready")
    form.update({f"pick[{number}]": "mine" for number in range(4)})
    assert staff["Bo"].post("/activities/sponge-rain/merge", data=form).status_code == 303
    assert "status: draft" in file.read_text("utf-8")


def test_putting_an_old_version_back_makes_no_draft_ready(staff, paths):
    """Neither over the draft as it stands, nor after the draft was removed."""
    file, versions = paths.activities / "water" / "sponge-rain.md", "/versions/" + CARD
    first = filled(soup(staff["Ada"].get("/activities/sponge-rain")), STATUS)
    staff["Ada"].post("/review/sponge-rain/status", data={**first, "status": "ready"})
    ready = file.read_text("utf-8")
    assert "status: ready" in ready
    form = filled(soup(staff["Bo"].get("/activities/sponge-rain")), STATUS)
    staff["Bo"].post("/review/sponge-rain/status", data={**form, "status": "draft"})
    older = filled(soup(staff["Bo"].get(versions)), ".history form")
    answer = staff["Bo"].post(versions, data=older)
    assert answer.status_code == 303
    assert file.read_text("utf-8") == ready.replace("status: ready", "status: draft")
    form = filled(soup(staff["Bo"].get("/activities/sponge-rain/remove")), "main form")
    assert staff["Bo"].post("/activities/sponge-rain/remove", data=form).status_code == 303
    staff["Bo"].post(versions, data={"version": older["version"], "mark": ""})
    assert "status: draft" in file.read_text("utf-8")


def test_an_old_version_of_a_ready_card_comes_back_ready(staff, paths):
    file, versions = paths.activities / "water" / "rain-sponge.md", "/versions/" + OTHER
    History(paths).record_outside_changes()
    form = filled(soup(staff["Bo"].get("/activities/rain-sponge/edit")), "form[data-card]")
    form["runs"] = "20"
    assert staff["Bo"].post("/activities/rain-sponge/edit", data=form).status_code == 303
    assert file.read_text("utf-8") != TWIN
    older = filled(soup(staff["Bo"].get(versions)), ".history form")
    assert staff["Bo"].post(versions, data=older).status_code == 303
    assert file.read_text("utf-8") == TWIN


def test_labels_that_nobody_has_read_wait_on_review(client, paths, app):
    """What is not known of a thing is asked for where sizes are."""
    assert "Labels to read" not in words(client.get("/review"))
    book = paths.activities / "materials.yaml"
    text = book.read_text() if book.exists() else ""
    yogurt = "- {item: plain yogurt, kind: consumable, loose: false, allergens: }\n"
    book.write_text(text + yogurt)
    app.extensions["lowshelf"].refresh()
    assert "plain yogurt Nobody has read it yet." in words(client.get("/review"))
