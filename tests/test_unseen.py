"""Questions by somebody who had not seen the program are read as she meant them, most of them."""

import yaml

from tests.unseen import QUESTIONS, misread

FLOOR = 36
"""Of sixty; 34 before the first look at them."""


def test_questions_of_somebody_who_had_not_seen_the_program(tmp_path):
    rows = yaml.safe_load(QUESTIONS.read_text(encoding="utf-8"))
    assert len(rows) == 60
    assert len(rows) - len([*misread(tmp_path)]) >= FLOOR
