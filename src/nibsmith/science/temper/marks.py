"""What a cooling curve means for one maker's cup: limits learned from curves that the maker has marked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from nibsmith.science.tables import load


class Temper(StrEnum):
    """How a mass was tempered, in the maker's own judgement of the bars."""

    UNDER = "under"
    WELL = "well"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class MarkedCurve:
    """A reading that a maker has marked: slope [K/min], coolant and start [°C], and how the bars came out."""

    slope: float
    coolant_celsius: float
    start_celsius: float
    mark: Temper


@dataclass(frozen=True, slots=True)
class SlopeLimits:
    """Slopes below which a mass is over-tempered and above which it is under-tempered [K/min].

    An end is ``None`` where no marked curve says where it is; ``count`` curves stand behind the limits.
    """

    low: float | None
    high: float | None
    count: int


def comparable(
    curves: Iterable[MarkedCurve], coolant_celsius: float, start_celsius: float
) -> tuple[MarkedCurve, ...]:
    """Return the marked curves that were taken like this one.

    Parameters
    ----------
    curves : iterable of MarkedCurve
        Curves of one cup.
    coolant_celsius, start_celsius : float
        Of the reading in hand [°C].

    Returns
    -------
    tuple of MarkedCurve
        Within 1 K of its coolant and 2 K of its start.

    Examples
    --------
    >>> curves = [MarkedCurve(0.2, 8.0, 31.5, Temper.WELL), MarkedCurve(0.2, 12.0, 31.5, Temper.WELL)]
    >>> len(comparable(curves, 8.5, 31.0))
    1
    """
    table = load("temper_curve")
    return tuple(
        curve
        for curve in curves
        if abs(curve.coolant_celsius - coolant_celsius) <= table["same_coolant"].value
        and abs(curve.start_celsius - start_celsius) <= table["same_start"].value
    )


def slope_limits(curves: Sequence[MarkedCurve]) -> SlopeLimits | None:
    """Return the limits that a maker's own marked curves set.

    Each limit lies midway between the outermost good curve and the nearest one marked otherwise.

    Parameters
    ----------
    curves : sequence of MarkedCurve
        Comparable curves.

    Returns
    -------
    SlopeLimits or None
        ``None`` with fewer than three curves, without a good one, or where the marks contradict each other.

    Examples
    --------
    >>> slopes = [(0.1, Temper.WELL), (0.3, Temper.WELL), (0.9, Temper.UNDER)]
    >>> limits = slope_limits([MarkedCurve(slope, 8.0, 31.5, mark) for slope, mark in slopes])
    >>> limits.low, round(limits.high, 2)
    (None, 0.6)

    References
    ----------
    [temper-meter-manual]
    """
    by_mark = {mark: [curve.slope for curve in curves if curve.mark is mark] for mark in Temper}
    well, under, over = by_mark[Temper.WELL], by_mark[Temper.UNDER], by_mark[Temper.OVER]
    if len(curves) < load("temper_curve")["marked_curves"].value or not well:
        return None
    if (under and min(under) <= max(well)) or (over and max(over) >= min(well)):
        return None
    low = (max(over) + min(well)) / 2 if over else None
    high = (min(under) + max(well)) / 2 if under else None
    return SlopeLimits(low, high, len(curves))


def judged(slope: float, limits: SlopeLimits, curves: Sequence[MarkedCurve]) -> Temper | None:
    """Return how a slope compares with a maker's own curves.

    Parameters
    ----------
    slope : float
        Slope at the inflection [K/min].
    limits : SlopeLimits
        From the marked curves.
    curves : sequence of MarkedCurve
        The same curves.

    Returns
    -------
    Temper or None
        ``None`` beyond an end that no curve has marked.

    Examples
    --------
    >>> slopes = [(0.1, Temper.WELL), (0.3, Temper.WELL), (0.9, Temper.UNDER)]
    >>> curves = [MarkedCurve(slope, 8.0, 31.5, mark) for slope, mark in slopes]
    >>> [judged(slope, slope_limits(curves), curves) for slope in (0.2, 0.7, -0.5)]
    [<Temper.WELL: 'well'>, <Temper.UNDER: 'under'>, None]
    """
    if limits.high is not None and slope > limits.high:
        return Temper.UNDER
    if limits.low is not None and slope < limits.low:
        return Temper.OVER
    well = [curve.slope for curve in curves if curve.mark is Temper.WELL]
    unmarked_above = limits.high is None and slope > max(well)
    unmarked_below = limits.low is None and slope < min(well)
    return None if unmarked_above or unmarked_below else Temper.WELL
