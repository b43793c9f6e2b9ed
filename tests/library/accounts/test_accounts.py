"""Coming in, staying in, and being kept out."""

import datetime as dt
import sqlite3
import stat
import threading

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.accounts import passwords, sessions
from library.accounts.accounts import Accounts, Caller, MustWait, WrongPassword
from library.accounts.invitations import LASTS
from library.accounts.people import Role
from library.accounts.waiting import LONGEST_WAIT, seconds_left, wait_after
from library.room.rooms import Rooms
from library.store.errors import Invalid, NameTaken, NotFound, WrongUse
from tests.builders import a_room

GOOD = "lantern gravel otter nine"
HERE = Caller("192.168.1.20")


class Clock:
    """A clock that goes on only when told to."""

    def __init__(self):
        self.now = 1_790_000_000

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def database(tmp_path):
    path = tmp_path / "data" / "lowshelf.sqlite3"
    rooms = Rooms(path)
    rooms.save(a_room())
    rooms.save(a_room(name="Moss Room"), make_current=False)
    return path


@pytest.fixture
def accounts(database, clock):
    return Accounts(database, clock)


@pytest.fixture
def lead(accounts):
    return accounts.accept(accounts.first_link(), "Ada", GOOD, HERE)[0]


def join(accounts, name, role=Role.CONTRIBUTOR, rooms=("Fern Room",)):
    return accounts.accept(accounts.invitations.invite(name, role, rooms), name, GOOD, HERE)[0]


def test_the_first_link_makes_a_lead_once(accounts):
    link = accounts.first_link()
    person, secret = accounts.accept(link, "Ada", GOOD, HERE)
    assert person.is_lead
    assert accounts.sessions.find(secret).person == person
    with pytest.raises(NotFound, match="used already"):
        accounts.accept(link, "Eve", GOOD, HERE)
    assert accounts.first_link() is None


def test_only_the_newest_first_link_counts(accounts):
    old, new = accounts.first_link(), accounts.first_link()
    with pytest.raises(NotFound):
        accounts.accept(old, "Ada", GOOD, HERE)
    assert accounts.accept(new, "Ada", GOOD, HERE)[0].is_lead


def test_an_invitation_carries_role_and_rooms_and_ends(accounts, lead, clock):
    person = join(accounts, "Bo", Role.READER, ("Moss Room", "No Room"))
    assert (person.role, person.rooms) == (Role.READER, ("Moss Room",))
    link = accounts.invitations.invite("Cy", Role.READER, ())
    clock.now += LASTS["join"]
    with pytest.raises(NotFound):
        accounts.accept(link, "Cy", GOOD, HERE)
    assert accounts.invitations.waiting() == []


def test_a_link_that_was_not_used_well_can_be_used_again(accounts, lead):
    link = accounts.invitations.invite("Bo", Role.READER, ())
    with pytest.raises(Invalid):
        accounts.accept(link, "Bo", "short", HERE)
    with pytest.raises(NameTaken):
        accounts.accept(link, " aDA ", GOOD, HERE)
    with pytest.raises(Invalid):
        accounts.accept(link, "  ", GOOD, HERE)
    assert accounts.accept(link, "Bo", GOOD, HERE)[0].name == "Bo"


def test_signing_in_asks_for_both(accounts, lead):
    person, secret = accounts.sign_in("ADA", GOOD, HERE)
    assert person == lead
    assert accounts.sessions.find(secret).person == lead
    for name, password in (("Ada", GOOD + "."), ("Ada", ""), ("Nobody", GOOD), ("", "")):
        with pytest.raises(WrongPassword) as refused:
            accounts.sign_in(name, password, HERE)
        assert str(refused.value).startswith("Name and password do not belong together")


@pytest.mark.parametrize(
    ("seconds", "alive"),
    [(0, True), (sessions.IDLE, True), (sessions.IDLE + 1, False)],
)
def test_a_session_ends_when_it_is_not_used(accounts, lead, clock, seconds, alive):
    secret = accounts.sign_in("Ada", GOOD, HERE)[1]
    clock.now += seconds
    assert (accounts.sessions.find(secret) is not None) is alive


def test_a_session_ends_after_a_while_however_much_it_is_used(accounts, lead, clock):
    secret = accounts.sign_in("Ada", GOOD, HERE)[1]
    began = clock.now
    while accounts.sessions.find(secret):
        clock.now += 3600
    assert sessions.LONGEST < clock.now - began <= sessions.LONGEST + 3600


def test_a_tablet_stays_longer_and_belongs_to_one_room(accounts, lead, clock):
    code = accounts.invitations.pair_tablet("Shelf", "Fern Room")
    secret = accounts.pair(code.replace(" ", "-"), HERE)
    clock.now += sessions.TABLET_IDLE
    shown = accounts.sessions.find(secret)
    assert (shown.person, shown.tablet, shown.rooms) == (None, "Shelf", ("Fern Room",))
    with pytest.raises(NotFound):
        accounts.pair(code, HERE)
    clock.now += sessions.TABLET_IDLE + 1
    assert accounts.sessions.find(secret) is None


