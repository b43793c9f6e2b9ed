"""Somebody whose way to sign in was changed is told in every browser but the one that did it."""

import pytest

from library.accounts.accounts import Accounts, Caller
from library.accounts.notices import MOST

GOOD, OTHER = "lantern gravel otter nine", "otter nine gravel lantern"
HERE = Caller("10.0.0.1")


@pytest.fixture
def accounts(tmp_path):
    return Accounts(tmp_path / "rooms.sqlite3", clock=lambda: 1_800_000_000)


@pytest.fixture
def lead(accounts):
    return accounts.accept(accounts.first_link(), "Ada", GOOD, HERE)[0]


def number(secret):
    return int(secret.split(".")[0])


def told(accounts, lead, session):
    return [notice.said for notice in accounts.notices.of(lead.id, session)]


def test_a_changed_password_is_told_elsewhere_until_it_was_seen(accounts, lead):
    here = number(accounts.sign_in("Ada", GOOD, HERE)[1])
    accounts.change_password(lead, GOOD, OTHER, here)
    there = number(accounts.sign_in("Ada", OTHER, HERE)[1])
    assert told(accounts, lead, here) == []
    assert told(accounts, lead, there) == ["your password was changed on the page of your account"]
    accounts.notices.seen(lead.id, here)
    assert len(told(accounts, lead, there)) == 1
    accounts.notices.seen(lead.id, there)
    assert told(accounts, lead, there) == []


def test_a_session_that_got_the_number_of_the_one_that_did_it_is_told_all_the_same(accounts, lead):
    here = number(accounts.sign_in("Ada", GOOD, HERE)[1])
    accounts.change_password(lead, GOOD, OTHER, here)
    accounts.sessions.end(here)
    later = [number(accounts.sign_in("Ada", OTHER, HERE)[1]) for _ in range(2)]
    assert here in later
    assert [len(told(accounts, lead, session)) for session in later] == [1, 1]


@pytest.mark.parametrize(("by", "named"), [("Bo", "Bo"), ("", "somebody at the computer itself")])
def test_a_one_time_link_tells_who_made_it(accounts, lead, by, named):
    link = accounts.invitations.let_in(lead.id, lead.name, lead.role, by)
    used = number(accounts.accept(link, "", OTHER, HERE)[1])
    assert told(accounts, lead, used) == []
    there = number(accounts.sign_in("Ada", OTHER, HERE)[1])
    assert told(accounts, lead, there) == [
        f"your password was changed by a one-time link that {named} made"
    ]


def test_only_the_latest_are_kept_and_others_see_none(accounts, lead):
    for each in range(MOST + 5):
        accounts.notices.tell(lead.id, f"change {each}")
    assert told(accounts, lead, 7)[0] == f"change {MOST + 4}"
    assert len(told(accounts, lead, 7)) == MOST
    assert accounts.notices.of(lead.id + 1, 7) == []
