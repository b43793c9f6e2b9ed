"""The Flask app and the command line: they translate, the library decides."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from server.settings import Settings


def create_app(settings: Settings) -> Flask:
    """An app over one library. Wiring only.

    Args:
        settings: Where the library lies and how the server is reached.
    """
    from flask import Flask

    from library.accounts.sessions import TABLET_LONGEST
    from server.accesslog import keep_log
    from server.addresses import own_names
    from server.errors import register_errors
    from server.figures import WholeNumber
    from server.formtokens import ask_for_tokens
    from server.limiting import Buckets, limit_requests
    from server.pages import prepare_templates
    from server.routes import blueprints
    from server.security import guard
    from server.shelf import Shelf
    from server.visitors import watch_the_door

    app = Flask("server")
    app.config.update(
        SECRET_KEY=settings.secret,
        MAX_CONTENT_LENGTH=2_000_000,
        SESSION_COOKIE_NAME=settings.cookie,
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SECURE=settings.https,
        PERMANENT_SESSION_LIFETIME=TABLET_LONGEST,
    )
    app.json.sort_keys = False  # type: ignore[attr-defined]
    app.extensions["lowshelf"] = Shelf(settings)
    if not settings.loopback:
        limit_requests(app, Buckets())
    guard(app, own_names(settings), alone=settings.loopback)
    keep_log(app, settings.paths.data / "access.log")
    watch_the_door(app)
    ask_for_tokens(app)
    register_errors(app)
    prepare_templates(app)
    app.url_map.converters["int"] = WholeNumber
    for blueprint in blueprints():
        app.register_blueprint(blueprint)
    return app
