"""Search puts right cards first, and never fewer than it once did."""

from __future__ import annotations

import pytest
import pytrec_eval

from tests import shelf
from tests.relevance import (
    DEPTH,
    Answered,
    Judged,
    answers,
    mean_ndcg,
    ndcg,
    questions,
    report,
    share_right_early,
)

FLOOR_NDCG = 0.77
FLOOR_RIGHT_EARLY = 0.93
"""Floors only rise: raise them with what made search better."""
FAR_ABOVE = 0.06
"""So far above its floor a figure asks for a higher floor."""


@pytest.fixture(scope="module")
def answered() -> list[Answered]:
    """Every judged question with what search gave."""
    return answers()


def test_eighty_questions_are_judged_each_by_cards_that_are_there() -> None:
    judged = questions()
    assert len(judged) >= 80
    assert len({one.ask for one in judged}) == len(judged)
    for one in judged:
        assert set(one.grades) <= set(shelf.cards_by_id()), one.ask
        assert 3 in one.grades.values(), one.ask


def test_search_answers_no_worse_than_before(answered: list[Answered]) -> None:
    figures = "\n".join(report(answered, each=True))
    assert mean_ndcg(answered) >= FLOOR_NDCG, figures
    assert share_right_early(answered) >= FLOOR_RIGHT_EARLY, figures


def test_the_floors_rise_with_what_search_can_do(answered: list[Answered]) -> None:
    assert mean_ndcg(answered) < FLOOR_NDCG + FAR_ABOVE, "raise FLOOR_NDCG"
    assert share_right_early(answered) < FLOOR_RIGHT_EARLY + FAR_ABOVE, "raise FLOOR_RIGHT_EARLY"


def test_the_measure_is_the_one_that_trec_eval_computes(answered: list[Answered]) -> None:
    """Checked against pytrec_eval, which wraps NIST's trec_eval."""
    wanted = {one.judged.ask: dict(one.judged.grades) for one in answered}
    run = {
        one.judged.ask: {card: float(DEPTH - rank) for rank, card in enumerate(one.found)}
        for one in answered
        if one.found
    }
    measured = pytrec_eval.RelevanceEvaluator(wanted, {f"ndcg_cut.{DEPTH}"}).evaluate(run)
    for one in answered:
        if one.found:
            expected = measured[one.judged.ask][f"ndcg_cut_{DEPTH}"]
            assert one.ndcg == pytest.approx(expected, abs=1e-9)


def test_nothing_right_earns_nothing_and_the_ideal_order_earns_all() -> None:
    judged = Judged("boats", {"box-boat": 3, "load-the-boats": 2})
    assert ndcg((), judged.grades) == 0
    assert ndcg(("boot-wash",), judged.grades) == 0
    assert ndcg(("box-boat", "load-the-boats"), judged.grades) == 1
