"""Many bars at once: a polynomial through each bar, conduction exactly, crystals by two-step extrapolation.

Each bar is held by its temperature at a few points (Legendre-Gauss-Lobatto), tested with the polynomials
through them. Conduction and both faces then are a small symmetric matrix for each bar, whose modes decay on
their own; crystals grow at the points, and their heat feeds the modes. The modes are advanced by exponential
time differencing of second order, the crystals by Adams-Bashforth of second order; both ask for the crystals'
rates once a step.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from nibsmith.science.cool.bar import Bar, each, some
from nibsmith.science.cool.block import Block
from nibsmith.science.cool.course import Course
from nibsmith.science.cool.release import released
from nibsmith.science.errors import InputError

# With 10 points and these steps the temperature is good to 0.04 K (docs/models/cooling.md): until so many
# seconds, so long. They are short while seeds may melt and a skin cools.
POINTS = 10
STEPS_S = ((120, 2), (600, 5), (86_400, 10))
_LONGEST_STEP_S = 10
# Bars that are worked at a time: their arrays then stay in the nearer memory.
BLOCK = 512
# How often it is looked whether bars have come off [s].
_LOOK_S = 1_800
_SECONDS = 60


def cool_many(bars: Bar, minutes: float, every_s: int = 60, points: int = POINTS, finer: int = 1) -> Course:
    """Return how many bars cool, all over the same time.

    ``rho·c·dT/dt = d(k·dT/dx)/dx + rho·w·sum(h_i·dx_i/dt)``, ``-k·dT/dn = u·(T - T_air)`` at both faces, with
    the crystals of ``rates`` at every place.

    Parameters
    ----------
    bars : Bar
        One bar or many; a value may be a number for all.
    minutes : float
        For how long, at most a day [min].
    every_s : int
        How often the course is kept, in steps of 10 s that make up the whole time [s].
    points : int
        Points through each bar.
    finer : int
        Into how many each usual step is cut.

    Returns
    -------
    Course
        Temperatures at the points, crystals as means over each bar.

    Raises
    ------
    InputError
        If the times do not fit.
    OutOfRange
        Outside what the model is meant for.

    Notes
    -----
    Range: bars of 1 to 30 mm, air of 0 to 24 °C. An estimate, not calibrated to any kit.

    Examples
    --------
    >>> from nibsmith.science.cool.bar import Faces, usual_slab
    >>> from nibsmith.science.temper import Fat
    >>> bar = Bar(usual_slab(0.01), Faces(np.array([8.0, 12.0]), 20.0, 16.7), Fat(0.35), 31.0, 0.02)
    >>> cool_many(bar, 30.0).core[-1].round().tolist()
    [15.0, 19.0]

    References
    ----------
    [canuto-spectral], [cox-matthews-2002]
    """
    spread = each(bars)
    steps = _steps(0, _whole(minutes, every_s), finer)
    return _side_by_side([block.course(steps, every_s) for block in _blocks(spread, points)])


def cool_until(
    bars: Bar, longest: float, every_s: int = 60, points: int = POINTS, enough: float = 1.0
) -> Course:
    """Return how many bars cool, until most of them have come off their moulds.

    Parameters
    ----------
    bars : Bar
        One bar or many.
    longest : float
        For how long at most, at most a day [min].
    every_s : int
        How often the course is kept, in steps of 10 s that make up the whole time [s].
    points : int
        Points through each bar.
    enough : float
        Share of the bars that must have come off before the others are waited for no longer [0 to 1].

    Returns
    -------
    Course
        As of ``cool_many``, ended at a whole half hour or at the longest time.

    Raises
    ------
    InputError
        If the times do not fit.
    OutOfRange
        Outside what the model is meant for.

    Examples
    --------
    >>> from nibsmith.science.cool.bar import Faces, usual_slab
    >>> from nibsmith.science.temper import Fat
    >>> bar = Bar(usual_slab(0.01), Faces(np.array([8.0, 12.0]), 20.0, 16.7), Fat(0.35), 31.0, 0.02)
    >>> [float(cool_until(bar, 300.0, enough=enough).minutes[-1]) for enough in (1.0, 0.5)]
    [60.0, 30.0]

    References
    ----------
    [cox-matthews-2002]
    """
    spread, end = each(bars), _whole(longest, every_s)
    blocks = list(_blocks(spread, points))
    found: list[Course] = []
    stretch = math.lcm(_LOOK_S, every_s)
    for start in range(0, end, stretch):
        steps = _steps(start, min(start + stretch, end), 1)
        found.append(_side_by_side([block.course(steps, every_s) for block in blocks]))
        course = _one_after_another(found)
        if float(np.mean(np.isfinite(released(course, spread).minutes))) >= enough:
            break
    return _one_after_another(found)


def _blocks(bars: Bar, points: int) -> Iterator[Block]:
    for start in range(0, bars.count, BLOCK):
        yield Block(some(bars, start, start + BLOCK), points)


def _whole(minutes: float, every_s: int) -> int:
    seconds = round(_SECONDS * minutes)
    fits = every_s > 0 and every_s % _LONGEST_STEP_S == 0 and seconds % every_s == 0
    if not (fits and 0 < seconds <= STEPS_S[-1][0]):
        raise InputError(
            "A bar is cooled for whole minutes up to a day, kept every so many tens of seconds",
            value=f"{seconds} s, every {every_s} s",
        )
    return seconds


def _steps(since: int, seconds: int, finer: int) -> list[float]:
    if finer < 1:
        raise InputError("A step is cut into one part or more", value=finer)
    found: list[float] = []
    for until, step in STEPS_S:
        end = max(since, min(until, seconds))
        found += [step / finer] * (finer * ((end - since) // step))
        since = end
    return found


def _side_by_side(courses: list[Course]) -> Course:
    return _joined(courses, {"celsius": -1, "core": -1, "forms": -1, "at_rest": -1})


def _one_after_another(courses: list[Course]) -> Course:
    return _joined(courses, {"minutes": 0, "celsius": 0, "core": 0, "forms": 1, "at_rest": 0})


def _joined(courses: list[Course], axes: dict[str, int]) -> Course:
    if len(courses) == 1:
        return courses[0]
    whole = {
        name: np.concatenate([getattr(course, name) for course in courses], axis=axis)
        for name, axis in axes.items()
    }
    return replace(courses[0], **whole)
