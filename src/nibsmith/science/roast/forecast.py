"""When a roast that is still being typed will come to its end."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Array, bracketed_root
from nibsmith.science.roast.curves import Curve
from nibsmith.science.roast.smoothing import smooth
from nibsmith.science.tables import load

LEAST_POINTS = 3
# Shortest time constant that is tried, as a share of the time between the readings.
_FASTEST_STEP = 0.02
_BY_HAND = 12  # more readings are a log
_APART_S = 300  # how far apart three points of a log are at most
_SLOWEST = 1000  # times the time between the readings: a straight line to every digit shown


@dataclass(frozen=True)
class Forecast:
    """When the beans come to a temperature [s from the start], with its range, and how it was found.

    ``level_celsius`` is the temperature that the course tends to [°C], ``None`` where it still goes straight
    on; ``high`` of the time is infinite where a reading a little off would never get there.
    """

    time_s: Span
    level_celsius: float | None


def forecast_end(curve: Curve, end_celsius: float) -> Forecast:
    """Return when the last three readings say that a temperature is reached.

    ``T = T∞ - (T∞ - T1) exp(-(t - t1)/tau)`` goes through the last three readings, of a log through three
    smoothed points; where they do not bend, a straight line through the last two. The range is that of the
    three readings each a little off.

    Parameters
    ----------
    curve : Curve
        Readings of the beans so far [s, °C].
    end_celsius : float
        The temperature at which they are taken out [°C].

    Returns
    -------
    Forecast
        Time [s] with its range.

    Raises
    ------
    InputError
        If there are fewer than three readings, it is there already, or it is not getting warmer.
    OutOfRange
        If the course levels off below it, or it lies further ahead than the roast has lasted.

    Notes
    -----
    Range: the same setting until the end, and no further ahead than the time from the first reading to the
    last.

    Examples
    --------
    >>> so_far = Curve(np.array([0.0, 600.0, 1200.0]), np.array([25.0, 85.0, 109.0]), 700.0)
    >>> found = forecast_end(so_far, 118.0)
    >>> round(found.time_s.value / 60, 1), round(found.level_celsius, 6)
    (29.0, 125.0)

    References
    ----------
    [bench-judgement]
    """
    if curve.times_s.size < LEAST_POINTS:
        raise InputError("A forecast needs three readings", value=curve.times_s.size)
    times, celsius = _last_three(curve)
    if celsius[-1] >= end_celsius:
        raise InputError("It is there already", value=f"{celsius[-1]:g} °C")
    if celsius[-1] <= celsius[-2]:
        raise InputError("It is not getting warmer", value=f"{celsius[-2]:g} then {celsius[-1]:g} °C")
    when, level = _when(times, celsius, end_celsius)
    if math.isinf(when):
        raise OutOfRange(
            "At this setting it levels off below that",
            value=f"about {level:.0f} °C",
            limit=f"{end_celsius:g} °C",
            advice="Turn the heat up, or take a lower end.",
        )
    if when - times[-1] > curve.duration_s:
        raise OutOfRange("That lies further ahead than the roast has lasted", value=f"{when / 60:.0f} min")
    others = _nearby(times, celsius, end_celsius)
    return Forecast(Span(min(when, *others), when, max(when, *others)), level)


def _last_three(curve: Curve) -> tuple[Array, Array]:
    """The last three readings; of a log three smoothed ones, a third of its course apart but not too far."""
    if curve.times_s.size <= _BY_HAND:
        return curve.times_s[-LEAST_POINTS:], curve.celsius[-LEAST_POINTS:]
    apart = min(curve.duration_s / LEAST_POINTS, _APART_S)
    times = curve.end_s - apart * np.arange(LEAST_POINTS - 1, -1, -1)
    return np.asarray(times), np.interp(times, curve.times_s, smooth(curve).celsius)


def _nearby(times: Array, celsius: Array, end: float) -> list[float]:
    """The answers for readings each a little too high or too low, one after the other."""
    off = load("roast")["forecast_reading"].value
    found = []
    for place in range(LEAST_POINTS):
        for side in (-off, off):
            moved = celsius.copy()
            moved[place] += side
            found.append(_when_moved(times, moved, end))
    return found


def _when_moved(times: Array, celsius: Array, end: float) -> float:
    if celsius[2] >= end:
        return float(times[2])
    return _when(times, celsius, end)[0] if celsius[2] > celsius[1] else math.inf


def _when(times: Array, celsius: Array, end: float) -> tuple[float, float | None]:
    """Time of the end, and the level; infinite where the level lies below the end."""
    first, second = times[1] - times[0], times[2] - times[1]
    rise, more = celsius[1] - celsius[0], celsius[2] - celsius[1]
    slope = more / second
    # What the second rise would be of the first one on a straight line.
    if rise <= 0 or more >= rise * second / first:
        return float(times[2] + (end - celsius[2]) / slope), None
    span = times[2] - times[0]

    def missed(tau: float) -> float:
        return float(
            -math.expm1(-second / tau) * math.exp(-first / tau) * rise + more * math.expm1(-first / tau)
        )

    tau = bracketed_root(missed, span * _FASTEST_STEP, span * _SLOWEST)
    level = float(celsius[1] + more / -math.expm1(-second / tau))
    if level <= end:
        return math.inf, level
    return float(times[2] + tau * math.log((level - celsius[2]) / (level - end))), level
