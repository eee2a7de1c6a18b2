"""A temperature over time, the probe that took it, and what a roast is made of."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array

if TYPE_CHECKING:
    from nibsmith.science.quantities import Scale

SECONDS_A_MINUTE = 60


class Role(StrEnum):
    """What a probe measures."""

    BEAN = "bean"
    AIR = "air"
    SETTING = "setting"
    UNTOLD = "untold"


class Matter(StrEnum):
    """What is roasted."""

    BEANS = "beans"
    NIBS = "nibs"


@dataclass(frozen=True, eq=False)
class Curve:
    """Temperatures [°C] at rising times [s], with straight lines between them.

    ``gap_s`` is the longest pause between two readings over which a straight line is still trusted [s].
    """

    times_s: Array
    celsius: Array
    gap_s: float

    def __post_init__(self) -> None:
        if self.times_s.shape != self.celsius.shape or self.times_s.ndim != 1 or not self.times_s.size:
            raise InputError("A curve needs one temperature for each time", value=self.times_s.size)
        if not (np.isfinite(self.times_s).all() and np.isfinite(self.celsius).all()):
            raise InputError("A curve holds finite numbers alone")
        if (np.diff(self.times_s) <= 0).any():
            raise InputError("The times of a curve rise")
        if not self.gap_s > 0:
            raise InputError("The longest pause is above zero", value=self.gap_s)

    @property
    def start_s(self) -> float:
        """Time of the first reading [s]."""
        return float(self.times_s[0])

    @property
    def end_s(self) -> float:
        """Time of the last reading [s]."""
        return float(self.times_s[-1])

    @property
    def duration_s(self) -> float:
        """From the first reading to the last [s]."""
        return self.end_s - self.start_s

    @property
    def hottest(self) -> tuple[float, float]:
        """When it was hottest for the first time, and how hot [s, °C]."""
        place = int(self.celsius.argmax())
        return float(self.times_s[place]), float(self.celsius[place])

    @property
    def constant(self) -> bool:
        """Whether every reading is the same."""
        return bool((self.celsius == self.celsius[0]).all())

    def at(self, times_s: Array | float) -> Array:
        """Return the temperature at some times [°C]; no number before, after, or inside a gap."""
        asked = np.atleast_1d(np.asarray(times_s, dtype=np.float64))
        found = np.interp(asked, self.times_s, self.celsius, left=np.nan, right=np.nan)
        after = np.clip(np.searchsorted(self.times_s, asked), 1, max(self.times_s.size - 1, 1))
        if self.times_s.size > 1:
            wide = np.diff(self.times_s)[after - 1] > self.gap_s
            on_a_reading = self.times_s[np.minimum(after, self.times_s.size - 1)] == asked
            on_a_reading |= self.times_s[after - 1] == asked
            found = np.where(wide & ~on_a_reading, np.nan, found)
        return found

    def shifted(self, kelvin: float) -> Curve:
        """Return the curve that much warmer [K]."""
        return replace(self, celsius=self.celsius + kelvin)

    def between(self, first_s: float, last_s: float) -> Curve:
        """Return the part from one time to another [s], both ends on the straight lines between readings."""
        if not (first_s < last_s and first_s < self.end_s and last_s > self.start_s):
            raise InputError(
                "The beans were in at no time of these readings",
                value=f"{first_s:g} to {last_s:g} s",
                limit=f"{self.start_s:g} to {self.end_s:g} s",
            )
        ends = np.array([max(first_s, self.start_s), min(last_s, self.end_s)])
        values = self.at(ends)
        inside = (self.times_s > ends[0]) & (self.times_s < ends[1])
        times = np.concatenate((ends[:1], self.times_s[inside], ends[1:]))
        celsius = np.concatenate((values[:1], self.celsius[inside], values[1:]))
        known = np.isfinite(celsius)  # an end inside a gap is none
        if not known.any():
            raise InputError("There are no readings while the beans were in")
        return replace(self, times_s=times[known], celsius=celsius[known])

    def steps(self) -> tuple[Array, Array, Array]:
        """Return the trusted straight pieces: their length [s], first and last temperature [°C]."""
        length = np.diff(self.times_s)
        trusted = length <= self.gap_s
        if trusted.all():
            return length, self.celsius[:-1], self.celsius[1:]
        return length[trusted], self.celsius[:-1][trusted], self.celsius[1:][trusted]


@dataclass(frozen=True, eq=False)
class Probe:
    """One probe of a roast: its full name, what it measures, its readings, and how far they can be off.

    ``offset_k`` is added to every reading [K], as found in a check of the probe; ``uncertainty_k`` is what
    remains on either side [K], ``None`` where nobody said.
    """

    name: str
    role: Role
    readings: Curve
    offset_k: float = 0.0
    uncertainty_k: float | None = None

    def __post_init__(self) -> None:
        if self.uncertainty_k is not None and not self.uncertainty_k >= 0:
            raise InputError("The uncertainty of a probe is zero or more", value=self.uncertainty_k)

    @property
    def curve(self) -> Curve:
        """The readings with the offset of the probe put right."""
        return self.readings.shifted(self.offset_k) if self.offset_k else self.readings


@dataclass(frozen=True, slots=True)
class Note:
    """Words that the maker or the logger set beside a time [s]."""

    time_s: float
    words: str


class Doubt(StrEnum):
    """What is strange about the readings of a probe."""

    HOT = "hot"
    COOL = "cool"
    COLD = "cold"
    CONSTANT = "constant"


@dataclass(frozen=True, slots=True)
class Question:
    """Something to be settled before a probe is counted: its hottest reading on the scale it was read in.

    ``value`` is that reading, the coldest one where it is too cold; ``scale`` the scale, ``C`` or ``F``;
    ``written`` says that the file names it; ``time_s`` is when it was, where that is told [s]; ``kelvin``
    says that the readings would be those of a roast if they were in kelvin.
    """

    doubt: Doubt
    probe: str
    value: float
    scale: Scale
    written: bool = True
    time_s: float | None = None
    kelvin: bool = False


@dataclass(frozen=True)
class Roast:
    """What was recorded of one roast: its probes and its notes, typed by hand or from a log."""

    probes: tuple[Probe, ...]
    notes: tuple[Note, ...] = ()
    by_hand: bool = False
    questions: tuple[Question, ...] = ()

    def asked_about(self, name: str) -> tuple[Question, ...]:
        """Return what is still to be settled about one probe."""
        return tuple(question for question in self.questions if question.probe == name)

    def of(self, role: Role) -> tuple[Probe, ...]:
        """Return the probes that measure one thing."""
        return tuple(probe for probe in self.probes if probe.role is role)

    @property
    def start_s(self) -> float:
        """The first reading of any probe [s]."""
        return min(probe.readings.start_s for probe in self.probes)

    @property
    def end_s(self) -> float:
        """The last reading of any probe [s]."""
        return max(probe.readings.end_s for probe in self.probes)


def time_above(curve: Curve, celsius: float) -> float:
    """Return how long a curve lay above a temperature.

    On each straight piece the share of it that lies above is ``(max(T) - limit) / |T2 - T1|``, cut at 0 and
    1.

    Parameters
    ----------
    curve : Curve
        The readings; pieces longer than its trusted pause do not count.
    celsius : float
        The limit [°C].

    Returns
    -------
    float
        The time [s], exact for straight lines between readings.

    Examples
    --------
    >>> warm = Curve(np.array([0.0, 600.0, 1200.0]), np.array([80.0, 120.0, 120.0]), 700.0)
    >>> time_above(warm, 100.0)
    900.0
    """
    length, first, last = curve.steps()
    rise = last - first
    span = np.abs(rise)
    over = np.maximum(first, last) - celsius
    sloped = np.clip(over, 0.0, span) / np.where(span > 0, span, 1.0)
    return float(length @ np.where(span > 0, sloped, over > 0))


def coldest(probes: tuple[Probe, ...]) -> Curve:
    """Return the lowest of several probes at every time that all of them cover.

    Parameters
    ----------
    probes : tuple of Probe
        One or more, offsets put right, each lowered by its own uncertainty where it is known.

    Returns
    -------
    Curve
        At every reading of any of them within the time they share, and where two of them cross.

    Raises
    ------
    InputError
        If there is none, or they share no time.

    Examples
    --------
    >>> one = Probe("a", Role.BEAN, Curve(np.array([0.0, 10.0]), np.array([20.0, 40.0]), 60.0))
    >>> two = Probe("b", Role.BEAN, Curve(np.array([0.0, 10.0]), np.array([30.0, 30.0]), 60.0))
    >>> coldest((one, two)).times_s.tolist(), coldest((one, two)).celsius.tolist()
    ([0.0, 5.0, 10.0], [20.0, 30.0, 30.0])
    """
    if not probes:
        raise InputError("There is no probe to take the coldest of")
    curves = [probe.curve.shifted(-(probe.uncertainty_k or 0.0)) for probe in probes]
    lowest = curves[0]
    for other in curves[1:]:
        lowest = _lower_of(lowest, other)
    return lowest


def _lower_of(one: Curve, two: Curve) -> Curve:
    start, end = max(one.start_s, two.start_s), min(one.end_s, two.end_s)
    times = np.union1d(one.times_s, two.times_s)
    times = times[(times >= start) & (times <= end)]
    if not times.size:
        raise InputError("The bean probes share no time", advice="Say which one counts.")
    first, second = (np.interp(times, each.times_s, each.celsius) for each in (one, two))
    apart = first - second
    crossing = np.flatnonzero(apart[:-1] * apart[1:] < 0)
    share = apart[crossing] / (apart[crossing] - apart[crossing + 1])
    meet = times[crossing] + share * np.diff(times)[crossing]
    meet = meet[(meet > times[crossing]) & (meet < times[crossing + 1])]
    every = np.union1d(times, meet)
    low = np.minimum(*(np.interp(every, each.times_s, each.celsius) for each in (one, two)))
    return _without_gaps(Curve(every, low, min(one.gap_s, two.gap_s)), (one, two))


def _without_gaps(lowest: Curve, sources: tuple[Curve, Curve]) -> Curve:
    """Take out the points inside a gap of either curve, so that the gap stays one."""
    keep = np.ones(lowest.times_s.size, dtype=bool)
    for source in sources:
        keep &= np.isfinite(source.at(lowest.times_s))
    return Curve(lowest.times_s[keep], lowest.celsius[keep], lowest.gap_s) if not keep.all() else lowest
