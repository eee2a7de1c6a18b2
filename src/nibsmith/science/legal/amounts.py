"""Amounts per gram that vary with a fat, with the water a mass ends at, or that nobody has given."""

from __future__ import annotations

from typing import NamedTuple

Amount = tuple[float, float, float, float, float]
"""Per gram [g/g]: at the lean end, the usual value and the rich end of a fat that varies, at the usual end
water; and at the usual fat, where the finished mass ends driest and wettest."""


class Between(NamedTuple):
    """An amount per gram that is not given, from the least to the most it can be [g/g]."""

    low: float
    high: float


Counted = Amount | Between | None
"""What a gram counts; ``None`` may be any of it, from none to all."""

NOTHING: Amount = (0.0, 0.0, 0.0, 0.0, 0.0)
ONE: Amount = (1.0, 1.0, 1.0, 1.0, 1.0)
LEAN, USUAL, RICH, DRIEST, WETTEST = range(5)


def steady(value: float) -> Amount:
    """Return an amount that nothing varies.

    Parameters
    ----------
    value : float
        Grams that a gram counts [g/g].

    Returns
    -------
    tuple of float
        The same at every end of fat and of water [g/g].

    Examples
    --------
    >>> steady(0.5)
    (0.5, 0.5, 0.5, 0.5, 0.5)
    """
    return value, value, value, value, value


def plus(one: Amount, factor: float, other: Amount) -> Amount:
    """Return one amount and a factor of another, end by end.

    Parameters
    ----------
    one, other : tuple of float
        Amounts at the ends of fat and of water [g/g].
    factor : float
        How much of the other, below zero to take it off [1].

    Returns
    -------
    tuple of float
        ``one + factor x other`` [g/g].

    Examples
    --------
    >>> plus(ONE, -1.0, steady(0.25))[LEAN]
    0.75
    """
    return (
        one[LEAN] + factor * other[LEAN],
        one[USUAL] + factor * other[USUAL],
        one[RICH] + factor * other[RICH],
        one[DRIEST] + factor * other[DRIEST],
        one[WETTEST] + factor * other[WETTEST],
    )


def corner(amount: Amount, fat: int, water: int) -> float:
    """Return an amount at an end of the fat and an end of the water: they add up, neither moves the other.

    Parameters
    ----------
    amount : tuple of float
        An amount at the ends of fat and of water [g/g].
    fat, water : int
        Places of the two ends in it: ``LEAN`` or ``RICH``, ``DRIEST`` or ``WETTEST``, or ``USUAL``.

    Returns
    -------
    float
        The amount there [g/g].

    Examples
    --------
    >>> round(corner((0.5, 0.54, 0.56, 0.55, 0.53), RICH, DRIEST), 2)
    0.57
    """
    return amount[fat] + amount[water] - amount[USUAL]
