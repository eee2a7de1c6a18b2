"""What leaves a mass while it is stirred warm and open: water and acids, each towards an end, ever slower."""

from __future__ import annotations

import math
from dataclasses import dataclass

from nibsmith.science.errors import InputError, OutOfRange


@dataclass(frozen=True, slots=True)
class Leaving:
    """``w(t) = end + (start - end)·exp(-rate·t)``, in any unit that start and end share; rate [1/h]."""

    start: float
    end: float
    rate: float

    def __post_init__(self) -> None:
        if not (self.start > self.end >= 0 and self.rate > 0):
            raise InputError("Something leaves from a higher start to a lower end, at a rate above zero")

    def at(self, hours: float) -> float:
        """Return what is left after some hours.

        Parameters
        ----------
        hours : float
            Time since the start [h].

        Returns
        -------
        float
            What is left [unit of start and end].
        """
        return self.end + (self.start - self.end) * math.exp(-self.rate * hours)

    def hours_to(self, left: float) -> float:
        """Return how long it takes until so much is left.

        Parameters
        ----------
        left : float
            Above the end, up to the start [unit of start and end].

        Returns
        -------
        float
            Time since the start [h].

        Raises
        ------
        OutOfRange
            If it never comes to this.
        """
        if not self.end < left <= self.start:
            raise OutOfRange(
                "It never comes to this", value=f"{left:g}", limit=f"above {self.end:g}, up to {self.start:g}"
            )
        return math.log((self.start - self.end) / (left - self.end)) / self.rate


def leaving_from_two_readings(first: tuple[float, float], second: tuple[float, float], end: float) -> Leaving:
    """Return the loss of water or acid from two readings and where it ends.

    ``k = ln((w1 - w_e)/(w2 - w_e)) / (t2 - t1)``.

    Parameters
    ----------
    first, second : tuple of float
        Hours and what was left then, such as percent of water [h; any unit].
    end : float
        What would be left in the end, in that unit [any unit].

    Returns
    -------
    Leaving
        Counted from zero hours.

    Raises
    ------
    InputError
        If the readings are not in order of time, do not fall, or lie at or under the end.

    Notes
    -----
    No published rate was found, so there is none here: two readings of the maker's own are the only way.

    Examples
    --------
    >>> drying = leaving_from_two_readings((0.0, 1.6), (6.0, 0.8), 0.4)
    >>> round(drying.rate, 4), round(drying.hours_to(0.6), 2)
    (0.1831, 9.79)
    """
    (earlier, more), (later, less) = first, second
    if not later > earlier >= 0:
        raise InputError("The second reading is later than the first", value=f"{earlier:g} h, {later:g} h")
    if not more > less > end:
        raise InputError(
            "Each reading is lower than the one before, and above the end", value=f"{more:g}, {less:g}"
        )
    rate = math.log((more - end) / (less - end)) / (later - earlier)
    return Leaving(end + (more - end) * math.exp(rate * earlier), end, rate)
