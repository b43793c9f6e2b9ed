"""Versions of files: what changed and when, a way back, and what was removed."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.room.labels import labels_in
from library.store.errors import NameTaken, StaleFile, WrongUse
from server.naming import named_children
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.versionspage import (
    content_now,
    content_of,
    draft_of,
    removed_files,
    version_page,
    versions_page,
)
from server.visitors import who_saves

bp = Blueprint("versions", __name__, url_prefix="/versions")
bp.after_request(keep_out_of_caches)


@bp.get("")
def index() -> str:
    """What was removed and can be brought back."""
    return render_template("versions/index.html", removed=removed_files())


@bp.post("/remove")
def remove() -> ResponseReturnValue:
    """Takes a unit away; its versions stay, and it can be brought back."""
    file = request.form.get("file", "")
    page = versions_page(file)
    if page.kind != "unit":
        raise WrongUse(f"{page.title} is no unit; only a unit can be taken away here")
    shelf().history.record([file], "kept before it was removed", who_saves())
    try:
        shelf().units.remove(page.back, expected=request.form.get("mark", ""))
    except StaleFile:
        flash("The plan was changed meanwhile, so it was not removed. This is how it is now.")
        return redirect(url_for("versions.show", file=file), 303)
    shelf().history.record([file], f"{page.back}: removed", who_saves())
    flash(f"{page.title} is removed. It is kept here and can be brought back.")
    return redirect(url_for("versions.index"), 303)


@bp.get("/<path:file>")
def show(file: str) -> str:
    """The history of a file, or one version of it."""
    if version := request.args.get("version"):
        page = version_page(file, version)
        return render_template("versions/version.html", page=page, whole=page.whole)
    return render_template("versions/show.html", page=versions_page(file))


@bp.post("/<path:file>")
def restore(file: str) -> ResponseReturnValue:
    """Puts a file back to the very bytes of a version; what is there now stays a version too."""
    version, mark = request.form.get("version", ""), request.form.get("mark", "")
    then, now = content_of(file, version), content_now(file) or b""
    asked = named_children(request.form, {file: then}).get(file, ())
    if labels := [each for each in asked if not labels_in(now.decode("utf-8", "replace"), [each])]:
        asking = render_template("versions/labels.html", labels=labels, file=file)
        return asking, 422, {"Cache-Control": "no-store"}
    draft = draft_of(file, version)
    try:
        shelf().history.restore(file, version, expected=mark or None, by=who_saves(), instead=draft)
    except (StaleFile, NameTaken):
        flash("The file was changed meanwhile, so nothing was put back. This is how it is now.")
        return redirect(url_for("versions.show", file=file), 303)
    shelf().refresh_files([file])
    page = versions_page(file)
    still = " It stays a draft until somebody else marks it ready." if draft else ""
    flash(f"{page.title} is as it was then.{still} What stood there before is kept below.")
    return redirect(url_for("versions.show", file=file), 303)
