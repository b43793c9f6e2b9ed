"""Who wants it is asked for a code after the password; codes count once; nobody is locked out."""

import pytest

from library.accounts.accounts import Accounts, Caller, MustWait, NeedsCode, WrongPassword
from library.accounts.clockcodes import code_of, step_at
from library.accounts.people import Role
from library.accounts.secondstep import SPARE_CODES
from library.store.errors import NotFound, WrongUse

GOOD, OTHER = "lantern gravel otter nine", "otter nine gravel lantern"
HERE = Caller("10.0.0.1")


@pytest.fixture
def clock():
    class Clock:
        now = 1_800_000_000

        def __call__(self):
            return self.now

    return Clock()


@pytest.fixture
def database(tmp_path):
    return tmp_path / "rooms.sqlite3"


@pytest.fixture
def accounts(database, clock):
    return Accounts(database, clock)


@pytest.fixture
def lead(accounts):
    return accounts.accept(accounts.first_link(), "Ada", GOOD, HERE)[0]


@pytest.fixture
def phone(accounts, lead, clock):
    """What the lead's phone shows; the step is on, and the spare codes are beside it."""
    key = accounts.begin_second_step(lead, GOOD)

    def shown(later=0):
        return code_of(key, step_at(clock.now) + later)

    shown.spare = accounts.confirm_second_step(lead, shown(), 0)
    clock.now += 60
    return shown


def half_way(accounts, password=GOOD, caller=HERE):
    with pytest.raises(NeedsCode) as asked:
        accounts.sign_in("Ada", password, caller)
    return asked.value.half_way


def test_nothing_is_asked_for_until_a_code_was_typed(accounts, lead):
    accounts.begin_second_step(lead, GOOD)
    assert not accounts.second_step.is_on(lead.id)
    assert accounts.sign_in("Ada", GOOD, HERE)[0] == lead
    with pytest.raises(WrongPassword):
        accounts.confirm_second_step(lead, "000000x", 0)
    assert accounts.sign_in("Ada", GOOD, HERE)[0] == lead


def test_setting_it_up_and_taking_it_off_ask_for_the_password(accounts, lead, phone):
    for act in (
        lambda: accounts.begin_second_step(lead, "wrong"),
        lambda: accounts.end_second_step(lead, "wrong", 0),
    ):
        with pytest.raises(WrongPassword):
            act()
    with pytest.raises(WrongUse, match="already"):
        accounts.begin_second_step(lead, GOOD)
    assert accounts.second_step.is_on(lead.id)
    accounts.end_second_step(lead, GOOD, 0)
    assert accounts.sign_in("Ada", GOOD, HERE)[0] == lead


def test_the_password_alone_begins_no_session(accounts, lead, phone):
    before = len(accounts.sessions.of(lead.id))
    asked = half_way(accounts)
    assert len(accounts.sessions.of(lead.id)) == before
    person, secret = accounts.finish(asked, phone(), HERE)
    assert person == lead
    assert accounts.sessions.find(secret).person == lead


def test_a_code_counts_once(accounts, lead, phone, clock):
    code = phone()
    accounts.finish(half_way(accounts), code, HERE)
    with pytest.raises(WrongPassword, match="used already"):
        accounts.finish(half_way(accounts), code, HERE)
    clock.now += 30
    accounts.finish(half_way(accounts), phone(), HERE)


def test_a_code_that_came_before_a_used_one_counts_no_more(accounts, lead, phone):
    earlier, latest = phone(-1), phone(1)
    accounts.finish(half_way(accounts), latest, HERE)
    with pytest.raises(WrongPassword):
        accounts.finish(half_way(accounts), earlier, HERE)


def test_each_spare_code_counts_once_however_it_is_typed(accounts, lead, phone):
    assert len(set(phone.spare)) == SPARE_CODES
    first, second = phone.spare[0], phone.spare[1].replace("-", " ").upper()
    accounts.finish(half_way(accounts), first, HERE)
    with pytest.raises(WrongPassword):
        accounts.finish(half_way(accounts), first, HERE)
    accounts.finish(half_way(accounts), second, HERE)
    assert accounts.second_step.spare_left(lead.id) == SPARE_CODES - 2


def test_no_spare_code_stands_in_the_database(accounts, phone, database):
    kept = database.read_bytes()
    for code in phone.spare:
        assert code.encode() not in kept
        assert code.replace("-", "").encode() not in kept


def test_the_first_step_is_worth_nothing_after_a_while_or_another_password(
    accounts, lead, phone, clock
):
    asked = half_way(accounts)
    clock.now += 301
    with pytest.raises(NotFound, match="too long ago"):
        accounts.finish(asked, phone(), HERE)
    asked = half_way(accounts)
    accounts.change_password(lead, GOOD, OTHER, 0)
    with pytest.raises(NotFound):
        accounts.finish(asked, phone(), HERE)


def test_the_first_step_is_worth_nothing_once_the_account_is_closed(accounts, lead, phone):
    asked = half_way(accounts)
    accounts.staff.add("Bo", Role.LEAD, (), "no password")
    accounts.staff.end(lead.id)
    with pytest.raises(NotFound):
        accounts.finish(asked, phone(), HERE)
    accounts.staff.open_again(lead.id)
    assert not accounts.second_step.is_on(lead.id)


def test_guessing_codes_is_slowed_down_and_the_first_step_does_not_forgive(accounts, lead, phone):
    """ASVS 4.0.3, 2.2.1: an hour of guessing is a handful of tries."""
    stranger = Caller("10.6.6.6")
    for _ in range(5):
        with pytest.raises(WrongPassword):
            accounts.finish(half_way(accounts, caller=stranger), "000000x", stranger)
    with pytest.raises(MustWait):
        accounts.finish(half_way(accounts, caller=stranger), phone(), stranger)
    known = Caller("10.0.0.1", knows=lead.id)
    assert accounts.finish(half_way(accounts, caller=known), phone(), known)[0] == lead


def test_a_one_time_link_does_not_go_around_the_code(accounts, lead, phone):
    link = accounts.link_for("Ada")[1]
    with pytest.raises(NeedsCode) as asked:
        accounts.accept(link, "", OTHER, HERE)
    assert accounts.finish(asked.value.half_way, phone(), HERE)[0] == lead
    with pytest.raises(NotFound):
        accounts.accept(link, "", GOOD, HERE)


def test_it_can_be_taken_off_for_somebody_and_they_are_told(accounts, lead, phone):
    assert accounts.drop_second_step(lead, "Bo")
    assert not accounts.drop_second_step(lead, "Bo")
    said = [notice.said for notice in accounts.notices.of(lead.id, 0)]
    assert said == []
    session = accounts.sign_in("Ada", GOOD, HERE)[1]
    told = accounts.notices.of(lead.id, accounts.sessions.find(session).id)
    assert "Bo took it off" in told[0].said
    assert accounts.audit.latest()[1].did == "took the code at sign-in off the account of Ada"


def test_who_signs_in_often_from_one_address_never_waits(accounts, lead):
    """What did not fail does not count as a failure of the address."""
    for _ in range(45):
        accounts.sign_in("Ada", GOOD, HERE)
