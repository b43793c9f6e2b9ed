"""Materials: what things are like, where they are, and what nobody has measured yet."""

from __future__ import annotations

from flask import Blueprint, render_template, request

from server.materialpage import material_page, materials_page

bp = Blueprint("materials", __name__, url_prefix="/materials")


@bp.get("")
def index() -> str:
    """Every material, those to be measured first."""
    return render_template("materials/index.html", page=materials_page(request.args.get("q", "")))


@bp.get("/<name>")
def show(name: str) -> str:
    """One material: its size in the cylinder, where it lies, which cards use it."""
    return render_template("materials/show.html", page=material_page(name))
