"""One writer at a time."""

import subprocess
import sys
import threading

import pytest

from library.store.errors import IndexBusy
from library.store.locks import one_writer


def test_a_second_thread_waits_its_turn(tmp_path):
    order = []
    inside = threading.Event()
    leave = threading.Event()

    def first():
        with one_writer(tmp_path / "lock"):
            inside.set()
            leave.wait(5)
            order.append("first")

    thread = threading.Thread(target=first)
    thread.start()
    inside.wait(5)
    with pytest.raises(IndexBusy), one_writer(tmp_path / "lock", wait_seconds=0.05):
        pass
    leave.set()
    with one_writer(tmp_path / "lock"):
        order.append("second")
    thread.join()
    assert order == ["first", "second"]


def test_another_process_is_told_that_someone_writes(tmp_path):
    code = (
        "from pathlib import Path\nfrom library.store.locks import one_writer\n"
        f"with one_writer(Path({str(tmp_path / 'lock')!r}), wait_seconds=0.1): pass"
    )
    with one_writer(tmp_path / "lock"):
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=False
        )
    assert "IndexBusy" in done.stderr


def test_the_same_thread_may_enter_again_after_leaving(tmp_path):
    for _ in range(2):
        with one_writer(tmp_path / "lock"):
            pass
