"""How a tablet comes to trust this server's certificate."""

from __future__ import annotations

from flask import Blueprint, Response, render_template

from library.store.errors import NotFound
from server.certificate import read_authority
from server.shelf import shelf

bp = Blueprint("trust", __name__, url_prefix="/trust")
MEDIA_TYPE = "application/x-x509-ca-cert"
"""What phones and tablets open their own dialogue for."""


@bp.get("")
def show() -> str:
    """What to do on each kind of device, and how to see that it is the right certificate."""
    return render_template("trust/show.html", authority=read_authority(shelf().paths.data))


@bp.get("/lowshelf.crt")
def certificate() -> Response:
    """The certificate to be trusted; it is no secret."""
    authority = read_authority(shelf().paths.data)
    if authority is None:
        raise NotFound("this server speaks no https, so there is nothing to trust")
    answer = Response(authority.der, mimetype=MEDIA_TYPE)
    answer.headers["Content-Disposition"] = 'attachment; filename="lowshelf.crt"'
    return answer
