"""What a maker reads of a mass: a viscometer, a flow cup, a spread ring, or a word."""

from __future__ import annotations

import math
from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.flow.casson import Casson
from nibsmith.science.flow.uses import Feel, Use
from nibsmith.science.tables import load


@dataclass(frozen=True, slots=True)
class ViscometerReading:
    """Stress at 5 1/s [Pa] and viscosity at 40 1/s [Pa·s] of a mass, or one of them.

    ``predicted`` is what the uncalibrated estimate says of this mass under the conditions of the reading.
    """

    predicted: Casson
    stress_at_5: float | None = None
    viscosity_at_40: float | None = None

    @classmethod
    def of(cls, predicted: Casson, measured: Casson) -> ViscometerReading:
        """A reading from a fitted Casson law; its two reported quantities are what laboratories agree on."""
        return cls(predicted, measured.stress_at_5, measured.viscosity_at_40)


@dataclass(frozen=True, slots=True)
class CupReading:
    """Seconds a mass takes out of a flow cup, and its density [kg/m³]."""

    predicted: Casson
    seconds: float
    cup: str
    density: float


@dataclass(frozen=True, slots=True)
class RingReading:
    """How far a mass spread out of a ring: final diameter [mm], volume in the ring [cm³], density [kg/m³]."""

    predicted: Casson
    diameter_mm: float
    volume_cm3: float
    density: float


@dataclass(frozen=True, slots=True)
class WordReading:
    """How a tempered mass felt for a use."""

    predicted: Casson
    feel: Feel
    use: Use = Use.BARS


Reading = ViscometerReading | CupReading | RingReading | WordReading


def cup_viscosity(seconds: float, cup: str, density: float) -> float:
    """Return the viscosity of a mass from the time it takes out of a flow cup.

    ``nu = a·t - b/t`` in mm²/s, ``eta = nu · rho``.

    Parameters
    ----------
    seconds : float
        Time t until the stream breaks [s].
    cup : str
        ``zahn5`` (dip cup number 5) or ``iso6`` (flow cup with a 6 mm jet).
    density : float
        Density rho of the mass [kg/m³].

    Returns
    -------
    float
        Viscosity in the stream, taken for that at 40 1/s [Pa·s].

    Raises
    ------
    InputError
        If the cup is not known, or the time too short for it.

    Notes
    -----
    The constants of the cups are from memory; they are for thin liquids without yield, so a reading of
    chocolate counts as good to a factor 1.5.

    Examples
    --------
    >>> round(cup_viscosity(100.0, "zahn5", 1200.0), 2)
    2.76

    References
    ----------
    [astm-d4212], [iso-2431], [spread-ring-study]
    """
    table = load("flow_cups")
    if f"{cup}_slope" not in table:
        names = ", ".join(key.removesuffix("_slope") for key in table if key.endswith("_slope"))
        raise InputError("No cup has this key", value=cup, advice=f"The cups are: {names}.")
    slope, bend = table[f"{cup}_slope"], table[f"{cup}_bend"].value
    if slope.low is not None and not seconds >= slope.low:
        raise InputError(
            "The mass ran out too quickly for this cup", value=f"{seconds:g} s", limit=f"{slope.low:g} s"
        )
    if not 0 < density < math.inf:
        raise InputError("A density is above zero", value=density)
    return (slope.value * seconds - bend / seconds) * density / 1e6


def ring_yield(diameter_mm: float, volume_cm3: float, density: float) -> float:
    """Return the yield of a mass from how far it spread out of a lifted ring.

    ``tau = 225·rho·g·V² / (128·pi²·R⁵)``: the height at which its own weight no longer moves it, all over a
    flat cake.

    Parameters
    ----------
    diameter_mm : float
        Diameter 2R of the cake when it has come to rest [mm].
    volume_cm3 : float
        Volume V that was in the ring [cm³].
    density : float
        Density rho of the mass [kg/m³].

    Returns
    -------
    float
        Yield [Pa].

    Raises
    ------
    InputError
        If a value is not above zero.

    Notes
    -----
    For cakes much wider than high. Surface tension holds thin cakes together and is left out.

    Examples
    --------
    >>> round(ring_yield(100.0, 20.0, 1200.0), 1)
    2.7

    References
    ----------
    [spread-ring-study]
    """
    if not all(0 < value < math.inf for value in (diameter_mm, volume_cm3, density)):
        raise InputError("Diameter, volume and density are above zero")
    radius, volume = diameter_mm / 2000, volume_cm3 / 1e6
    gravity = load("flow")["film_gravity"].value
    return 225 * density * gravity * volume**2 / (128 * math.pi**2 * radius**5)


def film_thickness(yield_pa: float, density: float) -> float:
    """Return how thick a film stays on an upright wall.

    ``h = tau / (rho·g)``.

    Parameters
    ----------
    yield_pa : float
        Yield tau [Pa].
    density : float
        Density rho [kg/m³].

    Returns
    -------
    float
        Thickness h [mm].

    Examples
    --------
    >>> round(film_thickness(10.0, 1230.0), 3)
    0.829
    """
    return 1000 * yield_pa / (density * load("flow")["film_gravity"].value)
