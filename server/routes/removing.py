"""Takes a card away; its versions stay, and it can be brought back."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.store.errors import StaleFile
from server.shelf import shelf
from server.visitors import who_saves

bp = Blueprint("removing", __name__, url_prefix="/activities")


@bp.get("/<card_id>/remove")
def show(card_id: str) -> str:
    """Says which plans name the card before it is taken away."""
    read = shelf().cards.read(card_id)
    uses = shelf().units.uses(card_id)
    units = tuple({use.unit.id: use.unit for use in uses}.values())
    return render_template("activities/remove.html", read=read, card=read.card, units=units)


@bp.post("/<card_id>/remove")
def remove(card_id: str) -> ResponseReturnValue:
    """Removes the card's file; plans that name it show the gap, and the history keeps the card."""
    here = shelf()
    card = here.cards.read(card_id).card
    here.history.record([card.file], "kept before it was removed", who_saves())
    try:
        here.cards.remove(card_id, expected=request.form.get("fingerprint", ""))
    except StaleFile:
        flash("The card was changed meanwhile, so it was not removed. This is how it is now.")
        return redirect(url_for("activities.show", card_id=card_id), 303)
    here.refresh_files([card.file])
    here.history.record([card.file], f"{card_id}: removed", who_saves())
    flash(f"{card.title} is removed. It is kept here and can be brought back.")
    return redirect(url_for("versions.index"), 303)
