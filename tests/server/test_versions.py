"""Versions as pages: in words, a way back to the very bytes, and what was removed."""

import pytest

from library.accounts.people import Role
from library.history.versions import History
from library.units.parsing import write_theme, write_unit
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
from tests.server.visiting import open_house, signed_in

CARD = "activities/water/sponge-rain.md"
UNIT = "themes/leaves-and-wind/2026-fall.md"
LATER = CARD_TEXT.replace("prep: 8", "prep: 15").replace("minutes: 6", "minutes: 13")


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT})
    (paths.themes / "leaves-and-wind").mkdir()
    (paths.themes / "leaves-and-wind" / "theme.md").write_text(write_theme(a_theme()))
    (paths.folder / UNIT).write_text(write_unit(a_unit(a_placement())))
    keep(paths)
    (paths.folder / CARD).write_text(LATER)
    keep(paths)
    return paths


def keep(paths):
    return History(paths).record_outside_changes()


def test_a_cards_history_is_told_in_words(client, paths):
    assert client.get("/activities/sponge-rain").status_code == 200
    link = soup(client.get("/activities/sponge-rain")).select_one("a[href^='/versions/']")["href"]
    page = soup(client.get(link))
    shown = [" ".join(each.get_text(" ").split()) for each in page.select(".history > li")]
    assert len(shown) == 2
    assert "as it is now" in shown[0]
    assert "Prep 8 → 15" in shown[0]
    assert "Trim the sponges: minutes 6 → 13" in shown[0]
    assert "Kept for the first time" in shown[1]


def test_a_version_goes_back_to_the_very_bytes_and_nothing_is_lost(client, paths, app):
    page = soup(client.get(f"/versions/{CARD}"))
    look = page.select_one(".history a")["href"]
    assert "Prep 8 → 15" in words(client.get(look))
    assert "prep: 8" in soup(client.get(look)).select_one("pre").text
    answer = client.post(f"/versions/{CARD}", data=filled(soup(client.get(look)), "main form"))
    assert answer.status_code == 303
    assert (paths.folder / CARD).read_bytes() == CARD_TEXT.encode()
    assert "as it was then" in words(client.get(f"/versions/{CARD}"))
    assert len(soup(client.get(f"/versions/{CARD}")).select(".history > li")) == 3
    assert "8 min" in words(client.get("/activities/sponge-rain"))


def test_a_file_that_changed_meanwhile_is_not_put_back(client, paths):
    fields = filled(soup(client.get(f"/versions/{CARD}")), "main form")
    mine = LATER.replace("mess: 2", "mess: 3")
    (paths.folder / CARD).write_text(mine)
    assert client.post(f"/versions/{CARD}", data=fields).status_code == 303
    assert "nothing was put back" in words(client.get(f"/versions/{CARD}"))
    assert (paths.folder / CARD).read_text() == mine


def test_what_was_removed_is_brought_back(client, paths):
    content = (paths.folder / UNIT).read_bytes()
    (paths.folder / UNIT).unlink()
    keep(paths)
    page = soup(client.get("/versions"))
    assert "Leaves and wind, fall 2026" in page.select_one(".history").get_text()
    form = page.select_one(".history form")
    assert client.post(form["action"], data=filled(page, ".history form")).status_code == 303
    assert (paths.folder / UNIT).read_bytes() == content
    assert "Nothing that Lowshelf has kept" in words(client.get("/versions"))


def test_a_removed_file_that_is_there_again_is_not_overwritten(client, paths):
    (paths.folder / UNIT).unlink()
    keep(paths)
    fields = filled(soup(client.get("/versions")), ".history form")
    (paths.folder / UNIT).write_text(write_unit(a_unit(weeks=3)))
    client.post(f"/versions/{UNIT}", data=fields)
    assert "weeks: 3" in (paths.folder / UNIT).read_text()


def test_changes_of_a_unit_name_cards_and_centers_by_their_titles(client, paths):
    (paths.folder / UNIT).write_text(write_unit(a_unit(a_placement("art"))))
    keep(paths)
    assert "Sponge rain moved from Water to Art" in words(client.get(f"/versions/{UNIT}"))


