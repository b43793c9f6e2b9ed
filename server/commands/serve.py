"""``lowshelf serve``."""

from __future__ import annotations

import os
import threading
import webbrowser

import click

from library.store.errors import WrongUse
from server.commands.common import Places, say, with_places
from server.settings import load_settings


@click.command("serve")
@click.option("--host", help="Address to listen on; 127.0.0.1 unless said.")
@click.option("--port", type=click.IntRange(1, 65535), help="Port to listen on; 8765 unless said.")
@click.option("--open", "open_browser", is_flag=True, help="Open the browser as well.")
@click.option(
    "--offer-demo", is_flag=True, help="Say how to load the example room, if there is none."
)
@with_places
def command(
    places: Places, host: str | None, port: int | None, open_browser: bool, offer_demo: bool
) -> int:
    """Serves the library until Ctrl-C."""
    from waitress import create_server

    from server import create_app

    settings = load_settings(places.paths, os.environ, host=host, port=port)
    if not settings.loopback:
        raise WrongUse(
            f"{settings.host} can be reached by others, and this library has no accounts yet; "
            "serve on 127.0.0.1 instead"
        )
    app = create_app(settings)
    try:
        server = create_server(app, host=settings.host, port=settings.port, threads=8, ident=None)
    except OSError as error:
        raise WrongUse(
            f"port {settings.port} is taken ({error.strerror}); choose another with --port"
        ) from error
    address = f"http://{settings.host}:{settings.port}"
    say(f"Lowshelf is open on {address}  (Ctrl-C ends it)")
    shelf = app.extensions["lowshelf"]
    shelf.start(say)
    if offer_demo and shelf.room() is None:
        say(
            f"No room is known yet. {address}/room offers the Fern Room, an example you can remove again."
        )
    if open_browser:
        threading.Timer(0.5, webbrowser.open, [address]).start()
    try:
        server.run()
    except KeyboardInterrupt:
        say("Closed.")
    finally:
        shelf.stop()
    return 0
