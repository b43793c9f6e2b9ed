"""Pictures: drawn anew, upright, of a moderate size, and with nothing that the camera wrote.

Sources: the first bytes of JPEG files (ITU-T T.81, B.2.1, with the marker that follows) and of PNG files
(ISO/IEC 15948, 5.2); orientation and position tags of Exif 2.3 (CIPA DC-008).
"""

import io
import zipfile

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from library.cards.photos import LONGEST_SIDE, NAME, kind_of, next_name, plain_picture
from library.store.errors import Invalid

ORIENTATION, MAKER, GPS, LATITUDE = 0x0112, 0x010F, 0x8825, 2


def a_photo(kind="JPEG", size=(40, 20), orientation=1, **options):
    """A picture whose left half is red, with a position and a maker in it."""
    picture = Image.new("RGB", size, "blue")
    picture.paste("red", (0, 0, size[0] // 2, size[1]))
    exif = picture.getexif()
    exif[ORIENTATION], exif[MAKER] = orientation, "quux-camera"
    exif.get_ifd(GPS)[LATITUDE] = (52.0, 31.0, 12.0)
    made = io.BytesIO()
    picture.save(made, kind, exif=exif, **options)
    return made.getvalue()


def test_place_time_and_camera_are_gone():
    sent = a_photo(comment=b"quux-comment")
    assert b"quux-camera" in sent
    assert b"quux-comment" in sent
    made = plain_picture(sent)
    assert b"quux" not in made
    assert b"Exif" not in made
    with Image.open(io.BytesIO(made)) as picture:
        assert dict(picture.getexif()) == {}
        assert picture.format == "JPEG"


def test_words_in_a_png_are_gone_and_what_is_clear_is_white():
    words, made = PngInfo(), io.BytesIO()
    words.add_text("Author", "quux-author")
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(made, "PNG", pnginfo=words)
    plain = plain_picture(made.getvalue())
    assert b"quux" not in plain
    with Image.open(io.BytesIO(plain)) as picture:
        assert picture.getpixel((4, 4)) == (255, 255, 255)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_what_hides_in_and_behind_a_picture_is_gone(kind):
    """A file that is a picture and an archive at once, and one that carries a program in a comment."""
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w") as zipped:
        zipped.writestr("quux.exe", b"MZ quux")
    sent = a_photo(kind) + archive.getvalue()
    assert zipfile.is_zipfile(io.BytesIO(sent))
    made = plain_picture(sent)
    assert not zipfile.is_zipfile(io.BytesIO(made))
    assert b"quux" not in made


def test_a_picture_that_was_held_sideways_stands_upright():
    """Orientation 6: the camera was turned, so the left half of the points is the top of the scene."""
    with Image.open(io.BytesIO(plain_picture(a_photo(orientation=6)))) as picture:
        assert picture.size == (20, 40)
        red, blue = picture.getpixel((10, 8)), picture.getpixel((10, 32))
    assert red[0] > 200 > 60 > red[2]
    assert blue[2] > 200 > 60 > blue[0]


def test_a_large_picture_becomes_smaller_and_a_small_one_stays():
    for size, expected in (((3200, 1600), (LONGEST_SIDE, 800)), ((40, 20), (40, 20))):
        with Image.open(io.BytesIO(plain_picture(a_photo(size=size)))) as picture:
            assert picture.size == expected


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"<svg onload='alert(1)'/>",
        b"GIF89a" + bytes(40),
        b"\xff\xd8\xff<script>alert(1)</script>",
        b"\x89PNG\r\n\x1a\n" + bytes(60),
        a_photo(size=(400, 400))[:900],
        a_photo("PNG", size=(400, 400))[:300],
    ],
)
def test_what_is_no_whole_picture_is_refused_whatever_it_begins_with(content):
    with pytest.raises(Invalid, match="picture"):
        plain_picture(content)


def test_a_picture_that_would_fill_the_memory_is_not_opened():
    made = io.BytesIO()
    Image.new("1", (10_000, 7_000)).save(made, "PNG")
    assert len(made.getvalue()) < 50_000
    with pytest.raises(Invalid, match="too many points"):
        plain_picture(made.getvalue())


def test_names_are_the_cards_own_and_never_taken_twice():
    assert (
        next_name("sponge-rain", {"sponge-rain-1.jpg", "sponge-rain-3.jpg"}) == "sponge-rain-2.jpg"
    )
    assert NAME.match("sponge-rain-1.jpg")
    for name in ("../a.jpg", "a/b.jpg", ".a.jpg", "a.svg", "a.jpg.html", "a b.jpg", "a.jpg\n"):
        assert not NAME.match(name)


def test_what_is_given_out_is_named_by_its_content():
    assert kind_of(a_photo()) == "image/jpeg"
    assert kind_of(a_photo("PNG")) == "image/png"
    assert kind_of(b"<html>") is None
