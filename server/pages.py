"""What templates may call: navigation, static files with a version, words for values."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from flask import Flask, Response, request, session, url_for
from markupsafe import Markup

from library.cards.centers import center_title
from library.cards.rendering import render_markdown
from library.units.unit import Unit
from server import words

STATIC = Path(__file__).parent / "static"


@dataclass(frozen=True, slots=True)
class NavigationEntry:
    """A link at the top of every page."""

    title: str
    url: str
    here: bool


PAGES: tuple[tuple[str, str], ...] = (
    ("Find", "find.index"),
    ("Themes", "themes.index"),
    ("Today", "today.show"),
    ("Jots", "jots.index"),
    ("Materials", "materials.index"),
    ("Room", "room.show"),
    ("Review", "review.index"),
)
"""Title and endpoint of each page that is linked at the top."""


UNIT_PAGES: tuple[tuple[str, str], ...] = (
    ("Plan", "units.show"),
    ("Goals", "unitviews.coverage"),
    ("Local rules", "unitviews.local_rules"),
    ("Carry over", "unitviews.carry"),
    ("Look back", "lookback.show"),
    ("Clone", "clone.show"),
    ("Earlier years", "lookback.years"),
    ("Supplies", "supplies.show"),
    ("Prep", "prep.show"),
    ("Print", "printing.index"),
)
"""Title and endpoint of each page of a unit; a new one is one line here."""


def prepare_templates(app: Flask) -> None:
    """Registers the functions and filters that templates use."""
    from library.safety.policies import policy_in_words
    from library.store.paths import make_id
    from server.placing import choosing, placing
    from server.unitpage import shown_cells
    from server.visitors import may, own_notices, people_sign_in, visitor

    app.jinja_env.globals.update(
        navigation=navigation,
        home=home,
        may=may,
        people_sign_in=people_sign_in,
        visitor=visitor,
        own_notices=own_notices,
        static=static,
        unit_tabs=unit_tabs,
        placing=placing,
        choosing=choosing,
        shown_cells=shown_cells,
    )
    app.jinja_env.filters.update(
        markdown=markdown,
        number=plural,
        pictogram=pictogram,
        sentence=sentence,
        full_sentence=full_sentence,
        center=center_title,
        language=words.language_name,
        day=words.day,
        day_year=words.day_year,
        day_span=words.day_span,
        weekday=words.weekday,
        long_day=words.long_day,
        with_days=words.with_days,
        moment=words.moment,
        policy=policy_in_words,
        page_id=make_id,
    )
    app.after_request(shorten_messages)
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True


LONGEST_MESSAGE = 300
"""Signs of what is said once on the next page; it travels in a cookie, which has to stay small."""


def shorten_messages(response: Response) -> Response:
    """Cuts what is said on the next page, where a long text was typed that it repeats."""
    if "_flashes" in session:
        session["_flashes"] = [
            (kind, text if len(text) <= LONGEST_MESSAGE else f"{text[:LONGEST_MESSAGE]}…")
            for kind, text in session["_flashes"][-5:]
        ]
    return response


def navigation() -> list[NavigationEntry]:
    """The links at the top that may be followed, with the one that is open marked."""
    from server.visitors import may

    here = (request.endpoint or "").split(".")[0]
    return [
        NavigationEntry(title, url_for(endpoint), endpoint.split(".")[0] == here)
        for title, endpoint in PAGES
        if may(endpoint)
    ]


def home() -> str:
    """The endpoint at which whoever asks now begins."""
    from server.visitors import may

    return next((each for each in ("find.index", "today.show") if may(each)), "door.sign_in")


def unit_tabs(unit: Unit) -> list[NavigationEntry]:
    """The links between the pages of a unit, with the one that is open marked."""
    from server.visitors import may

    return [
        NavigationEntry(
            title, url_for(endpoint, theme=unit.theme, name=unit.name), request.endpoint == endpoint
        )
        for title, endpoint in UNIT_PAGES
        if may(endpoint)
    ]


@cache
def static(name: str) -> str:
    """The address of a static file; it changes when the file does."""
    version = hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:10]
    return url_for("static", filename=name, v=version)


def markdown(text: str) -> Markup:
    """Markdown as HTML that can do nothing but be read."""
    return Markup(render_markdown(text))  # nosec B704 - sanitised by the renderer


def sentence(text: str) -> str:
    """The text with a capital at its front and no full stop at its end."""
    return (text[:1].upper() + text[1:]).removesuffix(".")


def full_sentence(text: str) -> str:
    """The text with a capital at its front and one stop or question mark at its end."""
    return sentence(text) + ("" if text.endswith(("?", "!")) else ".")


def plural(count: int, word: str, many: str = "") -> str:
    """``1 card``, ``3 cards``."""
    return f"{count} {word if count == 1 else many or word + 's'}"


def pictogram(center: str) -> str:
    """The name of a center's drawing; a center of the library's own has a plain one."""
    return center if center in pictograms() else "other"


@cache
def pictograms() -> frozenset[str]:
    """The names of the drawings there are."""
    return frozenset(re.findall(r'<symbol id="([a-z-]+)"', (STATIC / "centers.svg").read_text()))
