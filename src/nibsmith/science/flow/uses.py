"""What a mass is poured for, and up to which flow it suits that."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from nibsmith.science.flow.casson import Casson
from nibsmith.science.tables import Constant, load


class Use(StrEnum):
    """What a mass is poured for."""

    BARS = "bars"
    THIN_SHELLS = "thin_shells"
    DIPPING = "dipping"
    HAND = "hand"


class Feel(StrEnum):
    """How a mass feels for its use."""

    TOO_THICK = "too_thick"
    RIGHT = "right"
    TOO_THIN = "too_thin"


@dataclass(frozen=True, slots=True)
class UseLimits:
    """The thickest and the thinnest flow that suit a use, tempered, at its working temperature.

    ``stress_pa`` is at 5 1/s, ``viscosity_pas`` at 40 1/s; ``thin_*`` are where a mass begins to be thin.
    """

    use: Use
    stress_pa: float
    viscosity_pas: float
    thin_stress_pa: float
    thin_viscosity_pas: float
    row: Constant

    def thickness(self, flow: Casson) -> float:
        """Return how thick a mass is as a multiple of the limit: above 1 it is too thick [1]."""
        return max(flow.stress_at_5 / self.stress_pa, flow.viscosity_at_40 / self.viscosity_pas)


@lru_cache(maxsize=8)
def limits_of(use: Use) -> UseLimits:
    """Return the limits of a use.

    Parameters
    ----------
    use : Use
        Bars, thin shells, dipping or spreading by hand.

    Returns
    -------
    UseLimits
        Stress [Pa] at 5 1/s and viscosity [Pa·s] at 40 1/s of a tempered mass.

    Notes
    -----
    What the trade quotes for the liquid mass at 40 °C is from memory; it is carried to the tempered mass by
    the estimate itself.

    Examples
    --------
    >>> limits_of(Use.BARS).stress_pa, limits_of(Use.BARS).viscosity_pas
    (98.0, 10.0)
    """
    table = load("flow_uses")
    stress, viscosity = table[f"{use.value}_stress"], table[f"{use.value}_viscosity"]
    return UseLimits(use, stress.value, viscosity.value, stress.low or 0.0, viscosity.low or 0.0, stress)
