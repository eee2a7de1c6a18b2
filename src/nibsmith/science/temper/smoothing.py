"""Local parabolas through a record: its smooth course and its slope."""

from __future__ import annotations

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array


def smoothed(values: Array, half: int) -> tuple[Array, Array]:
    """Return the smooth course and the slope of evenly spaced readings.

    A parabola is fitted by least squares to each window of ``2·half + 1`` readings; at both ends the first
    and the last parabola go on.

    Parameters
    ----------
    values : array
        Readings [any unit].
    half : int
        Readings either side.

    Returns
    -------
    tuple of arrays
        Course [unit of the readings] and slope [unit of the readings per spacing].

    Raises
    ------
    InputError
        If there are fewer readings than a window holds, or the window holds fewer than three.

    Examples
    --------
    >>> course, slope = smoothed(np.arange(9.0) ** 2, 2)
    >>> course.round(6).tolist()[:3], slope.round(6).tolist()[-2:]
    ([0.0, 1.0, 4.0], [14.0, 16.0])

    References
    ----------
    [savitzky-golay-1964]
    """
    places = np.arange(-half, half + 1)
    if half < 1 or values.size < places.size:
        raise InputError("Too few readings to smooth", value=values.size, limit=f"{places.size} and more")
    count, second, fourth = places.size, int(sum(places**2)), int(sum(places**4))
    level = (fourth - second * places**2) / (count * fourth - second**2)
    bend = (count * places**2 - second) / (count * fourth - second**2)
    rise = places / second
    middle, slope, curve = (np.convolve(values, kernel[::-1], "valid") for kernel in (level, rise, bend))
    before, after = np.arange(-half, 0), np.arange(1, half + 1)
    course = (
        middle[0] + slope[0] * before + curve[0] * before**2,
        middle,
        middle[-1] + slope[-1] * after + curve[-1] * after**2,
    )
    slopes = (slope[0] + 2 * curve[0] * before, slope, slope[-1] + 2 * curve[-1] * after)
    return np.concatenate(course), np.concatenate(slopes)


def turns(values: Array, least: float) -> tuple[int, ...]:
    """Return where a course turns round by more than a little, beginning with the first low.

    Parameters
    ----------
    values : array
        The course [any unit].
    least : float
        By how much it must come back for a turn to count [unit of the course].

    Returns
    -------
    tuple of int
        Places of a low, a high, a low and so on.

    Examples
    --------
    >>> turns(np.array([3.0, 1.0, 1.2, 1.1, 4.0, 3.9, 2.0]), 0.5)
    (1, 4)
    """
    found: list[int] = []
    best, falling = 0, True
    for place, value in enumerate(values.tolist()):
        gone = value - values[best] if falling else values[best] - value
        if gone < 0 or place == 0:
            best = place
        elif gone > least:
            found.append(best)
            best, falling = place, not falling
    return tuple(found)
