"""Every version of every file, in a Git history of its own in the data folder.

The library folder may or may not be under version control; its own repository is never looked at.
Cards, units, themes and the YAML beside them are kept, pictures are not.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, cast

from library.history.trees import changed_tree, files_in, find_file
from library.store.atomic import create_file, replace_file
from library.store.errors import NotFound
from library.store.frontmatter import MAX_FILE_BYTES
from library.store.locks import one_writer
from library.store.paths import LibraryPaths, inside

if TYPE_CHECKING:
    from dulwich.objects import Commit, ObjectID, ShaFile
    from dulwich.refs import Ref
    from dulwich.repo import Repo

KEPT = (".md", ".yaml", ".yml", ".csv")
BRANCH = cast("Ref", b"refs/heads/main")
OUTSIDE = "changed outside Lowshelf"
"""What is said of a change that another program made."""
LOOSE_AT_MOST = 2_000
"""Loose objects before they are packed."""
PACK_FROM = 64
"""New objects that are written as one pack instead of one file each."""


@dataclass(frozen=True, slots=True)
class Version:
    """One file as it was from one moment on."""

    id: str
    """40 hexadecimal digits."""
    file: str
    """Path within the library folder."""
    when: dt.datetime
    """Local time with its offset."""
    note: str
    """What was done, one line."""
    by: str
    """Who did it; empty where the program cannot know."""
    what: str
    """added, changed or removed."""


class History:
    """The history of one library."""

    def __init__(self, paths: LibraryPaths, clock: Callable[[], float] = time.time) -> None:
        """Opens nothing yet.

        Args:
            paths: The library's places.
            clock: Gives the seconds since 1970 for new versions.
        """
        self._paths = paths
        self._clock = clock
        self._seen: dict[str, tuple[int, int, ObjectID]] = {}

    def record(self, files: Iterable[str], note: str, by: str = "") -> str | None:
        """Keeps some files as they are now; a file that is gone is kept as removed.

        Args:
            files: Paths within the library folder.
            note: What was done, one line.
            by: Who did it.

        Returns:
            The id of the new version; None where nothing had changed.
        """
        with self._writing() as repo:
            contents = {file: self._content(file) for file in files if _is_kept(file)}
            return self._commit(repo, contents, note, by)

    def record_outside_changes(self, note: str = OUTSIDE) -> str | None:
        """Keeps everything in the library folder that changed since the last version.

        Files whose size and time did not change since this object last read them are not read
        again.

        Returns:
            The id of the new version; None where nothing had changed.
        """
        with self._writing() as repo:
            known = dict(files_in(repo.object_store, _tree_of(repo, _head(repo))))
            there = set(self._files())
            contents: dict[str, bytes | None] = dict.fromkeys(known.keys() - there)
            for file in sorted(there):
                content = self._unless_seen(file, known.get(file))
                if content is not None:
                    contents[file] = content
            return self._commit(repo, contents, note, "")

    def versions(self, file: str, limit: int = 200) -> list[Version]:
        """The versions of a file, the latest first.

        Args:
            file: Path within the library folder.
            limit: How many at most.
        """
        found: list[Version] = []
        for commit in self._commits():
            what = _changes_of(commit).get(file)
            if what:
                found.append(_version(commit, file, what))
                if len(found) == limit:
                    break
        return found

    def read(self, file: str, version: str) -> bytes:
        """The exact bytes of a file in a version.

        Raises:
            NotFound: If there is no such version, or the file was not there in it.
        """
        with self._open() as repo:
            commit = self._find(repo, version)
            content = find_file(repo.object_store, commit.tree, file)
            if content is None:
                raise NotFound(f"{file} was not there in version {version[:8]}")
            return repo.object_store[content].as_raw_string()

    def restore(
        self,
        file: str,
        version: str,
        *,
        expected: str | None,
        by: str = "",
        instead: bytes | None = None,
    ) -> str:
        """Puts a file back to the bytes of a version; a removed file comes back.

        Args:
            file: Path within the library folder.
            version: Which one.
            expected: Fingerprint of the file as it is now; None: the file is gone.
            by: Who asks for it.
            instead: What is written in place of the very bytes; None: these.

        Returns:
            The file's new fingerprint.

        Raises:
            NotFound: If there is no such version of the file.
            NameTaken: If the file was thought gone and is there.
            StaleFile: If the file changed meanwhile.
        """
        content = self.read(file, version) if instead is None else instead
        path = inside(self._paths.folder, *file.split("/"))
        with one_writer(self._paths.write_lock):
            if expected is None:
                fingerprint = create_file(path, content)
            else:
                fingerprint = replace_file(path, content, expected=expected)
        self.record([file], f"restored {path.name} from version {version[:8]}", by)
        return fingerprint

    def removed(self) -> list[Version]:
        """The last version of each file that is no longer there, the latest first."""
        with self._open() as repo:
            head = _head(repo)
            there = {file for file, _ in files_in(repo.object_store, _tree_of(repo, head))}
        found: dict[str, Version] = {}
        for commit in self._commits():
            for file, what in _changes_of(commit).items():
                if what == "removed" and file not in there:
                    found.setdefault(file, _version(commit, file, what))
        return list(found.values())

    def before(self, version: Version) -> str | None:
        """The id of the version that came before; None where there was none."""
        with self._open() as repo:
            parents = self._find(repo, version.id).parents
            return parents[0].decode() if parents else None

    def as_of(
        self, day: dt.date, wanted: Callable[[str], bool] = lambda _: True
    ) -> dict[str, bytes] | None:
        """Files as they were at the end of a local day.

        Args:
            day: The day.
            wanted: Whether a file, by its path within the library folder, is asked for.

        Returns:
            Bytes by path; None where no version is that old.
        """
        end = dt.datetime.combine(day + dt.timedelta(days=1), dt.time()).timestamp()
        commit = next((c for c in self._commits() if c.commit_time < end), None)
        if commit is None:
            return None
        with self._open() as repo:
            store = repo.object_store
            return {
                file: store[content].as_raw_string()
                for file, content in files_in(store, commit.tree)
                if wanted(file)
            }

    def problems(self) -> list[str]:
        """What is wrong with the history's own files: versions that cannot be read; usually nothing."""
        found = []
        with self._open() as repo:
            for commit in self._commits():
                for file, content in files_in(repo.object_store, commit.tree):
                    try:
                        repo.object_store[content].check()
                    except Exception as error:
                        found.append(f"version {commit.id.decode()[:8]} of {file}: {error}")
        return found

    def _commit(
        self, repo: Repo, contents: dict[str, bytes | None], note: str, by: str
    ) -> str | None:
        from dulwich.objects import Blob, Commit

        head = _head(repo)
        old_tree = _tree_of(repo, head)
        known = {
            f: find_file(repo.object_store, old_tree, f) if old_tree else None for f in contents
        }
        blobs = {f: None if c is None else Blob.from_string(c) for f, c in contents.items()}
        ids = {f: None if blob is None else blob.id for f, blob in blobs.items()}
        changes = {f: new for f, new in ids.items() if new != known[f]}
        if not changes:
            return None
        made: list[ShaFile] = [blob for f in changes if (blob := blobs[f])]
        tree = changed_tree(repo.object_store, old_tree, changes, made)
        commit = Commit()
        commit.tree = tree or _empty_tree(made)
        commit.parents = [head] if head else []
        commit.author = commit.committer = (
            f"{_plain(by) or 'Lowshelf'} <lowshelf@localhost>".encode()
        )
        moment = int(self._clock())
        commit.commit_time = commit.author_time = moment
        commit.commit_timezone = commit.author_timezone = _offset(moment)
        commit.encoding = b"UTF-8"
        commit.message = _message(note, {f: _what(known[f], changes[f]) for f in changes})
        _keep(repo, [*made, commit])
        repo.refs[BRANCH] = commit.id
        return commit.id.decode()

    def _content(self, file: str) -> bytes | None:
        path = inside(self._paths.folder, *file.split("/"))
        try:
            return path.read_bytes() if path.stat().st_size <= MAX_FILE_BYTES else None
        except FileNotFoundError:
            return None

    def _unless_seen(self, file: str, known: ObjectID | None) -> bytes | None:
        """A file's bytes, unless it is known to be what the last version holds."""
        from dulwich.objects import Blob

        path = self._paths.folder / file
        try:
            status = path.stat()
            stamp = (status.st_mtime_ns, status.st_size)
            seen = self._seen.get(file)
            if seen and seen[:2] == stamp and seen[2] == known:
                return None
            content = path.read_bytes()
        except OSError:
            return None
        self._seen[file] = (*stamp, Blob.from_string(content).id)
        return content

    def _files(self) -> Iterator[str]:
        for top in (self._paths.activities, self._paths.themes):
            for folder, names, files in os.walk(top):
                names[:] = [name for name in names if not name.startswith(".")]
                for name in files:
                    path = Path(folder) / name
                    file = path.relative_to(self._paths.folder).as_posix()
                    if _is_kept(file) and path.stat().st_size <= MAX_FILE_BYTES:
                        yield file

    def _commits(self) -> Iterator[Commit]:
        """Every version, the latest first."""
        from dulwich.objects import Commit

        with self._open() as repo:
            found = _head(repo)
            while found:
                commit = repo.object_store[found]
                if not isinstance(commit, Commit):
                    return
                yield commit
                found = commit.parents[0] if commit.parents else None

    def _find(self, repo: Repo, version: str) -> Commit:
        from dulwich.objects import Commit

        try:
            commit = repo.object_store[cast("ObjectID", version.encode())]
        except (KeyError, ValueError, AssertionError):
            commit = None
        if not isinstance(commit, Commit):
            raise NotFound(f"there is no version {version[:8]}")
        return commit

    def _open(self) -> Repo:
        from dulwich.repo import Repo

        if not (self._paths.history / "HEAD").is_file():
            with one_writer(self._lock):
                _create(self._paths.history)
        return Repo(str(self._paths.history))

    @property
    def _lock(self) -> Path:
        return self._paths.data / "history.lock"

    @contextlib.contextmanager
    def _writing(self) -> Iterator[Repo]:
        """The repository, held alone; what an interrupted writer left locked is free again."""
        with one_writer(self._lock):
            _create(self._paths.history)
            for stale in self._paths.history.rglob("*.lock"):
                stale.unlink(missing_ok=True)
            with self._open() as repo:
                repo.object_store.fsync_object_files = True
                yield repo
                if repo.object_store.count_loose_objects() > LOOSE_AT_MOST:
                    repo.object_store.pack_loose_objects()


