"""Writing cards: the form from nothing, from a card, from lines; and what stands in the files after."""

import re

import pytest

from library.cards.card import catalogue
from library.history.versions import History
from tests.builders import CARD_TEXT, a_child, a_room
from tests.server.pages import filled, soup, words

WRITE = "form[data-card]"


def form_of(client, address):
    return filled(soup(client.get(address)), WRITE)


def a_new_form(client, **fields):
    form = form_of(client, "/activities/new")
    usual = {
        "title": "Foam hills",
        "parts[0].text": "Hands pile foam into hills.",
        "centers": "sensory",
        "ages": "24-42",
        "prep": "5",
        "group": "1-4",
    }
    for name, value in {**usual, **fields}.items():
        form.setlist(name, [value])
    return form


def test_the_form_asks_for_every_field_of_the_catalogue(client):
    """A new field of a card must not be forgotten here; the status is for Review to change."""
    form = soup(client.get("/activities/new")).select_one(WRITE)
    asked = {re.split(r"[\[.]", field["name"])[0] for field in form.select("[name]")}
    fields = {name for name, field in catalogue().items() if field.form != "none"}
    assert fields - {"status"} <= asked


@pytest.fixture
def card_file(paths):
    return paths.activities / "water" / "sponge-rain.md"


def test_a_card_from_the_short_form_is_a_draft_in_the_folder_of_its_center(client, paths):
    form = a_new_form(client)
    form["parts[1].text"] = "Whip the foam."
    answer = client.post("/activities/new", data=form)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/activities/foam-hills")
    text = (paths.activities / "sensory" / "foam-hills.md").read_text(encoding="utf-8")
    assert "title: Foam hills\n" in text
    assert "status: draft\n" in text
    assert text.endswith("---\n\nHands pile foam into hills.\n\n## Set up\n\nWhip the foam.\n")
    versions = History(paths).versions("activities/sensory/foam-hills.md")
    assert [version.note for version in versions] == ["foam-hills: written"]
    assert "draft" in words(client.get("/activities/foam-hills"))


def test_everything_that_cannot_be_read_is_said_at_once_and_stays_as_typed(client, paths):
    form = a_new_form(client, title="", ages="two", prep="many")
    form["materials[0].item"] = "hand sponge"
    form["materials[1].amount"] = "lots"
    form["steps[0].do"] = "Whip"
    answer = client.post("/activities/new", data=form)
    assert answer.status_code == 422
    page = soup(answer)
    named = {link["href"].removeprefix("#") for link in page.select("#problems a")}
    assert named == {
        "title",
        "ages",
        "prep",
        "materials[0].amount",
        "materials[1].item",
        "new[0].kind",
        "new[0].loose",
        "new[0].label",
        "steps[0].minutes",
    }
    assert all(page.find(id=name) for name in named)
    again = filled(page, WRITE)
    assert (again["ages"], again["materials[1].amount"]) == ("two", "lots")
    assert not (paths.activities / "sensory").exists()


def a_form_with_three_kinds_of_faults(client):
    form = a_new_form(client, title="")
    rows = (("plain yogurt", "2"), ("water", "2 cups"), ("hand sponge", ""), ("tin lid", "a few"))
    for number, (item, amount) in enumerate(rows):
        form[f"materials[{number}].item"], form[f"materials[{number}].amount"] = item, amount
    return form


def test_all_that_is_missing_miswritten_or_new_is_said_in_one_round(client):
    page = soup(client.post("/activities/new", data=a_form_with_three_kinds_of_faults(client)))
    beside = {each["id"].removesuffix("-wrong"): each.text for each in page.select(".wrong[id]")}
    assert beside == {
        "title": "Write a name.",
        "materials[0].amount": "For each child, or in all? Write 2 per child or 2 per setup.",
        "materials[1].amount": "For each child, or in all? Write 2 cups per child or 2 cups per setup.",
        "materials[2].amount": "How many or how much? For example 2 per child, 1 per setup, "
        "3 cups per setup.",
        "materials[3].amount": "How many or how much? Write a number, such as 5 per child or "
        "6 drops per setup.",
        "new[0].kind": "Say how it is used up.",
        "new[0].loose": "Say whether a child can pick up a piece of it.",
        "new[0].label": "Say what its label names, that it names none of these, or that nobody has "
        "read it yet.",
    } | {
        f"new[{number}].{name}": beside[f"new[0].{name}"]
        for number in (1, 2, 3)
        for name in ("kind", "loose", "label")
    }
    listed = [link["href"].removeprefix("#") for link in page.select("#problems a")]
    assert listed[:2] == ["title", "materials[0].amount"]
    assert sorted(listed) == sorted(beside)


