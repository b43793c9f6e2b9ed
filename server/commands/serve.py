"""``lowshelf serve``."""

from __future__ import annotations

import os
import threading
import webbrowser
from typing import TYPE_CHECKING

import click

from library.store.errors import WrongUse
from server.commands.common import Places, say, with_places
from server.settings import Settings, load_settings

if TYPE_CHECKING:
    from server.shelf import Shelf


@click.command("serve")
@click.option("--host", help="Address to listen on; 127.0.0.1 unless said. 0.0.0.0: every one.")
@click.option("--port", type=click.IntRange(1, 65535), help="Port to listen on; 8765 unless said.")
@click.option(
    "--https", is_flag=True, default=None, help="Speak https with a certificate made here."
)
@click.option(
    "--without-https",
    is_flag=True,
    help="Let others in without https, though passwords then travel open.",
)
@click.option("--open", "open_browser", is_flag=True, help="Open the browser as well.")
@click.option(
    "--offer-demo", is_flag=True, help="Say how to load the example room, if there is none."
)
@with_places
def command(
    places: Places,
    host: str | None,
    port: int | None,
    https: bool | None,
    without_https: bool,
    open_browser: bool,
    offer_demo: bool,
) -> int:
    """Serves the library until Ctrl-C."""
    from server import create_app
    from server.addresses import address_of
    from server.listening import listen

    settings = load_settings(places.paths, os.environ, host=host, port=port, https=https)
    refuse_open_passwords(settings, without_https=without_https)
    app = create_app(settings)
    address, shelf = address_of(settings), app.extensions["lowshelf"]
    say(f"Lowshelf opens on {address}  (Ctrl-C ends it)")
    if settings.https:
        say_certificate(settings, address)
    if not settings.loopback:
        say_first_link(shelf, address)
    shelf.start(say)
    if offer_demo and shelf.room() is None:
        say(
            f"No room is known yet. {address}/room offers the Fern Room, an example you can remove again."
        )
    if open_browser:
        threading.Timer(0.5, webbrowser.open, [address]).start()
    try:
        listen(app, settings)
    except KeyboardInterrupt:
        pass
    finally:
        shelf.stop()
    say("Closed.")
    return 0


def refuse_open_passwords(settings: Settings, *, without_https: bool) -> None:
    """Refuses to let others in without https, unless that was asked for; says what it means.

    Raises:
        WrongUse: If others can reach the server, it speaks no https, and the flag is missing.
    """
    if settings.loopback or settings.https:
        return
    plainly = (
        f"{settings.host} can be reached by others in this network. Without https everybody there "
        "can read the passwords that are typed, and what is said of children."
    )
    if not without_https:
        raise WrongUse(
            f"{plainly} Start it with --https; where you are sure of the network, with --without-https"
        )
    say(f"Careful: {plainly} --https locks it.")


def say_certificate(settings: Settings, address: str) -> None:
    """Makes the certificate and says by which signs a tablet can know it."""
    import datetime as dt

    from server.addresses import own_names
    from server.certificate import make_certificates, read_authority

    make_certificates(settings.paths.data, own_names(settings), dt.datetime.now(dt.UTC))
    authority = read_authority(settings.paths.data)
    assert authority is not None
    say(f"Tablets warn until they trust its certificate; {address}/trust tells how. Its signs are")
    say(f"  {authority.fingerprint}")


def say_first_link(shelf: Shelf, address: str) -> None:
    """Says the one-time link that makes the lead's account, where there is no lead yet."""
    link = shelf.accounts.first_link()
    if link is not None:
        say("Nobody has an account yet. This link makes the lead's, once, within a week:")
        say(f"  {address}/join?link={link}")
