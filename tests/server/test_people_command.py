"""``lowshelf people``: what still works when nobody can sign in."""

import json
import re

import pytest

from library.accounts.accounts import Accounts, Caller, WrongPassword
from library.store.errors import NotFound
from server.cli import lowshelf

GOOD = "lantern gravel otter nine"
HERE = Caller("10.0.0.1")


@pytest.fixture
def run(paths):
    """Runs the command over the library of one card."""
    from click.testing import CliRunner

    places = ["--library", str(paths.folder), "--data", str(paths.data)]

    def run(*words):
        return CliRunner().invoke(lowshelf, ["people", *words, *places], standalone_mode=False)

    return run


def secret_in(done):
    return re.search(r"link=(\S+)", done.stdout)[1]


def test_the_first_link_comes_from_the_terminal_too(run, paths):
    done = run("link")
    person, _ = Accounts(paths.database).accept(secret_in(done), "Ada", GOOD, HERE)
    assert person.is_lead
    assert "http://127.0.0.1:8765/join?link=" in done.stdout


def test_a_lead_who_lost_the_password_comes_in_by_a_new_link(run, paths):
    accounts = Accounts(paths.database)
    accounts.accept(accounts.first_link(), "Ada", GOOD, HERE)
    for _ in range(5):
        with pytest.raises(WrongPassword):
            accounts.sign_in("Ada", "wrong", HERE)
    done = run("link", "--address", "https://shelf.local:8765/")
    assert done.stdout.startswith("https://shelf.local:8765/join?link=")
    other = "otter nine lantern gravel"
    assert accounts.accept(secret_in(done), "", other, HERE)[0].name == "Ada"
    assert accounts.sign_in("Ada", other, HERE)[0].name == "Ada"


def test_somebody_who_is_not_there_gets_no_link(run, paths):
    accounts = Accounts(paths.database)
    accounts.accept(accounts.first_link(), "Ada", GOOD, HERE)
    done = run("link", "Bo")
    assert isinstance(done.exception, NotFound)
    assert "there is: Ada" in str(done.exception)


def test_the_list_says_who_may_come_in(run, paths):
    assert run("list").stdout == "Nobody has an account yet.\n"
    accounts = Accounts(paths.database)
    accounts.accept(accounts.first_link(), "Ada", GOOD, HERE)
    assert run("list").stdout == "Ada  lead\n"
    said = json.loads(run("list", "--json").stdout)
    assert said == {"people": [{"name": "Ada", "role": "lead", "rooms": [], "ended": False}]}
