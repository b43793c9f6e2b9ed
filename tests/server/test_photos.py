"""Pictures of a card: beside its file, named in it, given out only as what they are."""

import io

import pytest

from tests.library.cards.test_photos import a_photo
from tests.server.pages import filled, soup, words

CARD = "/activities/sponge-rain"


@pytest.fixture
def folder(paths):
    return paths.activities / "water"


def add(client, content, name="IMG_1.jpg"):
    data = {"photo": (io.BytesIO(content), name)}
    return client.post(f"{CARD}/photos", data=data, content_type="multipart/form-data")


def test_a_picture_lies_beside_the_card_and_one_line_of_the_card_names_it(client, folder):
    before = (folder / "sponge-rain.md").read_text(encoding="utf-8")
    assert add(client, a_photo(), "<img src=x onerror=alert(1)>.jpg").status_code == 303
    text = (folder / "sponge-rain.md").read_text(encoding="utf-8")
    assert text == before.replace("status: ready\n", "status: ready\nphotos: [sponge-rain-1.jpg]\n")
    assert b"quux" not in (folder / "sponge-rain-1.jpg").read_bytes()
    shown = soup(client.get(CARD)).select_one("main img")
    answer = client.get(shown["src"])
    assert (answer.mimetype, answer.headers["X-Content-Type-Options"]) == ("image/jpeg", "nosniff")
    assert answer.data == (folder / "sponge-rain-1.jpg").read_bytes()


@pytest.mark.parametrize("content", [b"", b"<svg onload='alert(1)'/>", a_photo()[:200]])
def test_what_is_no_picture_is_said_and_nothing_is_written(client, folder, content):
    before = {file.name: file.read_bytes() for file in folder.iterdir()}
    add(client, content, "picture.jpg")
    assert "Nothing was added" in words(client.get(CARD))
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == before


def test_a_picture_that_is_taken_out_is_gone_and_the_others_stay(client, folder):
    before = (folder / "sponge-rain.md").read_text(encoding="utf-8")
    add(client, a_photo())
    add(client, a_photo("PNG"))
    assert client.post(f"{CARD}/photos/1").status_code == 303
    assert [file.name for file in folder.glob("*.jpg")] == ["sponge-rain-2.jpg"]
    assert client.get(f"{CARD}/photos/2").status_code == 404
    client.post(f"{CARD}/photos/1")
    assert (folder / "sponge-rain.md").read_text(encoding="utf-8") == before


def test_a_picture_that_another_card_names_too_stays(client, folder):
    add(client, a_photo())
    card = folder / "sponge-rain.md"
    twin = card.read_text(encoding="utf-8").replace("Sponge rain", "Twin")
    card.with_name("twin.md").write_text(twin, encoding="utf-8")
    client.post(f"{CARD}/photos/1")
    assert (folder / "sponge-rain-1.jpg").exists()


@pytest.mark.parametrize("name", ["../../secret.jpg", "secret.md", "page.jpg", "link.jpg"])
def test_a_name_in_a_card_leads_to_nothing_but_a_picture_beside_it(client, folder, paths, name):
    """A card may come from anywhere: what it names as a picture is not believed."""
    (paths.folder / "secret.jpg").write_bytes(a_photo())
    (folder / "page.jpg").write_bytes(b"<script>alert(1)</script>")
    (folder / "link.jpg").symlink_to(paths.folder / "secret.jpg")
    card = folder / "sponge-rain.md"
    text = card.read_text(encoding="utf-8")
    card.write_text(text.replace("status:", f"photos: ['{name}']\nstatus:"), encoding="utf-8")
    assert client.get(f"{CARD}/photos/1").status_code == 404


def test_a_card_has_room_for_eight(client, folder):
    for _ in range(9):
        add(client, a_photo())
    assert len(list(folder.glob("*.jpg"))) == 8
    assert "at most 8" in words(client.get(CARD))


def test_the_pictures_of_a_removed_card_stay_and_come_back_with_it(client, folder):
    """Nothing is lost with a card; what is not wanted any more is taken out by hand, on Review."""
    add(client, a_photo())
    picture, name = folder / "sponge-rain-1.jpg", "activities/water/sponge-rain-1.jpg"
    assert not soup(client.get("/review")).select("#pictures")
    asked = soup(client.get(f"{CARD}/remove"))
    assert "Its pictures stay" in asked.select_one("main").get_text()
    client.post(f"{CARD}/remove", data=filled(asked, "main form"))
    page = soup(client.get("/review"))
    assert client.get("/api/review").json["pictures"] == [name]
    assert client.get(page.select_one("#pictures ~ ul img")["src"]).data == picture.read_bytes()
    removed = soup(client.get("/versions")).select_one(".history form")
    client.post(removed["action"], data=filled(soup(client.get("/versions")), ".history form"))
    assert client.get(f"{CARD}/photos/1").data == picture.read_bytes()
    take_out = filled(page, "#pictures ~ ul form")
    assert client.post("/review/picture", data=take_out).status_code == 404
    assert picture.is_file()
    client.post(f"{CARD}/remove", data=filled(soup(client.get(f"{CARD}/remove")), "main form"))
    assert client.post("/review/picture", data=take_out).status_code == 303
    assert not picture.exists()
