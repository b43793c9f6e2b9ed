"""A unit's supplies: what it needs, shopping, printing, borrowing, the closet, packing away.

Changes of the stock add or take; where one says what is there, it carries what was seen. Nothing here
names a child.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.materials.amounts import Quantity, parse_quantity
from library.paper.tables import as_csv, as_xlsx
from library.room.closet import Closet, Move, Place
from library.room.room import Room
from library.store.errors import LibraryError, NotFound, StaleFile, WrongUse
from library.store.problems import Unreadable
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.supplypage import PARTS, rows_of, supply_page

bp = Blueprint("supplies", __name__, url_prefix="/units")
bp.after_request(keep_out_of_caches)
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_SEEN = re.compile(r"([0-9]{1,100})(?:/0{0,9}[1-9][0-9]{0,99})?")
"""A whole number or a fraction as the closet's forms carry it, no longer than any that is kept."""


@bp.get("/<theme>/<name>/supplies", defaults={"part": "needs"})
@bp.get("/<theme>/<name>/supplies/<part>")
def show(theme: str, name: str, part: str) -> ResponseReturnValue:
    """One of the lists, as a page or as a file for a spreadsheet."""
    part, _, form = part.partition(".")
    if part not in PARTS or form not in {"", "csv", "xlsx"}:
        raise NotFound(f"supplies have no list '{part[:60]}'; they have: {', '.join(PARTS)}")
    page = supply_page(f"{theme}/{name}", part, request.args.get("paper", ""))
    if not form:
        template = f"supplies/{part.replace('-', '_')}.html"
        return render_template(template, page=page, unit=page.unit, parts=PARTS)
    rows = rows_of(page)
    body, kind = (as_xlsx(rows), XLSX) if form == "xlsx" else (as_csv(rows).encode(), "text/csv")
    said = f'attachment; filename="{part}-{name}.{form}"'
    return Response(body, content_type=kind, headers={"Content-Disposition": said})


@bp.post("/<theme>/<name>/supplies/closet")
def change(theme: str, name: str) -> ResponseReturnValue:
    """Takes out, puts back, takes away for good, or writes down what was counted."""
    place = Place(*(request.form.get(key, "") for key in ("item", "bin", "measure")))
    closet, do = _closet(request.form.get("room", "")), request.form.get("do", "")
    try:
        amount = _amount(zero=do == "count")
        if do == "count":
            line = closet.recount(place, amount, _number(request.form.get("seen", "")))
            flash(f"{place.item}: {line.amount} counted.")
        else:
            material = shelf().materials().find(place.item)
            line = closet.move(place, _move(do), amount, material.weight if material else None)
            flash(f"{place.item}: {do}. {line.shelved} in the bin, {line.amount} in all.")
    except (StaleFile, WrongUse, NotFound) as error:
        flash(f"{_sentence(error)}.")
    where = url_for("supplies.show", theme=theme, name=name, part="closet")
    return redirect(f"{where}#bin-{place.bin or 'none'}", 303)


@bp.post("/<theme>/<name>/supplies/counted")
def count(theme: str, name: str) -> ResponseReturnValue:
    """Lets the rooms that share the closet see what this unit takes, or no longer."""
    room, unit_id = _working_room(), f"{theme}/{name}"
    shelf().units.read(unit_id)
    units = [each for each in room.units if each != unit_id]
    if request.form.get("do") == "count":
        units.append(unit_id)
    shelf().rooms.save(replace(room, units=tuple(units)), make_current=False, was=room)
    return redirect(url_for("supplies.show", theme=theme, name=name), 303)


@bp.post("/<theme>/<name>/supplies/arrived")
def arrive(theme: str, name: str) -> ResponseReturnValue:
    """Puts away what arrived; a parcel that somebody else seems to have put away is asked about."""
    item, bin_ = request.form.get("item", ""), request.form.get("bin", "")
    back = request.form.get("part", "shopping")
    where = url_for(
        "supplies.show", theme=theme, name=name, part=back if back in PARTS else "shopping"
    )
    book = shelf().materials()
    material = book.find(item)
    try:
        line = _closet(_working_room().name).arrive(
            book.main_name(item),
            amount := _amount(),
            bin_,
            names=book.main_name,
            weight=material.weight if material else None,
            seen=request.form.get("seen"),
        )
    except StaleFile as error:
        unit = shelf().units.read(f"{theme}/{name}").unit
        asked = {key: request.form.get(key, "") for key in ("item", "amount", "bin", "part")}
        return render_template(
            "supplies/again.html", unit=unit, error=_sentence(error), asked=asked, back=where
        ), 409
    except WrongUse as error:
        flash(f"{_sentence(error)}.")
        return redirect(where, 303)
    place = f" in bin {line.bin}" if line.bin else ""
    flash(f"{item}: {amount} put away{place}; {line.amount} there now.")
    return redirect(where, 303)


def _working_room() -> Room:
    room = shelf().room()
    if room is None:
        raise WrongUse("no room is loaded, so there is no shelf; begin one at Room")
    return room


def _closet(name: str) -> Closet:
    """The stock of the room, or of one that shares its closet."""
    room = _working_room()
    known = {each.name for each in (room, *shelf().rooms.sharing(room))}
    if name not in known:
        raise WrongUse(f"'{name[:60]}' does not share this closet")
    return Closet(shelf().paths.database, name)


def _amount(*, zero: bool = False) -> Quantity:
    text = request.form.get("amount", "")
    try:
        return parse_quantity(text, zero=zero)
    except Unreadable as error:
        raise WrongUse(str(error)) from error


def _move(do: str) -> Move:
    try:
        return Move(do)
    except ValueError as error:
        raise WrongUse(f"found '{do[:40]}'; expected one of: {', '.join(Move)}") from error


def _number(text: str) -> Fraction:
    match = _SEEN.fullmatch(text)
    if match is None:
        raise WrongUse(f"found '{text[:40]}'; expected the number that was there, such as 3 or 7/2")
    return Fraction(text)


def _sentence(error: LibraryError) -> str:
    text = str(error)
    return text[:1].upper() + text[1:]