def _create(folder: Path) -> None:
    """Makes an empty history beside its place and moves it there, so that it is whole or not there."""
    from dulwich.repo import Repo

    if (folder / "HEAD").is_file():
        return
    folder.parent.mkdir(parents=True, exist_ok=True)
    begun = Path(tempfile.mkdtemp(dir=folder.parent, prefix=".history-"))
    try:
        Repo.init_bare(str(begun), default_branch=b"main").close()
        begun.replace(folder)
    finally:
        shutil.rmtree(begun, ignore_errors=True)


def _head(repo: Repo) -> ObjectID | None:
    try:
        return repo.refs[BRANCH]
    except KeyError:
        return None


def _tree_of(repo: Repo, commit_id: ObjectID | None) -> ObjectID | None:
    from dulwich.objects import Commit

    commit = repo.object_store[commit_id] if commit_id else None
    return commit.tree if isinstance(commit, Commit) else None


def _keep(repo: Repo, objects: list[ShaFile]) -> None:
    """Writes new objects; whoever is interrupted leaves some that nothing points to."""
    store = repo.object_store
    if len(objects) >= PACK_FROM:
        store.add_objects([(each, None) for each in objects])
    else:
        for each in objects:
            store.add_object(each)


def _empty_tree(made: list[ShaFile]) -> ObjectID:
    from dulwich.objects import Tree

    made.append(Tree())
    return made[-1].id


