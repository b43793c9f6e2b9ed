"""Whether the server is ready, for scripts that wait for it."""

from __future__ import annotations

from flask import Blueprint, jsonify
from flask.typing import ResponseReturnValue

from server.shelf import shelf

bp = Blueprint("status", __name__, url_prefix="/api")


@bp.get("/status")
def show() -> ResponseReturnValue:
    """How far the reading of cards has come."""
    state = shelf().reading
    return jsonify(ready=state.ready, read=state.done, total=state.total)
