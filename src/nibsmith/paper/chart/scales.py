"""From numbers to places in the picture."""

from __future__ import annotations

import math
from dataclasses import dataclass

from nibsmith.paper.chart.shapes import Axis, Chart, Strip, across, upright
from nibsmith.paper.chart.ticks import log_ticks, rounded_out, tick_texts, ticks
from nibsmith.science.errors import InputError

NO_DATA = (0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight or logarithmic way from a number to a place [px]."""

    low: float
    high: float
    start: float
    end: float
    log: bool = False

    def __call__(self, value: float) -> float:
        """Return the place of a number.

        Examples
        --------
        >>> Scale(0.0, 10.0, 100.0, 200.0)(5.0), Scale(1.0, 100.0, 0.0, 10.0, log=True)(10.0)
        (150.0, 5.0)
        """
        return self.start + self.share(value) * (self.end - self.start)

    def share(self, value: float) -> float:
        """Return how far along a number is, 0 at the low end and 1 at the high end."""
        if not self.log:
            return (value - self.low) / (self.high - self.low)
        if value <= 0:
            return 0.0
        return math.log(value / self.low) / math.log(self.high / self.low)


def shared_ends(chart: Chart) -> tuple[float, float]:
    """Return the ends of the axis that all strips share."""
    axis = chart.axis
    there = [value for strip in chart.strips for layer in strip.layers for value in across(layer)]
    there += [stone.x for stone in chart.milestones]
    if axis.log:
        there = [value for value in there if value > 0]
    low, high = _ends(there, axis.low, axis.high, chart.title)
    if axis.log and low <= 0:
        raise InputError("An axis spaced by ratio begins above zero", value=low, limit="more than 0")
    return low, high


def strip_ends(strip: Strip, most: int) -> tuple[float, float]:
    """Return the ends of a strip's own axis, on round numbers."""
    there = [value for layer in strip.layers for value in upright(layer)]
    return rounded_out(*_ends(there, strip.low, strip.high, strip.words), most)


def shared_ticks(axis: Axis, ends: tuple[float, float], most: int, sign: str) -> list[tuple[float, str]]:
    """Return where the shared axis is written, and what."""
    if axis.names:
        return list(axis.names)
    at = log_ticks(*ends, most=most) if axis.log else ticks(*ends, most=most, count=axis.count)
    if not axis.log:
        return list(zip(at, tick_texts(at, sign), strict=True))
    return [(value, tick_texts([value], sign)[0]) for value in at]


def _ends(there: list[float], low: float | None, high: float | None, words: str) -> tuple[float, float]:
    first = (min(there) if there else NO_DATA[0]) if low is None else low
    last = (max(there) if there else NO_DATA[1]) if high is None else high
    if first > last:
        raise InputError(
            "The ends of an axis are the wrong way round", value=words, limit=f"{first} to {last}"
        )
    if first == last:
        room = abs(first) / 10 or 1.0
        return first - (0 if low is not None else room), last + room
    return first, last
