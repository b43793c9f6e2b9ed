"""Every version of every file, cross-checked with the git command."""

import datetime as dt
import hashlib
import os
import shutil
import signal
import subprocess
import sys
import time
import zlib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from library.history import versions
from library.history.versions import History
from library.store.atomic import fingerprint
from library.store.errors import NameTaken, NotFound, StaleFile
from library.store.paths import LibraryPaths

CARD = "activities/water/sponge-rain.md"
UNIT = "themes/leaves-and-wind/2026-fall.md"
GIT = shutil.which("git")
needs_git = pytest.mark.skipif(GIT is None, reason="no git command to check against")


class Clock:
    """A clock that a test sets."""

    def __init__(self, now):
        self.now = now

    def __call__(self):
        self.now += 60
        return self.now


@pytest.fixture
def paths(tmp_path):
    found = LibraryPaths(tmp_path / "library", tmp_path / "data")
    write(found, CARD, "one\n")
    write(found, UNIT, "plan\n")
    return found


@pytest.fixture
def history(paths):
    return History(paths, Clock(dt.datetime(2026, 10, 5, 8).timestamp()))


def write(paths, file, text):
    path = paths.folder / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return fingerprint(path.read_bytes())


def git(paths, *words):
    done = subprocess.run(
        [GIT, "--git-dir", str(paths.history), *words], capture_output=True, check=True
    )
    return done.stdout.decode() + done.stderr.decode()


def assert_git_agrees(paths):
    """fsck is clean, and the last version's tree is the library folder."""
    assert "error" not in git(paths, "fsck", "--full", "--strict")
    listed = {}
    for line in git(paths, "ls-tree", "-r", "-z", "main").split("\0"):
        if line:
            meta, _, file = line.partition("\t")
            listed[file] = meta.split()[2]
    there = {
        p.relative_to(paths.folder).as_posix(): p
        for p in paths.folder.rglob("*")
        if p.suffix in versions.KEPT
    }
    hashed = {
        file: git(paths, "hash-object", "--no-filters", str(path)).strip()
        for file, path in there.items()
    }
    assert listed == hashed


def test_each_save_is_a_version_with_what_was_done(history, paths):
    first = history.record([CARD], "wrote Sponge rain", "Fern Room")
    write(paths, CARD, "two\n")
    second = history.record([CARD], "prep 5 → 8")
    assert history.record([CARD], "nothing new") is None
    found = history.versions(CARD)
    assert [(v.id, v.what, v.note, v.by) for v in found] == [
        (second, "changed", "prep 5 → 8", ""),
        (first, "added", "wrote Sponge rain", "Fern Room"),
    ]
    assert found[0].when - found[1].when == dt.timedelta(seconds=60)
    assert history.before(found[0]) == first
    assert history.read(CARD, first) == b"one\n"
    assert history.versions(UNIT) == []


def test_outside_changes_are_noticed(history, paths):
    history.record_outside_changes()
    write(paths, CARD, "edited elsewhere\n")
    (paths.folder / UNIT).unlink()
    write(paths, "activities/materials.yaml", "- item: water\n")
    version = history.record_outside_changes()
    assert history.record_outside_changes() is None
    assert history.versions(CARD)[0].id == version
    assert history.versions(CARD)[0].note == "changed outside Lowshelf"
    assert [v.what for v in history.versions(UNIT)] == ["removed", "added"]


