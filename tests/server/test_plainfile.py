"""A card as plain text: the same checks, both texts on a conflict, and a file that is broken."""

from library.history.versions import History
from tests.builders import CARD_TEXT
from tests.server.pages import filled, soup, words

FORM = "form[action='/activities/sponge-rain/file']"
ADDRESS = "/activities/sponge-rain/file"


def file_of(paths):
    return paths.activities / "water" / "sponge-rain.md"


def test_the_text_is_saved_as_it_was_typed(client, paths):
    form = filled(soup(client.get(ADDRESS)), FORM)
    assert form["text"].lstrip("\n") == CARD_TEXT
    form["text"] = CARD_TEXT.replace("prep: 8", "prep: 8 # at nap time").replace("\n", "\r\n")
    assert client.post(ADDRESS, data=form).status_code == 303
    assert file_of(paths).read_text("utf-8") == CARD_TEXT.replace(
        "prep: 8", "prep: 8 # at nap time"
    )


def test_line_ends_of_another_system_stay(client, paths):
    file_of(paths).write_bytes(CARD_TEXT.replace("\n", "\r\n").encode())
    form = filled(soup(client.get(ADDRESS)), FORM)
    form["text"] = form["text"].replace("mess: 2", "mess: 1")
    assert client.post(ADDRESS, data=form).status_code == 303
    expected = CARD_TEXT.replace("mess: 2", "mess: 1").replace("\n", "\r\n").encode()
    assert file_of(paths).read_bytes() == expected


def test_letters_of_an_older_editor_are_kept_and_saved_as_utf_8(client, paths):
    """Windows-1252 has é as one byte and curly quotes where Latin-1 has none."""
    accented = CARD_TEXT.replace("title: Sponge rain", "title: “Sponge” au café")
    file_of(paths).write_bytes(accented.encode("cp1252"))
    page = soup(client.get(ADDRESS))
    assert "letters with accents are a guess" in page.select_one(".notice").text
    assert client.post(ADDRESS, data=filled(page, FORM)).status_code == 303
    assert file_of(paths).read_text("utf-8") == accented
    assert not soup(client.get(ADDRESS)).select(".notice")


def test_it_is_checked_like_the_form_and_a_text_that_is_no_card_is_not_saved(client, paths):
    form = filled(soup(client.get(ADDRESS)), FORM)
    form["text"] = CARD_TEXT.replace("prep: 8", "prep: 9")
    checked = words(client.post(ADDRESS, data={**form, "check": "yes"}))
    assert "the steps add up to 8" in checked
    assert "Water" in checked
    form["text"] = CARD_TEXT.replace("prep: 8", "prep: many")
    refused = client.post(ADDRESS, data=form)
    assert refused.status_code == 422
    assert "prep: many" in filled(soup(refused), FORM)["text"]
    assert "Line 5, prep Found 'many'" in words(refused)
    assert file_of(paths).read_text("utf-8") == CARD_TEXT


def test_a_stale_text_is_shown_beside_the_file_and_saved_only_when_it_is_said_again(client, paths):
    form = filled(soup(client.get(ADDRESS)), FORM)
    form["text"] = CARD_TEXT.replace("mess: 2", "mess: 1")
    theirs = CARD_TEXT.replace("mess: 2", "mess: 3")
    file_of(paths).write_text(theirs, "utf-8")
    answer = client.post(ADDRESS, data=form)
    assert answer.status_code == 409
    page = soup(answer)
    assert page.select_one("#theirs").text.lstrip("\n") == theirs
    assert file_of(paths).read_text("utf-8") == theirs
    assert client.post(ADDRESS, data=filled(page, FORM)).status_code == 303
    assert "mess: 1" in file_of(paths).read_text("utf-8")


def test_a_file_that_is_no_card_is_mended_here(client, paths):
    file_of(paths).write_text(CARD_TEXT.replace("ages: 24-48", "ages: big"), "utf-8")
    client.application.extensions["lowshelf"].refresh()
    assert client.get("/activities/sponge-rain/edit").headers["Location"] == ADDRESS
    link = soup(client.get("/review")).select_one(".problem a")
    assert link["href"] == ADDRESS
    form = filled(soup(client.get(ADDRESS)), FORM)
    form["text"] = CARD_TEXT
    assert client.post(ADDRESS, data=form).status_code == 303
    assert file_of(paths).read_text("utf-8") == CARD_TEXT


def test_a_card_is_removed_and_can_be_brought_back(client, paths):
    page = soup(client.get("/activities/sponge-rain/remove"))
    form = filled(page, "main form")
    assert client.post("/activities/sponge-rain/remove", data=form).status_code == 303
    assert not file_of(paths).exists()
    versions = History(paths).versions("activities/water/sponge-rain.md")
    assert versions[0].what == "removed"
    assert "Sponge rain" in words(client.get("/versions"))


def test_a_card_that_changed_meanwhile_is_not_removed(client, paths):
    form = filled(soup(client.get("/activities/sponge-rain/remove")), "main form")
    file_of(paths).write_text(CARD_TEXT.replace("mess: 2", "mess: 3"), "utf-8")
    client.post("/activities/sponge-rain/remove", data=form)
    assert file_of(paths).exists()
