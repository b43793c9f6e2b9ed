"""The folder lists every file, serves what can be read, and writes without loss."""

import os
import threading
from dataclasses import replace

import pytest

from library.cards.folder import CardFolder
from library.materials.adding import NewMaterial
from library.materials.measuring import Measured
from library.store.errors import Invalid, NameTaken, NotFound, StaleFile, UnsafePath
from library.store.frontmatter import MAX_FILE_BYTES
from tests.builders import CARD_TEXT, a_card, write_library


@pytest.fixture
def folder(tmp_path):
    return CardFolder(write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT}))


def path_of(folder, name="water/sponge-rain.md"):
    return folder._paths.activities / name


def test_one_broken_file_never_hides_the_others(tmp_path):
    folder = CardFolder(
        write_library(
            tmp_path,
            {
                "water/sponge-rain.md": CARD_TEXT,
                "art/no-fence.md": "title: A",
                "art/empty.md": "",
                "art/README.md": "no card at all",
                ".hidden/x.md": "no card",
            },
        )
    )
    path_of(folder, "art/latin.md").write_bytes(b"---\ntitle: caf\xe9\n---\n")
    path_of(folder, "art/huge.md").write_bytes(b"x" * (MAX_FILE_BYTES + 1))
    path_of(folder, "art/dangling.md").symlink_to(tmp_path / "nowhere")
    cards, problems = folder.read_all()
    assert [card.id for card in cards] == ["sponge-rain"]
    assert [problem.file for problem in problems] == [
        "activities/art/empty.md",
        "activities/art/huge.md",
        "activities/art/latin.md",
        "activities/art/no-fence.md",
    ]
    assert "UTF-8" in problems[2].problem
    assert problems[2].line == 2


def test_two_files_with_one_id_are_named_and_the_first_serves(tmp_path):
    other = CARD_TEXT.replace("Sponge rain", "Other")
    folder = CardFolder(
        write_library(tmp_path, {"art/sponge-rain.md": CARD_TEXT, "water/sponge-rain.md": other})
    )
    problems = folder.read_all()[1]
    assert [problem.file for problem in problems] == ["activities/water/sponge-rain.md"]
    assert "the same id" in problems[0].problem
    assert folder.read("sponge-rain").card.title == "Sponge rain"


def test_a_new_card_goes_to_its_usual_center_and_never_over_another(folder):
    card = folder.create(a_card("leaf-boats", centers=("science", "water")))
    assert card.file == "activities/science/leaf-boats.md"
    assert folder.read("leaf-boats").card.title == "Leaf boats"
    with pytest.raises(NameTaken):
        folder.create(a_card("sponge-rain", centers=("art",)))


@pytest.mark.parametrize("bad", ["../out", "a/b", "Sponge", ".x", ""])
def test_a_card_cannot_be_named_out_of_its_folder(folder, bad):
    with pytest.raises(UnsafePath):
        folder.create(a_card(bad))


def test_an_update_touches_only_what_changed_and_refuses_a_stale_start(folder):
    read = folder.read("sponge-rain")
    folder.update(replace(read.card, mess=3), expected=read.fingerprint)
    assert path_of(folder).read_text() == CARD_TEXT.replace("mess: 2", "mess: 3")
    with pytest.raises(StaleFile):
        folder.update(replace(read.card, mess=1), expected=read.fingerprint)
    assert folder.read("sponge-rain").card.mess == 3


def test_a_byte_order_mark_survives_an_update(folder):
    path_of(folder).write_bytes(b"\xef\xbb\xbf" + CARD_TEXT.encode())
    read = folder.read("sponge-rain")
    folder.update(replace(read.card, mess=3), expected=read.fingerprint)
    assert (
        path_of(folder).read_bytes()
        == b"\xef\xbb\xbf" + CARD_TEXT.replace("mess: 2", "mess: 3").encode()
    )


def test_a_change_made_outside_is_seen_at_the_next_reading(folder):
    folder.read("sponge-rain")
    path_of(folder).write_text(CARD_TEXT.replace("Sponge rain", "Cloud squeeze"))
    os.utime(path_of(folder), ns=(1, 1))
    assert folder.read("sponge-rain").card.title == "Cloud squeeze"


def test_a_renamed_or_removed_file_is_not_served_under_its_old_name(folder):
    folder.read("sponge-rain")
    path_of(folder).rename(path_of(folder, "water/cloud-squeeze.md"))
    with pytest.raises(NotFound):
        folder.read("sponge-rain")
    assert folder.read("cloud-squeeze").card.id == "cloud-squeeze"


def test_a_card_that_cannot_be_made_says_all_that_is_missing(folder):
    path_of(folder).write_text("---\ntitle: A\nadult: within reach\nmaterials: []\n---\n")
    with pytest.raises(Invalid) as caught:
        folder.read("sponge-rain")
    assert [problem.field for problem in caught.value.problems] == ["centers", "ages", "prep"]


