"""A material by itself: read in each form it may have, and looked at by every check."""

from __future__ import annotations

import pytest

from library.materials.shapes import About, Box, Ellipsoid, parse_shape
from library.safety.judging import judge, material_findings, pieces_to_draw, to_measure_first
from library.safety.small_parts import fit
from tests.library.safety.builders import a_material, a_piece


@pytest.mark.parametrize("widths", [(30, 26, 20), (40, 12, 12), (60, 24, 10), (90, 90, 90)])
def test_about_is_read_as_a_box_and_as_an_egg_and_the_more_cautious_counts(widths):
    box, egg = judge(About(*widths))
    assert (box.shape, egg.shape) == (Box(*widths), Ellipsoid(*widths))
    decides = box if box.decides else egg
    assert decides.fit.margin == max(box.fit.margin, egg.fit.margin)
    assert fit(About(*widths)).is_small_part == decides.fit.is_small_part


def test_a_plain_form_is_read_once():
    (one,) = judge(parse_shape("disc 25 x 4 mm"))
    assert one.decides
    assert one.fit.fits


def test_only_a_loose_piece_of_known_size_is_drawn():
    assert pieces_to_draw(a_piece("disc 25 x 4 mm"))
    assert not pieces_to_draw(a_piece(None))
    assert not pieces_to_draw(a_piece("as big as a fist"))
    assert not pieces_to_draw(a_material(loose=False, shape="disc 25 x 4 mm"))
    assert not pieces_to_draw(None)


def test_a_material_is_looked_at_by_every_check_for_an_age():
    token = a_piece("disc 25 x 4 mm", "metal token", hazards=("coin",))
    levels = {(f.level.value, f.kind) for f in material_findings(token, 24)}
    assert levels == {("stop", "small-part"), ("stop", "hazard")}
    assert {f.level.value for f in material_findings(token, 36)} == {"note", "caution"}
    assert "judged for 24 months" in material_findings(token, 24)[0].text


def test_what_is_unmeasured_comes_first_with_its_reason():
    sized, unsized = a_piece("box 90 x 90 x 90 mm", "apron"), a_piece(None, "wooden spoon")
    first, second = to_measure_first([sized, unsized])
    assert first == (unsized, "it has no size")
    assert second == (sized, None)