def test_each_fault_stands_once_beside_its_field_and_once_in_the_list(client):
    answer = client.post("/activities/new", data=a_form_with_three_kinds_of_faults(client))
    assert words(answer).count("Write a name.") == 2
    assert words(answer).count("Write 2 per child or 2 per setup.") == 2
    assert not soup(answer).select(".beside .remark")


def test_the_form_speaks_of_no_file(client):
    form = a_form_with_three_kinds_of_faults(client)
    form["parts[1].text"], form["group"] = "Fill {{catcher}}.", "some"
    form["steps[0].do"], form["steps[0].minutes"] = "Whip", "long"
    form["wait"], form["keeps"], form["domains"] = "3 d", "1 d", "IT-X-99"
    for extra in ({}, {"preview": "yes"}, {"preview": "yes", "title": "Foam hills", "group": ""}):
        said = words(client.post("/activities/new", data={**form, **extra}))
        for phrase in (
            "materials.yaml",
            "Write a line",
            "expected",
            "'amount'",
            "to props",
            "make wait",
        ):
            assert phrase not in said


def test_what_is_not_filled_in_yet_is_not_remarked_while_one_types(client):
    form = a_new_form(client, title="", preview="yes")
    form["materials[0].item"] = "water"
    page = soup(client.post("/activities/new", data=form))
    assert not page.select(".beside .remark")


def test_a_fault_below_everything_else_opens_it(client):
    page = soup(client.post("/activities/new", data=a_new_form(client, wait="a while")))
    assert page.select_one("#rest").has_attr("open")
    assert page.select_one("#wait-wrong").text.startswith("How long does it dry, soak or freeze?")


def test_an_edit_changes_only_the_lines_it_touches(client, card_file, paths):
    form = form_of(client, "/activities/sponge-rain/edit")
    form["prep"] = "8"
    form["runs"] = "15"
    form["parts[1].text"] = "Three fingers of water in the tub."
    answer = client.post("/activities/sponge-rain/edit", data=form)
    assert answer.status_code == 303
    expected = CARD_TEXT.replace("group: 1-4\n", "runs: 15\ngroup: 1-4\n")
    expected = expected.replace("Two fingers", "Three fingers")
    assert card_file.read_text(encoding="utf-8") == expected
    note = History(paths).versions("activities/water/sponge-rain.md")[0].note
    assert note == "sponge-rain: runs nothing → 15, Set up reworded"


def test_a_form_that_is_sent_as_it_came_changes_no_byte(client, card_file):
    before = card_file.read_bytes()
    client.post(
        "/activities/sponge-rain/edit", data=form_of(client, "/activities/sponge-rain/edit")
    )
    assert card_file.read_bytes() == before


def test_another_row_and_the_preview_keep_nothing(client, card_file):
    before = card_file.read_bytes()
    form = form_of(client, "/activities/sponge-rain/edit")
    form["title"] = "Sponge storm"
    for button in ({"add": "materials"}, {"drop": "materials[0]"}, {"preview": "yes"}):
        answer = client.post("/activities/sponge-rain/edit", data={**form, **button})
        assert answer.status_code == 200
        assert soup(answer).select_one("#preview h3").text == "Sponge storm"
    assert card_file.read_bytes() == before


def test_a_new_card_may_begin_as_one_like_it(client):
    form = form_of(client, "/activities/new?from=sponge-rain")
    assert (form["title"], form["technique"]) == ("", "sponge squeezing")
    assert form["materials[0].item"] == "hand sponge"


