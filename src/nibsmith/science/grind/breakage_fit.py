"""Breakage constants from size readings taken while grinding."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.grind.breakage import Breakage, breakage_matrix, cancels, checked, transition
from nibsmith.science.numerics import Array

# The fit ends where a step lowers the sum of squares by less than this share of it, or moves less than the
# root of this.
FIT_TOLERANCE = 1e-9
# Step of the one-sided differences: near the root of the precision of a double.
DIFFERENCE_STEP = 1e-6
# Damping of the first step, and where it counts as hopeless.
_FIRST_TINY, _LAST_SLACK = 0.01, 1e9
_MOST_STEPS = 100
_CONSTANTS = 3


@dataclass(frozen=True, slots=True)
class FinerReading:
    """Share of the volume finer than a size [0 to 1] after some hours of grinding; a micrometer reads 0.9."""

    hours: float
    size_um: float
    finer: float


@dataclass(frozen=True, slots=True)
class BreakageFit:
    """Fitted breakage: standard errors as shares of speed and fine, absolute for the exponent; what is left.

    ``left_over`` is the root mean square of predicted less read shares [0 to 1].
    """

    breakage: Breakage
    speed_error: float
    exponent_error: float
    fine_error: float
    left_over: float
    steps: int


def fit_breakage(
    edges_um: Sequence[float],
    shares: Sequence[float],
    readings: Sequence[FinerReading],
    first: Breakage,
) -> BreakageFit:
    """Return speed, exponent and fragment exponent that fit readings best.

    Least squares of the share finer, by damped Gauss-Newton steps on ``ln speed``, ``exponent`` and
    ``ln fine``; the system is solved exactly for each trial.

    Parameters
    ----------
    edges_um : sequence of float
        Edges of the classes, rising [µm].
    shares : sequence of float
        Volume in each class at the start, finest first [0 to 1].
    readings : sequence of FinerReading
        Three or more, within the classes.
    first : Breakage
        Where to begin; its other constants are kept.

    Returns
    -------
    BreakageFit
        The breakage and how well it is known.

    Raises
    ------
    InputError
        If there are fewer than three readings, or one that no distribution can have.

    Examples
    --------
    >>> edges = [float(edge) for edge in np.geomspace(1.0, 500.0, 31)]
    >>> coarse = [0.0] * 29 + [1.0]
    >>> readings = [FinerReading(1.0 + 2 * n, 60.0, 1 - math.exp(-0.06 * (1 + 2 * n))) for n in range(5)]
    >>> readings += [FinerReading(1.0 + 2 * n, 20.0, 1 - math.exp(-0.02 * (1 + 2 * n))) for n in range(5)]
    >>> fit = fit_breakage(edges, coarse, readings, Breakage(0.05, 0.8, 0.8))
    >>> round(fit.breakage.exponent, 1), fit.left_over < 0.01
    (1.0, True)

    References
    ----------
    [austin-1971], [reid-1965]
    """
    problem = _problem(edges_um, shares, readings, first.reference_um)
    here = np.array([math.log(first.speed), first.exponent, math.log(first.fine)])
    left, slopes = _residuals(problem, here, first)
    damping, steps, sum_now = _FIRST_TINY, 1, float(left @ left)
    while steps < _MOST_STEPS and damping < _LAST_SLACK:
        trial = _next(here, left, slopes, damping)
        trial_left, trial_slopes = _residuals(problem, trial, first)
        steps += 1
        gained = sum_now - float(trial_left @ trial_left)
        if gained < 0:
            damping = max(damping, _FIRST_TINY) * 10
            continue
        moved = float(np.abs(trial - here).max())
        here, left, slopes, sum_now = trial, trial_left, trial_slopes, sum_now - gained
        damping *= 0.1
        if gained <= FIT_TOLERANCE * sum_now or moved <= math.sqrt(FIT_TOLERANCE):
            break
    return _result(here, left, slopes, first, steps)


def _next(here: Array, left: Array, slopes: Array, damping: float) -> Array:
    """A damped Gauss-Newton step; the exponent stays zero or more."""
    square = slopes.T @ slopes
    square[np.diag_indices_from(square)] *= 1 + damping
    trial = here - np.linalg.solve(square, slopes.T @ left)
    trial[1] = max(trial[1], 0.0)
    return np.asarray(trial)


@dataclass(frozen=True)
class _Problem:
    """Classes, start, readings, and what turns masses of the classes into the share finer of each reading.

    ``logs`` are the logarithms of the sizes of the classes over the reference.
    """

    edges: Array
    start: Array
    hours: Array
    seen: Array
    below: Array
    logs: Array


def _problem(
    edges_um: Sequence[float],
    shares: Sequence[float],
    readings: Sequence[FinerReading],
    reference_um: float,
) -> _Problem:
    hours = [reading.hours for reading in readings]
    edges, start, times = checked(edges_um, shares, hours)
    seen = np.array([reading.finer for reading in readings])
    sizes = np.array([reading.size_um for reading in readings])
    if len(readings) < _CONSTANTS:
        raise InputError("Three constants need three readings", value=len(readings))
    if not ((seen > 0) & (seen < 1)).all() or not ((sizes > edges[0]) & (sizes < edges[-1])).all():
        raise InputError("A reading is a share between 0 and 1 at a size within the classes")
    # The finer part of a class counts in proportion to the logarithm of size.
    logs = np.log(edges)
    below = (np.log(sizes)[:, None] - logs[:-1]) / np.diff(logs)
    middles = 0.5 * (logs[1:] + logs[:-1]) - math.log(reference_um)
    return _Problem(edges, start, times, seen, np.clip(below, 0.0, 1.0), middles)


def _residuals(problem: _Problem, constants: Array, first: Breakage) -> tuple[Array, Array]:
    """Predicted less read shares, and their slopes with the three constants."""
    rates, vectors = np.linalg.eig(_matrices(problem, constants, first))
    try:
        weights = np.linalg.solve(vectors, np.broadcast_to(problem.start[:, None], (*rates.shape, 1)))[..., 0]
    except np.linalg.LinAlgError:
        return _stepped_residuals(problem, constants, first)
    if cancels(vectors, weights):
        return _stepped_residuals(problem, constants, first)
    # Readings down, modes across; one layer a trial.
    terms = (problem.below @ vectors) * weights[:, None, :]
    terms *= np.exp(problem.hours[:, None] * rates[:, None, :])
    finer = terms.sum(axis=2)
    # A higher speed is a longer time.
    faster = problem.hours * (terms[0] @ rates[0])
    slopes = np.stack([faster, *((finer[1:] - finer[0]) / DIFFERENCE_STEP)], axis=1)
    return finer[0] - problem.seen, slopes


def _matrices(problem: _Problem, constants: Array, first: Breakage) -> Array:
    """The rates at the constants, with a little more exponent, and with a little more fine."""
    here = breakage_matrix(problem.edges, _breakage(constants, first))
    finer = constants + np.array([0.0, 0.0, DIFFERENCE_STEP])
    # Whatever leaves a class leaves it at its own rate, so more exponent only scales its column.
    grown = here * np.exp(DIFFERENCE_STEP * problem.logs)
    return np.stack([here, grown, breakage_matrix(problem.edges, _breakage(finer, first))])


def _stepped_residuals(problem: _Problem, constants: Array, first: Breakage) -> tuple[Array, Array]:
    """The same where rates lie so close that the closed solution would lose digits."""
    trials = [constants, *(constants + step for step in np.eye(_CONSTANTS) * DIFFERENCE_STEP)]
    finer = np.stack([_stepped(problem, _breakage(trial, first)) for trial in trials])
    return finer[0] - problem.seen, ((finer[1:] - finer[0]) / DIFFERENCE_STEP).T


def _stepped(problem: _Problem, how: Breakage) -> Array:
    matrix = breakage_matrix(problem.edges, how)
    masses = {hours: transition(matrix, hours) @ problem.start for hours in set(problem.hours.tolist())}
    rows = np.stack([masses[hours] for hours in problem.hours.tolist()])
    return np.asarray((problem.below * rows).sum(axis=1))


def _breakage(constants: Array, first: Breakage) -> Breakage:
    speed, exponent, fine = (float(value) for value in constants)
    return replace(first, speed=math.exp(speed), exponent=max(exponent, 0.0), fine=math.exp(fine))


def _result(here: Array, left: Array, slopes: Array, first: Breakage, steps: int) -> BreakageFit:
    spare = left.size - _CONSTANTS
    variance = float(left @ left) / spare if spare else math.nan
    errors = np.sqrt(np.maximum(np.diag(np.linalg.pinv(slopes.T @ slopes)) * variance, 0.0))
    return BreakageFit(
        _breakage(here, first),
        speed_error=float(errors[0]),
        exponent_error=float(errors[1]),
        fine_error=float(errors[2]),
        left_over=math.sqrt(float(left @ left) / left.size),
        steps=steps,
    )
