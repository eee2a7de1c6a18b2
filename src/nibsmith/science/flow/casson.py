"""The Casson law of flow, and the two quantities in which the trade reports it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.flow.parameters import parameters


@dataclass(frozen=True, slots=True)
class Casson:
    """A flow law ``sqrt(stress) = sqrt(yield) + sqrt(viscosity · rate)``.

    ``yield_pa`` is the Casson yield [Pa], ``viscosity_pas`` the Casson plastic viscosity [Pa·s]. Good from 5
    to 60 1/s; below 5 1/s it cannot tell masses apart that differ.
    """

    yield_pa: float
    viscosity_pas: float

    def __post_init__(self) -> None:
        if not (self.yield_pa >= 0 and self.viscosity_pas >= 0):
            raise InputError(
                "Yield and viscosity are zero or more",
                value=f"{self.yield_pa:g} Pa, {self.viscosity_pas:g} Pa·s",
            )

    def stress(self, rate: float) -> float:
        """Shear stress [Pa] at a shear rate [1/s]."""
        return (math.sqrt(self.yield_pa) + math.sqrt(self.viscosity_pas * rate)) ** 2

    def viscosity(self, rate: float) -> float:
        """Apparent viscosity [Pa·s] at a shear rate above zero [1/s]."""
        return self.stress(rate) / rate

    @property
    def stress_at_5(self) -> float:
        """Stress at 5 1/s [Pa], which stands for the yield."""
        return self.stress(parameters().rate_low)

    @property
    def viscosity_at_40(self) -> float:
        """Viscosity at 40 1/s [Pa·s], which stands for the flow when it is moved fast."""
        return self.viscosity(parameters().rate_high)

    def times(self, viscosity_factor: float, yield_factor: float) -> Casson:
        """Return the law with its viscosity and its yield multiplied [1]."""
        return Casson(self.yield_pa * yield_factor, self.viscosity_pas * viscosity_factor)


@dataclass(frozen=True, slots=True)
class CassonFit:
    """A fitted Casson law, with standard errors as shares of the two values [1], and the points used."""

    casson: Casson
    yield_error: float
    viscosity_error: float
    points: int


def casson_from_two_points(stress_at_5: float, viscosity_at_40: float) -> Casson:
    """Return the Casson law through the two reported quantities.

    With ``a = sqrt(yield)`` and ``b = sqrt(viscosity)``: ``sqrt(t5) = a + b·sqrt(5)`` and
    ``sqrt(40·e40) = a + b·sqrt(40)``.

    Parameters
    ----------
    stress_at_5 : float
        Stress t5 at 5 1/s [Pa].
    viscosity_at_40 : float
        Viscosity e40 at 40 1/s [Pa·s].

    Returns
    -------
    Casson
        Yield [Pa] and plastic viscosity [Pa·s].

    Raises
    ------
    InputError
        If no Casson law with a yield and a viscosity of zero or more goes through them.

    Examples
    --------
    >>> law = casson_from_two_points(32.652, 2.8017)
    >>> round(law.yield_pa, 2), round(law.viscosity_pas, 3)
    (9.3, 1.42)

    References
    ----------
    [servais-2004]
    """
    if not (stress_at_5 > 0 and viscosity_at_40 > 0):
        raise InputError("Stress and viscosity are above zero", value=f"{stress_at_5:g}, {viscosity_at_40:g}")
    low, high = math.sqrt(parameters().rate_low), math.sqrt(parameters().rate_high)
    at_low, at_high = math.sqrt(stress_at_5), high * math.sqrt(viscosity_at_40)
    slope = (at_high - at_low) / (high - low)
    foot = at_low - slope * low
    if slope < 0 or foot < 0:
        raise InputError(
            "These two readings do not belong to one mass",
            value=f"{stress_at_5:g} Pa at 5 1/s, {viscosity_at_40:g} Pa·s at 40 1/s",
            limit=f"{stress_at_5 / 40:.3g} to {stress_at_5 / 5:.3g} Pa·s at 40 1/s",
            advice="Check the units: Pa for the stress, Pa·s for the viscosity.",
        )
    return Casson(foot**2, slope**2)


def fit_casson(rates: Sequence[float], stresses: Sequence[float]) -> CassonFit:
    """Return the Casson law that fits a flow curve best.

    Least squares of ``sqrt(stress)`` on ``sqrt(rate)``, as the trade has fitted it since 1973; a yield below
    zero is set to zero.

    Parameters
    ----------
    rates : sequence of float
        Shear rates, 5 to 60 1/s for a fit that means something [1/s].
    stresses : sequence of float
        Shear stresses at them [Pa].

    Returns
    -------
    CassonFit
        The law; its errors are zero for two points [Pa, Pa·s].

    Raises
    ------
    InputError
        If the lists differ in length, hold what is not above zero, or fewer than two different rates.

    Examples
    --------
    >>> law = Casson(9.3, 1.42)
    >>> rates = [5.0, 10.0, 20.0, 40.0, 50.0]
    >>> fit = fit_casson(rates, [law.stress(rate) for rate in rates])
    >>> round(fit.casson.yield_pa, 6), round(fit.casson.viscosity_pas, 6)
    (9.3, 1.42)

    References
    ----------
    [ioccc-1973], [de-graef-2011]
    """
    check_curve(rates, stresses, least=2)
    x, y = np.sqrt(np.asarray(rates, dtype=float)), np.sqrt(np.asarray(stresses, dtype=float))
    spread = float(((x - x.mean()) ** 2).sum())
    slope = max(float(((x - x.mean()) * y).sum()) / spread, 0.0)
    foot = float(y.mean() - slope * x.mean())
    if foot < 0:
        foot, slope = 0.0, float((x @ y) / (x @ x))
    left = y - foot - slope * x
    variance = float(left @ left) / (x.size - 2) if x.size > 2 else 0.0
    slope_error = math.sqrt(variance / spread)
    foot_error = math.sqrt(variance * (1 / x.size + float(x.mean()) ** 2 / spread))
    # A square has twice the relative error of what is squared.
    return CassonFit(
        Casson(foot**2, slope**2),
        yield_error=2 * foot_error / foot if foot else math.inf,
        viscosity_error=2 * slope_error / slope if slope else math.inf,
        points=x.size,
    )


def check_curve(rates: Sequence[float], stresses: Sequence[float], least: int) -> None:
    """Refuse a flow curve that cannot be one.

    Parameters
    ----------
    rates : sequence of float
        Shear rates, above zero [1/s].
    stresses : sequence of float
        Shear stresses at them, one each, above zero [Pa].
    least : int
        How many different rates the fit needs.

    Raises
    ------
    InputError
        If the lists differ in length, hold what is not above zero or has no end, or fewer different rates.

    Examples
    --------
    >>> check_curve([5.0, 40.0], [30.0, 110.0], least=2)
    >>> check_curve([5.0, 5.0], [30.0, 31.0], least=2)
    Traceback (most recent call last):
        ...
    nibsmith.science.errors.InputError: Too few different rates for a fit (got 1, limit 2 or more).
    """
    if len(rates) != len(stresses):
        raise InputError("Each rate needs one stress", value=f"{len(rates)} and {len(stresses)}")
    if any(not 0 < value < math.inf for value in (*rates, *stresses)):
        raise InputError("Rates and stresses are above zero", advice="Leave out the point at rest.")
    if len(set(rates)) < least:
        raise InputError("Too few different rates for a fit", value=len(set(rates)), limit=f"{least} or more")
