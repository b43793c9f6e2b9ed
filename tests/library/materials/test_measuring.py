"""What was measured goes into one entry of the file; all others keep their bytes."""

from pathlib import Path

import pytest

from library.materials.material import Kind
from library.materials.measuring import Measured, write_label, write_measure
from library.materials.parsing import parse_materials
from library.store.errors import Invalid

SHIPPED = (Path(__file__).parents[3] / "activities" / "materials.yaml").read_text(encoding="utf-8")
TEXT = """\
# What things are like.

- item: wooden ring      # from the shop
  also: [curtain ring]
  kind: durable
  loose: true # a child can
  mood: brisk

# After the rings
- {item: knotted cord, kind: durable, loose: true}
- item: water
  kind: consumable
  loose: false # a liquid"""
RING = Measured(loose=True, shape="disc 60 x 8 mm", soft=False)


def test_one_line_is_added_and_every_other_byte_stays():
    changed = write_measure(TEXT, "curtain ring", RING)
    assert changed == TEXT.replace(
        "  loose: true # a child can\n",
        "  loose: true # a child can\n  shape: disc 60 x 8 mm\n",
    )


def test_an_entry_in_braces_is_changed_in_place():
    cord = Measured(loose=True, shape="cylinder 6 x 290 mm", soft=True)
    assert (
        "- {item: knotted cord, kind: durable, loose: true, shape: cylinder 6 x 290 mm, soft: true}\n"
        in write_measure(TEXT, "knotted cord", cord)
    )


def test_the_last_entry_without_a_line_end_is_changed_too():
    changed = write_measure(TEXT, "water", Measured(loose=True, shape="sphere 60 mm", soft=False))
    assert parse_materials(changed)[0].find("water").loose is True
    assert changed.startswith(TEXT[: TEXT.index("- item: water")])


def test_what_is_no_loose_piece_says_so_and_loses_its_size():
    first = write_measure(TEXT, "wooden ring", RING)
    changed = write_measure(first, "wooden ring", Measured(loose=False, shape="", soft=False))
    ring = parse_materials(changed)[0].find("wooden ring")
    assert (ring.loose, ring.shape) == (False, None)
    assert "loose: false # a child can" in changed


@pytest.mark.parametrize("text", ["", TEXT])
def test_a_new_material_is_added_at_the_end(text):
    shell = Measured(loose=True, shape='about 4 x 3 x 2"', soft=False, kind=Kind.CONSUMABLE)
    changed = write_measure(text, "sea: shell", shell)
    assert changed.startswith(text)
    found = parse_materials(changed)[0].find("sea: shells")
    assert (found.kind, found.loose, found.shape) == (Kind.CONSUMABLE, True, 'about 4 x 3 x 2"')


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("item", ["bell", "drum", "rattle"])
def test_line_ends_and_a_byte_order_mark_stay_as_they_are(mark, newline, item):
    """Of the first entry, of the last, which has no line end, and of one that is new."""
    lines = ("- item: bell", "  kind: durable", "- item: drum")
    text = mark + newline.join(lines)
    changed = write_measure(text, item, Measured(loose=True, shape="disc 60 x 8 mm", soft=True))
    assert changed.count("\ufeff") == len(mark)
    assert changed.startswith(mark)
    assert changed.count("\n") == changed.count(newline)
    bare = changed.removeprefix(mark).replace(newline, "\n")
    assert set(lines) <= set(bare.split("\n"))
    assert bare == write_measure(
        "\n".join(lines), item, Measured(loose=True, shape="disc 60 x 8 mm", soft=True)
    )


def test_every_shipped_entry_can_be_measured():
    book, _ = parse_materials(SHIPPED)
    for material in list(book)[::20]:
        changed = write_measure(SHIPPED, material.item, RING)
        assert parse_materials(changed)[0].find(material.item).shape == "disc 60 x 8 mm"
        assert len(changed.splitlines()) - len(SHIPPED.splitlines()) in (-1, 0, 1)


def test_a_file_that_cannot_be_changed_here_is_left_alone():
    with pytest.raises(Invalid, match="cannot be changed from here"):
        write_measure("[{item: bell, kind: durable}, {item: drum, kind: durable}]\n", "bell", RING)


@pytest.mark.parametrize(
    ("item", "allergens", "old", "new"),
    [
        ("curtain ring", ("milk",), "a child can\n", "a child can\n  allergens: [milk]\n"),
        ("wooden ring", (), "a child can\n", "a child can\n  allergens: []\n"),
        ("wooden ring", None, "a child can\n", "a child can\n  allergens: null\n"),
        ("knotted cord", ("milk", "tree-nut"), "true}", "true, allergens: [milk, tree-nut]}"),
    ],
)
def test_what_a_label_names_changes_one_key_of_one_entry(item, allergens, old, new):
    changed = write_label(TEXT, item, allergens)
    assert changed == TEXT.replace(old, new)
    found = parse_materials(changed)[0].find(item)
    assert (found.allergens, found.label_read) == (allergens or (), allergens is not None)


def test_a_label_can_be_taken_back_to_not_read_and_given_again():
    text = write_label(TEXT, "water", ("milk",))
    unread = write_label(text, "water", None)
    assert parse_materials(unread)[0].find("water").label_read is False
    assert write_label(unread, "water", ("milk",)) == text


def test_a_label_of_what_nobody_has_described_is_refused():
    with pytest.raises(Invalid, match="nobody has described it"):
        write_label(TEXT, "plain yogurt", ())
