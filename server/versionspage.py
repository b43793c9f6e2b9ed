"""Gathers what the pages of versions show: a file's history in words, and what was removed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from library.cards.card import Card
from library.cards.parsing import change_card, parse_card
from library.cards.values import Status
from library.history.versions import OUTSIDE, Version
from library.store.atomic import fingerprint
from library.store.errors import NotFound, UnsafePath
from library.store.paths import inside
from library.units.changes import change_in_words
from library.units.parsing import parse_theme, parse_unit
from server.lookbackpage import titles_of
from server.reviewpage import skips_the_second_person
from server.shelf import shelf
from server.words import with_names

MOST_VERSIONS = 60
"""Versions that a page lists; each is compared with the one before it."""


@dataclass(frozen=True, slots=True)
class ShownVersion:
    """A version as the page lists it."""

    id: str
    when: dt.datetime
    by: str
    note: str
    """What was done, where it says more than the changes do."""
    changes: tuple[str, ...]
    """What it did otherwise than the one before."""
    is_there: bool
    """Whether the file was there in it."""


@dataclass(frozen=True, slots=True)
class VersionsPage:
    """The history of a file."""

    file: str
    title: str
    kind: str
    """card, theme, unit or file."""
    versions: tuple[ShownVersion, ...]
    mark: str
    """State of the file as it is now; empty: it is gone."""
    back: str
    """Id of the card, ``theme/unit``, or the theme, to lead back to."""


@dataclass(frozen=True, slots=True)
class VersionPage:
    """One version beside the file as it is now."""

    whole: VersionsPage
    version: ShownVersion
    text: str
    since: tuple[str, ...]
    """What changed from it to now."""


@dataclass(frozen=True, slots=True)
class RemovedFile:
    """A file that is no longer there."""

    file: str
    title: str
    when: dt.datetime
    last: str
    """The last version in which it was there."""


def versions_page(file: str) -> VersionsPage:
    """The history of a file, the latest version first.

    Raises:
        NotFound: If no version of it is kept and it is not there.
    """
    try:
        now, found = content_now(file), shelf().history.versions(file, MOST_VERSIONS)
    except UnsafePath as error:
        raise NotFound(f"no version of {file[:80]} is kept here: {error}") from error
    if now is None and not found:
        raise NotFound(f"no version of {file[:80]} is kept here")
    newest = now if now is not None else _content(file, shelf().history.before(found[0]))
    kind = kind_of(file)
    titles = _titles(file, now)
    return VersionsPage(
        file=file,
        title=title_of(file, newest),
        kind=kind,
        versions=tuple(_shown(version, titles) for version in found),
        mark=fingerprint(now) if now is not None else "",
        back=_name(file) if now is not None else "",
    )


def version_page(file: str, version_id: str) -> VersionPage:
    """One version, and what changed since.

    Raises:
        NotFound: If the file was not there in that version.
    """
    whole = versions_page(file)
    content = shelf().history.read(file, version_id)
    version = next((each for each in whole.versions if each.id == version_id), None)
    if version is None:
        raise NotFound(f"{whole.title} has no version {version_id[:8]}")
    now = content_now(file)
    titles = {**_titles(file, content), **_titles(file, now)}
    since = tuple(_named(each, titles) for each in change_in_words(file, content, now))
    return VersionPage(whole, version, content.decode("utf-8", "replace"), since)


def removed_files() -> tuple[RemovedFile, ...]:
    """What is no longer there and can be brought back, the latest first."""
    history = shelf().history
    return tuple(
        RemovedFile(each.file, title_of(each.file, _content(each.file, last)), each.when, last)
        for each in history.removed()
        if (last := history.before(each)) and content_now(each.file) is None
    )


def content_now(file: str) -> bytes | None:
    """The bytes of a file of the library as it is now; None: it is not there."""
    path = inside(shelf().paths.folder, *file.split("/"))
    return path.read_bytes() if path.is_file() else None


def content_of(file: str, version: str) -> str:
    """The text of a file in a version.

    Raises:
        NotFound: If it was not there in it.
    """
    return shelf().history.read(file, version).decode("utf-8", "replace")


def draft_of(file: str, version: str) -> bytes | None:
    """A version's bytes as a draft, where it would make a card ready that somebody else looks at first.

    A card that was a draft when it was removed is one still.

    Returns:
        None: the version may come back as it was.

    Raises:
        NotFound: If the file was not there in it.
    """
    then = shelf().history.read(file, version)
    after = _card_of(file, then)
    if after is None or not skips_the_second_person(_card_of(file, _last_content(file)), after):
        return None
    text = then.decode("utf-8").removeprefix("\ufeff")
    bom = then.startswith(b"\xef\xbb\xbf") * b"\xef\xbb\xbf"
    return bom + change_card(text, replace(after, status=Status.DRAFT)).encode()


def _card_of(file: str, content: bytes | None) -> Card | None:
    """The card in a file's bytes; None where they are of none, or cannot be read."""
    if kind_of(file) != "card" or content is None:
        return None
    try:
        return parse_card(content.decode("utf-8").removeprefix("\ufeff"), file).card
    except UnicodeDecodeError:
        return None


