"""Renames a card and lets every unit follow: all files, or none."""

from __future__ import annotations

import re

from library.cards.card import Card
from library.cards.folder import CardFolder
from library.cards.parsing import change_card
from library.store.atomic import create_file, fingerprint, remove_file, replace_file
from library.store.errors import Invalid, LibraryError, NameTaken, StaleFile
from library.store.frontmatter import read_document
from library.store.locks import one_writer
from library.store.paths import LibraryPaths, check_id
from library.store.rows import change_row
from library.store.yamltext import plain_dict
from library.units.folder import UnitFolder, put_back


def rename_card(paths: LibraryPaths, old: str, new: str) -> list[str]:
    """Gives a card another id; placements, rain swaps and look-backs follow.

    The card is written under its new name first and removed under the old one last, so that
    whatever interrupts it, every placement finds its card; doing it again finishes it.

    Args:
        paths: The library's places.
        old: The id the card has.
        new: The id it gets.

    Returns:
        The unit files that changed, by their path within the library folder.

    Raises:
        NotFound: If there is no such card.
        NameTaken: If another card has the new id.
        Invalid: If a unit file that names the card cannot be read; nothing changes then.
    """
    cards, units = CardFolder(paths), UnitFolder(paths)
    source = cards.find(old).path
    content = source.read_bytes()
    target = source.with_name(f"{check_id(new)}.md")
    with one_writer(paths.write_lock):
        begun = cards.exists(new)
        if begun and cards.find(new).path.read_bytes() != content:
            raise NameTaken(f"there is a card '{new}' already; choose another name")
        changed = units.rewrite_all(lambda text: follow(text, old, new), _mention(old))
        try:
            if not begun:
                create_file(target, content)
            remove_file(source, expected=fingerprint(content))
        except (LibraryError, OSError):
            put_back(changed)
            if not begun:
                target.unlink(missing_ok=True)
            raise
    return [path.relative_to(paths.folder).as_posix() for path, _ in changed]


def join_cards(
    paths: LibraryPaths, kept: Card, gone: str, *, expected: str, gone_expected: str
) -> list[str]:
    """Makes one card of two: the one stays with new values, the other goes, and every unit follows.

    The history keeps the card that goes. Whatever interrupts it, every placement finds a card.

    Args:
        paths: The library's places.
        kept: The card that stays, with the values it gets.
        gone: The id of the card that goes.
        expected: Fingerprint of the file of the card that stays.
        gone_expected: Fingerprint of the other.

    Returns:
        The unit files that changed, by their path within the library folder.

    Raises:
        StaleFile: If one of the two changed meanwhile; nothing changes then.
        NotFound: If one of the two is gone.
        Invalid: If a unit file that names the card that goes cannot be read; nothing changes then.
    """
    cards, units = CardFolder(paths), UnitFolder(paths)
    source, target = cards.find(gone).path, cards.find(kept.id).path
    with one_writer(paths.write_lock):
        before = target.read_bytes()
        if fingerprint(source.read_bytes()) != gone_expected or fingerprint(before) != expected:
            raise StaleFile("one of the two cards was changed meanwhile; look at both again")
        changed = units.rewrite_all(lambda text: follow(text, gone, kept.id), _mention(gone))
        try:
            text = change_card(before.decode("utf-8"), kept)
            replace_file(target, text.encode(), expected=expected)
            remove_file(source, expected=gone_expected)
        except (LibraryError, OSError):
            put_back([*changed, (target, before)])
            raise
    return [path.relative_to(paths.folder).as_posix() for path, _ in changed]


def follow(text: str, old: str, new: str) -> str:
    """The text of a unit with one card's id replaced wherever the unit names that card.

    Raises:
        Invalid: If the front matter cannot be read.
    """
    document, problems = read_document(text)
    if problems:
        raise Invalid(problems)
    for key in ("placements", "look_back"):
        rows = document.fields.get(key)
        for index, row in enumerate(rows if isinstance(rows, list) else [rows]):
            named = plain_dict(row)
            changes = {name: new for name in ("activity", "instead") if named.get(name) == old}
            if changes:
                text = change_row(text, key, index, changes)
    return text


def _mention(card_id: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![a-z0-9-]){re.escape(card_id)}(?![a-z0-9-])")