def test_a_few_lines_become_fields_to_confirm(client):
    lines = "Foam hills\nHands pile foam. Water table, 30 months, five minutes of prep."
    answer = client.post("/activities/new", data={"lines": lines, "read": "yes"})
    form = filled(soup(answer), WRITE)
    assert (form["title"], form["parts[0].text"].strip()) == ("Foam hills", "Hands pile foam.")
    assert (form["centers"], form["ages"], form["prep"]) == ("water", "30-30", "5")
    assert "Read from your lines" in words(answer)


def test_what_a_few_lines_name_and_nothing_understood_is_listed(client):
    """A thing that is dropped in silence is held against no child's allergen."""
    lines = "Sponge swirls\nHands swirl with plain yogurt and hand sponges."
    page = soup(client.post("/activities/new", data={"lines": lines, "read": "yes"}))
    told = " ".join(page.select_one("#not-understood").text.split())
    assert told.startswith("Not understood: plain yogurt")
    assert "under Put out, or leave" in told
    assert not soup(client.get("/activities/new")).select_one("#not-understood")


@pytest.mark.parametrize(
    ("lines", "ages", "said"),
    [
        ("Foam hills\nFrom two years on.", "24-42", "ends at 42 months"),
        ("Foam hills\nFrom four years on.", "", "Up to which age"),
        ("Foam hills\nFor ages 2 to 5.", "24-71", ""),
    ],
)
def test_ages_without_an_end_go_no_further_than_the_rooms_here(client, lines, ages, said):
    answer = client.post("/activities/new", data={"lines": lines, "read": "yes"})
    assert filled(soup(answer), WRITE)["ages"] == ages
    assert said in words(answer)
    assert "216" not in words(answer).partition("Put it into the fields")[2]


def test_an_unknown_material_is_asked_about_and_added_with_all_other_bytes_kept(client, paths):
    book = paths.activities / "materials.yaml"
    before = "# ours\n- item: water\n  kind: consumable\n  loose: false # a liquid\n"
    book.write_text(before, encoding="utf-8")
    form = a_new_form(client)
    form["materials[0].item"], form["materials[0].amount"] = "tin lid", "2 per place"
    asked = client.post("/activities/new", data=form)
    assert asked.status_code == 422
    assert soup(asked).select_one("#unknown legend").text == "New here: tin lid"
    form = filled(soup(asked), WRITE)
    form["new[0].kind"], form["new[0].loose"] = "durable", "yes"
    form["new[0].shape"] = "disc 30 x 3 mm"
    form.setlist("new[0].allergens", ["milk"])
    assert client.post("/activities/new", data=form).status_code == 303
    assert book.read_text(encoding="utf-8") == (
        before
        + "- item: tin lid\n  kind: durable\n  loose: true\n  shape: disc 30 x 3 mm\n  allergens: [milk]\n"
    )


def a_form_with_yogurt(client):
    form = a_new_form(client)
    form["materials[0].item"], form["materials[0].amount"] = "plain yogurt", "1 cup per setup"
    form = filled(soup(client.post("/activities/new", data=form)), WRITE)
    form["new[0].kind"], form["new[0].loose"] = "consumable", "no"
    return form


def test_what_a_label_names_has_to_be_answered_before_a_new_material_is_kept(client, paths):
    form = a_form_with_yogurt(client)
    asked = client.post("/activities/new", data=form)
    assert asked.status_code == 422
    assert soup(asked).find(id="new[0].label-wrong")
    form["new[0].label"] = "names"
    assert client.post("/activities/new", data=form).status_code == 422
    form["new[0].label"] = "none"
    form.setlist("new[0].allergens", ["milk"])
    assert client.post("/activities/new", data=form).status_code == 422
    assert not (paths.activities / "sensory").exists()


