"""Where things lie: the shareable library folder and the private data folder."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from library.store.errors import UnsafePath, WrongUse

ID = re.compile(r"^[a-z0-9]+(?:-[a-z0-9]+)*$")
"""The form of an id: a-z, 0-9, single hyphens between."""
MAX_ID = 80
_DEVICE = re.compile(r"^(con|prn|aux|nul|com\d|lpt\d)$")


@dataclass(frozen=True, slots=True)
class LibraryPaths:
    """The two places on disk of one library."""

    folder: Path
    """The library folder: ``activities`` and ``themes``."""
    data: Path
    """The private folder of this library: index, history, database."""

    @property
    def activities(self) -> Path:
        """Folder of the cards."""
        return self.folder / "activities"

    @property
    def themes(self) -> Path:
        """Folder of the themes."""
        return self.folder / "themes"

    @property
    def index(self) -> Path:
        """Folder of the search index; can be thrown away."""
        return self.data / "index"

    @property
    def history(self) -> Path:
        """Folder of the history."""
        return self.data / "history"

    @property
    def database(self) -> Path:
        """File of the private database."""
        return self.data / "lowshelf.sqlite3"

    @property
    def write_lock(self) -> Path:
        """Lock file for changes to the library folder."""
        return self.data / "write.lock"


def library_paths(folder: Path | None, data: Path | None, *, working: Path) -> LibraryPaths:
    """Finds the two places.

    Args:
        folder: What the person asked for, or None for the working folder.
        data: A data folder asked for, or None for the platform's user data directory, one part
            for each library.
        working: The working folder.

    Raises:
        WrongUse: If the folder is no library, or the data would lie inside it.
    """
    library = (folder or working).expanduser().resolve()
    if not (library / "activities").is_dir() or not (library / "themes").is_dir():
        raise WrongUse(
            f"{library} is no library folder: it has no activities and themes folders. "
            "Run 'lowshelf new DIR' to start one, or name one with --library DIR"
        )
    private = data.expanduser().resolve() if data else user_data_folder() / _key(library)
    if private.is_relative_to(library):
        raise WrongUse(f"the data folder {private} lies inside the library folder; choose another")
    return LibraryPaths(library, private)


def user_data_folder() -> Path:
    """The platform's folder for this user's private data."""
    from platformdirs import user_data_path

    return Path(user_data_path("lowshelf", appauthor=False))


def check_id(text: str) -> str:
    """The text if it can be an id.

    Raises:
        UnsafePath: If it could leave its folder or be read differently on another disk.
    """
    if not ID.match(text) or len(text) > MAX_ID or _DEVICE.match(text):
        raise UnsafePath(
            f"'{text[:60]}' cannot be a name here; use a-z, 0-9 and hyphens, up to {MAX_ID}"
        )
    return text


def make_id(title: str) -> str:
    """An id from a title: ``Ice & añil!`` → ``ice-anil``; ``card`` if nothing is left."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:MAX_ID].strip("-")
    return f"{name}-card" if _DEVICE.match(name) else name or "card"


LONGEST_NAME, LONGEST_PATH = 255, 4_000
"""Bytes that the usual disks take in a name, and in a path (common practice, no source)."""


def inside(folder: Path, *parts: str) -> Path:
    """A path below a folder.

    Raises:
        UnsafePath: If a part could lead out of the folder, also through a link, or no disk takes it.
    """
    for part in parts:
        if not part or part.startswith(".") or any(sign in part for sign in "/\\:\0"):
            raise UnsafePath(f"'{part[:60]}' cannot be part of a path here")
        if len(part.encode()) > LONGEST_NAME:
            raise UnsafePath(f"'{part[:60]}…' is too long for the name of a file")
    path = folder.joinpath(*parts)
    if len(str(path).encode()) > LONGEST_PATH:
        raise UnsafePath(f"'{'/'.join(parts)[:60]}…' is too long for a path")
    if not path.resolve().is_relative_to(folder.resolve()):
        raise UnsafePath(f"'{'/'.join(parts)[:60]}' leads out of the folder")
    return path


def _key(library: Path) -> str:
    digest = hashlib.sha256(str(library).encode()).hexdigest()[:12]
    return f"{make_id(library.name)}-{digest}"
