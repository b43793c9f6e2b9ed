"""Whole pages over HTTP: Lowshelf's Find page beside Datasette's table page with facets.

Both serve the same cards from a process of their own and answer the same questions over a connection
that stays open. Lowshelf is served by Waitress as ``lowshelf serve`` does it; Datasette as its manual
shows, with full-text search, the same facets and twenty rows a page.
"""

from __future__ import annotations

import datetime as dt
import http.client
import json
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from library.cards.card import Card
from library.room.rooms import Rooms
from library.store.paths import LibraryPaths
from tests.bench.engines.common import HITS, Ask
from tests.bench.timing import median, percentile

CLIENTS = 8
PAUSE = 0.5
"""Seconds between an answer and the next question of somebody who types and reads."""
FACETS = ("place", "season", "prep", "mess", "technique")
"""Of one value each; the centers and goals of a card are lists, which is another kind of facet there."""
LISTS = ("centers", "domains")


@dataclass(frozen=True, slots=True)
class Site:
    """A server that answers questions."""

    name: str
    port: int
    paths: tuple[str, ...]
    """One address a question."""


def measure_pages(
    library: Path, data: Path, cards: Sequence[Card], asks: Sequence[Ask], seconds: float
) -> dict[str, Any]:
    """Requests a second and milliseconds of each server, measured turn and turn about.

    Args:
        library: The folder of cards.
        data: Its index, already made.
        cards: The same cards.
        asks: The questions.
        seconds: How long each server is asked in one turn.
    """
    with ExitStack() as running:
        ours = running.enter_context(lowshelf(library, data, asks))
        theirs = running.enter_context(datasette(data, cards, asks))
        found: dict[str, Any] = {
            site.name: {"alone": [], "together": [], "typing": []} for site in (ours, theirs)
        }
        for _ in range(3):
            for site in (ours, theirs):
                found[site.name]["alone"] += ask_for(site, 1, seconds / 3)[0]
                times, took = ask_for(site, CLIENTS, seconds / 3)
                found[site.name]["together"] += times
                typing = ask_for(site, CLIENTS, seconds / 3, pause=PAUSE)[0]
                found[site.name]["typing"] += typing
                found[site.name]["s"] = found[site.name].get("s", 0.0) + took
    return {name: _summary(times) for name, times in found.items()}


def _summary(times: dict[str, Any]) -> dict[str, float]:
    return {
        "median of one client, ms": median(times["alone"]),
        "95th of one client, ms": percentile(times["alone"]),
        "median of 8 clients, ms": median(times["together"]),
        "95th of 8 clients, ms": percentile(times["together"]),
        "95th of 8 who pause, ms": percentile(times["typing"]),
        "requests a second": len(times["together"]) / times["s"],
    }


def ask_for(
    site: Site, clients: int, seconds: float, *, pause: float = 0.0
) -> tuple[list[float], float]:
    """Milliseconds of every answer that some clients get in some seconds, and the seconds.

    Each asks anew as soon as it has its answer, or after a pause. The clients are a process of their
    own, so that no server has to share one with them.
    """
    told = {"port": site.port, "paths": site.paths, "clients": clients, "seconds": seconds,
            "pause": pause}  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.page"],
        input=json.dumps(told),
        capture_output=True,
        text=True,
        check=True,
    )
    answered = json.loads(done.stdout)
    if answered["wrong"]:
        raise RuntimeError(f"{site.name}: {answered['wrong']}")
    return answered["times"], answered["took"]


