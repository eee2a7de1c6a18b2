"""What a chart shows, before anything is drawn: strips that share one axis, and the layers in each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nibsmith.paper.chart.ticks import Count
from nibsmith.science.errors import InputError

Numbers: TypeAlias = Sequence[float | None]


class Ink(StrEnum):
    """How a layer is told from its neighbours: a colour and a dash, never a colour alone."""

    MAIN = "main"
    SECOND = "second"
    THIRD = "third"
    FOURTH = "fourth"
    FAINT = "faint"


@dataclass(frozen=True, slots=True)
class Line:
    """A curve through points; ``None`` or not a number leaves a gap."""

    name: str
    xs: Numbers
    ys: Numbers
    ink: Ink = Ink.MAIN

    def __post_init__(self) -> None:
        same_length(self.name, self.xs, self.ys)


@dataclass(frozen=True, slots=True)
class Band:
    """What lies between a lower and an upper curve."""

    name: str
    xs: Numbers
    low: Numbers
    high: Numbers
    ink: Ink = Ink.MAIN

    def __post_init__(self) -> None:
        same_length(self.name, self.xs, self.low, self.high)


@dataclass(frozen=True, slots=True)
class Dots:
    """Single readings; ``reach`` is how far each may be off, up and down [unit of the strip]."""

    name: str
    xs: Numbers
    ys: Numbers
    ink: Ink = Ink.SECOND
    reach: float = 0.0

    def __post_init__(self) -> None:
        same_length(self.name, self.xs, self.ys)


@dataclass(frozen=True, slots=True)
class Zone:
    """A range of the strip's own quantity, all along."""

    low: float
    high: float
    words: str
    ink: Ink = Ink.FAINT


@dataclass(frozen=True, slots=True)
class Rule:
    """A level across the strip, such as a limit."""

    at: float
    words: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A point of a curve with words beside it."""

    x: float
    y: float
    words: str


@dataclass(frozen=True, slots=True)
class Period:
    """A stretch of the shared axis, such as a gap in a log."""

    start: float
    end: float
    words: str


@dataclass(frozen=True, slots=True)
class Box:
    """A range of both quantities with words above it, such as a step of a program."""

    start: float
    end: float
    low: float
    high: float
    words: str


Layer: TypeAlias = Line | Band | Dots | Zone | Rule | Mark | Period | Box


@dataclass(frozen=True, slots=True)
class Strip:
    """One quantity over the shared axis.

    ``words`` name the quantity with its unit; ``low`` and ``high`` set its ends, to the next round number,
    where the layers should not; ``tall`` is its height beside the other strips.
    """

    words: str
    layers: tuple[Layer, ...]
    low: float | None = None
    high: float | None = None
    tall: int = 2


@dataclass(frozen=True, slots=True)
class Axis:
    """The axis that all strips share.

    ``names`` stand in place of numbers, each at its value; ``log`` spaces by ratio.
    """

    words: str
    low: float | None = None
    high: float | None = None
    count: Count = Count.TENS
    log: bool = False
    names: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Milestone:
    """A moment of the shared axis, written in the margin above the strips."""

    x: float
    words: str


@dataclass(frozen=True, slots=True)
class Chart:
    """A picture with its name (``title``) and, for those who do not see it, what it shows (``says``)."""

    title: str
    says: str
    axis: Axis
    strips: tuple[Strip, ...]
    milestones: tuple[Milestone, ...] = field(default=())
    decimal_sign: str = "."

    def __post_init__(self) -> None:
        if not self.strips:
            raise InputError("A chart needs at least one strip", value=self.title)


def same_length(name: str, *columns: Numbers) -> None:
    """Refuse columns that do not go together."""
    lengths = {len(column) for column in columns}
    if len(lengths) > 1:
        raise InputError("The columns of a chart differ in length", value=name, limit=sorted(lengths))


def is_number(value: float | None) -> bool:
    """Whether a value can be drawn: there, and neither endless nor undefined.

    Examples
    --------
    >>> is_number(0.0), is_number(None), is_number(float("nan")), is_number(float("inf"))
    (True, False, False, False)
    """
    return value is not None and value == value and abs(value) != float("inf")


def known(values: Numbers) -> NDArray[np.float64]:
    """Return a column as numbers; what cannot be drawn is not a number.

    Examples
    --------
    >>> known([1.0, None, float("inf")]).tolist()
    [1.0, nan, nan]
    """
    found = np.array(values, dtype=float)
    found[~np.isfinite(found)] = np.nan
    return found


def extremes(values: Numbers) -> tuple[float, ...]:
    """Return the lowest and highest of what can be drawn of a column; nothing where there is nothing.

    Examples
    --------
    >>> extremes([3.0, None, -1.0, 2.0]), extremes([None])
    ((-1.0, 3.0), ())
    """
    found = known(values)
    found = found[~np.isnan(found)]
    return (float(found.min()), float(found.max())) if found.size else ()


def across(layer: Layer) -> Iterator[float]:
    """Yield where a layer is on the shared axis."""
    if isinstance(layer, Line | Dots | Band):
        yield from extremes(layer.xs)
    elif isinstance(layer, Period | Box):
        yield from extremes((layer.start, layer.end))
    elif isinstance(layer, Mark):
        yield from extremes((layer.x,))


def upright(layer: Layer) -> Iterator[float]:
    """Yield how far a layer reaches in its own quantity."""
    if isinstance(layer, Line):
        yield from extremes(layer.ys)
    elif isinstance(layer, Dots):
        for value in extremes(layer.ys):
            yield from (value - layer.reach, value + layer.reach)
    elif isinstance(layer, Band | Zone | Box):
        for end in (layer.low, layer.high):
            yield from extremes(end if isinstance(end, Sequence) else (end,))
    elif isinstance(layer, Rule | Mark):
        yield from extremes((layer.at if isinstance(layer, Rule) else layer.y,))
