"""One bar in thin layers, solved with an adaptive stiff solver: the course to look at, and the check."""

from __future__ import annotations

import numpy as np

from nibsmith.science.cool.bar import Bar, each
from nibsmith.science.cool.course import Course
from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array, Values
from nibsmith.science.temper import heats, rates, seeded, solid_fat
from nibsmith.science.temper.crystals import FORMS

CELLS = 60
# So many layers are worked at a time: their arrays then stay in the nearer memory.
_STRETCH = 1_000
# Relative tolerance of the solver: well under a hundredth of a kelvin.
SOLVER_TOLERANCE = 1e-5
# How much smaller the absolute one is [K, fractions of the fat].
_ABSOLUTE_TOLERANCE = 0.01
_SECONDS = 60
_MOST_MINUTES = 24 * 60


def cool_bar(
    bar: Bar, minutes: float, every_s: float = 30, cells: int = CELLS, rtol: float = SOLVER_TOLERANCE
) -> Course:
    """Return how one bar cools.

    The equations of ``cool_many`` in layers of equal thickness: heat flows between the middles of neighbours
    and through half a layer to each face. Solved by scipy's LSODA with a banded Jacobian.

    Parameters
    ----------
    bar : Bar
        One bar.
    minutes : float
        For how long, at most a day [min].
    every_s : float
        How often the course is kept [s].
    cells : int
        Layers.
    rtol : float
        Relative tolerance of the solver [1].

    Returns
    -------
    Course
        The places are both faces, with no weight, and the middles of the layers.

    Raises
    ------
    InputError
        For many bars, or times that are not more than nothing.
    OutOfRange
        Outside what the model is meant for.

    Notes
    -----
    Range: bars of 1 to 30 mm, air of 0 to 24 °C. An estimate, not calibrated to any kit.

    Examples
    --------
    >>> from nibsmith.science.cool.bar import Faces, usual_slab
    >>> from nibsmith.science.temper import Fat
    >>> bar = Bar(usual_slab(0.01), Faces(12.0, 20.0, 16.7), Fat(0.35), 31.0, 0.02)
    >>> round(float(cool_bar(bar, 30.0, cells=20).core[-1, 0]))
    19

    References
    ----------
    [petzold-1983]
    """
    spread = each(bar)
    if spread.count != 1 or not 0 < minutes <= _MOST_MINUTES or not every_s > 0:
        raise InputError(
            "One bar is cooled for some time up to a day", value=f"{spread.count}, {minutes:g} min"
        )
    layers = Layers(spread, cells)
    times = np.append(np.arange(0, _SECONDS * minutes, every_s), _SECONDS * minutes)
    return layers.course(times, layers.solved(times, rtol))


class Layers:
    """A bar in layers; the state holds for each layer its temperature and its four forms, layer by layer."""

    def __init__(self, bar: Bar, cells: int) -> None:
        self.bar, self.cells = bar, cells
        slab, faces = bar.slab, bar.faces
        self.width = _only(slab.thickness_m) / cells
        self.conductance = _only(slab.conductivity) / self.width
        half = 1 / (2 * self.conductance)
        self.top, self.bottom = (u / (1 + u * half) for u in (_only(faces.top), _only(faces.bottom)))
        self.capacity = _only(slab.density) * _only(slab.heat_capacity) * self.width
        self.air = _only(faces.air_celsius)
        self.heat = heats() * (_only(bar.fat.share) / _only(slab.heat_capacity))

    @property
    def start(self) -> Array:
        """The state at the beginning."""
        state = np.empty((self.cells, 1 + FORMS))
        state[:, 0] = self.bar.start_celsius
        state[:, 1:] = seeded(self.bar.seed, (self.cells,)).T
        return state.ravel()

    def change(self, _: float, state: Array) -> Array:
        """Return the rates of a state [per second]."""
        now = state.reshape(self.cells, 1 + FORMS).T
        celsius, found = now[0], np.empty((1 + FORMS, self.cells))
        for start in range(0, self.cells, _STRETCH):
            here = slice(start, start + _STRETCH)
            found[1:, here] = rates(celsius[here], now[1:, here], self.bar.fat) / _SECONDS
        flow = np.empty(self.cells + 1)
        flow[1:-1] = self.conductance * (celsius[:-1] - celsius[1:])
        flow[0], flow[-1] = self.top * (self.air - celsius[0]), self.bottom * (celsius[-1] - self.air)
        found[0] = (flow[:-1] - flow[1:]) / self.capacity + self.heat @ found[1:]
        return np.asarray(found.T.ravel())

    def solved(self, times: Array, rtol: float) -> Array:
        """Return the state at each time; scipy is loaded here, since nothing else needs it."""
        from scipy.integrate import solve_ivp

        band = 1 + FORMS
        found = solve_ivp(
            self.change,
            (0.0, times[-1]),
            self.start,
            "LSODA",
            t_eval=times,
            rtol=rtol,
            atol=rtol * _ABSOLUTE_TOLERANCE,
            lband=band,
            uband=band,
        )
        return np.asarray(found.y.T).reshape(times.size, self.cells, band)

    def course(self, times: Array, states: Array) -> Course:
        """Return the course with both faces, whose temperature follows from the flow through them."""
        cells, fat = states[:, :, 0], self.bar.fat
        near = 2 * self.conductance
        top = cells[:, :1] + self.top * (self.air - cells[:, :1]) / near
        bottom = cells[:, -1:] + self.bottom * (self.air - cells[:, -1:]) / near
        celsius = np.concatenate([top, cells, bottom], axis=1)
        rest = np.asarray(solid_fat(cells + fat.lowering_k)) * fat.butter_share
        middles = (np.arange(self.cells) + 1 / 2) / self.cells
        return Course(
            times / _SECONDS,
            np.concatenate([[0.0], middles, [1.0]]),
            np.concatenate([[0.0], np.full(self.cells, 1 / self.cells), [0.0]]),
            celsius[:, :, None],
            celsius.max(axis=1)[:, None],
            states[:, :, 1:].mean(axis=1).T[:, :, None],
            rest.mean(axis=1)[:, None],
        )


def _only(values: Values) -> float:
    """The one value of a bar that ``each`` has spread."""
    return float(np.asarray(values)[0])