def ask_here(
    port: int, paths: Sequence[str], clients: int, seconds: float, pause: float
) -> dict[str, Any]:
    """What :func:`ask_for` has done in another process."""
    times: list[list[float]] = [[] for _ in range(clients)]
    wrong: list[str] = []
    until = time.perf_counter() + seconds

    def one(number: int) -> None:
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
        place = number * len(paths) // clients
        time.sleep(pause * number / clients)
        while time.perf_counter() < until and not wrong:
            began = time.perf_counter()
            line.request("GET", paths[place % len(paths)])
            answer = line.getresponse()
            body = answer.read()
            if answer.status != 200:
                wrong.append(f"{answer.status} {body[:300]!r}")
            times[number].append((time.perf_counter() - began) * 1000)
            place += 1
            time.sleep(pause)

    began = time.perf_counter()
    threads = [threading.Thread(target=one, args=(number,)) for number in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    took = time.perf_counter() - began
    return {
        "times": [each for row in times for each in row],
        "took": took,
        "wrong": "; ".join(wrong),
    }


@contextmanager
def lowshelf(library: Path, data: Path, asks: Sequence[Ask]) -> Iterator[Site]:
    """Our own server with its example room, as a teacher has it open."""
    Rooms(LibraryPaths(library, data).database).load_demo(dt.date.today())
    port = _free_port()
    command = [sys.executable, "-m", "server", "--library", str(library), "--data", str(data)]
    with _running([*command, "serve", "--port", str(port)], port, "/api/status"):
        yield Site("Lowshelf", port, tuple(f"/?{urlencode({'q': ask.text})}" for ask in asks))


@contextmanager
def datasette(folder: Path, cards: Sequence[Card], asks: Sequence[Ask]) -> Iterator[Site]:
    """Datasette over the same cards in SQLite."""
    base = folder / "datasette.sqlite3"
    write_table(base, cards)
    facets = [("_facet", name) for name in FACETS] + [("_facet_array", name) for name in LISTS]
    port = _free_port()
    settings = [
        "--setting",
        "facet_time_limit_ms",
        "60000",
        "--setting",
        "sql_time_limit_ms",
        "60000",
    ]
    command = [
        sys.executable,
        "-m",
        "datasette",
        "serve",
        str(base),
        "--port",
        str(port),
        *settings,
    ]
    with _running(command, port, "/-/versions.json"):
        paths = tuple(
            f"/datasette/cards?{urlencode([('_search', ask.words), ('_size', str(HITS)), *facets])}"
            for ask in asks
        )
        yield Site("Datasette", port, paths)


def write_table(base: Path, cards: Sequence[Card]) -> None:
    """The cards as a table with full-text search."""
    with sqlite3.connect(base) as table:
        table.execute(
            "CREATE TABLE cards(id TEXT PRIMARY KEY, title TEXT, body TEXT, materials TEXT, centers TEXT, "
            "domains TEXT, place TEXT, season TEXT, prep INTEGER, mess INTEGER, technique TEXT)"
        )
        table.executemany("INSERT INTO cards VALUES (?,?,?,?,?,?,?,?,?,?,?)", map(_row, cards))
        table.execute(
            "CREATE VIRTUAL TABLE cards_fts USING fts5(title, body, materials, content='cards', "
            "tokenize='porter')"
        )
        table.execute("INSERT INTO cards_fts(cards_fts) VALUES ('rebuild')")
        for name in FACETS:
            table.execute(f"CREATE INDEX by_{name} ON cards({name})")


def _row(card: Card) -> tuple[Any, ...]:
    season = str(card.seasons[0]) if card.seasons else ""
    materials = " ".join(line.item for line in card.materials)
    lists = json.dumps(list(card.centers)), json.dumps(list(card.domains))
    return (card.id, card.title, card.body, materials, *lists, str(card.place), season, card.prep,
            card.mess, card.technique)  # fmt: skip


@contextmanager
def _running(command: list[str], port: int, ready: str) -> Iterator[None]:
    """A server from its first answer until it is not needed any more."""
    process = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
    )
    try:
        until = time.monotonic() + 120
        while True:
            if process.poll() is not None and process.stderr:
                raise RuntimeError(f"{command[2]} ended: {process.stderr.read()[-500:]}")
            try:
                line = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
                line.request("GET", ready)
                if line.getresponse().status == 200:
                    break
            except OSError:
                if time.monotonic() > until:
                    raise
            time.sleep(0.1)
        yield
    finally:
        process.terminate()
        process.wait(timeout=30)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


if __name__ == "__main__":
    print(json.dumps(ask_here(**json.load(sys.stdin))))
