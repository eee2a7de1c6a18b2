"""How bars cooled: temperatures and crystals at the times that were asked for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nibsmith.science.numerics import Array


@dataclass(frozen=True, slots=True)
class Course:
    """Temperatures and crystals of one bar or many over time.

    ``minutes`` are the times [min]; ``places`` run from the top 0 to the bottom 1 of the bar, with
    ``weights`` that make a mean of them [1]; ``celsius`` is by time, place and bar [°C], ``core`` the warmest
    place; ``forms`` are means over the bar as fractions of its fat, by form, time and bar [0 to 1];
    ``at_rest`` is how much of the fat is solid at rest at these temperatures, by time and bar [0 to 1].
    """

    minutes: Array
    places: Array
    weights: Array
    celsius: Array
    core: Array
    forms: Array
    at_rest: Array

    @property
    def top(self) -> Array:
        """The face on top, by time and bar [°C]."""
        return np.asarray(self.celsius[:, 0])

    @property
    def bottom(self) -> Array:
        """The face on the mould, by time and bar [°C]."""
        return np.asarray(self.celsius[:, -1])

    @property
    def mean(self) -> Array:
        """The mean over the bar, by time and bar [°C]."""
        return np.asarray(np.einsum("tpb,p->tb", self.celsius, self.weights))

    @property
    def solids(self) -> Array:
        """Crystals of all forms as a fraction of the fat, by time and bar [0 to 1]."""
        return np.asarray(self.forms.sum(axis=0))

    @property
    def unstable(self) -> Array:
        """Alpha and beta prime as a fraction of all crystals, by time and bar [0 to 1]."""
        low, solids = self.forms[:2].sum(axis=0), self.solids
        return np.asarray(np.divide(low, solids, out=np.zeros_like(low), where=solids > 0))
