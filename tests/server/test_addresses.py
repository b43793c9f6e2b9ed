"""The names a server answers to, and the one it hands out."""

import pytest

from library.store.paths import LibraryPaths
from server.addresses import address_of, own_names
from server.settings import Settings


def settings(tmp_path, **more):
    return Settings(LibraryPaths(tmp_path / "library", tmp_path / "data"), **more)


def test_alone_it_answers_to_this_machine_only(tmp_path):
    assert own_names(settings(tmp_path)) == ("127.0.0.1", "localhost", "::1")
    assert address_of(settings(tmp_path)) == "http://127.0.0.1:8765"
    assert address_of(settings(tmp_path, host="::1")) == "http://[::1]:8765"


def test_an_address_of_its_own_comes_first(tmp_path):
    here = settings(tmp_path, host="192.168.1.20", https=True)
    assert own_names(here)[0] == "192.168.1.20"
    assert address_of(here) == "https://192.168.1.20:8765"
    assert address_of(settings(tmp_path, host="fe80::1")) == "http://[fe80::1]:8765"


@pytest.mark.parametrize(
    "said", ["Fern.local", "fern.local:80", "https://fern.local/", " fern.local "]
)
def test_the_name_the_room_knows_it_by_is_handed_out(tmp_path, said):
    here = settings(tmp_path, host="0.0.0.0", host_name=said)
    assert address_of(here) == "http://fern.local:8765"
    assert "0.0.0.0" not in own_names(here)


def test_listening_everywhere_it_answers_to_what_the_machine_is_called(tmp_path):
    import socket

    names = own_names(settings(tmp_path, host="0.0.0.0"))
    assert socket.gethostname().lower() in names
    assert {"127.0.0.1", "localhost"} <= set(names)
