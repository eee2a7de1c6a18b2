"""When grains are fine enough: the hour from which the answer calls them so, rounded once for all to read."""

from __future__ import annotations

import math

from nibsmith.answers.wording import NO_BREAK, RANGE
from nibsmith.science.grind import GrindFit
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Array, quantile
from nibsmith.science.tables import load

_FOUR_IN_FIVE = (10 / 100, 90 / 100)
_WHOLE_FROM_H = 10  # from so many hours on nobody reads tenths of one


def ready_hours(fit: GrindFit, limit_um: float) -> Span:
    """Return when grains are fine enough, counted from the last coarse addition.

    The value is the hour from which seven draws in ten are, so that the answer calls them good; four in five
    come to it within the ends. All are rounded away from the middle, so what is read is never too early.

    Parameters
    ----------
    fit : GrindFit
        What is known of the grinding.
    limit_um : float
        The largest grains that the aim allows [µm].

    Returns
    -------
    Span
        Whole hours from ten on, tenths before; infinite where it may stall before [h].

    Raises
    ------
    OutOfRange
        If the kit does not get there, or more likely than not has stalled above it.

    Examples
    --------
    >>> from nibsmith.science.grind import SizeReading, fit_readings
    >>> read = (SizeReading(9.0, 100.0, 9), SizeReading(24.0, 40.0, 9))
    >>> fit = fit_readings(read, Span(400.0, 500.0, 600.0), Span(0.0007, 0.0014, 0.0028), 15.0)
    >>> ready_hours(fit, 30.0)
    Span(low=32.0, value=35.0, high=35.0)
    """
    fit.hours_to(limit_um)
    return _rounded(fit.hours_for(limit_um))


def more_hours(fit: GrindFit, from_um: float, to_um: float) -> Span:
    """Return how long it takes from one size to a finer one, as ``ready_hours`` does [µm; h]."""
    return _rounded(fit.hours_between(from_um, to_um))


def _rounded(hours: Array) -> Span:
    low, high = (quantile(hours, share) for share in _FOUR_IN_FIVE)
    value = quantile(hours, load("flow_uses")["chance_good"].value)
    return Span(_round(low, up=False), _round(value), _round(high))


def _round(hours: float, *, up: bool = True) -> float:
    """An hour to what is read of it: to a whole one from ten on, else to a tenth."""
    if hours == math.inf:
        return hours
    parts = 1 if hours >= _WHOLE_FROM_H else 10
    return (math.ceil if up else math.floor)(hours * parts) / parts


def hours_figure(hours: float) -> str:
    """Return hours as they are read.

    Examples
    --------
    >>> hours_figure(39.0), hours_figure(9.5), hours_figure(16.40000000001)
    ('39', '9.5', '16.4')
    """
    return f"{hours:.1f}".removesuffix(".0")


def hours_words(hours: Span) -> str:
    """Return a time with its range; of what may never come only the earliest.

    Examples
    --------
    >>> hours_words(Span(26.0, 31.0, 39.0)).replace(NO_BREAK, " ")
    'about 31 h (26–39 h)'
    >>> hours_words(Span(26.0, 31.0, math.inf)).replace(NO_BREAK, " ")
    'about 31 h (26 h at the least; it may stall before)'
    >>> hours_words(Span(26.0, math.inf, math.inf)).replace(NO_BREAK, " ")
    '26 h at the least; it may stall before'
    """
    low, middle, high = (hours_figure(one) for one in (hours.low, hours.value, hours.high))
    least = f"{low}{NO_BREAK}h at the least; it may stall before"
    if hours.value == math.inf:
        return least
    if hours.high == math.inf:
        return f"about {middle}{NO_BREAK}h ({least})"
    if low == high:
        return f"about {middle}{NO_BREAK}h"
    return f"about {middle}{NO_BREAK}h ({low}{RANGE}{high}{NO_BREAK}h)"
