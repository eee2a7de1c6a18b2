"""Many bars at once: a polynomial through each bar, conduction exactly, crystals by two-step extrapolation.

Each bar is held by its temperature at a few points (Legendre-Gauss-Lobatto), tested with the polynomials
through them. Conduction and both faces then are a small symmetric matrix for each bar, whose modes decay on
their own; crystals grow at the points, and their heat feeds the modes. The modes are advanced by exponential
time differencing of second order, the crystals by Adams-Bashforth of second order; both ask for the crystals'
rates once a step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from nibsmith.science.cool.bar import Bar, each, some
from nibsmith.science.cool.course import Course
from nibsmith.science.cool.lobatto import between, lobatto
from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.temper import heats, rates, seeded, solid_fat

# With 10 points and these steps the temperature is good to 0.04 K (docs/models/cooling.md): until so many
# seconds, so long. They are short while seeds may melt and a skin cools.
POINTS = 10
STEPS_S = ((120, 2), (600, 5), (86_400, 10))
_LONGEST_STEP_S = 10
# Bars that are worked at a time: their arrays then stay in the nearer memory.
BLOCK = 512
# The warmest place is looked for at so many places between the points.
_LOOKED_AT = 33
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
    steps = _steps(round(_SECONDS * minutes), every_s, finer)
    courses = [
        _Block(some(spread, start, start + BLOCK), points).course(steps, every_s)
        for start in range(0, spread.count, BLOCK)
    ]
    return _joined(courses)


class _Block:
    """A few bars that are cooled together; arrays are by point and bar."""

    def __init__(self, bars: Bar, points: int) -> None:
        self.bars = bars
        self.places, self.weights, _ = lobatto(points)
        self.decay, self.to_modes, self.to_points = _modes(bars, points)
        self.heat = np.asarray(bars.fat.share) * heats()[:, None] / bars.slab.heat_capacity / _SECONDS
        start = np.broadcast_to(np.asarray(bars.start_celsius), (points, bars.count))
        self.celsius, self.modes = start.copy(), _sum(self.to_modes, start - bars.faces.air_celsius)
        self.forms = seeded(bars.seed, (points, bars.count))
        self.before: tuple[Array, Array] | None = None

    def course(self, steps: Sequence[float], every_s: int) -> Course:
        """Step through the time and keep it every so often."""
        found = list(self._kept(steps, every_s))
        celsius, forms, at_rest = (np.array([one[place] for one in found]) for place in range(3))
        core = between(celsius, np.linspace(0, 1, _LOOKED_AT)).max(axis=1)
        minutes = np.arange(len(found)) * every_s / _SECONDS
        places, weights = (self.places + 1) / 2, self.weights / 2
        return Course(minutes, places, weights, celsius, core, forms.transpose(1, 0, 2), at_rest)

    def _kept(self, steps: Sequence[float], every_s: int) -> Iterator[tuple[Array, Array, Array]]:
        yield self._now()
        gone_s, last_s, factors = 0.0, 0.0, _factors(self.decay, steps[0])
        for step_s in steps:
            if last_s and step_s != last_s:
                factors = _factors(self.decay, step_s)
            self._advance(step_s, step_s / last_s if last_s else 0.0, factors)
            gone_s, last_s = gone_s + step_s, step_s
            if round(gone_s * _SECONDS) >= every_s * _SECONDS:
                yield self._now()
                gone_s = 0.0

    def _now(self) -> tuple[Array, Array, Array]:
        fat = self.bars.fat
        rest = np.asarray(solid_fat(self.celsius + fat.lowering_k)) * fat.butter_share
        means = (np.einsum("p,...pb->...b", self.weights / 2, what) for what in (self.forms, rest))
        forms, at_rest = means
        return self.celsius, forms, at_rest

    def _advance(self, step_s: float, ratio: float, factors: tuple[Array, Array, Array]) -> None:
        kept, once, rising = factors
        change, warmth = self._sources(self.celsius, self.forms)
        if self.before is None:
            trial = self.bars.faces.air_celsius + _sum(self.to_points, kept * self.modes + once * warmth)
            later = self._sources(trial, self.forms + (step_s / _SECONDS) * change)
            growth, rise = later[0] - change, later[1] - warmth
        else:
            growth, rise = ratio * (change - self.before[0]), ratio * (warmth - self.before[1])
        self.before = (change, warmth)
        self.modes = kept * self.modes + once * warmth + rising * rise
        self.celsius = self.bars.faces.air_celsius + _sum(self.to_points, self.modes)
        self.forms = self.forms + (step_s / _SECONDS) * (change + growth / 2)

    def _sources(self, celsius: Array, forms: Array) -> tuple[Array, Array]:
        """Rates of the crystals [1/min], and what their heat adds to each mode in a second."""
        change = rates(celsius, forms, self.bars.fat)
        warming = self.heat[0] * change[0]
        for form in range(1, len(change)):
            warming += self.heat[form] * change[form]
        return change, _sum(self.to_modes, warming)


def _factors(decay: Array, step_s: float) -> tuple[Array, Array, Array]:
    """What is left of a mode after a step, and what a steady and a rising source add to it [1], [s], [s]."""
    scaled = decay * step_s
    once = -np.expm1(-scaled) / decay
    return np.exp(-scaled), once, (step_s - once) / scaled


def _modes(bars: Bar, points: int) -> tuple[Array, Array, Array]:
    """Decay of each mode [1/s], and the matrices from points to modes and back, by column, row and bar.

    ``M·dT/dt = -(K + U)·(T - T_air)`` with mass M on the diagonal: ``M^(-1/2)·(K + U)·M^(-1/2)`` is
    symmetric.
    """
    slab, faces = bars.slab, bars.faces
    _, weights, slopes = lobatto(points)
    thickness = np.asarray(slab.thickness_m)
    stiff = (slopes.T * weights) @ slopes * (2 * slab.conductivity / thickness)[:, None, None]
    stiff[:, 0, 0] += faces.top
    stiff[:, -1, -1] += faces.bottom
    root = np.sqrt(weights * (thickness / 2 * slab.density * slab.heat_capacity)[:, None])
    decay, vectors = np.linalg.eigh(stiff / root[:, :, None] / root[:, None, :])
    to_modes = np.ascontiguousarray((vectors * root[:, :, None]).transpose(1, 2, 0))
    to_points = np.ascontiguousarray((vectors / root[:, :, None]).transpose(2, 1, 0))
    return np.ascontiguousarray(decay.T), to_modes, to_points


def _sum(matrix: Array, values: Array) -> Array:
    """Multiply a matrix by column, row and bar with values by column and bar."""
    return np.asarray(np.einsum("cpb,cb->pb", matrix, values))


def _steps(seconds: int, every_s: int, finer: int) -> list[float]:
    whole = every_s > 0 and every_s % _LONGEST_STEP_S == 0 and seconds % every_s == 0
    if not (whole and 0 < seconds <= STEPS_S[-1][0] and finer >= 1):
        raise InputError(
            "A bar is cooled for whole minutes up to a day, kept every so many tens of seconds",
            value=f"{seconds} s, every {every_s} s",
        )
    found, since = [], 0
    for until, step in STEPS_S:
        end = min(until, seconds)
        found += [step / finer] * (finer * ((end - since) // step))
        since = max(since, end)
    return found


def _joined(courses: list[Course]) -> Course:
    first = courses[0]
    if len(courses) == 1:
        return first
    names = ("celsius", "core", "forms", "at_rest")
    whole = {name: np.concatenate([getattr(course, name) for course in courses], axis=-1) for name in names}
    return replace(first, **whole)
