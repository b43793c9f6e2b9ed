"""What things are like, page by page: the unmeasured first, the drawing, the bins, the cards."""

import datetime as dt

import pytest

from library.history.versions import History
from tests.builders import CARD_TEXT, a_child, a_room, write_library
from tests.server.pages import filled, soup, words

MATERIALS = """\
- {item: hand sponge, also: [bath sponge], kind: durable, loose: true, shape: box 110 x 70 x 45 mm, soft: true}
- {item: water, kind: consumable, loose: false}
- {item: metal token, kind: durable, loose: true, shape: disc 25 x 4 mm}
- {item: river stone, kind: durable, loose: true, shape: about 30 x 26 x 20 mm}
- {item: table-tennis ball, kind: durable, loose: true, shape: ball 40 mm}
- {item: knotted rope, kind: durable, loose: true}
- {item: felt <b>leaf</b>, kind: durable, loose: true, shape: small}
- {item: finger paint, kind: consumable, loose: false, allergens: [wheat]}
- item: plain yogurt # from the shop
  kind: consumable
  loose: false
  allergens:
"""

BALLS = "  - {item: table-tennis ball, amount: 1 per place}\n"


@pytest.fixture
def paths(tmp_path):
    lids = "  - {item: shallow lids, amount: 1 per place}\n  - {item: water"
    card = CARD_TEXT.replace("  - {item: water", lids)
    return write_library(tmp_path, {"water/sponge-rain.md": card}, materials=MATERIALS)


@pytest.fixture
def room(app):
    """A room with a two-year-old and a bin."""
    from library.materials.amounts import parse_quantity
    from library.room.room import StockLine

    stock = (StockLine("bath sponge", parse_quantity("6"), "B4"),)
    app.extensions["lowshelf"].rooms.save(a_room(a_child(born=(2024, 6)), stock=stock))


def test_what_is_unmeasured_stands_first_with_the_reason(client):
    page = soup(client.get("/materials"))
    first, rest = page.select("main table")
    names = [row.select_one("a").text for row in first.select("tbody tr")]
    assert names == ["shallow lid", "felt <b>leaf</b>", "knotted rope"]
    assert "it has no size" in first.text
    assert "cannot be read" in first.text
    assert "metal token" in rest.text


def test_a_bin_is_shown_for_any_of_its_names(client, room):
    page = soup(client.get("/materials"))
    row = next(row for row in page.select("tr") if "hand sponge" in row.text)
    assert row.select_one(".bins").text == "B4"
    assert "bin B4" in words(client.get("/materials/hand-sponge"))


def test_names_are_looked_through(client):
    page = soup(client.get("/materials?q=bath+sponge"))
    assert [link.text for link in page.select("tbody a")] == ["hand sponge"]
    assert "No material" in words(client.get("/materials?q=zzz"))


def test_a_small_part_is_drawn_with_its_margin(client):
    page = soup(client.get("/materials/metal-token"))
    (drawing,) = page.select("svg[role=img]")
    assert "metal token in the small-parts cylinder" in drawing.title.text
    assert "which could be 6.75 mm smaller in each measure" in page.main.text
    assert "Stop." in page.main.text


def test_nothing_in_the_drawing_needs_an_inline_style(client):
    """The pages forbid inline styles, so an attribute 'style' would be dropped unseen."""
    answer = client.get("/materials/river-stone")
    assert "style-src 'self'" in answer.headers["Content-Security-Policy"]
    assert not [tag for tag in soup(answer).find_all(True) if tag.has_attr("style")]
    assert not soup(answer).select("style")


def test_a_thing_of_no_plain_form_is_shown_both_ways(client):
    """The more cautious reading counts, and is said to."""
    page = soup(client.get("/materials/river-stone"))
    assert len(page.select("svg[role=img]")) == 2
    told = [each.text for each in page.select(".gauge strong")]
    assert told == ["As a box:", "As an oval, which counts:"]
    ids = [tag["id"] for tag in page.select("[id]")]
    assert len(ids) == len(set(ids))


def test_what_is_soft_is_never_said_not_to_go_in(client):
    text = words(client.get("/materials/hand-sponge"))
    assert "a person squeezes one into a tester" in text
    assert "does not fit" not in text


def test_a_ball_is_told_about_the_small_ball_hole(client):
    text = words(client.get("/materials/table-tennis-ball"))
    assert "1500.18(a)(17)" in text
    assert "8.25 mm larger" in text


