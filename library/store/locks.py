"""One writer at a time, across threads and processes."""

from __future__ import annotations

import contextlib
import os
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from library.store.errors import IndexBusy

_threads: dict[Path, threading.RLock] = {}
_guard = threading.Lock()


@contextlib.contextmanager
def one_writer(path: Path, *, wait_seconds: float = 10.0) -> Iterator[None]:
    """Holds a lock file for as long as the block runs.

    Args:
        path: The lock file; made if missing, never removed.
        wait_seconds: How long to wait for another writer.

    Raises:
        IndexBusy: If another process or thread still holds it after that time.
    """
    key = path.absolute()
    with _guard:
        lock = _threads.setdefault(key, threading.RLock())
    deadline = time.monotonic() + wait_seconds
    if not lock.acquire(timeout=max(0.0, wait_seconds)):
        raise IndexBusy(f"another part of Lowshelf is still writing ({path.name}); try again soon")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("a+b") as file:
            while not _try_lock(file):
                if time.monotonic() > deadline:
                    raise IndexBusy(
                        f"another Lowshelf is writing ({path.name}); close it or try again soon"
                    )
                time.sleep(0.05)
            try:
                yield
            finally:
                _unlock(file)
    finally:
        lock.release()


if os.name == "nt":  # pragma: no cover - exercised on Windows only
    import msvcrt

    def _try_lock(file: IO[bytes]) -> bool:
        file.seek(0)
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
        except OSError:
            return False
        return True

    def _unlock(file: IO[bytes]) -> None:
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_UNLCK, 1)  # type: ignore[attr-defined,unused-ignore]

else:
    import fcntl

    def _try_lock(file: IO[bytes]) -> bool:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True

    def _unlock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_UN)