def test_a_label_that_nobody_has_read_is_kept_and_shown_as_not_known(client, paths):
    form = a_form_with_yogurt(client)
    form["new[0].label"] = "unread"
    assert client.post("/activities/new", data=form).status_code == 303
    book = (paths.activities / "materials.yaml").read_text(encoding="utf-8")
    assert book.endswith("- item: plain yogurt\n  kind: consumable\n  loose: false\n  allergens:\n")
    told = words(client.get("/activities/foam-hills"))
    assert "Plain yogurt: read its label, because nobody has read it yet" in told


def test_what_the_checks_find_in_a_new_material_stands_beside_it_before_it_is_saved(client):
    form = a_new_form(client, preview="yes")
    form["materials[0].item"], form["materials[0].amount"] = "tin lid", "2 per place"
    form["new[0].item"], form["new[0].kind"], form["new[0].loose"] = "tin lid", "durable", "yes"
    form["new[0].shape"] = "disc 30 x 3 mm"
    page = soup(client.post("/activities/new", data=form))
    assert "Stop." in page.select_one("#beside-materials").text
    form["new[0].shape"] = ""
    page = soup(client.post("/activities/new", data=form))
    assert "Caution." in page.select_one("#beside-materials").text


def test_a_likely_duplicate_is_shown_once_before_it_is_saved(client, paths):
    form = a_new_form(client, title="Rain sponge")
    asked = client.post("/activities/new", data=form)
    assert asked.status_code == 422
    assert "Is it one of these?" in words(asked)
    assert soup(asked).select_one("#problems a")["href"] == "/activities/sponge-rain"
    assert client.post("/activities/new", data=filled(soup(asked), WRITE)).status_code == 303
    assert (paths.activities / "sensory" / "rain-sponge.md").exists()


def test_a_name_that_is_taken_overwrites_nothing(client, card_file):
    before = card_file.read_bytes()
    answer = client.post("/activities/new", data=a_new_form(client, title="Sponge rain"))
    assert answer.status_code == 422
    assert "there is a card of this name already" in words(answer).lower()
    assert card_file.read_bytes() == before


def test_two_who_change_one_card_are_shown_both_and_nothing_is_lost(client, card_file):
    mine = form_of(client, "/activities/sponge-rain/edit")
    theirs = form_of(client, "/activities/sponge-rain/edit")
    mine["title"], mine["runs"] = "Sponge storm", "20"
    theirs["title"], theirs["parts[1].text"] = "Sponge drizzle", "One finger of water."
    assert client.post("/activities/sponge-rain/edit", data=theirs).status_code == 303
    kept = card_file.read_bytes()
    answer = client.post("/activities/sponge-rain/edit", data=mine)
    assert answer.status_code == 409
    assert card_file.read_bytes() == kept
    page = soup(answer)
    titles = [legend.text for legend in page.select("[data-merge] legend")]
    assert titles == ["Name: both of you changed it", "Minutes a child stays", "Set up"]
    form = filled(page, "[data-merge]")
    assert (form["pick[1]"], form["pick[2]"]) == ("mine", "theirs")
    assert "pick[0]" not in form
    again = client.post("/activities/sponge-rain/merge", data=form)
    assert again.status_code == 422
    assert card_file.read_bytes() == kept
    form["pick[0]"] = "mine"
    assert client.post("/activities/sponge-rain/merge", data=form).status_code == 303
    text = card_file.read_text(encoding="utf-8")
    assert "title: Sponge storm\n" in text
    assert "runs: 20\n" in text
    assert "One finger of water." in text
    assert "centers: [water, science]      # the first is its usual place\n" in text


