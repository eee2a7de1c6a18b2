"""Amounts that a remedy asks for, as a scale can weigh them: never less than what is needed."""

from __future__ import annotations

import math
from decimal import Decimal

from nibsmith.answers.wording import grams

FINEST_STEP_G = Decimal("0.00001")  # a hundredth of a milligram, finer than any scale
# A change goes past its limit by this share, so that binary rounding cannot leave it short.
INSIDE_EPSILON = 1e-9
# The noise of floats rounds no whole number of steps one further up.
STEP_MARGIN = 1e-12


def weighable(needed_g: float, step_g: Decimal) -> float:
    """Return the smallest multiple of a step of the scale that is enough.

    A step is at most what is needed, so that half of the amount is too little.

    Parameters
    ----------
    needed_g : float
        What is needed at the least [g].
    step_g : Decimal
        Resolution of the scale [g]; a tenth of it, and so on, where a whole step is more than is needed.

    Returns
    -------
    float
        The amount [g].

    Examples
    --------
    >>> weighable(32.3, Decimal(1)), weighable(0.24, Decimal(1)), weighable(33.0, Decimal(1))
    (33.0, 0.3, 33.0)
    """
    step = step_within(needed_g, step_g)
    return float(math.ceil(needed_g / float(step) * (1 - STEP_MARGIN)) * step)


def step_within(amount_g: float, step_g: Decimal) -> Decimal:
    """Return a step of the scale, or a tenth of it and so on where it is more than the amount.

    Examples
    --------
    >>> step_within(0.05, Decimal("0.1"))
    Decimal('0.01')
    """
    step = step_g
    while step > Decimal(repr(amount_g)) and step > FINEST_STEP_G:
        step /= 10
    return step


def weighed_words(amount_g: float, step_g: Decimal) -> str:
    """Return a weight in words to the step of the scale, finer where the amount is.

    Examples
    --------
    >>> [weighed_words(amount, Decimal(1)).replace(chr(160), " ") for amount in (33.0, 0.3)]
    ['33 g', '0.3 g']
    """
    exact, step = Decimal(repr(amount_g)), step_g
    while exact % step and step > FINEST_STEP_G:
        step /= 10
    return grams(amount_g, step)
