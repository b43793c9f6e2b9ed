"""Who asks: the person at this computer, somebody who has signed in, a shared tablet, or a stranger.

Alone on this machine nobody signs in and everything is open. As soon as others can reach the server
everybody signs in, on this machine too.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

from flask import (
    Flask,
    Response,
    abort,
    current_app,
    g,
    has_request_context,
    redirect,
    request,
    session,
    url_for,
)
from flask.typing import ResponseReturnValue
from itsdangerous import BadSignature, URLSafeSerializer

from library.accounts.accounts import Caller, HalfWay
from library.accounts.notices import Notice
from library.accounts.people import Person, Role, SignedIn
from server.permissions import Need, rule_of
from server.security import READING
from server.shelf import shelf

STANDING = {
    Role.READER: Need.READER,
    Role.CONTRIBUTOR: Need.CONTRIBUTOR,
    Role.LEAD: Need.LEAD,
}
KEY, ROOM, HALF_WAY = "key", "room", "half_way"
"""What the session cookie holds: the secret of the session, the room that is worked with, and who has typed
a password and not yet a code."""


@dataclass(frozen=True, slots=True)
class Visitor:
    """Somebody who asks for a page."""

    standing: Need
    name: str = ""
    """Empty for a stranger, and for the person who works alone on this machine."""
    rooms: tuple[str, ...] | None = ()
    """Names of the rooms whose children may be seen; None: of all."""
    person: Person | None = None
    session: int = 0
    """Number of the session; 0 without one."""


OWNER = Visitor(Need.LEAD, rooms=None)
"""The person who works alone on this machine."""
STRANGER = Visitor(Need.ANYONE)


def watch_the_door(app: Flask) -> None:
    """Has every request looked at before its route runs, and every change noted after it."""
    app.before_request(admit)
    app.after_request(note_change)
    app.after_request(keep_out_of_caches)
    app.after_request(remember_person)


def people_sign_in() -> bool:
    """Whether others can reach this server, so that everybody signs in."""
    return not shelf().settings.loopback


def visitor() -> Visitor:
    """Who asks now."""
    if "visitor" not in g:
        g.visitor = STRANGER  # stays so where the database cannot be read
        g.visitor = _recognise()
    found: Visitor = g.visitor
    return found


def who_saves() -> str:
    """The name that versions are kept under; empty for who works alone on this machine."""
    return visitor().name if has_request_context() else ""


def look_again() -> None:
    """Has the visitor recognised anew, after something about them was changed."""
    g.pop("visitor", None)


def may(endpoint: str) -> bool:
    """Whether who asks now may open a route; pages link to nothing else."""
    return visitor().standing >= rule_of(endpoint).need


def admit() -> ResponseReturnValue | None:
    """Refuses whoever may not open the route; a stranger is led to the door."""
    if request.endpoint is None or may(request.endpoint):
        return None
    if visitor().standing > Need.ANYONE:
        abort(403, _refusal(rule_of(request.endpoint).need))
    if request.path.startswith("/api/"):
        abort(401, "Sign in first; this server answers only people it knows.")
    if request.method not in READING:
        abort(401, "You are not signed in any more.")
    here = request.full_path.rstrip("?")
    return redirect(url_for("door.sign_in", next=here if here != "/" else None), 303)


def say_done(did: str) -> None:
    """Has a change noted in these words rather than in those of the route's rule."""
    g.did = did


def note_change(response: Response) -> Response:
    """Notes a change for the lead's list, where people sign in."""
    rule = rule_of(request.endpoint or "")
    changed = request.method == "POST" and response.status_code < 400 and request.endpoint
    if changed and rule.did and people_sign_in() and visitor().name:
        did = g.get("did") or rule.did.format_map(request.view_args or {})
        shelf().accounts.audit.note(visitor().name, did)
    return response


def keep_out_of_caches(response: Response) -> Response:
    """No browser keeps a page that only some may see."""
    if people_sign_in() and request.endpoint != "static":
        response.headers["Cache-Control"] = "no-store"
    return response


def begin_session(secret: str, person: Person | None) -> None:
    """Signs this browser in: whatever its cookie held before is gone, so nobody can have planted it."""
    leave()
    session.permanent = True
    session[KEY] = secret
    look_again()
    if person is not None:
        g.knows = person.id


def begin_second_step(half_way: HalfWay) -> None:
    """Remembers in this browser who has typed the password; the cookie is signed."""
    leave()
    session[HALF_WAY] = [half_way.person, half_way.ends, half_way.proof]


def half_way() -> HalfWay | None:
    """Who has typed a password in this browser and not yet a code."""
    kept = session.get(HALF_WAY)
    return HalfWay(*kept) if kept else None


def own_notices() -> list[Notice]:
    """What the visitor has to be told about their own account."""
    here = visitor()
    return shelf().accounts.notices.of(here.person.id, here.session) if here.person else []


def leave() -> None:
    """Ends the session of this browser, if there is one."""
    if signed := visitor().session:
        shelf().accounts.sessions.end(signed)
    session.clear()
    look_again()


def caller() -> Caller:
    """Where a try to come in comes from."""
    knows = None
    with suppress(BadSignature, TypeError, ValueError):
        knows = int(_known_signer().loads(request.cookies.get(_known_name(), "")))
    return Caller(request.remote_addr or "", knows)


def remember_person(response: Response) -> Response:
    """Lets this browser be known as one in which the person has signed in before."""
    if "knows" in g:
        response.set_cookie(
            _known_name(),
            _known_signer().dumps(g.knows),
            max_age=400 * 86_400,
            httponly=True,
            samesite="Strict",
            secure=bool(current_app.config["SESSION_COOKIE_SECURE"]),
        )
    return response


def _recognise() -> Visitor:
    if not people_sign_in():
        return OWNER
    found = shelf().accounts.sessions.find(str(session.get(KEY, "")))
    return _visitor_of(found) if found else STRANGER


def _visitor_of(signed: SignedIn) -> Visitor:
    if signed.person is None:
        return Visitor(Need.TABLET, signed.tablet, signed.rooms, session=signed.id)
    person = signed.person
    rooms = None if person.is_lead else person.rooms
    return Visitor(STANDING[person.role], person.name, rooms, person, signed.id)


def _refusal(need: Need) -> str:
    if visitor().standing is Need.TABLET:
        return "This tablet shows only the day. Sign in on another device for everything else."
    if need is Need.LEAD:
        return "Only the lead can do this. Please ask them."
    return "Your account can look at this library and change nothing. The lead can change that."


def _known_signer() -> URLSafeSerializer:
    return URLSafeSerializer(current_app.config["SECRET_KEY"], salt="has signed in before")


def _known_name() -> str:
    return f"{current_app.config['SESSION_COOKIE_NAME']}-known"
