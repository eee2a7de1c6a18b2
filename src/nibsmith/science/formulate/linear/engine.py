"""The simplex of HiGHS, one thread, and its answer worked out again from the rows that are active.

The solver stops within its tolerances; the vertex it stops at is named by its basis, so it is solved for
afresh and checked here against a tighter one.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import NibsmithError
from nibsmith.science.formulate.linear.model import Program, Vector, dense_pattern

# most a row or a bound may be missed by, in shares of the recipe's weight; the solver's own least
FEASIBLE = 1e-10

# a solution this close is taken as it is; one further off is solved for again from its active rows
EXACT = 1e-14

_OPTIONS = {
    "threads": 1,
    "parallel": "off",
    "presolve": "off",
    "solver": "simplex",
    "simplex_strategy": 1,
    "simplex_scale_strategy": 2,
    "primal_feasibility_tolerance": FEASIBLE,
    "dual_feasibility_tolerance": FEASIBLE,
}
_OTHER_WAYS = {"simplex_strategy": 4, "presolve": "on", "simplex_scale_strategy": 0}
"""Tried in turn where the dual simplex comes to no result, which rows that depend on each other can cause."""

_ROWWISE = int(highspy.MatrixFormat.kRowwise)
_MINIMISE = int(highspy.ObjSense.kMinimize)


class _Quiet(highspy.Highs):
    """HiGHS without the line it writes to standard output when it is made, and without callbacks."""

    def enableCallbacks(self) -> None:  # noqa: N802 - its name there
        self.silent()


@dataclass(frozen=True)
class _Doubt:
    why: str


_local = threading.local()


def _solver() -> Any:
    """The solver of this thread: making one takes longer than a small program."""
    if not hasattr(_local, "highs"):
        _local.highs = _Quiet()  # type: ignore[no-untyped-call]
        for name, value in _OPTIONS.items():
            _local.highs.setOptionValue(name, value)
    return _local.highs


def solve(program: Program) -> Vector | None:
    """Return the optimal vertex of a program, or ``None`` where nothing keeps all rows and bounds."""
    if program.crossed:
        return None
    highs = _solver()
    _pass_model(highs, program)
    vertex = _attempt(highs, program)
    for name, value in _OTHER_WAYS.items():
        if not isinstance(vertex, _Doubt):
            break
        highs.clearSolver()
        highs.setOptionValue(name, value)
        vertex = _attempt(highs, program)
        highs.setOptionValue(name, _OPTIONS[name])
    if isinstance(vertex, _Doubt):
        advice = "Loosen a limit a little, or drop one that repeats."
        raise NibsmithError("The solver came to no result on this problem", value=vertex.why, advice=advice)
    return vertex


def _attempt(highs: Any, program: Program) -> Vector | _Doubt | None:
    highs.run()
    status = highs.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status != highspy.HighsModelStatus.kOptimal:
        return _Doubt(str(highs.modelStatusToString(status)))
    z = program.inside(np.array(highs.getSolution().col_value))
    miss = missed_by(program, z)
    if not miss <= EXACT:  # also where it is no number
        _, basic = highs.getBasicVariables()
        z = program.inside(_vertex(program, np.array(basic), z))
        miss = missed_by(program, z)
    return z if miss <= FEASIBLE else _Doubt(f"a row is missed by {miss:.1e}")


def _pass_model(highs: Any, program: Program) -> None:
    """Hand a program to the solver in one call, which is several times quicker than field by field."""
    row_count, column_count = program.rows.shape
    starts, indices = dense_pattern(row_count, column_count)
    highs.passModel(
        column_count,
        row_count,
        row_count * column_count,
        _ROWWISE,
        _MINIMISE,
        0.0,
        program.cost,
        program.low,
        program.high,
        program.row_low,
        program.row_high,
        starts,
        indices,
        program.rows.ravel(),
        np.zeros(column_count, dtype=np.int32),  # nothing is an integer
    )


def _vertex(program: Program, basic: NDArray[np.int32], near: Vector) -> Vector:
    """Solve the active rows for the basic columns, everything else at the bound it rests on."""
    columns = basic[basic >= 0]
    if not len(columns):
        return near
    free = set((-1 - basic[basic < 0]).tolist())
    active = [row for row in range(len(program.row_low)) if row not in free]
    rows = program.rows[active]
    reached = rows @ near
    low, high = program.row_low[active], program.row_high[active]
    target = np.where(reached - low <= high - reached, low, high)
    resting = near.copy()
    resting[columns] = 0.0
    try:
        resting[columns] = np.linalg.solve(rows[:, columns], target - rows @ resting)
    except np.linalg.LinAlgError:
        return near
    return resting


def missed_by(program: Program, z: Vector) -> float:
    """Return the most by which a z within its bounds misses a row."""
    reached = program.rows @ z
    below, above = program.row_low - reached, reached - program.row_high
    return max(float(below.max(initial=0.0)), float(above.max(initial=0.0)))
