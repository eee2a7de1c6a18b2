"""A wanted roast as a band of temperature over time, and how well a roast kept to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.curves import Curve, time_above


@dataclass(frozen=True, eq=False)
class Band:
    """A wanted course [s, °C] and how far a roast may be off either side of it [K]."""

    wanted: Curve
    tolerance_k: float

    def __post_init__(self) -> None:
        if not self.tolerance_k > 0:
            raise InputError("The tolerance of a band is above zero", value=self.tolerance_k)


@dataclass(frozen=True)
class Kept:
    """How a roast kept to a band: shares of the time that both cover [0 to 1], and the furthest departure.

    ``furthest_k`` is above zero where the roast was too hot [K], at ``furthest_s`` [s]; ``first_out_s`` is
    when it left the band first, ``None`` where it never did; ``covered_s`` is the time compared [s].
    """

    inside: float
    too_hot: float
    too_cool: float
    furthest_k: float
    furthest_s: float
    first_out_s: float | None
    covered_s: float


def keep_to_band(curve: Curve, band: Band) -> Kept:
    """Return how well a roast kept to a wanted band.

    The difference of two courses of straight pieces is one of straight pieces: the times outside are exact.

    Parameters
    ----------
    curve : Curve
        The roast [s, °C].
    band : Band
        The wanted course and its tolerance [s, °C, K].

    Returns
    -------
    Kept
        Shares of the time that both cover [0 to 1].

    Raises
    ------
    InputError
        If they share no time.

    Examples
    --------
    >>> wanted = Curve(np.array([0.0, 600.0]), np.array([20.0, 120.0]), 900.0)
    >>> roast = Curve(np.array([0.0, 600.0]), np.array([20.0, 130.0]), 900.0)
    >>> kept = keep_to_band(roast, Band(wanted, 5.0))
    >>> kept.inside, kept.first_out_s, kept.furthest_k
    (0.5, 300.0, 10.0)

    References
    ----------
    [bench-judgement]
    """
    apart = difference(curve, band.wanted)
    length, _, _ = apart.steps()
    covered = float(length.sum())
    if not covered:
        raise InputError("The roast and the wanted course share no time")
    hot = time_above(apart, band.tolerance_k) / covered
    cool = time_above(_negative(apart), band.tolerance_k) / covered
    place = int(np.abs(apart.celsius).argmax())
    return Kept(
        inside=1 - hot - cool,
        too_hot=hot,
        too_cool=cool,
        furthest_k=float(apart.celsius[place]),
        furthest_s=float(apart.times_s[place]),
        first_out_s=_first_out(apart, band.tolerance_k),
        covered_s=covered,
    )


def difference(curve: Curve, other: Curve) -> Curve:
    """Return how much warmer one curve is than another, at every reading of either that both cover.

    Parameters
    ----------
    curve, other : Curve
        Two courses [s, °C].

    Returns
    -------
    Curve
        The first less the second [s, K].

    Raises
    ------
    InputError
        If they share no time.

    Examples
    --------
    >>> one = Curve(np.array([0.0, 600.0]), np.array([20.0, 120.0]), 900.0)
    >>> two = Curve(np.array([0.0, 300.0]), np.array([20.0, 60.0]), 900.0)
    >>> difference(one, two).celsius.tolist()
    [0.0, 10.0]

    References
    ----------
    [bench-judgement]
    """
    times = np.union1d(curve.times_s, other.times_s)
    apart = curve.at(times) - other.at(times)
    both = np.isfinite(apart)
    if not both.any():
        raise InputError("The two courses share no time")
    return Curve(times[both], apart[both], min(curve.gap_s, other.gap_s))


def _negative(curve: Curve) -> Curve:
    return Curve(curve.times_s, -curve.celsius, curve.gap_s)


def _first_out(apart: Curve, tolerance: float) -> float | None:
    over: Array = np.abs(apart.celsius) - tolerance
    out = np.flatnonzero(over > 0)
    if not out.size:
        return None
    place = int(out[0])
    if place == 0:
        return apart.start_s
    # On the straight piece before, where the difference meets the edge of the band on its side.
    edge = float(np.copysign(tolerance, apart.celsius[place]))
    share = (edge - apart.celsius[place - 1]) / (apart.celsius[place] - apart.celsius[place - 1])
    return float(apart.times_s[place - 1] + share * (apart.times_s[place] - apart.times_s[place - 1]))
