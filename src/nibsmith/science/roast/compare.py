"""Two roasts beside each other: what took how long, how hot, and where they part."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.roast.curves import Curve, time_above
from nibsmith.science.roast.profile import difference
from nibsmith.science.roast.smoothing import smooth

MARKS = (100, 110, 120, 130)


@dataclass(frozen=True)
class Compared:
    """One figure of two roasts, ``None`` where a roast does not have it; ``unit`` s, °C or K/min."""

    what: str
    first: float | None
    second: float | None
    unit: str


@dataclass(frozen=True, eq=False)
class Comparison:
    """Figures of two roasts, and how much warmer the second was over the time they share [s, K].

    ``apart`` is ``None`` where they share no time; ``furthest_k`` and ``furthest_s`` say where they part
    most.
    """

    figures: tuple[Compared, ...]
    apart: Curve | None
    furthest_k: float
    furthest_s: float


def compare_roasts(first: Curve, second: Curve) -> Comparison:
    """Return two roasts beside each other, both counted from their first reading.

    Parameters
    ----------
    first, second : Curve
        The same kind of probe of both [s, °C].

    Returns
    -------
    Comparison
        Times [s], temperatures [°C], rates [K/min], and the difference over time [K].

    Examples
    --------
    >>> slow = Curve(np.array([0.0, 900.0, 1800.0]), np.array([20.0, 100.0, 120.0]), 1000.0)
    >>> fast = Curve(np.array([0.0, 600.0, 1500.0]), np.array([20.0, 100.0, 125.0]), 1000.0)
    >>> found = compare_roasts(slow, fast)
    >>> found.figures[0].what, found.figures[0].second - found.figures[0].first
    ('length', -300.0)
    >>> round(found.furthest_k, 1), found.furthest_s
    (26.7, 600.0)

    References
    ----------
    [bench-judgement]
    """
    one, two = _from_start(first), _from_start(second)
    figures = tuple(Compared(what, of(one), of(two), unit) for what, unit, of in _figures())
    try:
        apart = difference(two, one)
    except InputError:
        return Comparison(figures, None, 0.0, 0.0)
    place = int(np.abs(apart.celsius).argmax())
    return Comparison(figures, apart, float(apart.celsius[place]), float(apart.times_s[place]))


def _from_start(curve: Curve) -> Curve:
    return Curve(curve.times_s - curve.start_s, curve.celsius, curve.gap_s)


def _figures() -> list[tuple[str, str, Callable[[Curve], float | None]]]:
    reached = [(f"time to {mark} °C", "s", _reached(float(mark))) for mark in MARKS]
    above = [(f"time above {mark} °C", "s", _above(float(mark))) for mark in MARKS]
    return [
        ("length", "s", lambda curve: curve.duration_s),
        ("hottest", "°C", lambda curve: curve.hottest[1]),
        ("last reading", "°C", lambda curve: float(curve.celsius[-1])),
        ("fastest rise", "K/min", _fastest),
        *reached,
        *above,
    ]


def _above(celsius: float) -> Callable[[Curve], float | None]:
    return lambda curve: time_above(curve, celsius)


def _reached(celsius: float) -> Callable[[Curve], float | None]:
    return lambda curve: first_time_at(curve, celsius)


def _fastest(curve: Curve) -> float | None:
    rates = smooth(curve).rate_k_min
    return float(np.nanmax(rates)) if np.isfinite(rates).any() else None


def first_time_at(curve: Curve, celsius: float) -> float | None:
    """Return when a curve first comes up to a temperature.

    Parameters
    ----------
    curve : Curve
        The course [s, °C].
    celsius : float
        The temperature [°C].

    Returns
    -------
    float or None
        The time [s], exact on straight pieces; ``None`` where it never does.

    Examples
    --------
    >>> first_time_at(Curve(np.array([0.0, 600.0]), np.array([20.0, 120.0]), 900.0), 70.0)
    300.0

    References
    ----------
    [bench-judgement]
    """
    there = np.flatnonzero(curve.celsius >= celsius)
    if not there.size:
        return None
    place = int(there[0])
    if place == 0:
        return curve.start_s
    before, after = curve.celsius[place - 1], curve.celsius[place]
    share = (celsius - before) / (after - before)
    return float(curve.times_s[place - 1] + share * (curve.times_s[place] - curve.times_s[place - 1]))
