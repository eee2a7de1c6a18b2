"""Micrometer readings while grinding: how fast it goes, where it is, and when it will be ready."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.grind.before import known_before
from nibsmith.science.grind.micrometer import SizeReading
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Array, Posterior, posterior, quantile
from nibsmith.science.tables import load

# Degrees of freedom of the errors: few, so that one wild reading does not carry the others away.
_TAILS = 4
_TOGETHER = (
    16  # readings whose odds are multiplied before they are rooted; more would pass the largest double
)
_DRAWS = 2_000
_CLEARLY = 3  # standard deviations
# How far most of what was fitted may lie from the last reading, in the standard deviations of that.
_STRAYS = 5 / 2
_GOLDEN = (math.sqrt(5) - 1) / 2
_FOUR_IN_FIVE = (10 / 100, 50 / 100, 90 / 100)

Truths = NDArray[np.bool_]
Places = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class GrindFit:
    """What readings say of a grinding: draws of the start [µm], the speed [1/(µm h)] and the floor [µm].

    The floor of a draw is where it stalls; ``reach_um`` is the finest that such a kit reaches, or that was
    read [µm].
    """

    starts: Array
    speeds: Array
    floors: Array
    reach_um: float
    readings: tuple[SizeReading, ...]

    @property
    def speed(self) -> Span:
        """Speed of grinding; two in three lie within the ends [1/(µm h)]."""
        logs = np.log(self.speeds)
        mean, deviation = float(logs.mean()), float(logs.std())
        return Span(*(math.exp(mean + side * deviation) for side in (-1, 0, 1)))

    @property
    def floor_um(self) -> float:
        """The finest that this grinding comes to: what the kit reaches, or where it has stalled [µm]."""
        return quantile(self.floors, 50 / 100)

    @property
    def stalled(self) -> bool:
        """Whether two readings of different hours are alike, above the finest that such a kit reaches.

        Each of them more likely than not, by the draws.
        """
        above = self.floors > self.reach_um
        return len({one.hours for one in self.readings if _most(self._rests(one.hours) & above)}) > 1

    @property
    def tells_speed(self) -> bool:
        """Whether two readings of different hours were taken while the size still fell."""
        return len({one.hours for one in self.readings if not _most(self._rests(one.hours))}) > 1

    @property
    def near_floor(self) -> bool:
        """Whether the finest reading is near to the finest that such a kit reaches."""
        finest = min((reading.size_um for reading in self.readings), default=math.inf)
        return finest <= self.reach_um * load("grind")["near_floor"].value

    def sizes_at(self, hours: float) -> Array:
        """Return the size after some hours.

        Parameters
        ----------
        hours : float
            Time since the last coarse addition, zero or more [h].

        Returns
        -------
        array
            One value a draw, ``max(floor, 1/(1/d0 + k·t))`` [µm].
        """
        return np.maximum(1 / (1 / self.starts + self.speeds * hours), self.floors)

    def hours_for(self, size_um: float) -> Array:
        """Return how long it takes to a size.

        Parameters
        ----------
        size_um : float
            The size, above zero [µm].

        Returns
        -------
        array
            One value a draw since the last coarse addition; zero where it began finer, infinite where it
            rests before [h].
        """
        hours = np.maximum((1 / size_um - 1 / self.starts) / self.speeds, 0.0)
        return np.where(self.floors > size_um, np.inf, hours)

    def band(self, hours: Sequence[float]) -> tuple[Array, Array, Array]:
        """Return the low, the middle and the high size at each of some hours; four in five lie between.

        Parameters
        ----------
        hours : sequence of float
            Times since the last coarse addition, zero or more [h].

        Returns
        -------
        tuple of array
            Three of one value an hour: what one draw in ten, five and nine in ten do not pass [µm].
        """
        sizes = np.stack([self.sizes_at(one) for one in hours])
        low, middle, high = np.quantile(sizes, _FOUR_IN_FIVE, axis=1)
        return low, middle, high

    def size_at(self, hours: float) -> Span:
        """Return the size after some hours; four in five lie within the ends.

        What was read last at that hour lies within them too: it is what is known best.

        Parameters
        ----------
        hours : float
            Time since the last coarse addition, zero or more [h].

        Returns
        -------
        Span
            The size [µm].
        """
        low, middle, high = (float(row[0]) for row in self.band([hours]))
        if self.readings and hours == max(one.hours for one in self.readings):
            read = [one.size_um for one in self.readings if one.hours == hours]
            low, high = min([low, *read]), max([high, *read])
        return Span(low, middle, high)

    def hours_to(self, size_um: float) -> Span:
        """Return how long it takes to a size; four in five lie within the ends.

        Parameters
        ----------
        size_um : float
            The size, above zero [µm].

        Returns
        -------
        Span
            Time since the last coarse addition; the last end is infinite where it may stall before [h].

        Raises
        ------
        OutOfRange
            If the kit does not get there, or more likely than not has stalled above it.
        """
        if size_um < self.floor_um:
            stalled = size_um >= self.reach_um
            what = "It has likely stalled above this" if stalled else "This kit does not get there"
            raise OutOfRange(what, value=f"{size_um:g} µm", limit=f"{self.floor_um:.3g} µm")
        hours = self.hours_for(size_um)
        return Span(*(quantile(hours, share) for share in _FOUR_IN_FIVE))

    def hours_between(self, from_um: float, to_um: float) -> Array:
        """Return how long it takes from one size to another while it falls.

        Parameters
        ----------
        from_um, to_um : float
            Sizes above zero, the coarser first [µm].

        Returns
        -------
        array
            One value a draw; zero to a coarser size [h].
        """
        return np.maximum((1 / to_um - 1 / from_um) / self.speeds, 0.0)

    def only(self, name: str) -> GrindFit:
        """Return the same with one thing varying and the others at their middle.

        Parameters
        ----------
        name : str
            ``starts``, ``speeds`` or ``floors``.

        Returns
        -------
        GrindFit
            As many draws as before.
        """

        def held(key: str, values: Array) -> Array:
            return values if key == name else np.full_like(values, np.median(values))

        return replace(
            self,
            starts=held("starts", self.starts),
            speeds=held("speeds", self.speeds),
            floors=held("floors", self.floors),
        )

    def resting(self, low_um: float, high_um: float) -> GrindFit:
        """Return the same for a kit of which only is known between which sizes it comes to rest.

        Parameters
        ----------
        low_um, high_um : float
            The finest and the coarsest, above zero [µm].

        Returns
        -------
        GrindFit
            Floors spread evenly over the logarithm between them.
        """
        even = (np.arange(self.floors.size) * _GOLDEN) % 1
        return replace(self, floors=np.asarray(low_um * (high_um / low_um) ** even, dtype=float))

    def _rests(self, hours: float) -> Truths:
        """Whether each draw has come to its floor."""
        return np.asarray(self.sizes_at(hours) <= self.floors)


def _most(draws: Truths) -> bool:
    return float(np.mean(draws)) > 50 / 100


def fit_readings(
    readings: Sequence[SizeReading],
    start: Span,
    speed: Span | None = None,
    floor_um: float = 0.0,
    coarsest_um: float = 0.0,
) -> GrindFit:
    """Return what micrometer readings say of a grinding.

    ``d(t) = max(floor, 1/(1/d0 + k·t))``; log-normal priors on d0 and k, errors of reading with heavy tails.
    One time in twenty a batch starts or goes quite otherwise than was known. The floor is the finest that the
    kit reaches; three times in ten it lies between that and the coarsest at which such kits rest, where that
    is known. Or it stalls, anywhere above: one time in fifty before any reading, and one in ten of the
    batches that are otherwise, where a speed was known that they could differ from.

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
    coarsest_um : float
        The coarsest at which such kits come to rest; up to the finest says that this is not known [µm].

    Returns
    -------
    GrindFit
        With sizes and times as ranges.

    Raises
    ------
    InputError
        If the last reading is clearly coarser than one before it, or does not follow from them by any speed
        or floor; without a speed, if there are not two readings between which the size fell.

    Notes
    -----
    A single reading is good to 5 µm either way; the error of a median falls with the root of their number.

    The odds of a stall are those before the readings times how much better they agree with some floor than
    with the law going on, each weighed over all starts, speeds and floors. A stall is said from even odds on.

    Examples
    --------
    >>> readings = [SizeReading(9.0, 100.0, 9), SizeReading(24.0, 40.0, 9)]
    >>> fit = fit_readings(readings, Span(100.0, 500.0, 2000.0), floor_um=15.0)
    >>> ready = fit.hours_to(25.0)
    >>> ready.low < 39.0 < ready.high, round(ready.value) in (38, 39, 40)
    (True, True)
    >>> stuck = [SizeReading(24.0, 40.0, 5), SizeReading(48.0, 38.0, 5), SizeReading(72.0, 37.0, 5)]
    >>> fit = fit_readings(stuck, Span(400.0, 500.0, 600.0), Span(0.0007, 0.0014, 0.0028), 15.0)
    >>> fit.stalled, round(fit.floor_um)
    (True, 38)

    References
    ----------
    [alamprese-2007]
    """
    return _fitted(tuple(readings), start, speed, floor_um, coarsest_um)


@lru_cache(maxsize=64)  # several answers ask of the same readings
def _fitted(
    readings: tuple[SizeReading, ...], start: Span, speed: Span | None, floor_um: float, coarsest_um: float
) -> GrindFit:
    _check_falling(readings)
    reach_um = min([floor_um, *(reading.size_um for reading in readings)])
    before = known_before(readings, start, speed, reach_um, coarsest_um)

    def log_density(log_start: Array, log_speed: Array) -> Array:
        known, stalls = before.density(log_start, log_speed)
        told = before.told(_likelihood(log_start, log_speed, before.floors, readings), stalls)
        return np.asarray(np.log(_above_zero(known)) + np.log(_above_zero(told)))

    found: Posterior = posterior(log_density, before.start.ends, before.speed.ends)
    starts, speeds = found.drawn(_DRAWS)
    _, stalls = before.density(starts, speeds)
    shares = _likelihood(starts, speeds, before.floors, readings) * before.weights(stalls)
    floors = before.floors[_picked(shares)]
    return _with_the_last(GrindFit(np.exp(starts), np.exp(speeds), floors, reach_um, readings))


def _above_zero(values: Array) -> Array:
    """The same, nowhere so small that it has no logarithm."""
    return np.maximum(values, np.finfo(float).tiny)


def _likelihood(
    log_start: Array, log_speed: Array, floors: Array, readings: tuple[SizeReading, ...]
) -> Array:
    """How likely the readings are, up to a constant, at starts and speeds; the last axis is the floor."""
    odds = np.ones((*np.broadcast_shapes(log_start.shape, log_speed.shape), floors.size))
    backwards, speeds = np.exp(-log_start), np.exp(log_speed)
    for first in range(0, len(readings), _TOGETHER):
        against = np.ones_like(odds)
        for reading in readings[first : first + _TOGETHER]:
            miss = np.maximum((1 / (backwards + speeds * reading.hours))[..., None], floors)
            miss -= reading.size_um
            miss *= miss
            miss *= 1 / (_TAILS * reading.deviation**2)
            miss += 1
            against *= miss
        # To the power (tails + 1)/2, by a root: a power takes ten times as long.
        odds /= np.sqrt(against) * against ** (_TAILS // 2)
    return odds


def _picked(shares: Array) -> Places:
    """One place a row, in proportion to its shares, the same every time."""
    sums = np.cumsum(shares, axis=1)
    # Steps of the golden ratio: even over the rows however these are ordered.
    even = (np.arange(len(shares)) * _GOLDEN) % 1
    places = (sums < (even * sums[:, -1])[:, None]).sum(axis=1)
    return np.asarray(np.minimum(places, shares.shape[1] - 1))


def _with_the_last(fit: GrindFit) -> GrindFit:
    """Leave out draws that stray from the last reading; refuse it where most of them do.

    An earlier reading may be a wild one. The last is either what it is now, or to be read again.
    """
    hours = max((reading.hours for reading in fit.readings), default=0.0)
    for reading in (one for one in fit.readings if one.hours == hours):
        near = np.abs(fit.sizes_at(hours) - reading.size_um) <= _STRAYS * reading.deviation
        if not _most(near):
            raise InputError(
                "The size no longer falls as the law of grinding says",
                value=f"{reading.size_um:g} µm at {hours:g} h, against {fit.size_at(hours).value:.0f} µm",
                advice="Read it again; if the grinder was set otherwise since, count from there.",
            )
        fit = replace(fit, starts=fit.starts[near], speeds=fit.speeds[near], floors=fit.floors[near])
    return fit


def _check_falling(readings: Sequence[SizeReading]) -> None:
    """Refuse a last reading that is coarser than an earlier one by more than both can be wrong."""
    ordered = sorted(readings, key=lambda reading: reading.hours)
    for before in ordered[:-1]:
        last = ordered[-1]
        doubt = math.hypot(before.deviation, last.deviation)
        if last.hours > before.hours and last.size_um - before.size_um > _CLEARLY * doubt:
            raise InputError(
                "The last reading is coarser than one before it",
                value=f"{before.size_um:g} µm at {before.hours:g} h, {last.size_um:g} µm at {last.hours:g} h",
                advice="Read it again; if something coarse went in between, count from there.",
            )
