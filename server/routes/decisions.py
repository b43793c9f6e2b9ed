"""What a room decides about a caution, written down right where the caution stands."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.room.room import Policy, Room, youngest_months
from library.safety.policies import asks_again_on, may_decide_about
from library.store.errors import StaleFile, WrongUse
from server.cautions import decision, title_of
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.words import day_year

bp = Blueprint("decisions", __name__, url_prefix="/room/decisions")


bp.after_request(keep_out_of_caches)


@bp.post("")
def record() -> ResponseReturnValue:
    """Writes a policy down, with who and today's date; what is missing is asked for."""
    room, about = _room_and_about()
    note, by = (" ".join(request.form.get(key, "").split()) for key in ("note", "by"))
    missing = {
        "note": "" if note else "Write what was decided, and why.",
        "by": "" if by else "Write who decided, by name and role.",
    }
    if any(missing.values()):
        return _ask(room, about, missing), 422
    if request.form.get("mark") != decision(about, room).mark:
        return _ask(room, about, {}), 409
    today = dt.date.today()
    made = Policy(about, note, by, today, youngest_months(room.staying(today), today))
    try:
        _keep(room, (*(policy for policy in room.policies if policy != made), made))
    except StaleFile:
        return _ask(shelf().rooms.get(room.name), about, {}), 409
    flash(
        f"Written down about {title_of(about)}. The caution stays, folded, and asks again on "
        f"{day_year(asks_again_on(made))}, or when a younger child comes."
    )
    return redirect(_back(), 303)


@bp.post("/end")
def end() -> ResponseReturnValue:
    """Ends what was decided, so that the caution stands in full again."""
    room, about = _room_and_about()
    if request.form.get("mark") != decision(about, room).mark:
        flash("Someone changed this meanwhile. Nothing was ended; look at it again.")
        return redirect(_back(), 303)
    try:
        _keep(room, tuple(policy for policy in room.policies if policy.kind != about))
    except StaleFile:
        flash("Someone changed this meanwhile. Nothing was ended; look at it again.")
        return redirect(_back(), 303)
    flash(f"What was decided about {title_of(about)} has ended.")
    return redirect(_back(), 303)


def _room_and_about() -> tuple[Room, str]:
    room, about = shelf().rooms.get(request.form.get("room", "")), request.form.get("about", "")
    if about not in may_decide_about():
        raise WrongUse(
            f"nothing can be decided about '{about[:60]}'; choose one of: "
            f"{', '.join(may_decide_about())}"
        )
    return room, about


def _keep(room: Room, policies: tuple[Policy, ...]) -> None:
    shelf().rooms.save(replace(room, policies=policies), make_current=False, was=room)


def _ask(room: Room, about: str, missing: dict[str, str]) -> str:
    """The form again with what was typed, beside what is written down now."""
    return render_template(
        "room/decide.html",
        decision=decision(about, room),
        title=title_of(about),
        note=request.form.get("note", ""),
        by=request.form.get("by", ""),
        missing=missing,
        back=_back(),
    )


def _back() -> str:
    """Where the form stood; only a page of ours."""
    back = request.form.get("back", "")
    if back.startswith("/") and not back.startswith("//") and "\\" not in back:
        return back
    return url_for("room.edit", section="policies")
