"""How much of cocoa butter is solid, how fast it grows, and how long its low forms last."""

from __future__ import annotations

from enum import StrEnum
from functools import cache

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array, Values
from nibsmith.science.tables import load, load_rows

GHANA = "ghana"


class Crystal(StrEnum):
    """The crystals the model tells apart: forms I and II, forms III and IV, form V."""

    ALPHA = "alpha"
    BETA_PRIME = "beta_prime"
    BETA = "beta"


def origins() -> tuple[str, ...]:
    """Return the origins of cocoa butter whose solid fat is tabled.

    Returns
    -------
    tuple of str
        Keys of ``tables/fat_solids.csv``.

    Examples
    --------
    >>> origins()
    ('ghana', 'ivory_coast', 'brazil', 'malaysia', 'india')

    References
    ----------
    [shukla-1995]
    """
    return tuple(dict.fromkeys(row["fat"] for row in load_rows("fat_solids.csv")))


def solid_fat(celsius: Values, crystal: Crystal = Crystal.BETA, origin: str = GHANA) -> Values:
    """Return how much of cocoa butter is solid at rest.

    The table is taken as straight between its points. Lower forms follow the same curve, moved down by as
    much as they melt lower than form V: ``S_p(T) = S(T + 6.3)``, ``S_a(T) = S(T + 10.5)``.

    Parameters
    ----------
    celsius : float or array
        Temperature [°C].
    crystal : Crystal
        Which crystals.
    origin : str
        Which cocoa butter.

    Returns
    -------
    float or array
        Solid share of the fat [0 to 1].

    Raises
    ------
    InputError
        For an origin that is in no table.

    Notes
    -----
    Range: 10 to 36 °C for Ghana, 20 to 35 °C for the others; beyond, the last value is kept, for Ghana a line
    to 95 % at -20 °C. From memory, and the two lower forms are a reading: an estimate.

    Examples
    --------
    >>> solid_fat(20.0), round(solid_fat(20.0, Crystal.ALPHA), 4)
    (0.76, 0.4061)

    References
    ----------
    [shukla-1995], [wille-lutton-1966]
    """
    points, shares = _curve(origin)
    found = np.interp(np.add(celsius, _lower_by(crystal)), points, shares)
    return float(found) if np.ndim(found) == 0 else np.asarray(found)


def growth_rate(celsius: Values) -> Values:
    """Return how fast form V grows on its seeds.

    ``K = K_20 · ((T_m - T) / (T_m - 20))²`` below the melting point of form V, nothing above.

    Parameters
    ----------
    celsius : float or array
        Temperature [°C].

    Returns
    -------
    float or array
        Rate [1/min].

    Notes
    -----
    Range: 5 to 34 °C. An estimate, known to a factor of 1.4.

    Examples
    --------
    >>> round(growth_rate(31.5), 6)
    0.013889

    References
    ----------
    [lovegren-feuge-1965], [seeding-trade]
    """
    table = load("temper_states")
    melting = load("temper")["form_v_melting"].value
    below = np.maximum(0.0, np.subtract(melting, celsius)) / (melting - table["growth_at"].value)
    found = table["growth"].value * below**2
    return float(found) if np.ndim(found) == 0 else np.asarray(found)


def turning_minutes(celsius: Values, crystal: Crystal) -> Values:
    """Return how long a low form takes to turn into the next one, until it counts as gone.

    The logarithm of the lifetime is straight between the two that were read, and stays beyond them.

    Parameters
    ----------
    celsius : float or array
        Temperature [°C].
    crystal : Crystal
        Alpha or beta prime; form V does not turn in this model.

    Returns
    -------
    float or array
        Lifetime [min].

    Raises
    ------
    InputError
        For form V.

    Notes
    -----
    Range: 0 to 15 °C for alpha, 15 to 24 °C for beta prime; clamped beyond.

    Examples
    --------
    >>> round(turning_minutes(5.0, Crystal.ALPHA), 2)
    1449.93

    References
    ----------
    [marangoni-mcgauley-2003]
    """
    if crystal is Crystal.BETA:
        raise InputError("Form V does not turn within the hours of this model", value=crystal.value)
    table, name = load("temper_states"), crystal.value
    cold, warm = table[f"{name}_cold"].value, table[f"{name}_warm"].value
    ends = np.log([table[f"{name}_life_cold"].value, table[f"{name}_life_warm"].value])
    found = np.exp(np.interp(celsius, [cold, warm], ends))
    return float(found) if np.ndim(found) == 0 else np.asarray(found)


@cache
def _curve(origin: str) -> tuple[Array, Array]:
    rows = [row for row in load_rows("fat_solids.csv") if row["fat"] == origin]
    if not rows:
        raise InputError(
            "No cocoa butter of this origin is tabled",
            value=origin,
            advice=f"There are: {', '.join(origins())}.",
        )
    points = np.array([float(row["celsius"]) for row in rows])
    return points, np.array([float(row["solid_percent"]) / 100 for row in rows])


def _lower_by(crystal: Crystal) -> float:
    """How much lower a form melts than form V [K]."""
    if crystal is Crystal.BETA:
        return 0.0
    return load("temper")["form_v_melting"].value - load("temper_states")[f"{crystal.value}_melting"].value
