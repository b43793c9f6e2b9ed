"""``lowshelf people``: who has an account, and a one-time link when nobody else can help."""

from __future__ import annotations

import os

import click

from library.store.errors import WrongUse
from server.commands.common import Places, group_of, say, with_places
from server.settings import load_settings


@group_of("people")
def command() -> None:
    """List who may come in, make a one-time link, or take a code off."""


@command.command("list")
@with_places
def list_people(places: Places) -> int:
    """Lists everybody with an account."""
    from library.accounts.accounts import Accounts

    people = Accounts(places.paths.database).staff.everyone()
    rows = [
        {"name": p.name, "role": p.role.value, "rooms": list(p.rooms), "ended": p.ended}
        for p in people
    ]
    lines = [
        f"{p.name}  {'closed' if p.ended else p.role.value}  {', '.join(p.rooms)}".rstrip()
        for p in people
    ]
    places.answer({"people": rows}, lines or ["Nobody has an account yet."])
    return 0


@command.command("link")
@click.argument("name", required=False, default="")
@click.option("--address", help="Where the server is reached, such as https://192.168.1.20:8765.")
@with_places
def link(places: Places, name: str, address: str | None) -> int:
    """Makes a one-time link for NAME; for the first lead unless said.

    Whoever can run this on the computer itself can always come in this way.
    """
    from library.accounts.accounts import Accounts
    from server.addresses import address_of

    accounts = Accounts(places.paths.database)
    made = accounts.link_for(name)
    if made is None:
        first = accounts.first_link()
        if first is None:
            raise WrongUse("there is no lead to make a link for")
        who, secret, about = "", first, "It makes the lead's account, once, within a week"
    else:
        who, secret = made[0].name, made[1]
        about = f"It sets another password for {who}, once, within a day"
    start = address or address_of(load_settings(places.paths, os.environ))
    url = f"{start.rstrip('/')}/join?link={secret}"
    places.answer({"person": who, "link": url}, [url])
    say(f"{about}. If the server is reached under another address, change the link's beginning.")
    return 0


@command.command("without-code")
@click.argument("name")
@with_places
def without_code(places: Places, name: str) -> int:
    """Asks NAME for no code any more at sign-in; for when the phone is lost.

    Whoever can run this on the computer itself can always come in this way, with the password or with
    a link that ``lowshelf people link`` makes.
    """
    from library.accounts.accounts import Accounts

    accounts = Accounts(places.paths.database)
    person = accounts.with_account(name)
    was = accounts.drop_second_step(person)
    said = "No code is asked of {} any more." if was else "No code was asked of {}."
    places.answer({"person": person.name, "code": False, "was": was}, [said.format(person.name)])
    return 0
