"""A real server on a free port, for tests that talk to it over HTTP."""

from __future__ import annotations

import json
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


class Served:
    """A running server over a library folder."""

    def __init__(self, paths, *options: str):
        self.paths = paths
        self.port = _free_port()
        scheme = "https" if "--https" in options else "http"
        self.url = f"{scheme}://127.0.0.1:{self.port}"
        self.output = paths.data.parent / "server.txt"
        places = ["--library", str(paths.folder), "--data", str(paths.data)]
        self._file = self.output.open("w")
        self.process = subprocess.Popen(
            [sys.executable, "-m", "server", "serve", "--port", str(self.port), *places, *options],
            cwd=ROOT,
            stdout=self._file,
            stderr=subprocess.STDOUT,
        )

    def wait(self, seconds: float = 60.0) -> Served:
        """Returns when the server answers; shows what it said if it died."""
        deadline = time.monotonic() + seconds
        while time.monotonic() < deadline:
            if self.process.poll() is not None:
                pytest.fail(f"the server ended:\n{self.output.read_text()}")
            try:
                with urllib.request.urlopen(
                    f"{self.url}/api/status", timeout=2, context=self.trust()
                ) as answer:
                    if json.load(answer)["ready"]:
                        return self
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                pass
            time.sleep(0.1)
        pytest.fail(f"the server did not answer in {seconds} seconds:\n{self.output.read_text()}")

    def trust(self) -> ssl.SSLContext | None:
        """What a client trusts that was told to trust this server's authority alone."""
        authority = self.paths.data / "https" / "authority.pem"
        if self.url.startswith("http:") or not authority.is_file():
            return None
        return ssl.create_default_context(cafile=authority)

    def said(self) -> str:
        """What the server wrote to the terminal."""
        return self.output.read_text(encoding="utf-8")

    def stop(self) -> None:
        """Ends the server."""
        self.process.terminate()
        self.process.wait(timeout=10)
        self._file.close()


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
