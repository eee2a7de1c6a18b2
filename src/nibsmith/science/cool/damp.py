"""Water from the air of a room on a cold bar."""

from __future__ import annotations

import math

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.numerics import Values
from nibsmith.science.quantities.shown import format_celsius, format_plain
from nibsmith.science.tables import load

_PERCENT = 100


def vapour_pressure(celsius: Values) -> Values:
    """Return the pressure of water vapour over water at rest.

    ``e_s = 6.112·exp(17.62·T / (243.12 + T))``.

    Parameters
    ----------
    celsius : float or array
        Temperature [°C].

    Returns
    -------
    float or array
        Pressure [hPa].

    Raises
    ------
    OutOfRange
        Outside -45 to 60 °C.

    Notes
    -----
    Range: -45 to 60 °C.

    Examples
    --------
    >>> round(vapour_pressure(20.0), 3)
    23.326

    References
    ----------
    [wmo-magnus]
    """
    table = load("cool")
    low, high = table["magnus_low"].value, table["magnus_high"].value
    outside = np.atleast_1d((np.asarray(celsius) < low) | (np.asarray(celsius) > high))
    if outside.any():
        worst = np.atleast_1d(celsius)[outside][0]
        raise OutOfRange(
            "No vapour pressure here",
            value=format_celsius(float(worst)),
            limit=f"{format_plain(low)} to {high:g} °C",
        )
    exponent = table["magnus_a"].value * np.asarray(celsius) / (table["magnus_b"].value + np.asarray(celsius))
    found = table["magnus_es"].value * np.exp(exponent)
    return found if np.ndim(found) else float(found)


def dew_point(celsius: float, humidity_percent: float) -> float:
    """Return the temperature at which water settles from air.

    ``gamma = ln(RH/100) + a·T/(b + T)``, ``T_d = b·gamma / (a - gamma)``.

    Parameters
    ----------
    celsius : float
        Temperature of the air [°C].
    humidity_percent : float
        Its relative humidity [%].

    Returns
    -------
    float
        Dew point [°C].

    Raises
    ------
    InputError
        For a humidity that cannot be.
    OutOfRange
        Outside -45 to 60 °C.

    Examples
    --------
    >>> round(dew_point(20.0, 50.0), 2)
    9.26

    References
    ----------
    [wmo-magnus]
    """
    _check(humidity_percent)
    return _celsius_at(float(vapour_pressure(celsius)) * humidity_percent / _PERCENT)


def surface_humidity(surface_celsius: Values, air_celsius: Values, humidity_percent: Values) -> Values:
    """Return the relative humidity right at a cold face.

    ``RH_s = RH·e_s(T_air) / e_s(T_s)``.

    Parameters
    ----------
    surface_celsius : float or array
        The face [°C].
    air_celsius : float or array
        The room [°C].
    humidity_percent : float or array
        Relative humidity of the room [%].

    Returns
    -------
    float or array
        Relative humidity; over 100 means that water settles [%].

    Raises
    ------
    InputError
        For a humidity that cannot be.
    OutOfRange
        Outside -45 to 60 °C.

    Examples
    --------
    >>> round(surface_humidity(12.0, 20.0, 50.0), 1)
    83.3

    References
    ----------
    [wmo-magnus]
    """
    _check(humidity_percent)
    return humidity_percent * vapour_pressure(air_celsius) / vapour_pressure(surface_celsius)


def safe_surface(air_celsius: float, humidity_percent: float, limit_percent: float) -> float:
    """Return how warm a face must be so that the air is not damp to it.

    Solves ``e_s(T_s) = RH·e_s(T_air) / limit``.

    Parameters
    ----------
    air_celsius : float
        The room [°C].
    humidity_percent : float
        Relative humidity of the room [%].
    limit_percent : float
        Humidity that the face bears, 82 for dark and 78 for milk chocolate [%].

    Returns
    -------
    float
        Temperature of the face [°C].

    Raises
    ------
    InputError
        For a humidity that cannot be.
    OutOfRange
        Outside -45 to 60 °C.

    Examples
    --------
    >>> round(safe_surface(20.0, 50.0, 82.0), 1)
    12.2

    References
    ----------
    [wmo-magnus], [food-info]
    """
    _check(humidity_percent)
    _check(limit_percent)
    return _celsius_at(float(vapour_pressure(air_celsius)) * humidity_percent / limit_percent)


def _celsius_at(pressure: float) -> float:
    table = load("cool")
    gamma = math.log(pressure / table["magnus_es"].value)
    return table["magnus_b"].value * gamma / (table["magnus_a"].value - gamma)


def _check(humidity_percent: Values) -> None:
    within = np.atleast_1d((np.asarray(humidity_percent) > 0) & (np.asarray(humidity_percent) <= _PERCENT))
    if not within.all():
        worst = np.atleast_1d(humidity_percent)[~within][0]
        raise InputError("A relative humidity lies between 0 and 100 %", value=f"{worst:g}")
