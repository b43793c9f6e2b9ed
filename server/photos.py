"""Pictures beside a card's file: which there are, and adding and taking out one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from library.cards.card import Card
from library.cards.folder import ReadCard
from library.cards.photos import MOST_PHOTOS, NAME, next_name, plain_picture
from library.store.atomic import create_file
from library.store.errors import NotFound, StaleFile, WrongUse
from server.shelf import shelf


def photo_numbers(card: Card) -> tuple[int, ...]:
    """The places, from 1, of those pictures of a card whose files are there."""
    return tuple(n for n in range(1, len(card.photos) + 1) if _file(card, n) is not None)


def photo_file(card: Card, number: int) -> Path:
    """The file of a card's picture.

    Raises:
        NotFound: If the card names no such picture, or its file is not there.
    """
    found = _file(card, number)
    if found is None:
        raise NotFound("there is no such picture; it may have been taken out")
    return found


def add_photo(read: ReadCard, content: bytes) -> str:
    """Puts a picture beside a card and names it in the card.

    Returns:
        The name of the new file.

    Raises:
        Invalid: If it is no picture that can be read.
        StaleFile: If the card changed since it was read.
        WrongUse: If the card has enough pictures.
    """
    card = read.card
    if len(card.photos) >= MOST_PHOTOS:
        raise WrongUse(f"a card has at most {MOST_PHOTOS} pictures; take one out first")
    picture = plain_picture(content)
    folder = shelf().cards.find(card.id).path.parent
    there = {path.name for path in folder.iterdir()}
    name = next_name(card.id, there | set(card.photos))
    create_file(folder / name, picture)
    try:
        changed = replace(card, photos=(*card.photos, name))
        shelf().cards.update(changed, expected=read.fingerprint)
    except StaleFile:
        (folder / name).unlink(missing_ok=True)
        raise
    return name


def remove_photo(read: ReadCard, number: int) -> str:
    """Takes a picture out of a card and deletes its file for good, unless another card names it too.

    Raises:
        NotFound: If the card names no such picture.
        StaleFile: If the card changed since it was read.
    """
    card = read.card
    path = photo_file(card, number)
    left = tuple(name for name in card.photos if name != path.name)
    shelf().cards.update(replace(card, photos=left), expected=read.fingerprint)
    others = (each for each in shelf().cards.read_all()[0] if each.id != card.id)
    if not any(path.name in each.photos and _folder(each) == path.parent for each in others):
        path.unlink(missing_ok=True)
    return path.name


def _file(card: Card, number: int) -> Path | None:
    if not 1 <= number <= len(card.photos) or not NAME.match(card.photos[number - 1]):
        return None
    path = _folder(card) / card.photos[number - 1]
    return path if path.is_file() and not path.is_symlink() else None


def _folder(card: Card) -> Path:
    return shelf().cards.find(card.id).path.parent