def test_a_unit_is_removed_with_its_last_bytes_kept_and_comes_back(client, paths):
    """Also bytes that nobody has kept a version of yet."""
    unseen = (paths.folder / UNIT).read_bytes() + b"A last line.\n"
    (paths.folder / UNIT).write_bytes(unseen)
    page = soup(client.get(f"/versions/{UNIT}"))
    answer = client.post("/versions/remove", data=filled(page, "details form"))
    assert answer.headers["Location"] == "/versions"
    assert not (paths.folder / UNIT).exists()
    assert client.get("/units/leaves-and-wind/2026-fall").status_code == 404
    page = soup(client.get("/versions"))
    client.post(f"/versions/{UNIT}", data=filled(page, ".history form"))
    assert (paths.folder / UNIT).read_bytes() == unseen


def test_only_a_unit_as_it_was_seen_is_removed(client, paths):
    fields = filled(soup(client.get(f"/versions/{UNIT}")), "details form")
    (paths.folder / UNIT).write_text(write_unit(a_unit(weeks=3)))
    client.post("/versions/remove", data=fields)
    assert "weeks: 3" in (paths.folder / UNIT).read_text()
    assert client.post("/versions/remove", data={**fields, "file": CARD}).status_code == 400
    assert (paths.folder / CARD).exists()


@pytest.mark.parametrize(
    "address",
    ["activities/none.md", "../secret.md", f"{CARD}?version=nothing", f"{CARD}?version={'a' * 40}"],
)
def test_what_is_not_there_is_said(client, address):
    assert client.get(f"/versions/{address}").status_code in {400, 404}


def test_the_api_gives_versions_and_what_was_removed(client, paths):
    found = client.get(f"/api/versions?file={CARD}").json
    assert [len(each["id"]) for each in found["versions"]] == [40, 40]
    assert "prep 8 → 15" in found["versions"][0]["changes"]
    (paths.folder / UNIT).unlink()
    keep(paths)
    assert [each["file"] for each in client.get("/api/versions").json["removed"]] == [UNIT]
    assert client.get("/api/versions?file=activities/none.md").status_code == 404


def test_a_version_says_who_made_it_once_people_sign_in(tmp_path):
    app = open_house(tmp_path)
    browser = signed_in(app, "Ada", Role.LEAD)
    page = soup(browser.get("/units/leaves-and-wind/2025-fall/look-back"))
    fields = filled(page, ".lookback")
    fields["note.hello-feet"] = "first thing"
    assert (
        browser.post("/units/leaves-and-wind/2025-fall/look-back", data=fields).status_code == 303
    )
    file = "themes/leaves-and-wind/2025-fall.md"
    assert [each.by for each in app.extensions["lowshelf"].history.versions(file, 1)] == ["Ada"]
    assert "Ada" in soup(browser.get(f"/versions/{file}")).select_one(".history li").get_text()


def test_a_version_that_names_a_child_is_asked_about_before_it_comes_back(client, paths, app):
    """A label that was taken out of a shared file does not return unseen."""
    named = LATER.replace("Two fingers of water", "Wren likes two fingers of water")
    (paths.folder / CARD).write_text(named)
    keep(paths)
    (paths.folder / CARD).write_text(LATER)
    keep(paths)
    app.extensions["lowshelf"].rooms.save(a_room(a_child("wren")))
    forms = soup(client.get(f"/versions/{CARD}")).select(".history form")
    fields = {f["name"]: f["value"] for f in forms[0].select("input")}
    answer = client.post(f"/versions/{CARD}", data=fields)
    assert answer.status_code == 422
    assert "wren" in words(answer)
    assert answer.headers["Cache-Control"] == "no-store"
    assert (paths.folder / CARD).read_text() == LATER
    sure = filled(soup(answer), "main form")
    assert client.post(f"/versions/{CARD}", data={**sure, "labels_known": "yes"}).status_code == 303
    assert (paths.folder / CARD).read_text() == named