def _last_content(file: str) -> bytes | None:
    """The bytes of a file as it is, or as it was before it was removed."""
    if (now := content_now(file)) is not None:
        return now
    history = shelf().history
    last = history.versions(file, limit=1)
    return _content(file, history.before(last[0])) if last else None


def kind_of(file: str) -> str:
    """card, theme, unit or file."""
    top, *inner = file.split("/")
    if not file.endswith(".md"):
        return "file"
    if top == "activities":
        return "card"
    return "theme" if inner[-1:] == ["theme.md"] else "unit"


def title_of(file: str, content: bytes | None) -> str:
    """What a file is called by what stands in it; its name where that cannot be read."""
    text, kind = (content or b"").decode("utf-8", "replace"), kind_of(file)
    if kind == "card" and (card := parse_card(text, file).card):
        return card.title
    if kind == "theme" and text:
        return parse_theme(text, file.split("/")[1]).title
    if kind == "unit" and (unit := parse_unit(text, *_name(file).split("/", 1)).unit):
        return unit.title
    return file.rsplit("/", 1)[-1]


def _name(file: str) -> str:
    """A card's id, ``theme/unit`` or a theme's id."""
    plain = file.removesuffix(".md").split("/")
    kind = kind_of(file)
    if kind == "unit":
        return "/".join(plain[1:3])
    return plain[1] if kind == "theme" else plain[-1]


def _shown(version: Version, titles: Mapping[str, str]) -> ShownVersion:
    file, history = version.file, shelf().history
    before = _content(file, history.before(version))
    after = _content(file, version.id)
    titles = {**_titles(file, before), **_titles(file, after), **titles}
    changes = tuple(_named(each, titles) for each in change_in_words(file, before, after))
    if changes == ("added",):
        changes = ("kept for the first time",)
    said = version.note.partition(": ")[2] or version.note
    known = {*changes, "; ".join(changes), *([OUTSIDE] if before is None else [])}
    return ShownVersion(
        id=version.id,
        when=version.when,
        by=version.by,
        note="" if said in known else _named(said, titles),
        changes=changes,
        is_there=after is not None,
    )


def _content(file: str, version: str | None) -> bytes | None:
    if version is None:
        return None
    try:
        return shelf().history.read(file, version)
    except NotFound:
        return None


def _titles(file: str, content: bytes | None) -> dict[str, str]:
    """Titles of the cards that a unit names, so that its changes are in words."""
    if kind_of(file) != "unit" or content is None:
        return {}
    unit = parse_unit(content.decode("utf-8", "replace"), *_name(file).split("/", 1)).unit
    return titles_of([unit]) if unit else {}


def _named(words: str, titles: Mapping[str, str]) -> str:
    return with_names(words, titles, shelf().centers()) if titles else words
