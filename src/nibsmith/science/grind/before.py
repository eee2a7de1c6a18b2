"""What is known of a grinding before it is read: how it starts, how fast it goes, where it comes to rest.

Nothing of this is sure. A batch may start or go quite otherwise than was known of it. It comes to rest at the
finest that such kits reach, or between that and the coarsest at which they do, or it stalls anywhere. What is
known of a kit is known of batches that go as usual, so one that does not is taken to stall more often.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.grind.micrometer import SizeReading
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Array
from nibsmith.science.tables import load

_REACH = 5  # standard deviations that a prior reaches either way
# A start that is known exactly still gets this width in its logarithm, so that the grid has one.
LEAST_WIDTH_EPSILON = 0.01
# Sizes at which a kit may rest: in standard deviations from the finest reading, how many below those, and how
# many within what such kits reach.
_RESTS_NEAR, _RESTS_BELOW, _RESTS_WITHIN = np.arange(-6, 9) / 2, 5, 6


@dataclass(frozen=True, slots=True)
class Prior:
    """What is known of the logarithm of a start or a speed: normal, and now and then quite otherwise.

    ``mean`` and ``deviation`` are of batches that go as usual, ``otherwise`` is the deviation of the others;
    one that is not above ``deviation`` says that there are none [1, of the logarithm of µm or of 1/(µm h)].
    """

    mean: float
    deviation: float
    otherwise: float = 0.0

    @property
    def ends(self) -> tuple[float, float]:
        """Logarithms between which as good as all of it lies [1]."""
        reach = max(_REACH * self.deviation, 2 * self.otherwise)
        return self.mean - reach, self.mean + reach

    def densities(self, logs: Array) -> tuple[Array, Array]:
        """Return how likely logarithms are by a batch as usual, and by another one.

        Parameters
        ----------
        logs : array
            Logarithms, of any shape [1].

        Returns
        -------
        tuple of array
            Densities of the usual and of the other batches, in the same shape, up to one factor for both; the
            other are zero where there are none [1].
        """
        usual = np.exp(-0.5 * ((logs - self.mean) / self.deviation) ** 2)
        if not self.otherwise > self.deviation:
            return usual, np.zeros_like(usual)
        share = load("grind")["other_share"].value
        other = np.exp(-0.5 * ((logs - self.mean) / self.otherwise) ** 2)
        return (1 - share) * usual, share * self.deviation / self.otherwise * other


@dataclass(frozen=True, eq=False)
class Before:
    """Start and speed as logarithms, and the sizes at which a grinding may come to rest.

    ``stalls`` are the shares that stall of batches that go as usual, and of the others [0 to 1]. ``floors``
    are sizes, first the finest that the kit reaches [µm]; ``rests`` is how likely each is where it comes to
    rest as such kits do, ``stalled`` where it stalls; each of them sums to one [0 to 1].
    """

    start: Prior
    speed: Prior
    stalls: tuple[float, float]
    floors: Array
    rests: Array
    stalled: Array

    def density(self, log_start: Array, log_speed: Array) -> tuple[Array, Array]:
        """Return how likely a start and a speed are, and the share of such batches that stalls.

        Parameters
        ----------
        log_start, log_speed : array
            Logarithms of starts [µm] and of speeds [1/(µm h)], of shapes that go together [1].

        Returns
        -------
        tuple of array
            Density up to a constant, and the share: from that of batches that start and go as usual to that
            of all others [1; 0 to 1].
        """
        start, other_start = self.start.densities(log_start)
        speed, other_speed = self.speed.densities(log_speed)
        usual, every = start * speed, (start + other_start) * (speed + other_speed)
        as_usual = np.divide(usual, every, out=np.zeros_like(every), where=every > 0)
        return every, self.stalls[1] + (self.stalls[0] - self.stalls[1]) * as_usual

    def told(self, likely: Array, share: Array) -> Array:
        """Return how likely the readings are, wherever it may rest.

        Parameters
        ----------
        likely : array
            How likely they are at each start and speed, the last axis the floor [1].
        share : array
            Share of such batches that stalls, in the shape of the other axes [0 to 1].

        Returns
        -------
        array
            In the shape of the share [1].
        """
        return np.asarray((likely @ self.rests) * (1 - share) + (likely @ self.stalled) * share)

    def weights(self, share: Array) -> Array:
        """Return how likely each floor is before the readings.

        Parameters
        ----------
        share : array
            Share of the batches that stalls, of one axis [0 to 1].

        Returns
        -------
        array
            One row a share, one column a floor; each row sums to one [0 to 1].
        """
        return np.multiply.outer(1 - share, self.rests) + np.multiply.outer(share, self.stalled)


def known_before(
    readings: Sequence[SizeReading],
    start: Span,
    speed: Span | None,
    reach_um: float,
    coarsest_um: float = 0.0,
) -> Before:
    """Return what is known of a grinding before it is read, on a grid of floors fine near what was read.

    Parameters
    ----------
    readings : sequence of SizeReading
        Say only where a stall could be told from another, and without a speed about how fast it goes.
    start : Span
        Size of what was added last; ends as far as it may be [µm].
    speed : Span or None
        What is known of the kit's speed on this charge; two in three within the ends [1/(µm h)].
    reach_um : float
        The finest that the kit reaches [µm].
    coarsest_um : float
        The coarsest at which such kits come to rest; up to the finest says that this is not known [µm].

    Returns
    -------
    Before
        Logarithms of start and speed [1], floors [µm].

    Raises
    ------
    InputError
        Without a speed, if there are not two readings between which the size fell.

    Examples
    --------
    >>> readings = [SizeReading(9.0, 100.0, 9), SizeReading(24.0, 40.0, 9)]
    >>> before = known_before(readings, Span(400.0, 500.0, 600.0), None, 15.0)
    >>> round(math.exp(before.speed.mean), 6), float(before.floors[0]), round(float(before.stalled.sum()), 6)
    (0.001, 15.0, 1.0)
    """
    # With nothing read, nothing can say that this batch is another one.
    other_start, other_speed = (_unknown("start"), _unknown("speed")) if readings else (0.0, 0.0)
    starts = Prior(math.log(start.value), _width(start, 2), other_start)
    stalls, other_stalls = (load("grind")[key].value for key in ("stall_share", "other_stall_share"))
    if speed is None:
        # Of a kit of which nothing is known, no batch can be told to be another one.
        speeds, other_stalls = Prior(_between(readings), _unknown("speed")), stalls
    else:
        speeds = Prior(math.log(speed.value), _width(speed, 1), other_speed)
    return Before(starts, speeds, (stalls, other_stalls), *_floors(reach_um, coarsest_um, readings))


def _width(span: Span, reach: int) -> float:
    """Deviation of the logarithm; the ends lie ``reach`` deviations out."""
    return max(math.log(span.high / span.low) / (2 * reach), LEAST_WIDTH_EPSILON)


def _unknown(name: str) -> float:
    """Deviation of the logarithm of a start or a speed of which nothing is known."""
    return math.log(load("grind")[f"unknown_{name}_factor"].value)


def _between(readings: Sequence[SizeReading]) -> float:
    """Logarithm of the speed between the first and the last reading."""
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
    return math.log(grown)


def _floors(
    reach_um: float, coarsest_um: float, readings: Sequence[SizeReading]
) -> tuple[Array, Array, Array]:
    """Sizes at which it may come to rest [µm], and how likely each is if it rests as such kits do or stalls.

    The finest that the kit reaches first. Over the others both are spread evenly over the logarithm: up to
    the coarsest at which such kits rest, and to above the finest reading. They lie dense where that reading
    can tell them apart.
    """
    if not readings:
        return np.array([reach_um]), np.ones(1), np.ones(1)
    finest = min(readings, key=lambda reading: reading.size_um)
    near = finest.size_um + _RESTS_NEAR * finest.deviation
    least = reach_um if reach_um > 0 else finest.size_um / _RESTS_BELOW
    near = near[near > least]
    below = np.geomspace(least, near[0], _RESTS_BELOW + 1)[1:-1]
    within = np.geomspace(least, max(coarsest_um, least), _RESTS_WITHIN + 1)[1:]
    sizes = np.unique(np.concatenate([below, near, within[within > least]]))
    widths = np.gradient(np.log(np.concatenate([[least], sizes])))[1:]
    rests = np.where(sizes <= coarsest_um, widths, 0.0)
    share = load("grind")["rest_share"].value if rests.any() else 0.0
    return (
        np.concatenate([[reach_um], sizes]),
        np.concatenate([[1 - share], rests * share / (rests.sum() or 1.0)]),
        np.concatenate([[0.0], widths / widths.sum()]),
    )