def test_it_is_judged_for_the_youngest_of_the_room(client, app):
    assert "a child of 24 months" in words(client.get("/materials/metal-token"))
    app.extensions["lowshelf"].rooms.save(a_room(a_child(born=(2015, 6))))
    text = words(client.get("/materials/metal-token"))
    assert "youngest child of the room" in text
    assert "Note." in text


def test_the_cards_that_use_it_are_linked(client):
    page = soup(client.get("/materials/hand-sponge"))
    assert page.select_one("a[href='/activities/sponge-rain']").text == "Sponge rain"
    assert "No card that is ready uses it" in words(client.get("/materials/metal-token"))


def test_the_chart_says_what_to_take_instead(client):
    text = words(client.get("/materials/finger-paint"))
    assert "may hold wheat, milk, oats" in text
    assert "Read the label" in text
    assert "Instead:" in text


def test_a_name_with_signs_is_text(client):
    page = soup(client.get("/materials/felt-b-leaf-b"))
    assert page.h1.text == "Felt <b>leaf</b>"


def test_a_material_that_is_not_there_is_said_so(client):
    answer = client.get("/materials/nothing")
    assert answer.status_code == 404
    assert "no material 'nothing'" in words(answer)


def test_every_page_carries_the_caution(client):
    for name in ("metal-token", "water", "knotted-rope"):
        assert "trained staff decide" in words(client.get(f"/materials/{name}"))


def lists_form(client):
    return filled(soup(client.get("/materials")), "#lists form")


def test_the_european_list_is_read_when_it_was_chosen(client, app, paths):
    """Regulation (EU) 1169/2011, Annex II: celery is on it."""
    celery = a_child("wren", (2024, 6), allergens=("celery",))
    app.extensions["lowshelf"].rooms.save(a_room(celery))
    told = "No check can find celery."
    assert told in words(client.get("/room"))
    assert "The European list has celery" in words(client.get("/room"))
    client.post("/materials/lists", data=lists_form(client))
    assert app.extensions["lowshelf"].materials().eu
    assert told not in words(client.get("/room"))
    client.post("/materials/lists", data=lists_form(client))
    assert told in words(client.get("/room"))
    assert "lists: [us]" in (paths.activities / "allergens.yaml").read_text()


def test_the_second_of_two_who_choose_changes_nothing(client, app):
    first = lists_form(client)
    client.post("/materials/lists", data=first)
    client.post("/materials/lists", data={**first, "eu": ""})
    assert app.extensions["lowshelf"].materials().eu


def test_an_allergen_that_nothing_names_is_said_without_the_child(client, app):
    kiwi = a_child("wren", (2024, 6), allergens=("kiwi",))
    app.extensions["lowshelf"].rooms.save(a_room(kiwi))
    text = words(client.get("/room"))
    assert "No check can find kiwi." in text
    assert "European" not in text


def test_a_child_s_allergen_in_everyday_words_shows_as_what_it_is_read(client, app):
    """FIND4: a table says that dairy is milk; the child's own word stays in the file."""
    wren = a_child("wren", (2024, 6), allergens=("dairy", "egg"))
    app.extensions["lowshelf"].rooms.save(a_room(wren))
    text = words(client.get("/room"))
    assert "dairy, read as milk; egg" in text
    assert "No check can find" not in text
    assert app.extensions["lowshelf"].room().children[0].allergens == ("dairy", "egg")


def test_a_slip_in_an_allergen_asks_what_was_meant(client, app):
    wren = a_child("wren", (2024, 6), allergens=("mlik", "kiwi"))
    app.extensions["lowshelf"].rooms.save(a_room(wren))
    page = soup(client.get("/room"))
    text = words(client.get("/room"))
    assert "No check can find mlik, kiwi." in text
    assert "“mlik”: do you mean milk?" in text
    assert "“kiwi”" not in text
    assert "among what its label names" in text
    assert page.select_one(".notice a[href='/room/children']")


def measure(client, name, **fields):
    form = filled(soup(client.get(f"/materials/{name}")), "#measure form").to_dict()
    return client.post(f"/materials/{name}", data={**form, **fields})


def test_a_size_is_written_down_where_it_is_missing(client, paths):
    before = (paths.activities / "materials.yaml").read_text()
    answer = measure(client, "knotted-rope", shape="cylinder 12 x 280 mm")
    assert answer.status_code == 303
    after = (paths.activities / "materials.yaml").read_text()
    assert after == before.replace(
        "knotted rope, kind: durable, loose: true",
        "knotted rope, kind: durable, loose: true, shape: cylinder 12 x 280 mm",
    )
    assert "knotted rope" not in soup(client.get("/materials")).select_one("main table").text


