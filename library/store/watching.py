"""Follows changes that an editor, a sync folder or Git makes to the library folder."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path


class FolderWatch:
    """Calls back soon after something below some folders changed; runs in a thread of its own."""

    def __init__(self, folders: tuple[Path, ...], on_change: Callable[[], None]) -> None:
        """Prepares the watch; nothing runs before :meth:`start`.

        Args:
            folders: What to watch, with everything below.
            on_change: Called without arguments, never twice at once.
        """
        self._folders = folders
        self._on_change = on_change
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="folder-watch", daemon=True)

    def start(self) -> None:
        """Begins to watch."""
        self._thread.start()

    def stop(self) -> None:
        """Ends the watch and waits for its thread."""
        self._stop.set()
        self._thread.join(timeout=5)

    def _run(self) -> None:
        from watchfiles import watch

        for _ in watch(
            *self._folders,
            watch_filter=_matters,
            debounce=400,
            step=100,
            stop_event=self._stop,
            raise_interrupt=False,
        ):
            self._on_change()


def _matters(_: object, path: str) -> bool:
    """Whether a change to a path can change the library: cards, themes and the YAML beside them."""
    name = Path(path).name
    return not name.startswith(".") and name.endswith((".md", ".yaml", ".yml"))
