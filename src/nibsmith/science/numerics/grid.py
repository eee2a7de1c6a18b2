"""A probability density of two unknowns, worked out on a grid that closes in on where it is large."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics.spread import Array

POINTS = 81
_PASSES = 3
_REACH = 6  # standard deviations that the grid keeps either side of the mean
Ends = tuple[float, float]


@dataclass(frozen=True)
class Posterior:
    """A density on a grid: its two axes and the weight of every point; the weights sum to one."""

    first: Array
    second: Array
    weights: Array

    @property
    def means(self) -> tuple[float, float]:
        """The mean of each unknown, in its unit."""
        return _moments(self.first, self.weights.sum(axis=1))[0], _moments(
            self.second, self.weights.sum(axis=0)
        )[0]

    @property
    def deviations(self) -> tuple[float, float]:
        """The standard deviation of each unknown, in its unit."""
        return _moments(self.first, self.weights.sum(axis=1))[1], _moments(
            self.second, self.weights.sum(axis=0)
        )[1]

    def drawn(self, count: int) -> tuple[Array, Array]:
        """Return points of the grid drawn in proportion to their weights, the same every time."""
        sums = np.cumsum(self.weights.ravel())
        places = np.searchsorted(sums, (np.arange(count) + 0.5) / count * sums[-1])
        rows, columns = np.unravel_index(np.minimum(places, sums.size - 1), self.weights.shape)
        return self.first[rows], self.second[columns]


def posterior(log_density: Callable[[Array, Array], Array], first: Ends, second: Ends) -> Posterior:
    """Return a density of two unknowns from its logarithm.

    Parameters
    ----------
    log_density : callable
        Takes a column of first and a row of second values and gives the logarithm of the density, up to a
        constant, at every pair.
    first, second : tuple of float
        Ends between which each unknown lies [unit of the unknown].

    Returns
    -------
    Posterior
        On a grid of 81 by 81 points that three times closes in on six standard deviations either side of the
        mean.

    Raises
    ------
    InputError
        If the density is zero everywhere.

    Examples
    --------
    >>> bell = posterior(lambda x, y: -0.5 * (x - 1) ** 2 - 2 * (y + 1) ** 2, (-9.0, 9.0), (-9.0, 9.0))
    >>> [round(mean, 4) for mean in bell.means], [round(sd, 3) for sd in bell.deviations]
    ([1.0, -1.0], [1.0, 0.5])
    """
    now, ends = _on_grid(log_density, first, second), (first, second)
    for _ in range(_PASSES - 1):
        closer = [
            _closer(mean, sd, axis, limits)
            for mean, sd, axis, limits in zip(
                now.means, now.deviations, (now.first, now.second), ends, strict=True
            )
        ]
        now = _on_grid(log_density, closer[0], closer[1])
    return now


def _on_grid(log_density: Callable[[Array, Array], Array], first: Ends, second: Ends) -> Posterior:
    one, two = np.linspace(*first, POINTS), np.linspace(*second, POINTS)
    logs = np.asarray(log_density(one[:, None], two[None, :]), dtype=np.float64)
    top = logs.max()
    if not np.isfinite(top):
        raise InputError("These readings cannot be true together", advice="Check them one by one.")
    weights = np.exp(logs - top)
    return Posterior(one, two, weights / weights.sum())


def _closer(mean: float, deviation: float, axis: Array, limits: Ends) -> Ends:
    """Ends around the mean, never beyond the first ones and never between two points of the last grid."""
    reach = _REACH * max(deviation, float(axis[1] - axis[0]) / 2)
    return max(limits[0], mean - reach), min(limits[1], mean + reach)


def _moments(axis: Array, weights: Array) -> tuple[float, float]:
    mean = float(axis @ weights)
    return mean, float(np.sqrt(np.maximum((axis - mean) ** 2 @ weights, 0.0)))