def test_a_change_within_the_same_size_and_second_is_seen_by_a_new_start(history, paths):
    history.record_outside_changes()
    before = (paths.folder / CARD).stat()
    write(paths, CARD, "ONE\n")
    os.utime(paths.folder / CARD, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert History(paths).record_outside_changes() is not None


@needs_git
def test_git_finds_the_history_sound_and_its_tree_equal_to_the_folder(history, paths):
    """Checked with git fsck --strict and git ls-tree against git hash-object."""
    history.record_outside_changes()
    assert_git_agrees(paths)
    write(paths, CARD, "caf\u00e9 \U0001f342\r\n")
    write(paths, "activities/art/añil-wash.md", "blue\n")
    write(paths, "activities/water/photo.jpg", b"\xff\xd8")
    write(paths, "themes/.hidden.md", "no")
    (paths.folder / "themes/.hidden.md").unlink()
    history.record_outside_changes()
    assert_git_agrees(paths)
    shutil.rmtree(paths.folder / "activities")
    history.record_outside_changes()
    assert_git_agrees(paths)
    assert git(paths, "rev-list", "--count", "main").strip() == "3"


@needs_git
def test_trees_and_blobs_are_byte_for_byte_those_of_git(history, paths, tmp_path):
    """The same files committed by git itself give the same tree id."""
    write(paths, "activities/water-two.md", "sorts between water and water/\n")
    write(paths, "activities/water.md", "sorts before water/\n")
    history.record_outside_changes()
    subprocess.run([GIT, "init", "-q", str(tmp_path / "other")], check=True)
    other = [GIT, "--git-dir", str(tmp_path / "other/.git"), "--work-tree", str(paths.folder)]
    subprocess.run([*other, "-c", "core.autocrlf=false", "add", "."], check=True)
    tree = subprocess.run([*other, "write-tree"], capture_output=True, check=True).stdout
    assert tree.decode().strip() == git(paths, "rev-parse", "main^{tree}").strip()


def test_the_librarys_own_repository_is_left_alone(history, paths):
    own = paths.folder / ".git"
    own.mkdir(parents=True)
    (own / "HEAD").write_text("ref: refs/heads/trunk\n")
    history.record_outside_changes()
    assert [p.name for p in own.iterdir()] == ["HEAD"]
    assert (own / "HEAD").read_text() == "ref: refs/heads/trunk\n"


def test_restore_gives_the_exact_bytes_of_that_version(history, paths):
    odd = b"\xef\xbb\xbfone\r\n\x00\xfftwo"
    write(paths, CARD, odd)
    first = history.record([CARD], "first")
    now = write(paths, CARD, "two\n")
    history.record([CARD], "second")
    with pytest.raises(StaleFile):
        history.restore(CARD, first, expected="0" * 32)
    assert history.restore(CARD, first, expected=now) == fingerprint(odd)
    assert (paths.folder / CARD).read_bytes() == odd
    assert history.versions(CARD)[0].note.startswith("restored sponge-rain.md from version")
    assert history.read(CARD, history.versions(CARD)[0].id) == odd


def test_a_removed_file_comes_back(history, paths):
    first = history.record([CARD, UNIT], "first")
    (paths.folder / CARD).unlink()
    history.record([CARD], "removed")
    assert [(v.file, v.what) for v in history.removed()] == [(CARD, "removed")]
    history.restore(CARD, first, expected=None)
    assert (paths.folder / CARD).read_bytes() == b"one\n"
    assert history.removed() == []
    with pytest.raises(NameTaken):
        history.restore(CARD, first, expected=None)


def test_what_is_not_there_is_said_so(history):
    first = history.record([CARD], "first")
    for file, version in ((UNIT, first), (CARD, "0" * 40), (CARD, "nonsense"), ("../x", first)):
        with pytest.raises(NotFound):
            history.read(file, version)


def test_the_library_as_it_was_at_the_end_of_a_day(paths):
    clock = Clock(dt.datetime(2026, 10, 5, 8).timestamp())
    history = History(paths, clock)
    history.record_outside_changes()
    clock.now = dt.datetime(2026, 10, 7, 23, 58).timestamp()
    write(paths, CARD, "two\n")
    history.record([CARD], "second")
    assert history.as_of(dt.date(2026, 10, 4)) is None
    assert history.as_of(dt.date(2026, 10, 5)) == {CARD: b"one\n", UNIT: b"plan\n"}
    assert history.as_of(dt.date(2026, 10, 6))[CARD] == b"one\n"
    assert history.as_of(dt.date(2026, 10, 7))[CARD] == b"two\n"


def test_nothing_outside_the_two_folders_is_kept(history, paths):
    write(paths, "fern-room.yaml", "children: []\n")
    write(paths, "activities/.draft.md", "no\n")
    assert history.record(["fern-room.yaml", "activities/.draft.md", "../x.md"], "no") is None
    assert history.record_outside_changes() is not None
    assert history.versions("fern-room.yaml") == []


def test_a_note_cannot_forge_files_or_people(history):
    history.record([CARD], "one\n\nremoved themes/x.md", "A <b@c>\nparent 1")
    (version,) = history.versions(CARD)
    assert version.note == "one removed themes/x.md"
    assert version.by == "A b@c parent 1"
    assert history.removed() == []


@needs_git
def test_many_versions_are_packed_and_stay_readable(history, paths, monkeypatch):
    monkeypatch.setattr(versions, "LOOSE_AT_MOST", 20)
    ids = []
    for number in range(30):
        write(paths, CARD, f"version {number}\n")
        ids.append(history.record([CARD, UNIT], f"save {number}"))
    loose = [p for p in paths.history.glob("objects/??/*") if p.is_file()]
    assert len(loose) <= 24
    assert [history.read(CARD, v) for v in ids] == [b"version %d\n" % n for n in range(30)]
    assert_git_agrees(paths)
    assert history.problems() == []


def test_a_spoilt_object_is_told(history, paths):
    """Git names a blob by the SHA-1 of its header and bytes."""
    version = history.record([CARD], "first")
    name = hashlib.sha1(b"blob 4\0one\n", usedforsecurity=False).hexdigest()
    blob = paths.history / "objects" / name[:2] / name[2:]
    blob.chmod(0o644)
    blob.write_bytes(zlib.compress(b"blob 4\0two\n"))
    (told,) = history.problems()
    assert told.startswith(f"version {version[:8]} of {CARD}")


def test_what_an_interrupted_writer_left_locked_is_freed(history, paths):
    history.record([CARD], "first")
    (paths.history / "refs/heads/main.lock").write_text("")
    write(paths, CARD, "two\n")
    assert history.record([CARD], "second") is not None


WRITER = """
import sys
from pathlib import Path
from library.history.versions import History
from library.store.paths import LibraryPaths

paths = LibraryPaths(Path(sys.argv[1]), Path(sys.argv[2]))
history = History(paths)
for number in range(10_000):
    (paths.folder / "activities/water/sponge-rain.md").write_text(f"version {number}\\n")
    history.record(["activities/water/sponge-rain.md"], f"save {number}")
    print(number, flush=True)
"""


@needs_git
@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX")
def test_history_survives_a_kill_at_any_write(paths):
    """kill -9 at twelve moments of a writer: git fsck stays clean and nothing kept is lost."""
    for turn in range(12):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(paths.folder), str(paths.data)],
            stdout=subprocess.PIPE,
            cwd=Path(__file__).parents[3],
        ) as process:
            done = process.stdout.readline()
            time.sleep(0.004 * turn)
            process.send_signal(signal.SIGKILL)
            rest = process.stdout.read()
        last = int((done + rest).split()[-1])
        assert "error" not in git(paths, "fsck", "--full")
        history = History(paths)
        kept = {history.read(CARD, v.id) for v in history.versions(CARD)}
        assert {b"version %d\n" % n for n in range(last + 1)} <= kept
        write(paths, CARD, f"after kill {turn}\n")
        assert history.record_outside_changes() is not None
    assert_git_agrees(paths)