def _is_kept(file: str) -> bool:
    parts = file.split("/")
    return (
        parts[0] in {"activities", "themes"}
        and len(parts) > 1
        and not any(part.startswith(".") or "\n" in part for part in parts)
        and file.endswith(KEPT)
    )


def _what(old: ObjectID | None, new: ObjectID | None) -> str:
    if old is None:
        return "added"
    return "removed" if new is None else "changed"


def _message(note: str, changes: dict[str, str]) -> bytes:
    """What was done, then one line for each file, which :func:`_changes_of` reads again."""
    lines = [f"{what} {file}" for file, what in sorted(changes.items())]
    return "\n".join([_plain(note) or "saved", "", *lines, ""]).encode()


def _changes_of(commit: Commit) -> dict[str, str]:
    lines = commit.message.decode(errors="replace").split("\n\n", 1)[-1].splitlines()
    pairs = (line.partition(" ") for line in lines)
    return {file: what for what, _, file in pairs if what in {"added", "changed", "removed"}}


def _version(commit: Commit, file: str, what: str) -> Version:
    zone = dt.timezone(dt.timedelta(seconds=commit.commit_timezone))
    name = commit.author.decode(errors="replace").rpartition(" <")[0]
    return Version(
        id=commit.id.decode(),
        file=file,
        when=dt.datetime.fromtimestamp(commit.commit_time, zone),
        note=commit.message.decode(errors="replace").split("\n", 1)[0],
        by="" if name == "Lowshelf" else name,
        what=what,
    )


def _plain(text: str) -> str:
    """A text that fits one line of a commit."""
    return " ".join(text.replace("<", " ").replace(">", " ").split())


def _offset(moment: int) -> int:
    """Seconds that local time is ahead of UTC at a moment."""
    offset = dt.datetime.fromtimestamp(moment).astimezone().utcoffset()
    return int(offset.total_seconds()) if offset else 0
