"""The Herschel-Bulkley law of flow: a yield, a consistency and an exponent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nibsmith.science.flow.casson import check_curve
from nibsmith.science.numerics import Array

# The exponent is searched between these, on a logarithmic scale, until it is known to six digits.
_EXPONENT_TOLERANCE = 1e-7
_EXPONENTS = (0.1, 3.0)
_COARSE = 41


@dataclass(frozen=True, slots=True)
class HerschelBulkley:
    """``stress = yield + consistency · rate^exponent`` [Pa, Pa·s^n, 1]."""

    yield_pa: float
    consistency: float
    exponent: float

    def stress(self, rate: float) -> float:
        """Shear stress [Pa] at a shear rate [1/s]."""
        return float(self.yield_pa + self.consistency * rate**self.exponent)


def fit_herschel_bulkley(rates: Sequence[float], stresses: Sequence[float]) -> HerschelBulkley:
    """Return the Herschel-Bulkley law that fits a flow curve best in the stress.

    For a given exponent the best yield and consistency are linear; the exponent is searched. A yield below
    zero is set to zero.

    Parameters
    ----------
    rates : sequence of float
        Shear rates [1/s].
    stresses : sequence of float
        Shear stresses at them [Pa].

    Returns
    -------
    HerschelBulkley
        Yield [Pa], consistency [Pa·s^n], exponent [1], searched from 0.1 to 3.

    Raises
    ------
    InputError
        If the lists differ in length, hold what is not above zero, or fewer than three different rates.

    Notes
    -----
    Exponents of 0.83 to 0.89 are published for dark chocolate with 86 to 100 % cocoa.

    Examples
    --------
    >>> rates = [2.0, 5.0, 10.0, 20.0, 50.0]
    >>> fit = fit_herschel_bulkley(rates, [12 + 3 * rate**0.85 for rate in rates])
    >>> round(fit.yield_pa, 3), round(fit.consistency, 3), round(fit.exponent, 4)
    (12.0, 3.0, 0.85)

    References
    ----------
    [lee-2024]
    """
    check_curve(rates, stresses, least=3)
    x, y = np.log(np.asarray(rates, dtype=float)), np.asarray(stresses, dtype=float)
    trials = np.geomspace(*_EXPONENTS, _COARSE)
    best = int(np.argmin([_left_over(x, y, trial) for trial in trials]))
    low, high = trials[max(best - 1, 0)], trials[min(best + 1, _COARSE - 1)]
    exponent = _narrowed(x, y, float(low), float(high))
    foot, slope = _line(x, y, exponent)
    return HerschelBulkley(foot, slope, exponent)


def _line(x: Array, y: Array, exponent: float) -> tuple[float, float]:
    """The best yield and consistency at an exponent."""
    power = np.exp(exponent * x)
    centred = power - power.mean()
    slope = float(centred @ y) / float(centred @ centred)
    foot = float(y.mean()) - slope * float(power.mean())
    if foot < 0:
        foot, slope = 0.0, float(power @ y) / float(power @ power)
    return foot, max(slope, 0.0)


def _left_over(x: Array, y: Array, exponent: float) -> float:
    foot, slope = _line(x, y, exponent)
    left = y - foot - slope * np.exp(exponent * x)
    return float(left @ left)


def _narrowed(x: Array, y: Array, low: float, high: float) -> float:
    """Golden section: each step keeps the part that holds the smaller remainder."""
    golden = (5**0.5 - 1) / 2
    while high - low > _EXPONENT_TOLERANCE:
        inner, outer = high - golden * (high - low), low + golden * (high - low)
        if _left_over(x, y, inner) <= _left_over(x, y, outer):
            high = outer
        else:
            low = inner
    return 0.5 * (low + high)
