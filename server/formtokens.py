"""One token in the session, in every form, asked for by every change.

A page of another site can make a browser send a form here with its cookies, but cannot read the token.
The field is put into each form with ``method="post"`` when its template is compiled, so that nobody
who writes a form has to think of it; scripts that send forms of their own send it in a header.
"""

from __future__ import annotations

import hmac
import re
import secrets

from flask import Flask, abort, request, session
from jinja2 import TemplateSyntaxError
from jinja2.ext import Extension
from markupsafe import Markup
from werkzeug.datastructures import ImmutableMultiDict

from server.security import READING

FIELD, HEADER = "form_token", "X-Form-Token"
SEEN_AGAIN = "This page was opened before you signed in, or too long ago. Nothing was changed."
_FORM = re.compile(r"<form\b(?:\{\{.*?\}\}|\{%.*?%\}|[^>{]|\{(?![{%]))*>", re.DOTALL)
"""The opening tag of a form in a template, whatever is written into it."""
_WORKED_OUT = re.compile(r"""<form\b[^>]*\bmethod=["']?\{""")
"""A form of which the template alone does not say how it is sent."""


class FormTokens(Extension):
    """Puts the field into every form of a template that sends a change."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        """The source of a template with the field after each such form's opening tag.

        Raises:
            TemplateSyntaxError: If a form's method is worked out: it would have no field.
        """
        if worked_out := _WORKED_OUT.search(source):
            line = source.count("\n", 0, worked_out.start()) + 1
            raise TemplateSyntaxError("write out the method of this form", line, name, filename)
        return _FORM.sub(_with_field, source)


def ask_for_tokens(app: Flask) -> None:
    """Gives every form its token, and refuses changes without."""
    app.jinja_env.add_extension(FormTokens)
    app.jinja_env.globals.update(form_token=form_token, form_token_field=form_token_field)
    app.before_request(refuse_without_token)


def form_token() -> str:
    """The token of this session; made when the first form is shown."""
    if "token" not in session:
        session["token"] = secrets.token_urlsafe(32)
    token: str = session["token"]
    return token


def form_token_field() -> Markup:
    """The hidden field."""
    return Markup('<input type="hidden" name="{}" value="{}">').format(FIELD, form_token())


def refuse_without_token() -> None:
    """Refuses a change whose token is not the session's; routes never see the field."""
    if request.method in READING:
        return
    sent = request.headers.get(HEADER) or request.form.get(FIELD, "")
    kept = session.get("token", "")
    if FIELD in request.form:
        rest = [(key, value) for key, value in request.form.items(multi=True) if key != FIELD]
        request.form = ImmutableMultiDict(rest)
    if not kept or not hmac.compare_digest(sent.encode(), str(kept).encode()):
        abort(403, SEEN_AGAIN)


def _with_field(form: re.Match[str]) -> str:
    tag = form[0]
    return f"{tag}{{{{ form_token_field() }}}}" if 'method="post"' in tag.lower() else tag
