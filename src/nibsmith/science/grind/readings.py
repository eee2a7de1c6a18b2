"""Micrometer readings while grinding: how fast it goes, where it is, and when it will be ready."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Array, Posterior, posterior, quantile
from nibsmith.science.tables import load

# Degrees of freedom of the errors: few, so that one wild reading does not carry the others away.
_TAILS = 4
_REACH = 5  # standard deviations that a prior reaches either way
_DRAWS = 2_000
# A start that is known exactly still gets this width in its logarithm, so that the grid has one.
LEAST_WIDTH_EPSILON = 0.01
_CLEARLY = 3  # standard deviations
_NINE_IN_TEN = (10 / 100, 50 / 100, 90 / 100)


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


@dataclass(frozen=True, eq=False)
class GrindFit:
    """What readings say of a grinding: draws of the start [µm] and the speed [1/(µm h)] that agree with them.

    ``floor_um`` is the finest that the kit reaches, or that was read [µm].
    """

    starts: Array
    speeds: Array
    floor_um: float
    readings: tuple[SizeReading, ...]

    @property
    def speed(self) -> Span:
        """Speed of grinding; two in three lie within the ends [1/(µm h)]."""
        logs = np.log(self.speeds)
        mean, deviation = float(logs.mean()), float(logs.std())
        return Span(*(math.exp(mean + side * deviation) for side in (-1, 0, 1)))

    @property
    def near_floor(self) -> bool:
        """Whether the finest reading is so near to the floor that little more can be expected."""
        finest = min((reading.size_um for reading in self.readings), default=math.inf)
        return finest <= self.floor_um * load("grind")["near_floor"].value

    def band(self, hours: Sequence[float]) -> tuple[Array, Array, Array]:
        """Low, middle and high size at each of some hours; four in five lie between [µm]."""
        times = np.asarray(hours, dtype=float)[:, None]
        sizes = np.maximum(1 / (1 / self.starts + self.speeds * times), self.floor_um)
        low, middle, high = np.quantile(sizes, _NINE_IN_TEN, axis=1)
        return low, middle, high

    def size_at(self, hours: float) -> Span:
        """Size after some hours; four in five lie within the ends [µm]."""
        return Span(*(float(row[0]) for row in self.band([hours])))

    def hours_to(self, size_um: float) -> Span:
        """Hours until a size is reached; four in five lie within the ends [h]."""
        if size_um < self.floor_um:
            raise OutOfRange(
                "This kit does not get there", value=f"{size_um:g} µm", limit=f"{self.floor_um:g} µm"
            )
        hours = np.maximum((1 / size_um - 1 / self.starts) / self.speeds, 0.0)
        return Span(*(quantile(hours, share) for share in _NINE_IN_TEN))

    def hours_between(self, from_um: float, to_um: float) -> Span:
        """Hours from one size to a finer one; four in five lie within the ends [h]."""
        hours = np.maximum((1 / to_um - 1 / from_um) / self.speeds, 0.0)
        return Span(*(quantile(hours, share) for share in _NINE_IN_TEN))


def fit_readings(
    readings: Sequence[SizeReading], start: Span, speed: Span | None = None, floor_um: float = 0.0
) -> GrindFit:
    """Return what micrometer readings say of a grinding.

    ``d(t) = max(floor, 1/(1/d0 + k·t))``; log-normal priors on d0 and k, errors of reading with heavy tails.

    Parameters
    ----------
    readings : sequence of SizeReading
        Readings since the last coarse addition; none is enough where a speed is given.
    start : Span
        Size of what was added last; ends as far as it may be [µm].
    speed : Span, optional
        What is known of the kit's speed on this charge; two in three within the ends [1/(µm h)].
    floor_um : float
        The finest that the kit reaches [µm].

    Returns
    -------
    GrindFit
        With sizes and times as ranges.

    Raises
    ------
    InputError
        If the last reading is clearly coarser than one before it; without a speed, if there are not two
        readings between which the size fell.

    Notes
    -----
    A single reading is good to 5 µm either way; the error of a median falls with the root of their number.

    Examples
    --------
    >>> readings = [SizeReading(9.0, 100.0, 9), SizeReading(24.0, 40.0, 9)]
    >>> fit = fit_readings(readings, Span(100.0, 500.0, 2000.0), floor_um=15.0)
    >>> ready = fit.hours_to(25.0)
    >>> ready.low < 39.0 < ready.high, round(ready.value) in (38, 39, 40)
    (True, True)

    References
    ----------
    [alamprese-2007]
    """
    _check_falling(readings)
    floor_um = min([floor_um, *(reading.size_um for reading in readings)])
    speed_prior = _log_prior(speed, 1) if speed else _speed_of(readings)
    start_prior = _log_prior(start, 2)

    def log_density(log_start: Array, log_speed: Array) -> Array:
        logs = _normal(log_start, start_prior) + _normal(log_speed, speed_prior)
        for reading in readings:
            size = 1 / (np.exp(-log_start) + np.exp(log_speed) * reading.hours)
            miss = (reading.size_um - np.maximum(size, floor_um)) / reading_deviation(reading.count)
            logs = logs - 0.5 * (_TAILS + 1) * np.log1p(miss**2 / _TAILS)
        return logs

    found: Posterior = posterior(log_density, _ends(start_prior), _ends(speed_prior))
    starts, speeds = found.drawn(_DRAWS)
    return GrindFit(np.exp(starts), np.exp(speeds), floor_um, tuple(readings))


def reading_deviation(count: int) -> float:
    """Return the standard deviation of the median of some micrometer readings.

    ``s·sqrt(pi/2)/sqrt(n)`` for n above one, with s from 5 µm either way nine times in ten.

    Parameters
    ----------
    count : int
        How many readings the median was taken of.

    Returns
    -------
    float
        Standard deviation [µm].

    Examples
    --------
    >>> round(reading_deviation(1), 2), round(reading_deviation(9), 2)
    (3.04, 1.27)
    """
    table = load("grind")
    one = table["reading_error"].value / table["reading_cover"].value
    return one if count < 3 else one * math.sqrt(math.pi / 2 / count)


@dataclass(frozen=True, slots=True)
class KitSpeed:
    """How fast a kit grinds a charge [g]; two in three batches lie within the ends [1/(µm h)].

    ``observations`` is how many batches stand behind it.
    """

    speed: Span
    charge_g: float
    observations: int

    def for_charge(self, charge_g: float) -> Span:
        """Speed on another charge: the same power on more mass grinds it slower [1/(µm h)]."""
        if not charge_g > 0:
            raise InputError("A charge is above zero", value=charge_g)
        return self.speed.times(self.charge_g / charge_g)


def calibrate_speed(runs: Sequence[tuple[GrindFit, float]], prior: KitSpeed | None = None) -> KitSpeed:
    """Return the speed of a kit from batches ground on it.

    Weighted mean of ``ln(k·m)``, k the speed and m the charge of a batch, with what differs from batch to
    batch added to the error of each.

    Parameters
    ----------
    runs : sequence of (GrindFit, float)
        Fits of batches, each with its charge [g].
    prior : KitSpeed, optional
        What is reported of such kits.

    Returns
    -------
    KitSpeed
        For the charge of the prior, or of the last batch.

    Raises
    ------
    InputError
        With neither a batch nor a prior.

    Examples
    --------
    >>> reported = KitSpeed(Span(0.0007, 0.0014, 0.0028), 1500.0, 0)
    >>> round(calibrate_speed([], reported).for_charge(3000.0).value, 5)
    0.0007

    References
    ----------
    [alamprese-2007]
    """
    batch = math.log(load("grind")["speed_batch_factor"].value)
    charge_g = prior.charge_g if prior else runs[-1][1] if runs else 0.0
    known = [(fit.speed.times(grams), math.hypot(_width(fit.speed), batch)) for fit, grams in runs]
    if prior:
        known.insert(0, (prior.speed.times(prior.charge_g), _width(prior.speed)))
    if not known:
        raise InputError("A speed needs a batch with two readings", advice="Read the size twice.")
    weights = [deviation**-2 for _, deviation in known]
    middles = [math.log(span.value) for span, _ in known]
    mean = sum(w * x for w, x in zip(weights, middles, strict=True)) / sum(weights)
    deviation = math.hypot(sum(weights) ** -0.5, batch if runs else 0.0)
    span = Span(*(math.exp(mean + side * deviation) / charge_g for side in (-1, 0, 1)))
    return KitSpeed(span, charge_g, len(runs))


Normal = tuple[float, float]


def _check_falling(readings: Sequence[SizeReading]) -> None:
    """Refuse a last reading that is coarser than an earlier one by more than both can be wrong."""
    ordered = sorted(readings, key=lambda reading: reading.hours)
    for before in ordered[:-1]:
        last = ordered[-1]
        doubt = math.hypot(reading_deviation(before.count), reading_deviation(last.count))
        if last.hours > before.hours and last.size_um - before.size_um > _CLEARLY * doubt:
            raise InputError(
                "The last reading is coarser than one before it",
                value=f"{before.size_um:g} µm at {before.hours:g} h, {last.size_um:g} µm at {last.hours:g} h",
                advice="Read it again; if something coarse went in between, count from there.",
            )


def _width(span: Span) -> float:
    return 0.5 * math.log(span.high / span.low)


def _log_prior(span: Span, reach: int) -> Normal:
    """Mean and deviation of the logarithm; the ends lie ``reach`` deviations out."""
    return math.log(span.value), max(_width(span) / reach, LEAST_WIDTH_EPSILON)


def _speed_of(readings: Sequence[SizeReading]) -> Normal:
    """A wide prior around the speed between the first and the last reading."""
    ordered = sorted(readings, key=lambda reading: reading.hours)
    if len(ordered) < 2 or not ordered[-1].hours > ordered[0].hours:
        raise InputError(
            "How fast this kit grinds is not known yet",
            advice="Read the size twice, some hours apart, after everything coarse is in.",
        )
    first, last = ordered[0], ordered[-1]
    grown = (1 / last.size_um - 1 / first.size_um) / (last.hours - first.hours)
    if grown <= 0:
        raise InputError(
            "The size did not fall between the first and the last reading",
            value=f"{first.size_um:g} µm, {last.size_um:g} µm",
            advice="Take the median of several readings each time; nothing coarse may have gone in between.",
        )
    return math.log(grown), math.log(load("grind")["unknown_speed_factor"].value)


def _normal(values: Array, prior: Normal) -> Array:
    return -0.5 * ((values - prior[0]) / prior[1]) ** 2


def _ends(prior: Normal) -> tuple[float, float]:
    return prior[0] - _REACH * prior[1], prior[0] + _REACH * prior[1]
