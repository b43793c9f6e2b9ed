"""A card as the plain text of its file, with the same checks as its form."""

from __future__ import annotations

import datetime as dt
from contextlib import suppress
from dataclasses import dataclass
from typing import NamedTuple

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.cards.card import Card
from library.cards.checking import check_card
from library.cards.comparing import compare_cards, in_words
from library.cards.parsing import parse_card
from library.store.atomic import fingerprint
from library.store.errors import StaleFile
from library.store.problems import Problem
from server.cautions import CardCautions, card_cautions
from server.known import known_to_cards
from server.naming import ask_about, named_children
from server.reviewpage import skips_the_second_person
from server.shelf import shelf
from server.visitors import who_saves

bp = Blueprint("plainfile", __name__, url_prefix="/activities")
BOM = "\ufeff"


@dataclass(frozen=True, slots=True)
class PlainFile:
    """The text of a card's file, and what there is to say of it."""

    card_id: str
    file: str
    text: str
    mark: str
    """Fingerprint of the file that the text began with."""
    card: Card | None
    """None where no card can be made of the text."""
    problems: tuple[Problem, ...]
    cautions: CardCautions | None
    is_guessed: bool
    """Whether the file's letters had to be guessed."""


@bp.get("/<card_id>/file")
def show(card_id: str) -> str:
    """The text of a card's file; also of one that cannot be read as a card."""
    now = _read(card_id)
    return _page(_look_at(card_id, now, now.text.removeprefix(BOM), now.mark))


@bp.post("/<card_id>/file")
def save(card_id: str) -> ResponseReturnValue:
    """Saves the text, or only checks it."""
    now = _read(card_id)
    there = now.text
    typed = request.form.get("text", "").replace("\r\n", "\n").lstrip("\n")
    page = _look_at(card_id, now, typed, request.form.get("fingerprint", ""))
    if "check" in request.form:
        return _page(page, unsaved=True)
    if page.card is None:
        return _page(page, refused="No card can be made of this text yet."), 422
    before = parse_card(there, page.file).card
    if skips_the_second_person(before, page.card):
        return _page(page, refused="Somebody else has to mark it ready; leave 'draft' there."), 422
    lines = {"text": typed}
    if asked := named_children(request.form, lines, [there.replace("\r\n", "\n")]):
        return ask_about(asked, url_for("activities.show", card_id=card_id))
    new = typed.replace("\n", "\r\n") if "\r\n" in there else typed
    new = BOM + new if there.startswith(BOM) else new
    try:
        shelf().cards.replace_text(card_id, new, expected=page.mark)
    except StaleFile:
        theirs = there.removeprefix(BOM)
        return _page(_look_at(card_id, now, typed, now.mark), theirs=theirs, unsaved=True), 409
    changes = in_words(compare_cards(before, page.card)) if before else "mended"
    shelf().refresh_files([page.file])
    shelf().history.record([page.file], f"{card_id}: {changes or 'rewritten'}", who_saves())
    if page.problems:
        flash("Saved. What is still to mend stands on Review.")
    return redirect(url_for("activities.show", card_id=card_id), 303)


class _Now(NamedTuple):
    """A card's file as it is now."""

    file: str
    text: str
    mark: str
    is_guessed: bool


def _read(card_id: str) -> _Now:
    found = shelf().cards.find(card_id)
    content = found.path.read_bytes()
    text, is_guessed = _letters(content)
    return _Now(found.file, text, fingerprint(content), is_guessed)


def _letters(content: bytes) -> tuple[str, bool]:
    """The text of a file, and whether its letters had to be guessed because it is not UTF-8.

    Then they are read as Windows-1252, as older editors write them, else as Latin-1, which reads any
    byte: no letter is lost, and saving writes UTF-8.
    """
    for encoding in ("utf-8", "cp1252"):
        with suppress(UnicodeDecodeError):
            return content.decode(encoding), encoding != "utf-8"
    return content.decode("latin-1"), True


def _look_at(card_id: str, now: _Now, text: str, mark: str) -> PlainFile:
    known = known_to_cards(shelf().paths, shelf().cards)[0]
    parsed = parse_card(text, now.file)
    card = parsed.card
    return PlainFile(
        card_id=card_id,
        file=now.file,
        text=text,
        mark=mark,
        card=card,
        problems=check_card(card, known) if card else parsed.problems,
        cautions=card_cautions(card, known.materials, None, dt.date.today()) if card else None,
        is_guessed=now.is_guessed,
    )


def _page(page: PlainFile, *, refused: str = "", theirs: str = "", unsaved: bool = False) -> str:
    return render_template(
        "activities/file.html", page=page, refused=refused, theirs=theirs, unsaved=unsaved
    )
