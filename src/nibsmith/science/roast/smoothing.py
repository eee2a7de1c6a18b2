"""A curve without its noise, and how fast it rises: a straight line fitted around every reading."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.curves import SECONDS_A_MINUTE, Curve
from nibsmith.science.tables import load

LEAST_READINGS = 3
FEW_READINGS = 12
_BLOCK = 8192  # readings summed together: short sums keep their digits and stay near the processor
Places = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Smoothed:
    """A smoothed curve: temperatures [°C], rate of change [K/min], and how far readings scatter [K].

    ``rate_k_min`` is no number where too few readings lie around; ``window_s`` is the width of the fit [s].
    """

    times_s: Array
    celsius: Array
    rate_k_min: Array
    scatter_k: float
    window_s: float


@dataclass(frozen=True, eq=False)
class _Windows:
    """For every reading the first of its window, the one behind the last, and how many lie in it."""

    first: Places
    behind: Places

    @property
    def count(self) -> Places:
        return self.behind - self.first


def smooth(curve: Curve, window_s: float | None = None) -> Smoothed:
    """Return a curve without its noise, and its rate of change.

    Around every reading a straight line is fitted to all readings within half the window either side; its
    slope is the rate. The value is the line at the reading, and the same again of what it left over, so that
    a bend keeps its depth. Up to twelve readings are taken as they stand, with the slope of the parabola
    through each and its neighbours.

    Parameters
    ----------
    curve : Curve
        The readings; no line is fitted across a pause longer than its trusted one.
    window_s : float, optional
        Width of the window [s]; usual: a minute, and four usual steps where readings lie further apart.

    Returns
    -------
    Smoothed
        At the times of the readings [s, °C, K/min].

    Raises
    ------
    InputError
        If the window is not above zero.

    Notes
    -----
    Exact for a straight line, at the ends too. Cost is linear in the readings: sums run over the whole curve
    once. At the start and the end the window is cut, and the rate there is less sure.

    Examples
    --------
    >>> smoothed = smooth(Curve(np.arange(0.0, 300.0, 5.0), 20 + np.arange(0.0, 300.0, 5.0) / 6, 30.0))
    >>> round(float(smoothed.celsius[10]), 3), round(float(smoothed.rate_k_min[10]), 3)
    (28.333, 10.0)
    """
    if curve.times_s.size <= FEW_READINGS and window_s is None:
        return _by_hand(curve)
    width = _window(curve, window_s)
    windows = _windows(curve, width / 2)
    line, slope = _straight(curve.times_s, curve.celsius, windows)
    again, _ = _straight(curve.times_s, curve.celsius - line, windows)
    enough = windows.count >= LEAST_READINGS
    smoothed = np.where(enough, line + again, curve.celsius)
    rate = np.where(enough, slope * SECONDS_A_MINUTE, np.nan)
    return Smoothed(curve.times_s, smoothed, rate, _scatter(curve.celsius - smoothed, enough), width)


def _by_hand(curve: Curve) -> Smoothed:
    """Few readings are taken as they stand; their rate is the slope of the parabola through neighbours."""
    if curve.times_s.size < 2:
        return Smoothed(curve.times_s, curve.celsius, np.full(1, np.nan), 0.0, 0.0)
    rate = np.gradient(curve.celsius, curve.times_s) * SECONDS_A_MINUTE
    wide = np.diff(curve.times_s) > curve.gap_s
    beside = np.concatenate((wide, [False])) | np.concatenate(([False], wide))
    return Smoothed(curve.times_s, curve.celsius, np.where(beside, np.nan, rate), 0.0, 0.0)


def _window(curve: Curve, window_s: float | None) -> float:
    if window_s is not None:
        if not window_s > 0:
            raise InputError("The window of smoothing is above zero", value=window_s)
        return window_s
    table = load("roast")
    step = float(np.median(np.diff(curve.times_s))) if curve.times_s.size > 1 else 0.0
    return max(table["smoothing_window"].value, table["smoothing_least"].value * step)


def _windows(curve: Curve, half: float) -> _Windows:
    times = curve.times_s
    first = np.searchsorted(times, times - half, side="left")
    behind = np.searchsorted(times, times + half, side="right")
    breaks = np.flatnonzero(np.diff(times) > curve.gap_s) + 1
    if breaks.size:
        edges = np.concatenate(([0], breaks, [times.size]))
        stretch = np.searchsorted(breaks, np.arange(times.size), side="right")
        first, behind = np.maximum(first, edges[stretch]), np.minimum(behind, edges[stretch + 1])
    return _Windows(first, behind)


def _straight(times: Array, values: Array, windows: _Windows) -> tuple[Array, Array]:
    """Fit a straight line in every window; return its value at the reading and its slope."""
    value, slope = np.empty_like(values), np.empty_like(values)
    for begin in range(0, times.size, _BLOCK):
        block = slice(begin, begin + _BLOCK)
        first, behind = windows.first[block], windows.behind[block]
        here = slice(int(first[0]), int(behind[-1]))
        near = _Windows(first - here.start, behind - here.start)
        value[block], slope[block] = _lines(times[here], values[here], near, times[block])
    return value, slope


def _lines(times: Array, values: Array, windows: _Windows, at: Array) -> tuple[Array, Array]:
    # Middles taken out first: the running sums then lose no digit that counts.
    middle_t, middle_y = times[times.size // 2], values.mean()
    t, y = times - middle_t, values - middle_y
    count = windows.count
    sum_t, sum_y, sum_tt, sum_ty = (_in_windows(each, windows) for each in (t, y, t * t, t * y))
    mean_t, mean_y = sum_t / count, sum_y / count
    spread = sum_tt - sum_t * mean_t
    slope = np.divide(sum_ty - sum_t * mean_y, spread, out=np.zeros_like(at), where=count > 1)
    return mean_y + slope * (at - middle_t - mean_t) + middle_y, slope


def _in_windows(values: Array, windows: _Windows) -> Array:
    running = np.empty(values.size + 1)
    running[0] = 0.0
    np.cumsum(values, out=running[1:])
    return np.asarray(running[windows.behind] - running[windows.first])


def _scatter(left: Array, enough: NDArray[np.bool_]) -> float:
    """Half the width that holds two of three readings around the smoothed curve."""
    return float(np.sqrt(np.mean(left[enough] ** 2))) if enough.any() else 0.0