def test_a_code_ends_within_minutes_and_cannot_be_guessed_in_that_time(accounts, lead, clock):
    """Codes have eight digits; the tries that fit into a quarter of an hour are counted."""
    code = accounts.invitations.pair_tablet("Shelf", "Fern Room")
    wrong = "0000 0000" if code != "0000 0000" else "1111 1111"
    tries, end = 0, clock.now + LASTS["tablet"]
    while clock.now < end:
        caller = Caller(f"10.0.{tries % 250}.{tries // 250}")
        try:
            accounts.pair(wrong, caller)
        except MustWait as wait:
            clock.now += wait.seconds
        except NotFound:
            tries += 1
    assert tries < 40
    with pytest.raises(NotFound):
        accounts.pair(code, Caller("10.9.9.9"))


def test_signing_out_everywhere_leaves_only_what_was_said(accounts, lead):
    secrets = [accounts.sign_in("Ada", GOOD, HERE)[1] for _ in range(3)]
    kept = accounts.sessions.find(secrets[1])
    accounts.sessions.end_all(lead.id, but=kept.id)
    assert [accounts.sessions.find(each) is not None for each in secrets] == [False, True, False]


def test_another_password_needs_the_old_one_and_ends_the_other_sessions(accounts, lead):
    here, there = (accounts.sign_in("Ada", GOOD, HERE)[1] for _ in range(2))
    number = accounts.sessions.find(here).id
    with pytest.raises(WrongPassword):
        accounts.change_password(lead, "something else", "gravel otter lantern ten", number)
    with pytest.raises(Invalid):
        accounts.change_password(lead, GOOD, GOOD, number)
    accounts.change_password(lead, GOOD, "gravel otter lantern ten", number)
    assert accounts.sessions.find(here)
    assert accounts.sessions.find(there) is None
    with pytest.raises(WrongPassword):
        accounts.sign_in("Ada", GOOD, HERE)


def test_a_closed_account_lets_nobody_in_by_any_way(accounts, lead):
    bo = join(accounts, "Bo")
    session = accounts.sign_in("Bo", GOOD, HERE)[1]
    link = accounts.link_for("Bo")[1]
    accounts.staff.end(bo.id)
    assert accounts.sessions.find(session) is None
    with pytest.raises(WrongPassword):
        accounts.sign_in("Bo", GOOD, HERE)
    with pytest.raises(NotFound):
        accounts.accept(link, "Bo", GOOD, HERE)
    with pytest.raises(NotFound):
        accounts.link_for("Bo")
    accounts.staff.open_again(bo.id)
    with pytest.raises(WrongPassword):
        accounts.sign_in("Bo", GOOD, HERE)


def test_somebody_who_decides_is_always_left(accounts, lead):
    with pytest.raises(WrongUse, match="only lead"):
        accounts.staff.end(lead.id)
    with pytest.raises(WrongUse, match="only lead"):
        accounts.staff.change(lead.id, Role.READER, ())
    second = join(accounts, "Bo", Role.LEAD)
    accounts.staff.change(lead.id, Role.READER, ())
    with pytest.raises(WrongUse):
        accounts.staff.end(second.id)


def test_a_stranger_who_keeps_trying_does_not_keep_the_lead_out(accounts, lead, clock):
    """In a browser that knows her she waits for her own slips alone; else a link from the terminal."""
    for number in range(400):
        with pytest.raises((WrongPassword, MustWait)):
            accounts.sign_in("Ada", "wrong " + GOOD, Caller(f"10.1.{number % 200}.7"))
        clock.now += 1
    with pytest.raises(MustWait):
        accounts.sign_in("Ada", GOOD, HERE)
    assert accounts.sign_in("Ada", GOOD, Caller(HERE.address, knows=lead.id))[0] == lead
    person, link = accounts.link_for()
    assert accounts.accept(link, "", "gravel otter lantern ten", HERE)[0] == person == lead


def test_an_hour_of_guessing_one_name_is_a_handful_of_tries(accounts, lead, clock):
    """ASVS 4.0.3, 2.2.1: no more than 100 failed tries an hour on one account."""
    tries, end = 0, clock.now + 3600
    while clock.now < end:
        try:
            accounts.sign_in("Ada", "wrong", Caller(f"10.{tries % 250}.0.1"))
        except WrongPassword:
            tries += 1
        except MustWait as wait:
            clock.now += wait.seconds
    assert tries <= 20


def test_waiting_is_the_same_for_a_name_that_nobody_has(accounts, lead, clock):
    def told(name):
        said = []
        for number in range(9):
            try:
                accounts.sign_in(name, "wrong", Caller(f"10.2.{number}.{len(name)}"))
            except (WrongPassword, MustWait) as refused:
                said.append(str(refused))
        return said

    assert told("Ada") == told("Eve Nobody")


