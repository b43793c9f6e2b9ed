"""Pictures of a card: shown, added and taken out."""

from __future__ import annotations

from flask import Blueprint, Response, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue

from library.cards.photos import kind_of
from library.store.errors import LibraryError, NotFound
from server.photos import add_photo, photo_file, remove_photo
from server.shelf import shelf
from server.visitors import who_saves

bp = Blueprint("photos", __name__, url_prefix="/activities")


@bp.get("/<card_id>/photos/<int:number>")
def show(card_id: str, number: int) -> Response:
    """One picture, from 1. A file that is no picture by its content is not given out."""
    content = photo_file(shelf().cards.read(card_id).card, number).read_bytes()
    kind = kind_of(content)
    if kind is None:
        raise NotFound("the file of this picture is no JPEG or PNG")
    return Response(content, mimetype=kind)


@bp.post("/<card_id>/photos")
def add(card_id: str) -> ResponseReturnValue:
    """Adds a picture; what the camera wrote into it is left behind."""
    read = shelf().cards.read(card_id)
    sent = request.files.get("photo")
    try:
        name = add_photo(read, sent.read() if sent else b"")
    except LibraryError as error:
        flash(f"{str(error)[:1].upper()}{str(error)[1:]}. Nothing was added.")
        return _back(card_id)
    shelf().refresh_files([read.card.file])
    shelf().history.record([read.card.file], f"{card_id}: picture {name} added", who_saves())
    flash("The picture is added. Where and when it was taken is not in the file any more.")
    return _back(card_id)


@bp.post("/<card_id>/photos/<int:number>")
def remove(card_id: str, number: int) -> ResponseReturnValue:
    """Takes a picture out for good."""
    read = shelf().cards.read(card_id)
    name = remove_photo(read, number)
    shelf().refresh_files([read.card.file])
    shelf().history.record([read.card.file], f"{card_id}: picture {name} taken out", who_saves())
    flash("The picture is gone.")
    return _back(card_id)


def _back(card_id: str) -> ResponseReturnValue:
    return redirect(url_for("activities.show", card_id=card_id, _anchor="photos"), 303)
