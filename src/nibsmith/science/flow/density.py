"""Densities from the constituents of a food."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.tables import load_rows

Law = tuple[float, float, float]
Ends = tuple[float, float]


@lru_cache(maxsize=1)
def _laws() -> Mapping[str, tuple[Law, Ends]]:
    """Coefficients a, b, c and the range of temperature by constituent."""
    return {
        row["constituent"]: (
            (float(row["a"]), float(row["b"]), float(row["c"])),
            (float(row["low"]), float(row["high"])),
        )
        for row in load_rows("densities.csv")
    }


def constituent_density(constituent: str, celsius: float) -> float:
    """Return the density of a food constituent.

    ``rho = a + b·t + c·t²``.

    Parameters
    ----------
    constituent : str
        protein, fat, carbohydrate, fibre, ash or water.
    celsius : float
        Temperature t [°C].

    Returns
    -------
    float
        Density [kg/m³].

    Raises
    ------
    InputError
        If the constituent is none of these.
    OutOfRange
        Outside -40 to 150 °C.

    Notes
    -----
    Range: -40 to 150 °C, water liquid. The fat is 1 to 3 % too dense for liquid cocoa butter and 5 to 7 % too
    light for solid, for it does not shrink when it sets.

    Examples
    --------
    >>> round(constituent_density("carbohydrate", 40.0), 2)
    1586.68

    References
    ----------
    [ashrae-2006-9]
    """
    if constituent not in _laws():
        raise InputError(
            "This is no constituent", value=constituent, advice=f"They are: {', '.join(_laws())}."
        )
    (a, b, c), (low, high) = _laws()[constituent]
    if not low <= celsius <= high:
        raise OutOfRange(
            "Densities are not given at this temperature", value=celsius, limit=f"{low:g} to {high:g} °C"
        )
    return a + b * celsius + c * celsius**2


def food_density(shares: Mapping[str, float], celsius: float) -> float:
    """Return the density of a food from its analysis, without pores.

    ``1/rho = sum(x_i / rho_i)``.

    Parameters
    ----------
    shares : Mapping[str, float]
        Mass shares x of the constituents; they are taken per their sum [0 to 1].
    celsius : float
        Temperature [°C].

    Returns
    -------
    float
        Density [kg/m³].

    Raises
    ------
    InputError
        If a share is negative or all are zero.
    OutOfRange
        Outside -40 to 150 °C.

    Examples
    --------
    >>> round(food_density({"protein": 0.12, "carbohydrate": 0.05, "water": 0.83}, 22.0), 1)
    1045.8

    References
    ----------
    [ashrae-2006-9], [purdue-rhonew]
    """
    if any(share < 0 for share in shares.values()) or not sum(shares.values()) > 0:
        raise InputError("Shares are zero or more, and not all zero", value=dict(shares))
    volume = sum(share / constituent_density(name, celsius) for name, share in shares.items())
    return sum(shares.values()) / volume