def test_materials_are_read_with_their_problems(tmp_path):
    text = (
        "- item: hand sponge\n  also: [bath sponge]\n  kind: durable\n  loose: true\n"
        "- item: bath sponge\n  kind: thing\n  loose: maybe\n- {also: [x]}\n"
    )
    book, problems = CardFolder(write_library(tmp_path, materials=text)).materials()
    assert book.find("Bath Sponges").item == "bath sponge"
    assert [(problem.line, problem.field) for problem in problems] == [
        (6, "bath sponge.kind"),
        (7, "bath sponge.loose"),
        (5, "bath sponge.also"),
        (8, "[2]"),
    ]


RING = Measured(loose=True, shape="disc 60 x 8 mm", soft=False)


@pytest.mark.parametrize(
    "write",
    [
        lambda folder, mark: folder.measure("wooden ring", RING, expected=mark),
        lambda folder, mark: folder.measure("tin lid", RING, expected=mark),
        lambda folder, mark: folder.add_materials([NewMaterial("tin lid", "durable", "no")]),
    ],
    ids=["measured", "measured-new", "added"],
)
def test_a_list_of_materials_that_is_not_utf8_is_refused_with_every_byte_kept(tmp_path, write):
    folder = CardFolder(write_library(tmp_path))
    content = "- item: wooden ring\n  kind: durable\n- item: crêpe paper\n".encode("latin-1")
    path_of(folder, "materials.yaml").write_bytes(content)
    with pytest.raises(Invalid) as caught:
        write(folder, folder.materials_fingerprint())
    assert str(caught.value) == (
        "activities/materials.yaml:3: the file is not UTF-8; save it again as UTF-8"
    )
    assert path_of(folder, "materials.yaml").read_bytes() == content


@pytest.mark.parametrize("item", ["wooden ring", "tin lid"])
def test_measuring_keeps_the_byte_order_mark_and_the_line_ends_of_the_list(tmp_path, item):
    folder = CardFolder(write_library(tmp_path))
    path, rest = path_of(folder, "materials.yaml"), "- item: crêpe paper\r\n  kind: consumable\r\n"
    path.write_bytes(f"\ufeff- item: wooden ring\r\n  kind: durable\r\n{rest}".encode())
    folder.measure(item, RING, expected=folder.materials_fingerprint())
    content = path.read_bytes()
    assert content.startswith(b"\xef\xbb\xbf- item: wooden ring\r\n")
    assert rest.encode() in content
    assert content.count(b"\n") == content.count(b"\r\n")
    assert folder.materials()[0].find(item).shape == "disc 60 x 8 mm"


def test_what_is_not_utf8_beside_the_cards_is_named_and_hides_nothing_else(tmp_path):
    folder = CardFolder(write_library(tmp_path))
    path_of(folder, "materials.yaml").write_bytes(
        "- item: crêpe paper\n  kind: consumable\n  loose: false\n- item: water\n".encode("latin-1")
    )
    path_of(folder, "allergens.yaml").write_bytes("# für uns\nlists: [us, eu]\n".encode("latin-1"))
    path_of(folder, "centers.yaml").write_bytes("- key: garden # près\n".encode("latin-1"))
    (book, problems), (centers, wrong) = folder.materials(), folder.centers()
    assert (len(book), book.find("water").line, book.eu) == (2, 4, True)
    assert centers[-1].key == "garden"
    unread = [each for each in (*problems, *wrong) if "UTF-8" in each.problem]
    assert [(each.file, each.line, each.fix) for each in unread] == [
        ("activities/materials.yaml", 1, "save it again as UTF-8"),
        ("activities/allergens.yaml", 1, "save it again as UTF-8"),
        ("activities/centers.yaml", 1, "save it again as UTF-8"),
    ]


def test_a_file_that_goes_between_looking_and_reading_is_a_card_that_is_not_there(
    folder, monkeypatch
):
    found, card = folder.find("sponge-rain"), folder.read("sponge-rain").card
    found.path.unlink()
    monkeypatch.setattr(folder, "find", lambda card_id: found)
    with pytest.raises(NotFound, match="renamed or removed"):
        folder.read("sponge-rain")
    with pytest.raises(NotFound):
        folder.update(card, expected="")
    assert folder.card("sponge-rain") is None


def test_files_that_come_and_go_break_no_list(folder):
    """What another program takes away while the folder is listed is just not in the list."""
    done = threading.Event()

    def come_and_go():
        while not done.is_set():
            for number in range(20):
                path_of(folder, f"water/brief-{number}.md").write_text("brief", encoding="utf-8")
            for number in range(20):
                path_of(folder, f"water/brief-{number}.md").unlink()

    other = threading.Thread(target=come_and_go)
    other.start()
    try:
        for _ in range(150):
            assert "sponge-rain" in {file.id for file in folder.files()}
    finally:
        done.set()
        other.join()
