"""The four-state model: melt, alpha, beta prime, and form V that grows on seeds or comes from beta prime.

Forms are fractions of the whole fat in one array whose first axis is ALPHA, BETA_PRIME, GROWN, TURNED: form V
that grew on seeds, and form V that beta prime turned into. What is left is melt.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from nibsmith.science.errors import OutOfRange
from nibsmith.science.numerics import Array, Values
from nibsmith.science.tables import load
from nibsmith.science.temper.solids import Crystal, growth_rate, solid_fat, turning_minutes

ALPHA, BETA_PRIME, GROWN, TURNED = range(4)
FORMS = 4
# The grid on which the coefficients are tabled: every bend of theirs lies on it, so lines in between are
# exact for the solids and within 1e-4 for the rest.
_GRID_STEP = 0.1
_COLDEST, _WARMEST = -20, 60
# Least room for form V, so that a mass with none is not divided by zero.
_ROOM_EPSILON = 1e-9
# A fat on its bound is inside.
_ROUNDING_EPSILON = 1e-9
_PERCENT = 100
_PER_GRAM = 1000  # grams in a kilogram, for heats in J/g


@dataclass(frozen=True, slots=True)
class Fat:
    """The fat of a mass, as numbers or one for each of many masses.

    ``share`` is fat in the mass [0 to 1]; ``lowering_k`` how much other fats lower its melting [K];
    ``butter_share`` cocoa butter in the fat [0 to 1]; ``growth`` a factor on the growth of form V [1].
    """

    share: Values
    lowering_k: Values = 0.0
    butter_share: Values = 1.0
    growth: Values = 1.0


def rates(celsius: Values, forms: Array, fat: Fat) -> Array:
    """Return how fast the crystals of a fat form, turn and melt.

    ``da/dt = k_a·max(0, S_a - s) - 3a/t_a - k_m·max(0, a - S_a)``,
    ``dp/dt = k_p·max(0, S_p - s) + 3a/t_a - 3p/t_p - k_m·max(0, p - S_p)``,
    ``db/dt = K·B·(h - h³)`` with ``B = S_V - a - p - c`` and ``h = 1 - b/B``, or ``-k_m·(b - B)`` if b > B,
    ``dc/dt = 3p/t_p - k_m·max(0, c - max(0, S_V - b))``, with ``s = a + p + b + c``.

    Parameters
    ----------
    celsius : float or array
        Temperature, one for each place [°C].
    forms : array
        Fractions of the fat, alpha, beta prime, grown and turned form V along the first axis [0 to 1].
    fat : Fat
        Other fats move every temperature up by their lowering and thin the solids.

    Returns
    -------
    array
        Rates of the same shape [1/min].

    Notes
    -----
    Range: 5 to 34 °C, fat 0.28 to 0.45 of the mass, minutes to hours. Not for coconut or palm kernel fat, not
    for form VI. An estimate, not calibrated to any kit.

    Examples
    --------
    >>> rates(20.0, np.array([0.0, 0.0, 0.02, 0.0]), Fat(0.35)).round(5).tolist()
    [0.03822, 0.01377, 0.01922, 0.0]

    References
    ----------
    [marangoni-mcgauley-2003], [foubert-2002], [van-langevelde-2001]
    """
    found = _coefficients(np.asarray(celsius + fat.lowering_k))
    found[:3] *= fat.butter_share
    most_v, most_prime, most_alpha, to_alpha, to_prime, growth, alpha_turns, prime_turns = found
    growth = growth * fat.growth
    alpha, prime, grown, turned = forms
    melting = load("temper_states")["melting_rate"].value
    solids = alpha + prime + grown + turned
    leaving, settling = alpha_turns * alpha, prime_turns * prime
    change = np.empty_like(forms)
    change[ALPHA] = (
        to_alpha * np.maximum(0.0, most_alpha - solids)
        - leaving
        - melting * np.maximum(0.0, alpha - most_alpha)
    )
    change[BETA_PRIME] = to_prime * np.maximum(0.0, most_prime - solids) + leaving - settling
    change[BETA_PRIME] -= melting * np.maximum(0.0, prime - most_prime)
    change[GROWN] = _grown(grown, most_v - alpha - prime - turned, growth, melting)
    change[TURNED] = settling - melting * np.maximum(0.0, turned - np.maximum(0.0, most_v - grown))
    return change


def fat_limits() -> tuple[float, float]:
    """Return how lean and how fat a mass may be for the rates to be meant for it.

    Returns
    -------
    tuple of float
        Least and most fat as a share of the mass [0 to 1].

    Examples
    --------
    >>> fat_limits()
    (0.28, 0.45)
    """
    table = load("temper_states")
    return table["valid_fat_low"].value, table["valid_fat_high"].value


def check_fat(share: float) -> None:
    """Refuse a mass that the rates are not meant for.

    Parameters
    ----------
    share : float
        Fat in the mass [0 to 1].

    Raises
    ------
    OutOfRange
        Outside ``fat_limits``, but for the noise of arithmetic.

    Examples
    --------
    >>> check_fat(0.35)
    """
    low, high = fat_limits()
    if not low - _ROUNDING_EPSILON <= share <= high + _ROUNDING_EPSILON:
        raise OutOfRange(
            f"How fast fat sets is known only for masses of {_PERCENT * low:g} to {_PERCENT * high:g} % fat",
            value=f"{_PERCENT * share:.3g} %",
            advice="Try a little of this one, and time it.",
            field="fat",
        )


def heats() -> Array:
    """Return the heat that each form sets free.

    Returns
    -------
    array
        Alpha, beta prime, grown and turned form V [J/kg of fat].

    Examples
    --------
    >>> heats().tolist()
    [86200.0, 117600.0, 136900.0, 136900.0]

    References
    ----------
    [wille-lutton-1966]
    """
    states, beta = load("temper_states"), load("temper")["form_v_heat"].value
    return _PER_GRAM * np.array([states["alpha_heat"].value, states["beta_prime_heat"].value, beta, beta])


def seeded(seed: Values, places: tuple[int, ...] = ()) -> Array:
    """Return a mass with seeds of form V and nothing else solid.

    Parameters
    ----------
    seed : float or array
        Seeds as a fraction of the fat [0 to 1].
    places : tuple of int
        Shape of the places that all hold the same.

    Returns
    -------
    array
        Forms along the first axis [0 to 1].

    Examples
    --------
    >>> seeded(0.02).tolist()
    [0.0, 0.0, 0.02, 0.0]
    """
    forms = np.zeros((FORMS, *places))
    forms[GROWN] = seed
    return forms


def _grown(grown: Values, room: Values, growth: Values, melting: float) -> Values:
    """``K·B·(h - h³)`` written out as ``K·(B - b)·(b/B)·(2 - b/B)``, and melting where there is no room."""
    room = np.maximum(room, _ROOM_EPSILON)
    free, filled = room - grown, grown / room
    return np.where(free > 0, growth * free * filled * (2 - filled), melting * free)


def _coefficients(celsius: Array) -> Array:
    """Look up solids of the three forms, and the rates towards and between them, along a new first axis."""
    values, slopes = _grid()
    place = (np.clip(celsius, _COLDEST, _WARMEST) - _COLDEST) / _GRID_STEP
    below = np.minimum(place.astype(np.intp), values.shape[1] - 2)
    # All places are on the grid; to say so ("clip") spares numpy a copy.
    found: Array = np.take(slopes, below, axis=1, mode="clip")
    found *= place - below
    found += np.take(values, below, axis=1, mode="clip")
    return found


@cache
def _grid() -> tuple[Array, Array]:
    table = load("temper_states")
    points = np.arange(_COLDEST * 10, _WARMEST * 10 + 1) / 10
    under_alpha = np.maximum(0.0, table["alpha_melting"].value - points)
    under_prime = np.maximum(0.0, table["beta_prime_melting"].value - points)
    in_a_life = table["constants_in_a_life"].value
    values = np.array(
        [
            solid_fat(points, Crystal.BETA),
            solid_fat(points, Crystal.BETA_PRIME),
            solid_fat(points, Crystal.ALPHA),
            table["alpha_rate"].value * under_alpha,
            table["beta_prime_rate"].value * under_prime**2,
            growth_rate(points),
            in_a_life / turning_minutes(points, Crystal.ALPHA),
            in_a_life / turning_minutes(points, Crystal.BETA_PRIME),
        ]
    )
    return values, np.diff(values, append=values[:, -1:])
