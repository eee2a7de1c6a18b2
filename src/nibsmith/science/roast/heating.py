"""Heat from air and walls to a bean."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Span
from nibsmith.science.tables import load


class Roaster(StrEnum):
    """What beans are roasted in."""

    STILL_OVEN = "still_oven"
    FAN_OVEN = "fan_oven"
    DRUM = "drum"
    HOT_AIR = "hot_air"


@dataclass(frozen=True, slots=True)
class Air:
    """Dry air: density [kg/m³], viscosity [Pa·s], conductivity [W/(m K)], heat capacity [J/(kg K)]."""

    density: float
    viscosity: float
    conductivity: float
    heat_capacity: float

    @property
    def prandtl(self) -> float:
        """Viscosity by heat capacity over conductivity [1]."""
        return self.viscosity * self.heat_capacity / self.conductivity


@cache
def zero_k() -> float:
    """Return 0 °C on the scale that begins at absolute zero.

    Returns
    -------
    float
        The temperature [K].

    Examples
    --------
    >>> zero_k()
    273.15

    References
    ----------
    [nist-sp811]
    """
    return load("units")["celsius_zero"].value


def dry_air(celsius: float) -> Air:
    """Return dry air at the pressure of the sea.

    ``rho = p/(R T)``, ``mu = b T^1.5/(T + S)``, ``k = a T^1.5/(T + c · 10^(-d/T))``.

    Parameters
    ----------
    celsius : float
        Temperature [°C].

    Returns
    -------
    Air
        Density [kg/m³], viscosity [Pa·s], conductivity [W/(m K)].

    Raises
    ------
    OutOfRange
        Below -40 °C or above 500 °C.

    Examples
    --------
    >>> air = dry_air(140.0)
    >>> round(air.density, 4), round(air.conductivity, 5), round(air.prandtl, 3)
    (0.8544, 0.03458, 0.68)

    References
    ----------
    [us-atmosphere-1976]
    """
    limits = load("roast")
    low, high = limits["reading_lowest"].value, limits["reading_highest"].value
    if not low <= celsius <= high:
        raise OutOfRange(
            "Air is not asked at this temperature", value=celsius, limit=f"{low:g} to {high:g} °C"
        )
    table, kelvin = load("roast_bean"), celsius + zero_k()
    power = kelvin * math.sqrt(kelvin)
    bend = table["air_conductivity_k"].value * 10.0 ** (-table["air_conductivity_power"].value / kelvin)
    return Air(
        density=table["air_pressure"].value / (table["air_gas_constant"].value * kelvin),
        viscosity=table["air_viscosity_scale"].value * power / (kelvin + table["air_viscosity_k"].value),
        conductivity=table["air_conductivity_scale"].value * power / (kelvin + bend),
        heat_capacity=table["air_heat_capacity"].value,
    )


def sphere_convection(speed: float, diameter_mm: float, celsius: float) -> float:
    """Return the heat transfer from moving air to a sphere.

    ``Nu = 2 + 0.6 Re^(1/2) Pr^(1/3)``, ``h = Nu k/d``.

    Parameters
    ----------
    speed : float
        Speed of the air past the sphere [m/s].
    diameter_mm : float
        Diameter of the sphere [mm].
    celsius : float
        Temperature of the air [°C].

    Returns
    -------
    float
        h [W/(m² K)].

    Raises
    ------
    InputError
        If the speed is negative or the diameter not above zero.

    Notes
    -----
    For one sphere by itself; beans in a heap get less.

    Examples
    --------
    >>> [round(sphere_convection(speed, 12.63, 140.0), 1) for speed in (0.5, 1.0, 2.0)]
    [27.4, 36.5, 49.4]

    References
    ----------
    [ranz-marshall-1952]
    """
    if not (speed >= 0 and diameter_mm > 0):
        raise InputError("Speed is zero or more, a diameter above zero", value=f"{speed:g}, {diameter_mm:g}")
    table, air, metres = load("roast_bean"), dry_air(celsius), diameter_mm / 1000
    reynolds = air.density * speed * metres / air.viscosity
    moving = table["sphere_moving"].value * math.sqrt(reynolds) * air.prandtl ** (1 / 3)
    return float((table["sphere_still"].value + moving) * air.conductivity / metres)


def radiation(bean_celsius: float, wall_celsius: float, emissivity: float | None = None) -> float:
    """Return the heat transfer by radiation between a bean and what it sees.

    ``h = eps · sigma · (T1 + T2)(T1² + T2²)``, temperatures in K.

    Parameters
    ----------
    bean_celsius, wall_celsius : float
        Temperatures [°C].
    emissivity : float, optional
        Of the bean [0 to 1]; usual 0.9.

    Returns
    -------
    float
        h [W/(m² K)].

    Raises
    ------
    InputError
        If the emissivity is no share.

    Examples
    --------
    >>> round(radiation(100.0, 150.0), 1)
    12.9

    References
    ----------
    [si-brochure]
    """
    table = load("roast_bean")
    share = table["emissivity"].value if emissivity is None else emissivity
    if not 0 <= share <= 1:
        raise InputError("An emissivity lies between 0 and 1", value=share)
    one, two = bean_celsius + zero_k(), wall_celsius + zero_k()
    return share * table["stefan_boltzmann"].value * (one + two) * (one**2 + two**2)


def moving_air_transfer(speed: float, diameter_mm: float, air_celsius: float, bean_celsius: float) -> float:
    """Return the heat transfer to a bean in moving air between walls as warm as it, with radiation.

    ``h = h_convection + h_radiation``.

    Parameters
    ----------
    speed : float
        Speed of the air past the bean [m/s].
    diameter_mm : float
        Diameter of the sphere of its volume [mm].
    air_celsius : float
        Temperature of air and walls [°C].
    bean_celsius : float
        Temperature of the bean at which radiation is taken [°C].

    Returns
    -------
    float
        h [W/(m² K)].

    Raises
    ------
    InputError
        If the speed is negative or the diameter not above zero.

    Notes
    -----
    For a bean by itself; in a heap beans shade each other from both.

    Examples
    --------
    >>> round(moving_air_transfer(1.0, 12.63, 140.0, 100.0))
    49

    References
    ----------
    [ranz-marshall-1952], [si-brochure]
    """
    return sphere_convection(speed, diameter_mm, air_celsius) + radiation(bean_celsius, air_celsius)


def usual_transfer(roaster: Roaster) -> Span:
    """Return the heat transfer to beans that is usual in a kind of roaster, radiation counted in.

    Parameters
    ----------
    roaster : Roaster
        A still oven, an oven with a fan, a drum, or hot air that floats the beans.

    Returns
    -------
    Span
        h with its range [W/(m² K)].

    Notes
    -----
    Nobody has measured it in your roaster.

    Examples
    --------
    >>> usual_transfer(Roaster.FAN_OVEN)
    Span(low=20.0, value=27.0, high=35.0)

    References
    ----------
    [common-practice]
    """
    row = load("roast_bean")[f"transfer_{roaster.value}"]
    return Span(row.low or row.value, row.value, row.high or row.value)