def test_a_child_named_in_what_is_put_together_is_asked_about(client, card_file, app):
    """However the text came into the form; and nothing chosen is lost over the question."""
    app.extensions["lowshelf"].rooms.save(a_room(a_child("wren")))
    mine, theirs = (form_of(client, "/activities/sponge-rain/edit") for _ in range(2))
    mine["title"], theirs["runs"] = "Sponge storm", "20"
    client.post("/activities/sponge-rain/edit", data=theirs)
    kept = card_file.read_bytes()
    page = soup(client.post("/activities/sponge-rain/edit", data=mine))
    form = filled(page, "[data-merge]")
    form["mine"] = form["mine"].replace("Sponge storm", "Sponge storm of wren")
    asked = client.post("/activities/sponge-rain/merge", data=form)
    assert asked.status_code == 422
    assert "wren , a label of your room" in words(asked)
    assert asked.headers["Cache-Control"] == "no-store"
    assert card_file.read_bytes() == kept
    sure = filled(soup(asked), "main form")
    again = client.post("/activities/sponge-rain/merge", data={**sure, "again": "yes"})
    assert filled(soup(again), "[data-merge]")["pick[0]"] == "mine"
    sure["labels_known"] = "yes"
    assert client.post("/activities/sponge-rain/merge", data=sure).status_code == 303
    assert "title: Sponge storm of wren\nc" in card_file.read_text("utf-8")
    assert "runs: 20\n" in card_file.read_text("utf-8")


def test_a_third_change_while_two_are_put_together_is_shown_too(client, card_file):
    mine, theirs, third = (form_of(client, "/activities/sponge-rain/edit") for _ in range(3))
    mine["runs"], theirs["title"] = "20", "Sponge drizzle"
    client.post("/activities/sponge-rain/edit", data=theirs)
    form = filled(soup(client.post("/activities/sponge-rain/edit", data=mine)), "[data-merge]")
    third = form_of(client, "/activities/sponge-rain/edit")
    third["keeps"] = "3 d"
    client.post("/activities/sponge-rain/edit", data=third)
    answer = client.post("/activities/sponge-rain/merge", data=form)
    assert answer.status_code == 409
    form = filled(soup(answer), "[data-merge]")
    assert client.post("/activities/sponge-rain/merge", data=form).status_code == 303
    text = card_file.read_text(encoding="utf-8")
    assert all(line in text for line in ("runs: 20\n", "title: Sponge drizzle\n", "keeps: 3 d\n"))


def test_what_was_chosen_between_two_versions_is_not_taken_for_others(client, card_file):
    """A third change puts one more piece in front; each choice must not slip to its neighbour."""
    forms = [form_of(client, "/activities/sponge-rain/edit") for _ in range(2)]
    forms[0]["prep"] = "9"
    forms[1]["runs"], forms[1]["parts[1].text"] = "20", "Three fingers of water."
    client.post("/activities/sponge-rain/edit", data=forms[0])
    form = filled(soup(client.post("/activities/sponge-rain/edit", data=forms[1])), "[data-merge]")
    assert [form[f"pick[{number}]"] for number in range(3)] == ["theirs", "mine", "mine"]
    text = card_file.read_text(encoding="utf-8")
    changed = text.replace("title: Sponge rain", "title: Drizzle").replace("mess: 2", "mess: 3")
    card_file.write_text(changed, encoding="utf-8")
    again = client.post("/activities/sponge-rain/merge", data=form)
    assert again.status_code == 409
    form = filled(soup(again), "[data-merge]")
    assert client.post("/activities/sponge-rain/merge", data=form).status_code == 303
    text = card_file.read_text(encoding="utf-8")
    for line in ("title: Drizzle\n", "prep: 9\n", "runs: 20\n", "mess: 3\n", "Three fingers"):
        assert line in text


def test_what_was_typed_into_a_card_that_is_gone_stays(client, card_file):
    form = form_of(client, "/activities/sponge-rain/edit")
    form["title"] = "Sponge storm"
    card_file.unlink()
    answer = client.post("/activities/sponge-rain/edit", data=form)
    assert answer.status_code == 409
    assert filled(soup(answer), WRITE)["title"] == "Sponge storm"
    assert soup(answer).select_one(WRITE)["action"] == "/activities/new"


def test_a_word_to_swap_needs_a_name_that_a_text_can_use(client):
    form = a_new_form(client)
    form["props[0].name"], form["props[0].word"] = "The Catcher", "lids"
    answer = client.post("/activities/new", data=form)
    assert answer.status_code == 422
    assert soup(answer).select_one("#problems a")["href"] == "#props[0].name"
    assert filled(soup(answer), WRITE)["props[0].name"] == "The Catcher"
