"""Round numbers along an axis, and how they are written."""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum

TENS = (1, 2, 5)
SIXTIES = (1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360, 720)
DAYS = (1, 2, 3, 4, 6, 12, 24, 48, 72, 96, 120, 168)
STEP_MARGIN = 1e-9  # a tick this share of a step outside the axis is on it, but for arithmetic


class Count(StrEnum):
    """What an axis counts by: tens, minutes of an hour, hours of a day."""

    TENS = "tens"
    MINUTES = "minutes"
    HOURS = "hours"


def ticks(low: float, high: float, most: int = 6, count: Count = Count.TENS) -> list[float]:
    """Return round numbers from low to high, never more than ``most``.

    Examples
    --------
    >>> ticks(17.0, 33.0)
    [20.0, 25.0, 30.0]
    >>> ticks(0.0, 95.0, 8, Count.MINUTES)
    [0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0]
    >>> ticks(-0.4, 0.7)
    [0.0, 0.5]
    """
    if not high > low:
        return [low]
    step = step_of(high - low, most, count)
    first = math.ceil(low / step - STEP_MARGIN)
    last = math.floor(high / step + STEP_MARGIN)
    return [_clean(number, step) for number in range(first, last + 1)]


def step_of(span: float, most: int, count: Count = Count.TENS) -> float:
    """Return the smallest round step that needs no more than ``most`` ticks.

    Examples
    --------
    >>> step_of(40.0, 5), step_of(0.3, 5), step_of(200.0, 6, Count.MINUTES)
    (10.0, 0.1, 60.0)
    """
    wanted = span / max(1, most - 1)
    if count is not Count.TENS:
        steps = SIXTIES if count is Count.MINUTES else DAYS
        found = next((step for step in steps if step >= wanted * (1 - STEP_MARGIN)), None)
        if found is not None and wanted > 1 / 2:
            return float(found)
    power = math.floor(math.log10(wanted))
    every = (step * 10.0 ** (power + up) for up in (0, 1) for step in TENS)
    return next(step for step in every if step >= wanted * (1 - STEP_MARGIN))


def log_ticks(low: float, high: float, most: int = 7) -> list[float]:
    """Return round numbers for an axis spaced by ratio: 1, 2, 5 of each decade, or decades alone.

    Examples
    --------
    >>> log_ticks(3.0, 120.0)
    [5.0, 10.0, 20.0, 50.0, 100.0]
    """
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    every = [step * 10.0**power for power in powers for step in TENS]
    there = [tick for tick in every if low <= tick <= high]
    decades = [tick for tick in (10.0**power for power in powers) if low <= tick <= high]
    return there if len(there) <= most else decades


def rounded_out(low: float, high: float, most: int, count: Count = Count.TENS) -> tuple[float, float]:
    """Return ends on round numbers, so that the first and last tick stand at the ends.

    Examples
    --------
    >>> rounded_out(18.2, 31.5, 5)
    (15.0, 35.0)
    """
    step = step_of(high - low, most, count)
    first = math.floor(low / step + STEP_MARGIN)
    last = math.ceil(high / step - STEP_MARGIN)
    return _clean(first, step), _clean(last, step)


def tick_texts(values: Sequence[float], decimal_sign: str = ".") -> list[str]:
    """Write ticks with as many decimals as the finest of them needs.

    Examples
    --------
    >>> tick_texts([-0.5, 0.0, 0.5]), tick_texts([0.0, 1000.0])
    (['−0.5', '0.0', '0.5'], ['0', '1000'])
    """
    decimals = max((_decimals(value) for value in values), default=0)
    return [written(value, decimals, decimal_sign) for value in values]


def written(value: float, decimals: int, decimal_sign: str = ".") -> str:
    """Write a number with a true minus sign and the decimal sign of the workshop."""
    text = f"{value:.{decimals}f}"
    text = text.lstrip("-") if not float(text) else text
    return text.replace("-", "\u2212").replace(".", decimal_sign)


def _decimals(value: float) -> int:
    text = f"{value:.6f}".rstrip("0")
    return len(text.partition(".")[2])


def _clean(number: int, step: float) -> float:
    """Return a multiple of a step without the dust of binary fractions."""
    digits = max(0, 1 - math.floor(math.log10(step)))
    return round(number * step, digits) + 0.0
