"""Rows put in the order of their times: turned round, sorted, taken apart, and merged where times repeat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.log.understood import Order
from nibsmith.science.tables import load

Rows = NDArray[np.intp]
# A run that begins anew starts within this many usual steps of the first one, and within a minute.
_RESTART_STEPS, _RESTART_SECONDS = 5, 60


@dataclass(frozen=True, eq=False)
class Ordered:
    """The rows in order of time, how they stood, how many went back, and which run it is of how many."""

    rows: Rows
    order: Order
    went_back: int
    run: int
    runs: int


def put_in_order(times: Array, run: int | None) -> Ordered:
    """Return the rows with a time in order; of several runs in one file the one that is wanted.

    Parameters
    ----------
    times : array
        One for each row, no number where a row has none [s].
    run : int, optional
        Which of several runs is meant, counted from one.

    Returns
    -------
    Ordered
        Numbers of rows, and how they stood.

    Raises
    ------
    InputError
        If there are several runs and none is chosen, or no such run.

    Examples
    --------
    >>> put_in_order(np.array([0.0, np.nan, 20.0, 10.0]), None).rows.tolist()
    [0, 3, 2]
    """
    timed = np.flatnonzero(np.isfinite(times))
    steps = np.diff(times[timed])
    back = np.flatnonzero(steps < 0)
    if not back.size:
        _check_run(run, 1)
        return Ordered(timed, Order.RISING, 0, 1, 1)
    if (steps <= 0).all():
        _check_run(run, 1)
        return Ordered(timed[::-1], Order.TURNED, 0, 1, 1)
    runs = _runs(timed, times, back)
    chosen = _check_run(run, len(runs), [times[each] for each in runs])
    rows = runs[chosen - 1]
    went_back = int((np.diff(times[rows]) < 0).sum())
    order = Order.SORTED if went_back else Order.RISING
    return Ordered(rows[np.argsort(times[rows], kind="stable")], order, went_back, chosen, len(runs))


def _runs(timed: Rows, times: Array, back: Rows) -> list[Rows]:
    """Cut where the times begin anew; rows that merely stand in the wrong place are not cut."""
    values = times[timed]
    rising = np.diff(values)
    step = float(np.median(rising[rising > 0])) if (rising > 0).any() else 0.0
    least = load("roast")["roast_shortest"].value
    anew = values[back + 1] <= values.min() + min(_RESTART_STEPS * step, _RESTART_SECONDS)
    far = values[back] - values[back + 1] >= least
    return np.split(timed, back[anew & far] + 1)


def _check_run(wanted: int | None, runs: int, times: list[Array] | None = None) -> int:
    if wanted is None:
        if runs == 1:
            return 1
        lengths = ", ".join(
            f"{number}: {np.ptp(each) / 60:.1f} min" for number, each in enumerate(times or (), 1)
        )
        raise InputError(
            "The times begin anew: there are several runs in this file",
            value=lengths,
            advice="Say which one is meant.",
        )
    if not 1 <= wanted <= runs:
        raise InputError("There is no such run in this file", value=wanted, limit=f"1 to {runs}")
    return wanted


def merged(times: Array, readings: Array) -> tuple[Array, Array, int]:
    """Return times that rise and one reading for each: the mean where a time stands more than once.

    Parameters
    ----------
    times : array
        In order, some of them alike [s].
    readings : array
        One row a probe, one column a time; no number is no reading [°C].

    Returns
    -------
    tuple of array, array and int
        Times [s], readings [°C], and how many rows went into others.

    Examples
    --------
    >>> times, readings, count = merged(np.array([0.0, 5.0, 5.0]), np.array([[24.0, 30.0, 32.0]]))
    >>> times.tolist(), readings.tolist(), count
    ([0.0, 5.0], [[24.0, 31.0]], 1)
    """
    new = np.concatenate(([True], np.diff(times) > 0))
    first = np.flatnonzero(new)
    if first.size == times.size:
        return times, readings, 0
    known = np.isfinite(readings)
    sums = np.add.reduceat(np.where(known, readings, 0.0), first, axis=1)
    counts = np.add.reduceat(known.astype(np.float64), first, axis=1)
    means = np.divide(sums, counts, out=np.full_like(sums, np.nan), where=counts > 0)
    return times[first], means, int(times.size - first.size)


def gap_limit(times: Array) -> float:
    """Return the longest pause that is no gap: some usual steps, within limits.

    Parameters
    ----------
    times : array
        In order [s].

    Returns
    -------
    float
        A longer pause is a gap [s].

    Examples
    --------
    >>> short, long = (gap_limit(np.arange(0.0, 60.0 * step, step)) for step in (1.0, 600.0))
    >>> short < long
    True

    References
    ----------
    [bench-judgement]
    """
    table = load("roast")
    step = float(np.median(np.diff(times))) if times.size > 1 else 0.0
    usual = max(table["gap_factor"].value * step, table["gap_least"].value)
    return min(usual, table["gap_most"].value)
