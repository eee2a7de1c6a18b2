"""A sphere or slab cut into shells, and its own directions, each of which follows the air by itself."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.drying import Shape

SHELLS = 24
_POWER = {Shape.SPHERE: 2, Shape.SLAB: 0}


@dataclass(frozen=True, eq=False)
class Bodies:
    """Bodies of one shape, each column one value a body: radius or half thickness [m], density [kg/m³].

    ``heat_capacity`` [J/(kg K)], ``conductivity`` [W/(m K)], ``transfer`` from the air [W/(m² K)].
    """

    shape: Shape
    radius_m: Array
    density: Array
    heat_capacity: Array
    conductivity: Array
    transfer: Array

    def __post_init__(self) -> None:
        columns = (self.radius_m, self.density, self.heat_capacity, self.conductivity, self.transfer)
        if len({column.shape for column in columns}) > 1 or self.radius_m.ndim != 1:
            raise InputError("Bodies need one value each in every column")
        if not all((column > 0).all() for column in columns):
            raise InputError("Size, density, heat capacity, conductivity and transfer are above zero")

    @property
    def count(self) -> int:
        """How many bodies."""
        return int(self.radius_m.size)

    @property
    def depth_m(self) -> Array:
        """Volume over surface [m]."""
        return self.radius_m / (_POWER[self.shape] + 1)


@dataclass(frozen=True, eq=False)
class Shells:
    """Bodies cut into shells of even width, and a step of time [s].

    With x in radii and time in ``radius² / diffusivity``: ``V dT/dt = M T + U e (Ta - q/h)``, where M holds
    the conductances between shells and U that from the air to the outermost. The matrix, made symmetric by
    the volumes, is turned to its own directions once.
    """

    bodies: Bodies
    step_s: float
    shells: int = SHELLS

    @cached_property
    def _edges(self) -> Array:
        return np.linspace(0.0, 1.0, self.shells + 1)

    @cached_property
    def volumes(self) -> Array:
        """Volumes of the shells; they sum to one over the dimensions."""
        power = _POWER[self.bodies.shape] + 1
        return np.asarray(np.diff(self._edges**power) / power)

    @cached_property
    def _half(self) -> float:
        """Conductance from the middle of the outermost shell to the surface."""
        return 2.0 * self.shells

    @cached_property
    def biot(self) -> Array:
        """Transfer by radius over conductivity."""
        return self.bodies.transfer * self.bodies.radius_m / self.bodies.conductivity

    @cached_property
    def _outer(self) -> Array:
        """Conductance from the air to the middle of the outermost shell."""
        return self.biot * self._half / (self.biot + self._half)

    @cached_property
    def _own(self) -> tuple[Array, Array]:
        """Rates (below zero) and directions of the symmetric matrix of each body."""
        between = self._edges[1:-1] ** _POWER[self.bodies.shape] * self.shells
        matrix = np.diag(between, 1) + np.diag(between, -1)
        matrix -= np.diag(matrix.sum(axis=1))
        every = np.repeat(matrix[None], self.bodies.count, axis=0)
        every[:, -1, -1] -= self._outer
        root = np.sqrt(self.volumes)
        rates, directions = np.linalg.eigh(every / np.multiply.outer(root, root))
        return rates, directions

    @cached_property
    def factors(self) -> tuple[Array, Array, Array]:
        """Over one step: what stays of a direction, and what a steady and a growing air add to it."""
        rates, directions = self._own
        bodies = self.bodies
        diffusivity = bodies.conductivity / (bodies.density * bodies.heat_capacity)
        z = rates * (diffusivity * self.step_s / bodies.radius_m**2)[:, None]
        push = directions[:, -1, :] * (self._outer / np.sqrt(self.volumes[-1]))[:, None]
        steady = np.expm1(z) / rates
        return np.exp(z), push * steady, push * (steady - z / rates) / z

    @cached_property
    def readers(self) -> tuple[Array, Array, Array]:
        """How to read the core, the mean and the outermost shell off the directions."""
        _, directions = self._own
        in_shells = directions / np.sqrt(self.volumes)[None, :, None]
        # A parabola without slope in the middle, through the means of the two inner shells.
        core = (9 * in_shells[:, 0, :] - in_shells[:, 1, :]) / 8
        mean = np.einsum("s,psm->pm", self.volumes / self.volumes.sum(), in_shells)
        return core, mean, in_shells[:, -1, :]

    def even(self, celsius: float) -> Array:
        """Return a body of one temperature along the directions."""
        _, directions = self._own
        return np.asarray(celsius * np.einsum("s,psm->pm", np.sqrt(self.volumes), directions))

    def surface(self, outermost: Array, air: Array) -> Array:
        """Return the temperature of the surface from the outermost shell and the air less ``q/h`` [°C]."""
        return (self.biot * air + self._half * outermost) / (self.biot + self._half)
