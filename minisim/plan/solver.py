"""A thin hand on the solver (HiGHS): integer variables, linear rows, goals one after the other.

Deterministic: one thread, a fixed seed, rows in the order they were made.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

Term = tuple[float, int]  # factor, number of the variable
_INFINITE = 1e30
_WHOLE = 1e-6


@dataclass(frozen=True, slots=True)
class Answer:
    """Values by variable; `bound` is the best anybody could reach, equal to `value` where it is proven."""

    values: tuple[float, ...]
    value: float
    bound: float
    proven: bool

    def count(self, variable: int) -> int:
        """A value of a whole variable."""
        return round(self.values[variable])


class NoAnswerError(Exception):
    """Nothing satisfies the rows, or the time was over before anything was found."""


class Arithmetic:
    """Rows and variables, and the goals that are optimised in their order."""

    def __init__(self) -> None:
        self._upper: list[float] = []
        self._rows: list[tuple[float, float, list[Term]]] = []
        self.names: list[str] = []

    def variable(self, name: str, upper: float = 1) -> int:
        """A whole variable from 0 to `upper`."""
        self._upper.append(upper)
        self.names.append(name)
        return len(self._upper) - 1

    def row(self, terms: Iterable[Term], *, least: float = -_INFINITE, most: float = _INFINITE) -> None:
        """least <= sum of the terms <= most; terms of the same variable add up."""
        summed: dict[int, float] = {}
        for factor, variable in terms:
            summed[variable] = summed.get(variable, 0) + factor
        self._rows.append((least, most, [(factor, variable) for variable, factor in summed.items() if factor]))

    def best(self, goal: Iterable[Term], *, seconds: float, start: Answer | None = None) -> Answer:
        """The largest value of the goal.  `start` is an answer to an earlier goal, to begin from."""
        from highspy import HighsModelStatus, HighsSolution

        solver = self._solver(list(goal), seconds)
        if start is not None:
            known = HighsSolution()
            known.col_value = list(start.values)
            solver.setSolution(known)
        solver.run()
        status, info = solver.getModelStatus(), solver.getInfo()
        if status == HighsModelStatus.kInfeasible or info.primal_solution_status != 2:  # 2: a feasible one
            raise NoAnswerError(str(status))
        values = tuple(solver.getSolution().col_value)
        value, bound = -info.objective_function_value, -info.mip_dual_bound
        return Answer(values, value, bound, status == HighsModelStatus.kOptimal)

    def keep(self, goal: Iterable[Term], value: float) -> None:
        """A later goal must not lower this one."""
        self.row(goal, least=value - _WHOLE)

    def _solver(self, goal: list[Term], seconds: float) -> Any:
        import highspy
        import numpy

        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
        for option, value in (("threads", 1), ("random_seed", 1), ("time_limit", seconds), ("mip_rel_gap", 0.0)):
            solver.setOptionValue(option, value)
        costs = [0.0] * len(self._upper)
        for factor, variable in goal:
            costs[variable] -= factor  # the solver looks for the least
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(costs), len(self._rows)
        model.col_cost_, model.col_lower_ = numpy.array(costs), numpy.zeros(len(costs))
        model.col_upper_ = numpy.array(self._upper)
        model.integrality_ = [highspy.HighsVarType.kInteger] * len(costs)
        model.row_lower_ = numpy.array([least for least, _, _ in self._rows])
        model.row_upper_ = numpy.array([most for _, most, _ in self._rows])
        starts, index, value_ = [0], [], []
        for _, _, terms in self._rows:
            for factor, variable in terms:
                index.append(variable)
                value_.append(float(factor))
            starts.append(len(index))
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_, model.a_matrix_.index_ = numpy.array(starts), numpy.array(index)
        model.a_matrix_.value_ = numpy.array(value_)
        solver.passModel(model)
        return solver
