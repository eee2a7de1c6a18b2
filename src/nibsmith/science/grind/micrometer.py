"""A reading of the largest grains with a micrometer, and how far it may be off."""

from __future__ import annotations

import math
from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load


@dataclass(frozen=True, slots=True)
class SizeReading:
    """The median of some micrometer readings [µm], hours after the last coarse addition [h]."""

    hours: float
    size_um: float
    count: int = 1

    def __post_init__(self) -> None:
        if not (0 <= self.hours < math.inf and 0 < self.size_um < math.inf and self.count >= 1):
            raise InputError(
                "A reading has hours of zero or more and a size above zero",
                value=f"{self.hours:g} h, {self.size_um:g} µm",
            )

    @property
    def deviation(self) -> float:
        """How far it may be off, as a standard deviation [µm]."""
        return reading_deviation(self.count, self.size_um)


def reading_deviation(count: int, size_um: float = 0.0) -> float:
    """Return the standard deviation of the median of some micrometer readings.

    ``s·sqrt(pi/2)/sqrt(n)`` for n above two, with s from the larger of 5 µm and a tenth of the size either
    way, nine times in ten.

    Parameters
    ----------
    count : int
        How many readings the median was taken of.
    size_um : float
        What was read; of coarse grains the largest differ more [µm].

    Returns
    -------
    float
        Standard deviation [µm].

    Examples
    --------
    >>> round(reading_deviation(1), 2), round(reading_deviation(9), 2), round(reading_deviation(1, 100.0), 2)
    (3.04, 1.27, 6.08)
    """
    table = load("grind")
    reach = max(table["reading_error"].value, table["reading_share"].value * size_um)
    one = reach / table["reading_cover"].value
    return one if count < 3 else one * math.sqrt(math.pi / 2 / count)
