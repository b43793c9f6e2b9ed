"""The one place that writes files: whole or not at all, and never over what it has not read."""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

from library.store.errors import NameTaken, StaleFile


def fingerprint(content: bytes) -> str:
    """A short name for these very bytes: 32 hexadecimal digits of their SHA-256."""
    return hashlib.sha256(content).hexdigest()[:32]


def read_bytes(path: Path) -> bytes:
    """The bytes of a file; raises the usual OSError."""
    return path.read_bytes()


def replace_file(path: Path, content: bytes, *, expected: str | None) -> str:
    """Puts new content in place of a file that is there.

    The new bytes are complete on disk before the name points to them; whatever interrupts it,
    the file holds either the old or the new content.

    Args:
        path: The file; a link is followed, so that the link stays a link.
        content: All of the new bytes.
        expected: Fingerprint of the bytes the change started from; None skips the check.

    Returns:
        The fingerprint of the new content.

    Raises:
        StaleFile: If the file is gone or holds other bytes; nothing is written then.
    """
    target = path.resolve()
    try:
        before = target.read_bytes()
    except FileNotFoundError:
        raise StaleFile(
            f"{path.name} was removed while it was being edited; save it anew"
        ) from None
    if expected is not None and fingerprint(before) != expected:
        raise StaleFile(f"{path.name} was changed by someone else while it was being edited")
    with _complete_temporary(target, content) as temporary:
        shutil.copymode(target, temporary)
        temporary.replace(target)
    _sync_folder(target.parent)
    return fingerprint(content)


def create_file(path: Path, content: bytes) -> str:
    """Writes a new file and never overwrites one.

    Returns:
        The fingerprint of the content.

    Raises:
        NameTaken: If a file of this name is there, also one that differs only in case.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    if any(entry.name.casefold() == path.name.casefold() for entry in path.parent.iterdir()):
        raise NameTaken(f"there is a file {path.name} already; choose another name")
    with _complete_temporary(path, content) as temporary:
        temporary.chmod(0o666 & ~_umask())
        _link(temporary, path, content)
    _sync_folder(path.parent)
    return fingerprint(content)


def remove_file(path: Path, *, expected: str | None) -> None:
    """Removes a file, unless it changed since it was read.

    Raises:
        StaleFile: If it holds other bytes than expected, or is gone.
    """
    try:
        before = path.read_bytes()
    except FileNotFoundError:
        raise StaleFile(f"{path.name} is gone already") from None
    if expected is not None and fingerprint(before) != expected:
        raise StaleFile(f"{path.name} was changed by someone else meanwhile")
    path.unlink()
    _sync_folder(path.parent)


@contextlib.contextmanager
def _complete_temporary(target: Path, content: bytes) -> Iterator[Path]:
    """A finished, synced file beside the target; gone afterwards if it was not moved away."""
    handle, name = tempfile.mkstemp(
        dir=target.parent, prefix=f".{target.name[:60]}.", suffix=".tmp"
    )
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        yield temporary
    finally:
        temporary.unlink(missing_ok=True)


def _link(temporary: Path, path: Path, content: bytes) -> None:
    """Gives the finished file its name, but only if that name is free."""
    try:
        path.hardlink_to(temporary)
    except FileExistsError:
        raise NameTaken(f"there is a file {path.name} already; choose another name") from None
    except OSError:  # a disk without hard links, such as FAT
        _create_in_place(path, content)


def _create_in_place(path: Path, content: bytes) -> None:
    try:
        with path.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    except FileExistsError:
        raise NameTaken(f"there is a file {path.name} already; choose another name") from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _sync_folder(folder: Path) -> None:
    """Makes the new name itself durable; Windows has no such call and needs none."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
