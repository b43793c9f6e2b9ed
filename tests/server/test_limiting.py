"""Who asks for far more than a person could is slowed down, and nobody else."""

from functools import partial

import pytest

from library.accounts.people import Role
from server import create_app
from server.limiting import AT_ONCE, MOST_ADDRESSES, Buckets
from server.settings import load_settings
from tests.server.browsing import browser_at
from tests.server.pages import words
from tests.server.visiting import open_house, signed_in, stranger


@pytest.fixture
def now():
    return [1000.0]


@pytest.fixture
def buckets(now):
    return Buckets(at_once=10, a_second=2.0, clock=lambda: now[0])


def test_a_bucket_empties_says_how_long_and_fills_again(buckets, now):
    assert [buckets.take("10.0.0.1") for _ in range(11)] == [0] * 10 + [1]
    assert buckets.take("10.0.0.2") == 0
    now[0] += 0.4
    assert buckets.take("10.0.0.1") == 1
    now[0] += 0.1
    assert buckets.take("10.0.0.1") == 0
    now[0] += 3600
    assert [buckets.take("10.0.0.1") for _ in range(11)] == [0] * 10 + [1]


def test_many_addresses_fill_no_memory(buckets, now):
    for number in range(MOST_ADDRESSES + 50):
        buckets.take(f"10.{number // 65536}.{number // 256 % 256}.{number % 256}")
    assert len(buckets._left) == MOST_ADDRESSES
    now[0] += 60
    buckets.take("10.9.9.9")
    assert len(buckets._left) == 1


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    """An app for which time stands still, so that nothing flows back meanwhile."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("server.limiting.Buckets", partial(Buckets, clock=lambda: 0.0))
        return open_house(tmp_path_factory.mktemp("house"))


def test_mass_requests_are_slowed_down(app):
    """ASVS 4.0.3, 11.1.4, and RFC 6585: 429 with Retry-After; a page is plain, JSON has its shape."""
    browser, flood = stranger(app), {"REMOTE_ADDR": "10.4.4.4"}
    codes = {browser.get("/api/status", environ_base=flood).status_code for _ in range(AT_ONCE)}
    assert codes == {200}
    slowed = browser.get("/sign-in", environ_base=flood)
    assert slowed.status_code == 429
    assert int(slowed.headers["Retry-After"]) >= 1
    assert "Wait a few seconds" in slowed.get_data(as_text=True)
    assert "default-src 'none'" in slowed.headers["Content-Security-Policy"]
    told = browser.get("/api/status", environ_base=flood)
    assert told.json["error"]["status"] == 429
    other = signed_in(app, "Ada", Role.LEAD)
    assert other.get("/", environ_base={"REMOTE_ADDR": "10.4.4.5"}).status_code == 200


def test_alone_on_this_machine_nobody_is_slowed_down(paths):
    browser = browser_at(create_app(load_settings(paths, {}, watch=False)), "http://localhost")
    for _ in range(AT_ONCE + 50):
        answer = browser.get("/api/nowhere", environ_base={"REMOTE_ADDR": "10.4.4.4"})
        assert answer.status_code == 404


def test_a_wait_after_wrong_passwords_says_how_long_to_programs_too(app):
    browser = stranger(app)
    for _ in range(6):
        answer = browser.post("/join", data={"link": "1.x", "name": "Bo", "password": "x"})
    for _ in range(20):
        answer = browser.post("/join", data={"link": "1.x", "name": "Bo", "password": "x"})
    assert answer.status_code == 429
    assert int(answer.headers["Retry-After"]) >= 1
    assert "Too many tries" in words(answer)