KILLED = """
import os, signal, subprocess, sys
from pathlib import Path
from library.history.versions import History
from library.store.paths import LibraryPaths

paths = LibraryPaths(Path(sys.argv[1]), Path(sys.argv[2]))
file = "activities/water/sponge-rain.md"
changing = {"os.rename", "os.link", "os.remove", "os.mkdir", "os.rmdir", "os.truncate"}

def die_before(left):
    def watch(event, args):
        opens = event == "open" and isinstance(args[2], int)
        writes = opens and args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
        if writes or event in changing:
            left[0] -= 1
            if left[0] < 0:
                os.kill(os.getpid(), signal.SIGKILL)
    sys.addaudithook(watch)

History(paths).record([file], "first")
for number in range(1_000):
    (paths.folder / file).write_text(f"version {number}\\n")
    child = os.fork()
    if child == 0:
        die_before([number])
        History(paths).record([file], f"save {number}")
        os._exit(0)
    killed = os.WIFSIGNALED(os.waitpid(child, 0)[1])
    subprocess.run(["git", "--git-dir", str(paths.history), "fsck", "--full", "--strict"], check=True,
                   capture_output=True)
    kept = {History(paths).read(file, v.id) for v in History(paths).versions(file, 1_000)}
    assert {b"version %d\\n" % n for n in range(number)} <= kept, number
    History(paths).record_outside_changes()
    print(number, flush=True)
    if not killed:
        break
"""


@needs_git
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_history_survives_a_kill_before_each_of_its_file_operations(paths):
    """kill -9 before the first, second, … file that a save opens to write, renames or removes.

    Python's audit events (PEP 578) name each of them; the last turn is one that no kill reached.
    """
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", KILLED, str(paths.folder), str(paths.data)],
        cwd=Path(__file__).parents[3], capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    operations = int(done.stdout.split()[-1])
    assert operations >= 8, "a save writes three objects, a reference and its locks"
    assert_git_agrees(paths)


names = st.sampled_from(["a", "b-1", "b", "ba"])
files = st.builds(lambda c, n: f"activities/{c}/{n}.md", names, names)
steps = st.lists(st.tuples(files, st.none() | st.binary(max_size=20)), max_size=8)


@given(steps)
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_saves_and_removals_can_be_read_and_put_back_to_the_byte(tmp_path_factory, changes):
    root = tmp_path_factory.mktemp("h")
    paths = LibraryPaths(root / "library", root / "data")
    (paths.folder / "activities").mkdir(parents=True)
    history = History(paths)
    kept = []
    for file, content in changes:
        path = paths.folder / file
        if content is None:
            path.unlink(missing_ok=True)
        else:
            write(paths, file, content)
        version = history.record([file], "step")
        if version and content is not None:
            kept.append((file, version, content))
    for file, version, content in kept:
        assert history.read(file, version) == content
    assert history.record_outside_changes() is None
    for file, version, content in kept:
        path = paths.folder / file
        now = fingerprint(path.read_bytes()) if path.exists() else None
        history.restore(file, version, expected=now)
        assert path.read_bytes() == content
    assert history.record_outside_changes() is None
    assert history.problems() == []
