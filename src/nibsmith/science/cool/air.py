"""How well air takes heat from a bar."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Values
from nibsmith.science.tables import load


class Wind(StrEnum):
    """How the air around the moulds moves."""

    STILL = "still"
    FAN = "fan"
    STRONG = "strong"


@dataclass(frozen=True, slots=True)
class Gas:
    """Air at its temperature: conductivity [W/(m K)], kinematic viscosity [m²/s], Prandtl number [1]."""

    conductivity: float
    viscosity: float
    prandtl: float


def cool_air() -> Gas:
    """Return air at 12 °C.

    Returns
    -------
    Gas
        Its properties.

    Examples
    --------
    >>> cool_air().prandtl
    0.711

    References
    ----------
    [incropera-conduction]
    """
    table = load("cool")
    return Gas(*(table[f"air_{name}"].value for name in ("conductivity", "viscosity", "prandtl")))


def usual_coefficient(wind: Wind) -> Span:
    """Return the usual coefficient between air and a face, radiation included.

    Parameters
    ----------
    wind : Wind
        How the air moves.

    Returns
    -------
    Span
        Coefficient with its range [W/(m² K)].

    Examples
    --------
    >>> usual_coefficient(Wind.STILL)
    Span(low=6.0, value=8.0, high=10.0)

    References
    ----------
    [incropera-conduction]
    """
    row = load("cool")[wind.value]
    return Span(row.low or row.value, row.value, row.high or row.value)


def plate_coefficient(speed: float, length_m: float, air: Gas) -> float:
    """Return the mean coefficient of air that flows along a plate.

    ``Nu = 0.664·Re^(1/2)·Pr^(1/3)``, ``h = Nu·k/L``.

    Parameters
    ----------
    speed : float
        Of the air [m/s].
    length_m : float
        Of the plate along the flow [m].
    air : Gas
        The air.

    Returns
    -------
    float
        Coefficient without radiation [W/(m² K)].

    Raises
    ------
    InputError
        If speed or length are not more than nothing.
    OutOfRange
        Where the flow is no longer laminar.

    Notes
    -----
    Range: Reynolds numbers up to 500 000.

    Examples
    --------
    >>> round(plate_coefficient(1.0, 0.1, cool_air()), 1)
    12.3

    References
    ----------
    [incropera-conduction]
    """
    table = load("cool")
    if not (speed > 0 and length_m > 0):
        raise InputError("Air flows along a plate at some speed", value=f"{speed:g} m/s, {length_m:g} m")
    reynolds = speed * length_m / air.viscosity
    if reynolds > table["plate_reynolds"].value:
        raise OutOfRange(
            "This air is no laminar flow", value=f"{reynolds:.0f}", limit=table["plate_reynolds"].value
        )
    nusselt = table["plate_factor"].value * math.sqrt(reynolds) * math.cbrt(air.prandtl)
    return nusselt * air.conductivity / length_m


def radiation_coefficient(celsius: float, around_celsius: float) -> float:
    """Return the coefficient that radiation adds.

    ``h = eps·sigma·(T_1 + T_2)·(T_1² + T_2²)``, temperatures absolute.

    Parameters
    ----------
    celsius, around_celsius : float
        Face and what surrounds it [°C].

    Returns
    -------
    float
        Coefficient [W/(m² K)].

    Examples
    --------
    >>> round(radiation_coefficient(20.0, 12.0), 1)
    4.9

    References
    ----------
    [si-brochure]
    """
    table, zero = load("cool"), load("units")["celsius_zero"].value
    one, two = celsius + zero, around_celsius + zero
    factor = table["emissivity"].value * table["stefan_boltzmann"].value
    return factor * (one + two) * (one**2 + two**2)


def through_wall(coefficient: Values, resistance: Values | None = None) -> Values:
    """Return the coefficient between air and a bar with the wall of a mould in between.

    ``u = 1 / (1/h + R)``; the wall holds no heat in this.

    Parameters
    ----------
    coefficient : float or array
        Between air and wall [W/(m² K)].
    resistance : float or array, optional
        Of the wall, thickness over conductivity, usually 0.01 [m² K/W].

    Returns
    -------
    float or array
        Coefficient [W/(m² K)].

    Raises
    ------
    InputError
        If the coefficient is not more than nothing or the resistance less.

    Examples
    --------
    >>> round(through_wall(20.0), 1)
    16.7

    References
    ----------
    [common-practice]
    """
    wall = load("cool")["wall_resistance"].value if resistance is None else resistance
    if not (np.all(np.asarray(coefficient) > 0) and np.all(np.asarray(wall) >= 0)):
        raise InputError("Air exchanges some heat with a wall", value=coefficient)
    return 1 / (1 / coefficient + wall)
