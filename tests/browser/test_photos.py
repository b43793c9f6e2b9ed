"""A picture from a phone: made small before it is sent, plain when it is kept, and gone when taken out."""

import io

from PIL import Image

from library.store.frontmatter import MAX_FILE_BYTES

ATTACK = '"><img src=x onerror=alert(1)>.png'


def a_large_picture(path):
    """Noise cannot be packed, so the file is as large as a phone's photo."""
    Image.effect_noise((2400, 1800), 80).convert("RGB").save(path)
    assert path.stat().st_size > 3 * MAX_FILE_BYTES
    return path


def test_a_phones_picture_reaches_the_card_small_and_plain(serve, starter, phone, tmp_path):
    served = serve(starter)
    picture = a_large_picture(tmp_path / "photo.png")
    phone.goto(f"{served.url}/activities/sponge-rain")
    phone.get_by_text("Add a picture").tap()
    sent = {"name": ATTACK, "mimeType": "image/png", "buffer": picture.read_bytes()}
    phone.locator("#photo").set_input_files(sent)
    phone.get_by_role("button", name="Add it", disabled=False).tap(timeout=60_000)
    shown = phone.locator("main figure img")
    shown.scroll_into_view_if_needed()
    assert phone.locator("main img").count() == 1
    kept = starter.activities / "water" / "sponge-rain-1.jpg"
    with Image.open(io.BytesIO(kept.read_bytes())) as opened:
        assert (opened.size, opened.format) == ((1600, 1200), "JPEG")
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    phone.get_by_text("Take it out").tap()
    phone.get_by_role("button", name="Take out picture 1").tap()
    phone.get_by_text("The picture is gone").wait_for()
    assert not kept.exists()
