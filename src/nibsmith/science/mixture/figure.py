"""A figure with its range, and the basis it is a share of."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """What a figure is a share of."""

    AS_WEIGHED = "as_weighed"
    MACHINE = "machine"
    FINISHED = "finished"
    PRODUCT = "product"


BASIS_WORDS = {
    Basis.AS_WEIGHED: "everything as weighed",
    Basis.MACHINE: "mass in the machine",
    Basis.FINISHED: "finished mass",
    Basis.PRODUCT: "bar with inclusions",
}


@dataclass(frozen=True, slots=True)
class Span:
    """A typical value between its low and high ends, all in one unit."""

    low: float
    value: float
    high: float

    @classmethod
    def exactly(cls, value: float) -> Span:
        """Return a span of no width."""
        return cls(value, value, value)

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.value + other.value, self.high + other.high)

    def times(self, factor: float) -> Span:
        """Return the span times a factor of zero or more."""
        return Span(self.low * factor, self.value * factor, self.high * factor)

    @property
    def varies(self) -> bool:
        """Whether the ends differ."""
        return self.low != self.high


def as_span(value: Span | float) -> Span:
    """Return a range as it is, and a number as a range of no width.

    Parameters
    ----------
    value : Span or float
        A range, or a number known exactly [any unit].

    Returns
    -------
    Span
        The same [any unit].

    Examples
    --------
    >>> as_span(1.0) == as_span(Span(1.0, 1.0, 1.0))
    True
    """
    return value if isinstance(value, Span) else Span.exactly(value)


@dataclass(frozen=True, slots=True)
class Figure:
    """A named property of a mixture: typical value, range, unit and basis."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    basis: Basis

    @property
    def varies(self) -> bool:
        """Whether the ends differ."""
        return self.low != self.high
