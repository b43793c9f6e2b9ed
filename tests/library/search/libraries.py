"""Makes small libraries on disk and searches them."""

from __future__ import annotations

from pathlib import Path

from library.cards.card import Card
from library.cards.folder import CardFolder
from library.cards.parsing import write_card
from library.search.index import SearchIndex
from library.store.paths import LibraryPaths

MATERIALS = """
- item: hand sponge
  also: [car sponge, bath sponge]
  kind: durable
  loose: true
- item: spray bottle
  also: [mister]
  kind: durable
  loose: true
- item: washable paint
  also: [tempera]
  kind: consumable
  loose: false
- item: painter's tape
  kind: consumable
  loose: false
- item: flour
  also: [wheat flour]
  kind: consumable
  loose: false
  allergens: [wheat]
- item: water
  also: [tap water]
  kind: consumable
  loose: false
- item: white rice
  kind: consumable
  loose: true
"""


class Shelf:
    """A library folder with its index."""

    def __init__(self, root: Path, *cards: Card, materials: str = MATERIALS) -> None:
        self.root = root
        self.paths = LibraryPaths(root / "library", root / "data")
        self.paths.activities.mkdir(parents=True)
        self.paths.themes.mkdir()
        (self.paths.activities / "materials.yaml").write_text(materials, encoding="utf-8")
        self.folder = CardFolder(self.paths)
        for card in cards:
            self.write(card)
        self.index = self.open()

    def open(self) -> SearchIndex:
        """Opens the index anew, as a second start would."""
        index = SearchIndex(self.paths, CardFolder(self.paths))
        index.refresh()
        return index

    def path(self, card: Card) -> Path:
        """The file of a card."""
        return self.paths.activities / card.centers[0] / f"{card.id}.md"

    def write(self, card: Card) -> str:
        """Writes the file of a card, new or not, and gives its path within the library."""
        path = self.path(card)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(write_card(card), encoding="utf-8")
        return path.relative_to(self.paths.folder).as_posix()