def test_a_one_time_link_ends_what_was_there_before(accounts, lead):
    before = accounts.sign_in("Ada", GOOD, HERE)[1]
    first, second = accounts.link_for()[1], accounts.link_for()[1]
    with pytest.raises(NotFound):
        accounts.accept(first, "", "gravel otter lantern ten", HERE)
    accounts.accept(second, "", "gravel otter lantern ten", HERE)
    assert accounts.sessions.find(before) is None


def test_no_password_link_code_or_session_stands_in_the_database(accounts, lead, database):
    link = accounts.invitations.invite("Bo", Role.READER, ())
    code = accounts.invitations.pair_tablet("Shelf", "Fern Room")
    session = accounts.sign_in("Ada", GOOD, HERE)[1]
    kept = database.read_bytes()
    for secret in (GOOD, link.split(".")[1], session.split(".")[1], code, code.replace(" ", "")):
        assert secret.encode() not in kept
    assert b"$argon2id$v=19$m=65536,t=3,p=4$" in kept
    assert stat.S_IMODE(database.stat().st_mode) == 0o600


def test_the_list_tells_who_did_what_and_forgets_after_a_year(accounts, lead, clock):
    with pytest.raises(WrongPassword):
        accounts.sign_in("Ada", "wrong", HERE)
    accounts.audit.note("Ada", "a line\nwith a break")
    said = [(entry.who, entry.did) for entry in accounts.audit.latest()]
    assert said[0] == ("Ada", "a line with a break")
    assert ("", "failed to sign in as Ada") in said
    clock.now += 401 * 86_400
    accounts.audit.note("Ada", "later")
    assert [entry.did for entry in accounts.audit.latest()] == ["later"]
    assert accounts.audit.latest()[0].at == dt.datetime.fromtimestamp(clock.now, dt.UTC)


@pytest.mark.parametrize(
    "forged", ["", "1", "1.", ".x", "1.x", "x.y", "9" * 40 + ".x", "1.x.y", "-1.x", "²." + "x"]
)
def test_a_forged_session_or_link_is_just_none(accounts, lead, forged):
    assert accounts.sessions.find(forged) is None
    with pytest.raises(NotFound):
        accounts.invitations.find(forged)


def test_a_removed_room_leaves_its_staff_without_it(accounts, lead, database):
    bo = join(accounts, "Bo")
    with sqlite3.connect(database) as connection:
        connection.execute("PRAGMA foreign_keys=ON")
        connection.execute("DELETE FROM room WHERE name='Fern Room'")
    assert accounts.staff.get(bo.id).rooms == ()


@pytest.mark.parametrize(
    ("password", "fine"),
    [
        ("short", False),
        ("a" * 129, False),
        ("aaaaaaaaaaaa", False),
        ("password1234", False),
        ("qwertyuiop12", False),
        ("123456789012", False),
        ("lovelace2024", False),
        ("correct horse battery staple", True),
        ("  drei Äpfel, zwei Bäume  ", True),
        ("🦊🍂🌧️🪵🧺🕯️🫖🧶🪁🐚🧦🍵", True),
    ],
)
def test_long_and_unusual_is_all_that_is_asked(password, fine):
    """ASVS 4.0.3, 2.1: 12 to 128 signs of any kind, no rules of composition, no common ones."""
    assert (passwords.password_problems(password, ("Ada", "Lovelace")) == []) is fine


def test_nothing_of_a_long_password_is_cut_off():
    kept = passwords.keep_password("x" * 127 + "y")
    assert passwords.is_password("x" * 127 + "y", kept)
    assert not passwords.is_password("x" * 127 + "z", kept)
    assert not passwords.is_password("x" * 129, kept)


@settings(max_examples=200)
@given(st.integers(0, 10_000), st.integers(0, 10**6), st.integers(-(10**6), 10**6))
def test_no_wait_is_longer_than_a_quarter_of_an_hour(failures, last, since):
    """Also where the clock was set back."""
    assert 0 <= seconds_left(failures, last, last + since) <= LONGEST_WAIT
    assert wait_after(failures) <= wait_after(failures + 1)


def test_two_who_take_one_name_in_the_same_moment_are_told(accounts, lead):
    """The name is free when it is looked at, and taken when it is written."""
    begun, told = threading.Barrier(6), []

    def add():
        begun.wait()
        try:
            accounts.staff.add("Bo", Role.READER, (), "no password")
            told.append("added")
        except NameTaken:
            told.append("taken")

    threads = [threading.Thread(target=add) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(told) == ["added"] + ["taken"] * 5


def test_many_at_the_door_in_one_moment_all_get_an_answer(accounts, lead):
    """No database that is locked for a moment becomes a failure."""
    secret, wrong = accounts.sign_in("Ada", GOOD, HERE)[1], []

    def come(number):
        try:
            for _ in range(4):
                assert accounts.sessions.find(secret) is not None
                accounts.audit.note("Ada", f"did {number}")
                accounts.notices.tell(lead.id, f"change {number}")
                accounts.sessions.end(int(accounts.sessions.begin(lead.id).split(".")[0]))
        except Exception as error:
            wrong.append(repr(error))

    threads = [threading.Thread(target=come, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
