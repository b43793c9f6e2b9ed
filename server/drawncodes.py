"""A text as a QR code on a page, to be read by a phone's camera."""

from __future__ import annotations

from markupsafe import Markup


def drawn_code(text: str) -> Markup:
    """The code as a drawing."""
    import segno

    drawn = segno.make_qr(text, error="m").svg_inline(scale=4, border=4, light="white")
    return Markup(drawn)  # nosec B704 - drawn here; the text stands in it as squares only
