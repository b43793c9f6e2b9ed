"""A card's file gets another name, and every plan that names it follows: all files, or none."""

from library.room.comments import Comments
from library.room.jotbook import JotBook
from library.room.jots import Jot
from library.room.prepbook import PrepBook, Settled
from library.units.parsing import write_theme, write_unit
from library.units.unit import Again, LookBack
from tests.builders import MONDAY, a_child, a_placement, a_room, a_theme, a_unit
from tests.server.pages import filled, soup, words

RENAME = "/activities/sponge-rain/rename"


def _write(paths, *placements, name="2026-fall", **fields):
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir(exist_ok=True)
    (folder / "theme.md").write_text(write_theme(a_theme()))
    file = folder / f"{name}.md"
    file.write_text(write_unit(a_unit(*placements, name=name, **fields)))
    return file


def test_plans_rain_swaps_and_look_backs_follow_in_one_step(client, app, paths):
    plan = _write(
        paths,
        a_placement(),
        a_placement("outdoors", "run", instead="sponge-rain"),
        look_back=(LookBack("sponge-rain", Again.YES),),
    )
    other = _write(paths, a_placement("art", "brush"), name="2027-fall")
    before = other.read_bytes()
    card = soup(client.get("/activities/sponge-rain"))
    page = client.get(card.find("a", string="Another file name")["href"])
    assert "Leaves and wind, fall 2026" in words(page)
    fields = filled(soup(page))
    assert fields["name"] == "sponge-rain"
    answer = client.post(RENAME, data={**fields.to_dict(), "name": "Rain of sponges"})
    assert answer.headers["Location"] == "/activities/rain-of-sponges"
    assert "1 plan followed" in words(client.get(answer.headers["Location"]))
    assert plan.read_text().count("rain-of-sponges") == 3
    assert "sponge-rain" not in plan.read_text()
    assert other.read_bytes() == before
    history = app.extensions["lowshelf"].history
    (version,) = history.versions("activities/water/rain-of-sponges.md")
    assert version.note == "sponge-rain is called rain-of-sponges from now on"
    assert client.get("/activities/sponge-rain").status_code == 404


def test_a_card_renamed_to_new_keeps_a_page_of_its_own(client):
    """The address that its name would have is that of the form for another card."""
    answer = client.post(RENAME, data={"name": "New"})
    assert answer.headers["Location"] == "/activities/new-card"
    assert soup(client.get("/activities/new-card")).h1.text == "Sponge rain"


def test_a_name_that_is_taken_or_the_same_changes_nothing(client, paths):
    other = paths.activities / "water" / "jugs.md"
    other.write_text("---\ntitle: Jugs\ncenters: [water]\n---\n")
    plan = _write(paths, a_placement())
    before = plan.read_bytes()
    for name, status in (("jugs", 409), ("", 422), ("sponge-rain", 422)):
        answer = client.post(RENAME, data={"name": name})
        assert answer.status_code == status, name
        assert soup(answer).select_one("[role=alert]")
    assert plan.read_bytes() == before
    assert (paths.activities / "water" / "sponge-rain.md").exists()


def test_a_plan_that_cannot_be_read_stops_it_before_anything_changes(client, paths):
    good, broken = _write(paths, a_placement()), paths.themes / "leaves-and-wind" / "2028-fall.md"
    broken.write_text("---\nplacements: [{activity: sponge-rain}\n---\n")
    before = good.read_bytes()
    answer = client.post(RENAME, data={"name": "sponge-storm"})
    assert answer.status_code == 409
    assert "2028-fall" in words(answer)
    assert "Nothing was changed" in words(answer)
    assert good.read_bytes() == before
    assert client.get("/activities/sponge-rain").status_code == 200


def test_jots_comments_and_prep_follow_too(client, app, paths):
    shelf = app.extensions["lowshelf"]
    shelf.rooms.save(a_room(a_child("wren")))
    book = JotBook(paths.database, "Fern Room")
    book.add(Jot(MONDAY, "poured for long", ("wren",), "sponge-rain"))
    other = book.add(Jot(MONDAY, "sang", ("wren",), "songs"))
    comments = Comments(paths.database)
    comments.add("sponge-rain", "Which sponge?", "Ada")
    prep = PrepBook(paths.database, "Fern Room")
    prep.put("leaves-and-wind/2026-fall", Settled("sponge-rain/1/1", MONDAY, "13:00-13:40"))
    client.post(RENAME, data={"name": "sponge-storm"})
    (step,) = prep.settled("leaves-and-wind/2026-fall")
    assert step.step == "sponge-storm/1/1"
    assert [jot.activity for jot in book.find(activity="sponge-storm")] == ["sponge-storm"]
    assert book.find(activity="sponge-rain") == []
    assert book.get(other.id).activity == "songs"
    assert [each.text for each in comments.of("sponge-storm")] == ["Which sponge?"]
