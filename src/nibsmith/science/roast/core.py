"""Temperature inside a body that is heated from outside while its water leaves through its surface.

Shells of a sphere or a slab exchange heat by conduction; air gives heat to the surface; the water that
diffuses out takes its heat of evaporation from there. In time the shells are solved exactly for air that
changes in straight lines, so steps may be long.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.numerics import Array
from nibsmith.science.roast.curves import Curve
from nibsmith.science.roast.drying import fourier_for, moisture_left
from nibsmith.science.roast.heating import zero_k
from nibsmith.science.roast.shells import Bodies, Shells
from nibsmith.science.tables import load

STEPS = 240
# The speed of drying counts as found when a round changes it by less than this share.
DRYING_TOLERANCE = 1e-9
_MOST_ROUNDS = 60
_DRYING_CELSIUS = 60  # where the speed of drying is told


@dataclass(frozen=True, eq=False)
class Drying:
    """Water of the bodies, one value a body: share before and share that leaves, of the mass [0 to 1].

    ``latent`` is the heat of evaporation [J/kg], ``energy`` how drying speeds up with heat [J/mol].
    """

    water: Array
    evaporated: Array
    latent: Array
    energy: Array


@dataclass(frozen=True, eq=False)
class Heated:
    """Temperatures [°C] of the bodies at some times [s], one row a body, and the water that has left.

    ``evaporated`` is in shares of the mass at the start [0 to 1]; ``diffusivity`` is that of the water at
    60 °C [m²/s], found from the water that left.
    """

    times_s: Array
    core: Array
    surface: Array
    mean: Array
    evaporated: Array
    diffusivity: Array


def heated(
    bodies: Bodies,
    air: Curve,
    start_celsius: float,
    drying: Drying | None = None,
    warmer_k: Array | None = None,
) -> Heated:
    """Return the temperatures inside bodies under a given air, from its first reading to its last.

    ``rho c dT/dt = x^-p d/dx (k x^p dT/dx)``; at the surface ``k dT/dx = h (Ta - Ts) - q``, where q is the
    heat of the water that leaves; p is 2 in a sphere and 0 in a slab. Water diffuses to a dry surface with
    ``D = D60 exp(-(E/R)(1/T - 1/T60))`` at the mean temperature; D60 is such that the given water leaves.

    Parameters
    ----------
    bodies : Bodies
        One body or several of the same shape [m, kg/m³, J/(kg K), W/(m K), W/(m² K)].
    air : Curve
        Temperature of the air [s, °C].
    start_celsius : float
        Even temperature at the start [°C].
    drying : Drying, optional
        The water; without it none leaves [0 to 1, J/kg, J/mol].
    warmer_k : array, optional
        How much warmer the air is for each body than the curve says [K].

    Returns
    -------
    Heated
        At even times from the first reading of the air to its last [s, °C].

    Raises
    ------
    InputError
        If the air has one reading alone.
    OutOfRange
        If as much water leaves as there was, or more.

    Notes
    -----
    Second order in the width of the 24 shells. Conductivity, heat capacity and transfer stay the same; the
    body does not shrink.

    Examples
    --------
    >>> from nibsmith.science.roast.drying import Shape
    >>> steel = Bodies(Shape.SPHERE, *(np.array([x]) for x in (0.0254, 7849.0, 460.6, 43.3, 11.36)))
    >>> air = Curve(np.array([0.0, 3600.0]), np.array([121.3, 121.3]), 4000.0)
    >>> round(float(heated(steel, air, 426.9).mean[0, -1]))
    202

    References
    ----------
    [crank-1975], [incropera-conduction]
    """
    if air.times_s.size < 2:
        raise InputError("One reading of the air is too few", limit="two or more")
    shells = Shells(bodies, air.duration_s / STEPS)
    run = _Run(shells, air, start_celsius, np.zeros(bodies.count) if warmer_k is None else warmer_k)
    return run.dry() if drying is None else _closed(run, drying)


def _closed(run: _Run, drying: Drying) -> Heated:
    """Repeat the run with another speed of drying until the water that leaves is the water that left."""
    bodies = run.shells.bodies
    left = 1 - drying.evaporated / drying.water
    wanted = np.array([fourier_for(float(share), bodies.shape) for share in left])
    speed = wanted / run.air.duration_s
    found, reached = run.wet(drying, speed)
    for _ in range(_MOST_ROUNDS):
        change = np.divide(wanted, reached, out=np.ones_like(reached), where=reached > 0)
        if np.abs(change - 1).max() < DRYING_TOLERANCE:
            return found
        speed = speed * change
        found, reached = run.wet(drying, speed)
    raise OutOfRange("No speed of drying was found that lets this much water leave")


@dataclass(frozen=True, eq=False)
class _Run:
    """Bodies under an air, from its first reading to its last."""

    shells: Shells
    air: Curve
    start_celsius: float
    warmer_k: Array

    @property
    def _times(self) -> Array:
        return np.linspace(self.air.start_s, self.air.end_s, STEPS + 1)

    def _air(self) -> Array:
        """The air at every time, one row a time and one column a body."""
        at = np.interp(self._times, self.air.times_s, self.air.celsius)
        return np.asarray(at[:, None] + self.warmer_k)

    def dry(self) -> Heated:
        """No water leaves."""
        stays, steady, growing = self.shells.factors
        air = self._air()
        state = [self.shells.even(self.start_celsius)]
        for now, then in pairwise(air[:, :, None]):
            state.append(stays * state[-1] + steady * now + growing * (then - now))
        nothing = np.zeros(air.T.shape)
        return self._read(np.stack(state, axis=1), air.T, nothing, nothing[:, 0])

    def wet(self, drying: Drying, speed: Array) -> tuple[Heated, Array]:
        """Water leaves at a speed [Fourier numbers a second at 60 °C]; return the number reached too."""
        march = _March(self.shells, drying, speed)
        march.start(self.start_celsius)
        air = self._air()
        for now, then in pairwise(air[:, :, None]):
            march.step(now, then)
        cooled = np.stack(march.cooled, axis=1)
        evaporated = drying.water[:, None] * (1 - np.stack(march.left, axis=1))
        diffusivity = speed * self.shells.bodies.radius_m**2
        states = np.stack(march.states, axis=1)
        return self._read(states, air.T - cooled, evaporated, diffusivity), march.fourier

    def _read(self, states: Array, air: Array, evaporated: Array, diffusivity: Array) -> Heated:
        core, mean, outermost = (np.einsum("pm,ptm->pt", each, states) for each in self.shells.readers)
        surface = self.shells.surface(outermost.T, air.T).T
        return Heated(self._times, core, surface, mean, evaporated, diffusivity)


class _March:
    """Steps of bodies whose water leaves: each is tried with the heat at its start, then with both ends."""

    def __init__(self, shells: Shells, drying: Drying, speed: Array) -> None:
        table = load("roast_bean")
        self.shells, self.drying, self.speed = shells, drying, speed
        bodies = shells.bodies
        self.per_kelvin = drying.energy / table["gas_constant"].value
        water = drying.latent * bodies.density * drying.water * bodies.depth_m
        # How many kelvins colder the air seems when all the water leaves within one step.
        self.cooling_k = water / (shells.step_s * bodies.transfer)
        self.fourier = np.zeros(bodies.count)
        self.left = [np.ones(bodies.count)]
        self.cooled: list[Array] = []
        self.states: list[Array] = []

    def start(self, celsius: float) -> None:
        """Set every body to one temperature."""
        self.states.append(self.shells.even(celsius))
        self.cooled.append(np.zeros(self.shells.bodies.count))
        self.mean = np.full(self.shells.bodies.count, celsius)

    def step(self, now: Array, then: Array) -> None:
        """Go on by one step of the air from one temperature to the next [°C]."""
        stays, steady, growing = self.shells.factors
        _, mean_of, _ = self.shells.readers
        without = stays * self.states[-1] + steady * now + growing * (then - now)
        before = self._speed_at(self.mean)
        left, cooled = self._dried(before)
        mean = np.einsum("pm,pm->p", mean_of, without - steady * cooled[:, None])
        both = (before + self._speed_at(mean)) / 2
        left, cooled = self._dried(both)
        self.fourier = self.fourier + both * self.shells.step_s
        self.states.append(without - steady * cooled[:, None])
        self.mean = np.einsum("pm,pm->p", mean_of, self.states[-1])
        self.left.append(left)
        self.cooled.append(cooled)

    def _speed_at(self, celsius: Array) -> Array:
        return self.speed * np.exp(
            self.per_kelvin * (1 / (_DRYING_CELSIUS + zero_k()) - 1 / (celsius + zero_k()))
        )

    def _dried(self, speed: Array) -> tuple[Array, Array]:
        """Return the water left after the step and how many kelvins colder it makes the air seem."""
        left = moisture_left(self.fourier + speed * self.shells.step_s, self.shells.bodies.shape)
        return left, self.cooling_k * (self.left[-1] - left)
