"""A thin, exact-minded door to HiGHS: whole-number variables, linear rows, one objective at a time.

HiGHS is imported when the first model is solved. One thread, one seed, a limit counted in nodes
and never in seconds: the same question gets the same answer on every machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal, TypeAlias

Terms: TypeAlias = Iterable[tuple[int, int]]
"""Pairs of variable and coefficient."""
INFINITY = float("inf")
WHOLE = 0.01
"""How far from a whole number a solver's figure may lie and still stand for it."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver found."""

    status: Literal["best", "none", "stopped"]
    """``best``: proven best. ``none``: proven that there is no solution. ``stopped``: at the limit."""
    values: tuple[int, ...] | None
    """By variable; None where no solution was found."""
    value: int | None
    """Of the objective."""
    bound: float
    """No solution is lower than this."""
    nodes: int = 0
    """How many nodes of the search tree were looked at."""

    @property
    def closes_gap(self) -> bool:
        """Whether no whole number lies between the bound and the costs."""
        return self.value is not None and self.value - self.bound < 1 - WHOLE


@dataclass(slots=True)
class Program:
    """Whole-number variables and linear rows over them."""

    lower: list[int] = field(default_factory=list)
    upper: list[int] = field(default_factory=list)
    rows: list[tuple[tuple[int, int], ...]] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)

    def variable(self, lower: int, upper: int) -> int:
        """A new whole number from ``lower`` to ``upper``."""
        self.lower.append(lower)
        self.upper.append(upper)
        return len(self.lower) - 1

    def at_most(self, terms: Terms, limit: float) -> None:
        """The sum of the terms is at most ``limit``."""
        self._row(terms, -INFINITY, limit)

    def at_least(self, terms: Terms, limit: float) -> None:
        """The sum of the terms is at least ``limit``."""
        self._row(terms, limit, INFINITY)

    def exactly(self, terms: Terms, value: float) -> None:
        """The sum of the terms is ``value``."""
        self._row(terms, value, value)

    def minimise(
        self, costs: Mapping[int, int], nodes: int, hint: Sequence[int] | None = None
    ) -> Answer:
        """The solution with the lowest sum of costs.

        Args:
            costs: By variable.
            nodes: How many nodes of the search tree may be looked at.
            hint: A solution to begin with; variables added since take their lower bounds.
        """
        answer = self._run(costs, nodes, hint)
        if hint is None or answer.status != "best" or answer.closes_gap:
            return answer
        # With a solution to begin with HiGHS has called it the best although its own bound is lower.
        again = self._run(costs, max(nodes - answer.nodes, 1), None)
        return replace(again, nodes=again.nodes + answer.nodes)

    def _run(self, costs: Mapping[int, int], nodes: int, hint: Sequence[int] | None) -> Answer:
        highs = _quiet_highs(nodes)
        highs.passModel(self._model(costs))
        if hint is not None:
            filled = [*hint, *self.lower[len(hint) :]]
            highs.setSolution(_solution([float(value) for value in filled]))
        highs.run()
        return self._answer(highs, costs)

    def _row(self, terms: Terms, lower: float, upper: float) -> None:
        merged: dict[int, int] = {}
        for variable, factor in terms:
            merged[variable] = merged.get(variable, 0) + factor
        self.rows.append(tuple(merged.items()))
        self.row_lower.append(lower)
        self.row_upper.append(upper)

    def _model(self, costs: Mapping[int, int]) -> Any:
        import highspy

        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.lower), len(self.rows)
        lp.col_cost_ = [float(costs.get(column, 0)) for column in range(len(self.lower))]
        lp.col_lower_ = [float(bound) for bound in self.lower]
        lp.col_upper_ = [float(bound) for bound in self.upper]
        lp.row_lower_, lp.row_upper_ = self.row_lower, self.row_upper
        starts = [0]
        for row in self.rows:
            starts.append(starts[-1] + len(row))
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = starts
        lp.a_matrix_.index_ = [variable for row in self.rows for variable, _ in row]
        lp.a_matrix_.value_ = [float(factor) for row in self.rows for _, factor in row]
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self.lower)
        return lp

    def _answer(self, highs: Any, costs: Mapping[int, int]) -> Answer:
        import highspy

        status, info = highs.getModelStatus(), highs.getInfo()
        if status == highspy.HighsModelStatus.kInfeasible:
            return Answer("none", None, None, INFINITY, info.mip_node_count)
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return Answer("stopped", None, None, info.mip_dual_bound, info.mip_node_count)
        values = tuple(round(value) for value in highs.getSolution().col_value)
        value = sum(cost * values[variable] for variable, cost in costs.items())
        proven = status == highspy.HighsModelStatus.kOptimal
        said: Literal["best", "stopped"] = "best" if proven else "stopped"
        return Answer(said, values, value, info.mip_dual_bound, info.mip_node_count)


def _quiet_highs(nodes: int) -> Any:
    """A solver that writes nothing: its own constructor would print a banner on standard output."""
    import highspy

    class Quiet(highspy.Highs):  # type: ignore[misc]
        def __init__(self) -> None:
            super(highspy.Highs, self).__init__()

    highs = Quiet()
    options: dict[str, Any] = {
        "output_flag": False, "threads": 1, "random_seed": 1, "mip_max_nodes": nodes,
        "mip_rel_gap": 0.0, "mip_abs_gap": 0.5,
    }  # fmt: skip
    for name, value in options.items():
        highs.setOptionValue(name, value)
    return highs


def _solution(values: list[float]) -> Any:
    import highspy

    solution = highspy.HighsSolution()
    solution.col_value = values
    return solution
