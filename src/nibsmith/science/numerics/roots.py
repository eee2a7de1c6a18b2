"""Where a function of one number crosses zero."""

from __future__ import annotations

import math
from collections.abc import Callable

from nibsmith.science.errors import OutOfRange

# Relative width at which a bracket counts as closed: far below the last digit that is ever shown.
ROOT_TOLERANCE = 1e-12
_MOST_STEPS = 200


def bracketed_root(
    function: Callable[[float], float],
    low: float,
    high: float,
    tolerance: float = ROOT_TOLERANCE,
) -> float:
    """Return where a function changes sign, on the side of its bracket where the sign is that of ``high``.

    An end at which it is zero is the answer itself; where both are, ``low`` is.

    Chandrupatla's method: inverse quadratic steps where three points allow it, else the bracket is halved,
    so it closes in any case.

    Parameters
    ----------
    function : callable
        A function of one number [unit of the argument]; infinite values count by their sign.
    low, high : float
        Two numbers between which it changes sign, in either order [unit of the argument].
    tolerance : float
        Width of the last bracket as a share of the larger of the first ends [1].

    Returns
    -------
    float
        A point no further than the tolerance from the change of sign, never on the side of ``low``, but
        ``low`` itself where the function is zero there [unit of the argument].

    Raises
    ------
    OutOfRange
        If the function has one sign at both ends, or is no number there.

    Examples
    --------
    >>> round(bracketed_root(lambda x: x * x - 2, 0.0, 2.0), 9)
    1.414213562

    References
    ----------
    [chandrupatla-1997]
    """
    a, b, at_a, at_b = low, high, function(low), function(high)
    if at_a == 0:
        return low
    if at_b == 0:
        return high
    if math.isnan(at_a) or math.isnan(at_b) or (at_a > 0) == (at_b > 0):
        raise OutOfRange("There is no change of sign between these ends", value=f"{low:g} to {high:g}")
    positive, wide = at_b > 0, tolerance * max(abs(low), abs(high))
    step = 0.5
    for _ in range(_MOST_STEPS):
        new = a + step * (b - a)
        value = function(new)
        if (value > 0) == (at_a > 0):
            c, at_c = a, at_a
        else:
            c, at_c, b, at_b = b, at_b, a, at_a
        a, at_a = new, value
        if value == 0:
            return new
        if abs(b - a) <= wide:
            break
        least = 0.5 * wide / abs(b - a)
        step = min(max(_next_step((a, at_a), (b, at_b), (c, at_c)), least), 1 - least)
    return a if (at_a > 0) == positive else b


Point = tuple[float, float]


def _next_step(a: Point, b: Point, c: Point) -> float:
    """Where to go between a and b, as a share: the quadratic's zero where it can be trusted, else halfway."""
    xi = (a[0] - b[0]) / (c[0] - b[0])
    phi = (a[1] - b[1]) / (c[1] - b[1])
    if not (phi * phi < xi and (1 - phi) ** 2 < 1 - xi):  # also where an infinite end makes phi no number
        return 0.5
    first = a[1] / (b[1] - a[1]) * c[1] / (b[1] - c[1])
    second = (c[0] - a[0]) / (b[0] - a[0]) * a[1] / (c[1] - a[1]) * b[1] / (c[1] - b[1])
    return first + second
