"""A few bars that are cooled together: the state, its modes, and one step after the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from nibsmith.science.cool.bar import Bar
from nibsmith.science.cool.course import Course
from nibsmith.science.cool.lobatto import between, lobatto
from nibsmith.science.numerics import Array
from nibsmith.science.temper import heats, rates, seeded, solid_fat

# The warmest place is looked for at so many places between the points.
_LOOKED_AT = 33
_SECONDS = 60


class Block:
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
        self.gone_s, self.last_s = 0.0, 0.0

    def course(self, steps: Sequence[float], every_s: int) -> Course:
        """Go on through the time and keep it every so often, at the first call the start too."""
        begun = self.gone_s
        found = list(self._kept(steps, every_s))
        celsius, forms, at_rest = (np.array([one[place] for one in found]) for place in range(3))
        core = between(celsius, np.linspace(0, 1, _LOOKED_AT)).max(axis=1)
        minutes = (begun + every_s * (np.arange(len(found)) + (begun > 0))) / _SECONDS
        places, weights = (self.places + 1) / 2, self.weights / 2
        return Course(minutes, places, weights, celsius, core, forms.transpose(1, 0, 2), at_rest)

    def _kept(self, steps: Sequence[float], every_s: int) -> Iterator[tuple[Array, Array, Array]]:
        if not self.gone_s:
            yield self._now()
        since_s, of_step, factors = 0.0, 0.0, _factors(self.decay, steps[0])
        for step_s in steps:
            if of_step and step_s != of_step:
                factors = _factors(self.decay, step_s)
            of_step = step_s
            self._advance(step_s, factors)
            since_s += step_s
            if round(since_s * _SECONDS) >= every_s * _SECONDS:
                yield self._now()
                since_s = 0.0

    def _now(self) -> tuple[Array, Array, Array]:
        fat = self.bars.fat
        rest = np.asarray(solid_fat(self.celsius + fat.lowering_k)) * fat.butter_share
        means = (np.einsum("p,...pb->...b", self.weights / 2, what) for what in (self.forms, rest))
        forms, at_rest = means
        return self.celsius, forms, at_rest

    def _advance(self, step_s: float, factors: tuple[Array, Array, Array]) -> None:
        kept, once, rising = factors
        change, warmth = self._sources(self.celsius, self.forms)
        if self.before is None:
            trial = self.bars.faces.air_celsius + _sum(self.to_points, kept * self.modes + once * warmth)
            later = self._sources(trial, self.forms + (step_s / _SECONDS) * change)
            growth, rise = later[0] - change, later[1] - warmth
        else:
            ratio = step_s / self.last_s
            growth, rise = ratio * (change - self.before[0]), ratio * (warmth - self.before[1])
        self.before = (change, warmth)
        self.modes = kept * self.modes + once * warmth + rising * rise
        self.celsius = self.bars.faces.air_celsius + _sum(self.to_points, self.modes)
        self.forms = self.forms + (step_s / _SECONDS) * (change + growth / 2)
        self.gone_s, self.last_s = self.gone_s + step_s, step_s

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