def test_what_only_cards_name_is_described_from_its_page(client, app):
    """PART3: an item unknown to materials.yaml is to be measured."""
    page = words(client.get("/materials/shallow-lid"))
    assert "Cards name it, and nobody has described it yet" in page
    assert "checks found nothing" not in page
    answer = measure(client, "shallow-lid", loose="yes", shape="disc 86 x 15 mm", kind="consumable")
    assert answer.status_code == 303
    made = app.extensions["lowshelf"].materials().find("shallow lid")
    assert (made.kind.value, made.loose, made.shape) == ("consumable", True, "disc 86 x 15 mm")


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"loose": "yes", "shape": ""}, "expected"),
        ({"loose": "yes", "shape": "as big as a fist"}, "expected"),
        ({"loose": "", "shape": "sphere 60 mm"}, "choose yes or no"),
        ({"loose": "no", "shape": ""}, "why it is no loose piece"),
    ],
)
def test_what_cannot_be_read_stays_on_the_page(client, paths, fields, says):
    before = (paths.activities / "materials.yaml").read_text()
    answer = measure(client, "knotted-rope", **fields)
    assert answer.status_code == 422
    assert says in soup(answer).select_one("[role=alert]").text
    assert soup(answer).select_one("#shape")["value"] == fields["shape"]
    assert (paths.activities / "materials.yaml").read_text() == before


def test_what_is_no_loose_piece_has_a_reason_that_the_versions_keep(client, app):
    answer = measure(client, "knotted-rope", loose="no", shape="", why="fixed in place")
    assert answer.status_code == 303
    assert app.extensions["lowshelf"].materials().find("knotted rope").loose is False
    (version, *_) = app.extensions["lowshelf"].history.versions("activities/materials.yaml")
    assert "no loose piece, fixed in place" in version.note


def test_a_material_is_judged_for_children_who_have_not_left(client, app):
    gone = a_child("robin", born=(2026, 1), until=dt.date(2026, 8, 31))
    app.extensions["lowshelf"].rooms.save(a_room(a_child(born=(2020, 1)), gone))
    judged = words(client.get("/materials/metal-token"))
    assert "who counts as" in judged
    months = int(judged.partition("who counts as ")[2].split()[0])
    assert months > 60


def test_a_ball_is_first_held_against_the_hole_for_balls(client):
    """16 CFR 1500.18(a)(17): 40 mm go through a hole of 1.75 in, whatever they do in the cylinder."""
    text = words(client.get("/materials/table-tennis-ball"))
    assert text.index("It passes the small-ball hole") < text.index("It sticks out")
    assert (
        "small-ball hole"
        not in soup(client.get("/materials/metal-token")).select_one(".gauges").parent.get_text()
    )


def test_a_finding_about_a_ball_shows_it_at_the_hole_beside_the_card(client, paths):
    """PART5: a ball that also fits the cylinder has both findings, each with its own drawing."""
    for ball, drawn in (
        ("ball 40 mm", ["table-tennis ball at the small-ball hole"]),
        (
            "ball 25 mm",
            [
                "table-tennis ball in the small-parts cylinder",
                "table-tennis ball at the small-ball hole",
            ],
        ),
    ):
        (paths.activities / "materials.yaml").write_text(MATERIALS.replace("ball 40 mm", ball))
        card = CARD_TEXT.replace("  - {item: water", BALLS + "  - {item: water")
        (paths.activities / "water/sponge-rain.md").write_text(card)
        page = soup(client.get("/activities/sponge-rain"))
        titles = [each.text for each in page.select(".findings svg title")]
        assert sorted(title for title in titles if "tennis" in title) == sorted(drawn)


def test_what_it_may_hold_stands_before_what_the_checks_say(client):
    text = words(client.get("/materials/finger-paint"))
    assert text.index("It holds, or may hold: wheat") < text.index("What published guidance says")


def test_the_second_of_two_who_measure_is_told(client, app):
    form = filled(soup(client.get("/materials/metal-token")), "#measure form").to_dict()
    measure(client, "knotted-rope", shape="cylinder 12 x 280 mm")
    answer = client.post("/materials/metal-token", data={**form, "shape": "disc 60 x 4 mm"})
    assert answer.status_code == 409
    page = soup(answer)
    assert page.select_one("#shape")["value"] == "disc 60 x 4 mm"
    again = filled(page, "#measure form")
    assert client.post("/materials/metal-token", data=again).status_code == 303
    assert app.extensions["lowshelf"].materials().find("metal token").shape == "disc 60 x 4 mm"


