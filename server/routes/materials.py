"""Materials: what things are like, where they are, and what nobody has measured yet."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.materials.allergen_lists import BOTH_LISTS, FILE, US_ALONE
from library.materials.allergens import name_of
from library.materials.measuring import FILE as MATERIALS
from library.store.atomic import create_file, replace_file
from library.store.errors import Invalid, NameTaken, StaleFile
from library.store.locks import one_writer
from library.store.problems import Unreadable
from server.materialpage import (
    WHY_NOT_LOOSE,
    MaterialPage,
    Typed,
    TypedLabel,
    find_material,
    label_of,
    material_page,
    materials_page,
    measured_of,
)
from server.naming import ask_about, named_children
from server.security import keep_out_of_caches
from server.shelf import shelf
from server.visitors import who_saves

bp = Blueprint("materials", __name__, url_prefix="/materials")
bp.after_request(keep_out_of_caches)


@bp.get("")
def index() -> str:
    """Every material, those to be measured first."""
    return render_template("materials/index.html", page=materials_page(request.args.get("q", "")))


@bp.post("/lists")
def choose_lists() -> ResponseReturnValue:
    """Reads the European Union's list of allergens too, or no longer."""
    here, eu = shelf(), bool(request.form.get("eu"))
    path, mark = here.paths.activities / "allergens.yaml", request.form.get("mark", "")
    content = (BOTH_LISTS if eu else US_ALONE).encode()
    try:
        with one_writer(here.paths.write_lock):
            if mark:
                replace_file(path, content, expected=mark)
            else:
                create_file(path, content)
    except (StaleFile, NameTaken):
        flash("Someone changed the lists meanwhile. Nothing was changed; look at them again.")
        return redirect(f"{url_for('materials.index')}#lists", 303)
    note = "the European list of allergens is read too" if eu else "only the US list is read"
    here.history.record([FILE], note, who_saves())
    flash(f"{note[:1].upper()}{note[1:]} from now on.")
    return redirect(f"{url_for('materials.index')}#lists", 303)


@bp.get("/<name>")
def show(name: str) -> str:
    """One material: its size in the cylinder, where it lies, which cards use it."""
    return _shown(material_page(name))


@bp.post("/<name>")
def measure(name: str) -> ResponseReturnValue:
    """Writes down what was measured; what cannot be read comes back with what was typed."""
    material, form = find_material(name), request.form
    shape = " ".join(form.get("shape", "").split())
    typed = Typed(
        shape,
        form.get("loose", ""),
        bool(form.get("soft")),
        form.get("kind", ""),
        form.get("why", ""),
    )
    status = 422
    try:
        measured = measured_of(typed)
        shelf().cards.measure(material.item, measured, expected=form.get("fingerprint", ""))
    except StaleFile:
        wrong, status = "someone changed the list of materials meanwhile; look, and save again", 409
    except Unreadable as error:
        wrong = f"{error}; {error.fix}" if error.fix else str(error)
    except Invalid as error:
        wrong = str(error)
    else:
        note = (
            f"{material.item}: {'measured' if measured.loose else f'no loose piece, {typed.why}'}"
        )
        _keep(note)
        flash(f"{material.item}: written down.")
        return redirect(url_for("materials.show", name=name), 303)
    page = material_page(name, typed, wrong)
    return _shown(page), status


@bp.post("/<name>/label")
def state_label(name: str) -> ResponseReturnValue:
    """Writes down what the label of a material names, or that nobody has read it."""
    material, form = find_material(name), request.form
    typed = TypedLabel(
        form.get("label", ""), tuple(form.getlist("allergens")), form.get("other", "").strip()
    )
    status = 422
    try:
        named = label_of(typed)
        if asked := named_children(form, {"other": typed.other}):
            return ask_about(asked, url_for("materials.show", name=name))
        shelf().cards.state_label(material.item, named, expected=form.get("fingerprint", ""))
    except StaleFile:
        wrong, status = "someone changed the list of materials meanwhile; look, and save again", 409
    except Unreadable as error:
        wrong = error.fix
    except Invalid as error:
        wrong = str(error)
    else:
        _keep(f"{material.item}: its label {_in_words(named)}")
        flash(f"{material.item}: written down.")
        return redirect(url_for("materials.show", name=name), 303)
    return _shown(material_page(name, label=typed, label_wrong=wrong)), status


def _in_words(named: tuple[str, ...] | None) -> str:
    if named is None:
        return "is not read yet"
    return f"names {', '.join(map(name_of, named)) or 'none of the allergens'}"


def _keep(note: str) -> None:
    """Keeps the changed file of materials as a version, and follows it."""
    shelf().history.record([MATERIALS], note, who_saves())
    shelf().refresh_files([MATERIALS])


def _shown(page: MaterialPage) -> str:
    return render_template("materials/show.html", page=page, why_not_loose=WHY_NOT_LOOSE)
