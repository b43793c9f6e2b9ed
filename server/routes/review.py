"""Review: what waits for a second pair of eyes, what is said of a draft, and two cards made one."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.cards.comparing import compare_cards, in_words
from library.cards.folder import ReadCard
from library.cards.lone import lone_picture
from library.cards.merging import Key, Side, merge_cards
from library.cards.photos import kind_of
from library.cards.values import Status
from library.room.comments import LONGEST, Comments
from library.room.following import follow_card
from library.store.errors import NotFound, StaleFile, WrongUse
from library.units.renaming import join_cards
from server.figures import read_whole
from server.mergepage import picks
from server.naming import ask_about, named_children
from server.reviewpage import (
    STATUS,
    join_choices,
    last_hand,
    needs_another,
    proposed,
    review_page,
)
from server.shelf import shelf
from server.visitors import who_saves

bp = Blueprint("review", __name__, url_prefix="/review")


@bp.get("")
def index() -> str:
    """What waits."""
    return render_template("review/index.html", page=review_page())


@bp.post("/<card_id>/status")
def mark(card_id: str) -> ResponseReturnValue:
    """Marks a draft as ready, by another person than the one who changed it last; or takes that back."""
    read = shelf().cards.read(card_id)
    status = Status.READY if request.form.get("status") == "ready" else Status.DRAFT
    if request.form.get("fingerprint") != read.fingerprint:
        raise StaleFile("the card was changed since you looked at it; look at it again")
    if status is Status.READY and needs_another(last_hand(read.card)):
        raise WrongUse("you changed this card last; somebody else has to look at it")
    shelf().cards.update(replace(read.card, status=status), expected=read.fingerprint)
    _keep([read.card.file], f"{card_id}: marked {status.value}")
    flash(f"{read.card.title} is {'ready' if status is Status.READY else 'a draft again'}.")
    return redirect(url_for("activities.show", card_id=card_id), 303)


@bp.post("/<card_id>/comments")
def comment(card_id: str) -> ResponseReturnValue:
    """Keeps a comment on a card, for those who write cards."""
    card = shelf().cards.read(card_id).card
    text = request.form.get("text", "").replace("\r\n", "\n").strip()
    if asked := named_children(request.form, {"text": text}):
        return ask_about(asked, url_for("activities.show", card_id=card_id))
    if text:
        Comments(shelf().paths.database).add(card.id, text[:LONGEST], who_saves())
    return redirect(url_for("activities.show", card_id=card_id, _anchor="comments"), 303)


@bp.post("/<card_id>/comments/remove")
def remove_comment(card_id: str) -> ResponseReturnValue:
    """Removes a comment for good."""
    number = read_whole(request.form, "comment", 0)
    Comments(shelf().paths.database).remove(number, card_id)
    return redirect(url_for("activities.show", card_id=card_id, _anchor="comments"), 303)


@bp.get("/picture")
def picture() -> Response:
    """A picture that no card names, to see what it is."""
    content = lone_picture(shelf().paths, request.args.get("file", "")).read_bytes()
    kind = kind_of(content)
    if kind is None:
        raise NotFound("the file of this picture is no JPEG or PNG")
    return Response(content, mimetype=kind)


@bp.post("/picture")
def take_out_picture() -> ResponseReturnValue:
    """Deletes a picture that no card names, for good."""
    lone_picture(shelf().paths, request.form.get("file", "")).unlink(missing_ok=True)
    flash("The picture is gone.")
    return redirect(url_for("review.index"), 303)


@bp.get("/alike")
def alike() -> str:
    """Two cards side by side, to become one."""
    kept = shelf().cards.read(request.args.get("kept", ""))
    gone = shelf().cards.read(request.args.get("gone", ""))
    return _alike_page(kept, gone)


@bp.post("/alike")
def join() -> ResponseReturnValue:
    """Makes one card of two; every plan follows."""
    kept = shelf().cards.read(request.form.get("kept", ""))
    gone = shelf().cards.read(request.form.get("gone", ""))
    marks = (request.form.get("kept_mark"), request.form.get("gone_mark"))
    if kept.card.id == gone.card.id:
        raise WrongUse("these are one card already")
    if marks != (kept.fingerprint, gone.fingerprint):
        return _alike_page(kept, gone, changed=True), 409
    cards = (kept.card, gone.card, kept.card)
    own = proposed(kept.card, gone.card)
    sides: dict[Key, Side] = {**own, **picks(cards, request.form), STATUS: "theirs"}
    merged = replace(merge_cards(*cards, sides), file=kept.card.file)
    followed = join_cards(
        shelf().paths,
        merged,
        gone.card.id,
        expected=kept.fingerprint,
        gone_expected=gone.fingerprint,
    )
    follow_card(shelf().paths.database, gone.card.id, kept.card.id, joined=True)
    note = in_words(compare_cards(kept.card, merged)) or "nothing new"
    _keep(
        [kept.card.file, gone.card.file, *followed],
        f"{kept.card.id}: {gone.card.id} put into it: {note}",
    )
    flash(f"{gone.card.title} went into this card. Under What was removed it can be brought back.")
    return redirect(url_for("activities.show", card_id=kept.card.id), 303)


def _alike_page(kept: ReadCard, gone: ReadCard, *, changed: bool = False) -> str:
    picked = {} if changed else dict(request.form)  # a number means another piece by now
    uses = shelf().units.uses(gone.card.id)
    return render_template(
        "review/alike.html",
        kept=kept,
        gone=gone,
        choices=join_choices(kept.card, gone.card, picked),
        units=tuple({use.unit.id: use.unit for use in uses}.values()),
        changed=changed,
    )


def _keep(files: list[str], note: str) -> None:
    shelf().refresh_files(files)
    shelf().history.record(files, note, who_saves())