def test_a_finding_leads_to_what_is_known_of_the_thing(client):
    links = soup(client.get("/activities/sponge-rain")).select(".findings a[href^='/materials/']")
    assert {link.text for link in links} >= {"What is known of shallow lids"}
    for link in links:
        assert client.get(link["href"]).status_code == 200


def label(client, name, ticked=(), **fields):
    form = filled(soup(client.get(f"/materials/{name}")), "#label-of form")
    form.setlist("allergens", ticked)
    for key, value in fields.items():
        form.setlist(key, [value])
    return client.post(f"/materials/{name}/label", data=form)


def test_what_a_label_names_is_corrected_on_the_page_of_the_thing_as_a_version(client, paths):
    book = paths.activities / "materials.yaml"
    before = book.read_text(encoding="utf-8")
    assert label(client, "plain-yogurt", ["milk"], label="names").status_code == 303
    assert book.read_text(encoding="utf-8") == before.replace(
        "  allergens:\n", "  allergens: [milk]\n"
    )
    assert "It holds, or may hold: milk." in words(client.get("/materials/plain-yogurt"))
    assert label(client, "plain-yogurt", label="none").status_code == 303
    notes = [each.note for each in History(paths).versions("activities/materials.yaml")]
    assert notes[:2] == [
        "plain yogurt: its label names none of the allergens",
        "plain yogurt: its label names milk",
    ]
    assert "its label names none" in words(client.get("/materials/plain-yogurt"))


def test_a_label_that_nobody_has_read_stands_as_not_known_and_asks(client):
    page = soup(client.get("/materials/plain-yogurt"))
    assert "Read its label: Nobody has read it yet" in " ".join(page.text.split())
    assert page.select_one("#label-of").has_attr("open")
    assert "Read its label: nobody has read it yet" in words(client.get("/materials"))
    assert not soup(client.get("/materials/hand-sponge")).select_one("#label-of").has_attr("open")


def test_the_published_chart_stands_beside_what_a_label_names(client):
    told = soup(client.get("/materials/finger-paint")).select_one("#allergens").text
    assert "things of this name may hold wheat, milk, oats" in " ".join(told.split())


def test_an_allergen_that_no_list_has_is_found_once_a_thing_names_it(client, app):
    wren = a_child("wren", (2024, 6), allergens=("kiwi",))
    app.extensions["lowshelf"].rooms.save(a_room(wren))
    assert "No check can find kiwi" in words(client.get("/room"))
    label(client, "plain-yogurt", ["milk"], label="names", other="Kiwi")
    assert "No check can find" not in words(client.get("/room"))
    assert app.extensions["lowshelf"].materials().find("plain yogurt").allergens == ("milk", "kiwi")


@pytest.mark.parametrize(
    ("answer", "ticked", "told"),
    [
        ("", [], "Say what its label names"),
        ("names", [], "Tick what its label names"),
        ("none", ["milk"], "Milk is ticked"),
    ],
)
def test_an_answer_that_says_nothing_about_a_label_comes_back(client, paths, answer, ticked, told):
    before = (paths.activities / "materials.yaml").read_bytes()
    back = label(client, "plain-yogurt", ticked, label=answer, other="")
    assert back.status_code == 422
    assert told in words(back)
    assert (paths.activities / "materials.yaml").read_bytes() == before


def test_of_two_who_read_a_label_the_second_looks_again(client, paths):
    form = filled(soup(client.get("/materials/plain-yogurt")), "#label-of form")
    label(client, "plain-yogurt", ["milk"], label="names")
    form["label"] = "none"
    answer = client.post("/materials/plain-yogurt/label", data=form)
    assert answer.status_code == 409
    assert "someone changed" in words(answer).casefold()
    assert "allergens: [milk]" in (paths.activities / "materials.yaml").read_text()


def test_what_is_new_and_used_up_has_a_label_that_nobody_has_read(client, paths):
    measure(client, "shallow-lid", loose="yes", shape="disc 80 x 10 mm", kind="consumable")
    text = (paths.activities / "materials.yaml").read_text()
    assert text.endswith("shape: disc 80 x 10 mm\n  allergens:\n")
