"""Settings come from defaults, file, environment and command line, in this order."""

import stat

import pytest

from library.store.errors import WrongUse
from server.settings import load_settings


@pytest.fixture
def file(paths):
    paths.data.mkdir()
    return paths.data / "settings.toml"


def test_later_sources_win(paths, file):
    assert load_settings(paths, {}).port == 8765
    file.write_text("port = 9001\nhost_name = 'shelf.local'\n")
    assert load_settings(paths, {}).port == 9001
    assert load_settings(paths, {"LOWSHELF_PORT": "9002"}).port == 9002
    assert load_settings(paths, {"LOWSHELF_PORT": "9002"}, port=9003).port == 9003
    assert load_settings(paths, {}).host_name == "shelf.local"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("prt = 1", "unknown setting 'prt'"),
        ("port = 'x'", "port: found 'x'"),
        ("port", "cannot be read"),
    ],
)
def test_a_wrong_setting_names_itself_and_its_file(paths, file, text, words):
    file.write_text(text)
    with pytest.raises(WrongUse, match=words) as caught:
        load_settings(paths, {})
    assert "settings.toml" in str(caught.value)


def test_the_secret_is_made_once_and_only_its_owner_reads_it(paths):
    first = load_settings(paths, {}).secret
    assert len(first) == 64
    assert load_settings(paths, {}).secret == first
    assert stat.S_IMODE((paths.data / "secret").stat().st_mode) == 0o600
