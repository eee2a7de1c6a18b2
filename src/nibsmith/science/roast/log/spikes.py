"""Readings that cannot be: far outside any oven, or alone far from their neighbours."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.numerics import Array, normal_quantile
from nibsmith.science.tables import load

_NEIGHBOURS = 5
# The median size of a bend of readings that scatter by one: three of them with weights 1, -2, 1.
_BENDS = normal_quantile(3 / 4) * math.sqrt(6)
Marks = NDArray[np.bool_]


def impossible(celsius: Array) -> Marks:
    """Mark readings colder or hotter than anything in a workshop, as broken probes give them.

    Parameters
    ----------
    celsius : array
        Readings [°C].

    Returns
    -------
    array of bool
        True where a reading cannot be.

    Examples
    --------
    >>> impossible(np.array([-250.0, 24.0, 1370.0])).tolist()
    [True, False, True]

    References
    ----------
    [bench-judgement]
    """
    table = load("roast")
    low, high = table["reading_lowest"].value, table["reading_highest"].value
    return (celsius < low) | (celsius > high)


def spikes(celsius: Array) -> Marks:
    """Mark lone readings far from the middle of their five neighbours and further than these lie apart.

    Two in a row are still seen; three are a change of temperature.

    Parameters
    ----------
    celsius : array
        Readings in order of time [°C].

    Returns
    -------
    array of bool
        True where one is a spike; never with fewer than five readings.

    Examples
    --------
    >>> spikes(np.array([100.0, 101.0, 180.0, 103.0, 104.0, 105.0])).tolist()
    [False, False, True, False, False, False]

    References
    ----------
    [bench-judgement]
    """
    marks = np.zeros(celsius.size, dtype=bool)
    if celsius.size < _NEIGHBOURS:
        return marks
    table = load("roast")
    least = table["spike_kelvin"].value
    steps = np.abs(np.diff(celsius, prepend=celsius[0], append=celsius[-1]))
    # The middle of five neighbours is at most two steps away.
    if 2 * steps.max() <= least:
        return marks
    away = np.abs(celsius - _middle(celsius))
    far = np.flatnonzero(away > least)
    apart = _middle(np.minimum(steps[:-1], steps[1:]))
    marks[far] = away[far] > table["spike_factor"].value * apart[far]
    return marks


def scatter(celsius: Array) -> float:
    """Return how far readings lie around their course: two in three, from what bends them one by one.

    The median bend is told, so that a turn of the course or a step of the display hardly counts.

    Parameters
    ----------
    celsius : array
        Readings in order of time [°C].

    Returns
    -------
    float
        One standard deviation; nothing with fewer than five readings [K].

    Examples
    --------
    >>> scatter(np.array([20.0, 21.0, 22.0, 23.0, 24.0, 25.0]))
    0.0
    """
    if celsius.size < _NEIGHBOURS:
        return 0.0
    bends = np.abs(celsius[:-2] - 2 * celsius[1:-1] + celsius[2:])
    return float(np.median(bends)) / _BENDS


def _middle(values: Array) -> Array:
    """The median of five around each value, the ends repeated; by the fewest comparisons."""
    padded = np.concatenate((values[:1], values[:1], values, values[-1:], values[-1:]))
    a, b, c, d, e = (padded[place : padded.size - 4 + place] for place in range(_NEIGHBOURS))
    low, high = np.minimum(a, b), np.maximum(a, b)
    other_low, other_high = np.minimum(c, d), np.maximum(c, d)
    inner_low, inner_high = np.maximum(low, other_low), np.minimum(high, other_high)
    small, large = np.minimum(inner_low, inner_high), np.maximum(inner_low, inner_high)
    return np.asarray(np.minimum(np.maximum(small, e), large))
