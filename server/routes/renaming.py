"""Gives a card another file name; plans, rain swaps and look-backs follow in one step."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.room.following import follow_card
from library.store.errors import LibraryError
from library.store.paths import make_id
from library.units.renaming import rename_card
from server.links import reachable_id
from server.naming import ask_about, named_children
from server.shelf import shelf
from server.visitors import who_saves

bp = Blueprint("renaming", __name__, url_prefix="/activities")


@bp.get("/<card_id>/rename")
def show(card_id: str) -> str:
    """Asks for the new name, and says which plans will follow."""
    return _page(card_id, "")


@bp.post("/<card_id>/rename")
def save(card_id: str) -> ResponseReturnValue:
    """Renames the card's file and every mention of it: all files, or none."""
    typed = request.form.get("name", "").strip()
    new = reachable_id(make_id(typed), "card") if typed else ""
    if not new or new == card_id:
        return _page(card_id, typed, "write another name"), 422
    if asked := named_children(request.form, {"name": typed}):
        return ask_about(asked, url_for("renaming.show", card_id=card_id))
    old_file = shelf().cards.find(card_id).file
    try:
        followed = rename_card(shelf().paths, card_id, new)
    except LibraryError as error:
        return _page(card_id, typed, f"{error}. Nothing was changed"), 409
    follow_card(shelf().paths.database, card_id, new)
    files = [old_file, shelf().cards.find(new).file, *followed]
    shelf().refresh_files(files)
    shelf().history.record(files, f"{card_id} is called {new} from now on", who_saves())
    plans = f"{len(followed)} {'plan' if len(followed) == 1 else 'plans'} followed"
    flash(f"The file is called {new}.md now; {plans if followed else 'no plan named it'}.")
    return redirect(url_for("activities.show", card_id=new), 303)


def _page(card_id: str, typed: str, wrong: str = "") -> str:
    card = shelf().cards.read(card_id).card
    uses = shelf().units.uses(card_id)
    units = tuple({use.unit.id: use.unit for use in uses}.values())
    return render_template(
        "activities/rename.html", card=card, typed=typed or card_id, units=units, wrong=wrong
    )
