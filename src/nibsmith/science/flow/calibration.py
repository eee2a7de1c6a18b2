"""How a kit's masses differ from the estimate: a factor for the viscosity and one for the yield.

The estimate is taken to be wrong by a factor that is the kit's own, and by another from batch to batch.
Before any reading, two in three masses lie within a factor 2 of the estimate; each reading narrows the kit's
factor, and what is left from batch to batch stays.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.flow.parameters import log_factor, parameters
from nibsmith.science.flow.readings import (
    CupReading,
    Reading,
    RingReading,
    ViscometerReading,
    WordReading,
    cup_viscosity,
    ring_yield,
)
from nibsmith.science.flow.uses import Feel, limits_of
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Array, posterior

# Degrees of freedom of the errors: few, so that one wild reading does not carry the others away.
_TAILS = 4
_REACH = 5  # standard deviations of the prior that the factors may take
_FACTORS: Mapping[type[Reading], str] = MappingProxyType(
    {
        ViscometerReading: "viscometer_factor",
        CupReading: "cup_factor",
        RingReading: "ring_factor",
        WordReading: "words_factor",
    }
)
Normal = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a kit's next batch will be, as multiples of the estimate; two in three lie within the ends.

    ``eta_factor`` is on the plastic viscosity, ``tau_factor`` on the yield; ``observations`` is how many
    readings stand behind them; with none they are the prior, a factor 2.
    """

    eta_factor: Span
    tau_factor: Span
    observations: int

    @property
    def eta_spread(self) -> float:
        """The factor either way within which two in three lie, for the viscosity."""
        return math.sqrt(self.eta_factor.high / self.eta_factor.low)

    @property
    def tau_spread(self) -> float:
        """The factor either way within which two in three lie, for the yield."""
        return math.sqrt(self.tau_factor.high / self.tau_factor.low)


def calibrate(readings: Sequence[Reading], batches: Sequence[Hashable] | None = None) -> Calibration:
    """Return how a kit's masses differ from the estimate.

    ``ln C = ln C_kit + e``: a normal prior on both ``ln C_kit``, errors of batch and reading together with
    heavy tails, words as an ordered logit of how thick the mass is for its use. Readings of one batch share
    its error, so that together they tell no more of the kit than the batch does: with the variances B of the
    batch and O of each reading, they count ``(B + O)/(O·(1 + B·sum(1/O)))`` times.

    Parameters
    ----------
    readings : sequence of Reading
        Readings of masses made on one kit, each with what the uncalibrated estimate says of it.
    batches : sequence, optional
        Of which batch each reading is; without it each is of another.

    Returns
    -------
    Calibration
        Factors on viscosity and yield for the next batch [1].

    Raises
    ------
    InputError
        If a reading is not above zero, or it is not said of each of which batch it is.

    Notes
    -----
    Ends never come nearer than what is left from batch to batch, a factor 1.3 either way.

    Examples
    --------
    >>> calibrate([]).eta_factor
    Span(low=0.5, value=1.0, high=2.0)
    >>> from nibsmith.science.flow.casson import Casson
    >>> thick = ViscometerReading.of(Casson(10.0, 2.0), Casson(15.0, 3.0))
    >>> found = calibrate([thick] * 3)
    >>> found.observations, 1.3 < found.eta_factor.value < 1.6
    (3, True)
    >>> calibrate([thick] * 3, ["one"] * 3).eta_factor.value < found.eta_factor.value
    True

    References
    ----------
    [aeschlimann-beckett-2000], [spread-ring-study]
    """
    if not readings:
        return _prior()
    weights = _weights(readings, range(len(readings)) if batches is None else batches)
    counted = [(reading, weight, log_factor("batch_factor")) for reading, weight in weights]
    found = _updated((0.0, _kit_deviation()), (0.0, _kit_deviation()), counted)
    spans = [_span(mean, math.hypot(deviation, log_factor("batch_factor"))) for mean, deviation in found]
    return Calibration(spans[0], spans[1], len(readings))


def of_one_mass(readings: Sequence[Reading], known: Calibration) -> Calibration:
    """Return how one mass differs from the estimate, of which flow was read.

    What is known of the kit's next batch is the prior; each reading counts with its own error only.

    Parameters
    ----------
    readings : sequence of Reading
        Readings of this very mass, each with what the uncalibrated estimate says of it.
    known : Calibration
        What was known of the kit without them.

    Returns
    -------
    Calibration
        Factors on viscosity and yield for this mass [1]; ``observations`` stays that of the kit.

    Raises
    ------
    InputError
        If a reading is not above zero.

    Examples
    --------
    >>> from nibsmith.science.flow.casson import Casson
    >>> read = ViscometerReading.of(Casson(10.0, 2.0), Casson(15.0, 3.0))
    >>> found = of_one_mass([read], calibrate([]))
    >>> 1.4 < found.eta_factor.value < 1.6, found.eta_spread < 1.3
    (True, True)
    """
    if not readings:
        return known
    priors = [
        (math.log(factor.value), math.log(spread))
        for factor, spread in ((known.eta_factor, known.eta_spread), (known.tau_factor, known.tau_spread))
    ]
    found = _updated(priors[0], priors[1], [(reading, 1.0, 0.0) for reading in readings])
    spans = [_span(*pair) for pair in found]
    return Calibration(spans[0], spans[1], known.observations)


def _updated(
    viscosity: Normal, stress: Normal, counted: Sequence[tuple[Reading, float, float]]
) -> list[Normal]:
    """Mean and deviation of both logarithms after readings, each with its weight and a batch's error."""

    def log_density(at_viscosity: Array, at_stress: Array) -> Array:
        logs = -0.5 * ((at_viscosity - viscosity[0]) / viscosity[1]) ** 2
        logs = logs - 0.5 * ((at_stress - stress[0]) / stress[1]) ** 2
        for reading, weight, batch in counted:
            logs = logs + weight * _log_likelihood(reading, at_viscosity, at_stress, batch)
        return logs

    ends = [(mean - _REACH * deviation, mean + _REACH * deviation) for mean, deviation in (viscosity, stress)]
    found = posterior(log_density, ends[0], ends[1])
    return list(zip(found.means, found.deviations, strict=True))


def _weights(readings: Sequence[Reading], batches: Sequence[Hashable]) -> list[tuple[Reading, float]]:
    """How much each reading counts, for those of one batch share what is the batch's own."""
    if len(batches) != len(readings):
        raise InputError("Each reading is of a batch", value=f"{len(readings)}, {len(batches)}")
    precision: dict[Hashable, float] = defaultdict(float)
    for reading, batch in zip(readings, batches, strict=True):
        precision[batch] += 1 / _own_variance(reading)
    shared = log_factor("batch_factor") ** 2
    return [
        (reading, (shared + own) / (own * (1 + shared * precision[batch])))
        for reading, batch, own in zip(readings, batches, map(_own_variance, readings), strict=True)
    ]


def _own_variance(reading: Reading) -> float:
    return log_factor(_FACTORS[type(reading)]) ** 2


@lru_cache(maxsize=1)
def _prior() -> Calibration:
    spans = _span(0.0, math.hypot(_kit_deviation(), log_factor("batch_factor")))
    return Calibration(spans, spans, 0)


def _kit_deviation() -> float:
    """Of the logarithm of the kit's own factor before any reading: the prior less the batch."""
    return math.sqrt(log_factor("prior_factor") ** 2 - log_factor("batch_factor") ** 2)


def _span(mean: float, deviation: float) -> Span:
    return Span(*(round(math.exp(mean + side * deviation), 12) for side in (-1, 0, 1)))


def _log_likelihood(reading: Reading, viscosity: Array, stress: Array, batch: float) -> Array:
    """How likely a reading is, up to a constant, at logarithms of the two factors, with a batch's error."""
    low, high = _roots(reading, viscosity, stress)
    scale = math.hypot(batch, log_factor(_FACTORS[type(reading)]))
    if isinstance(reading, WordReading):
        return _of_word(reading, low, high, scale)
    rates = parameters()
    if isinstance(reading, ViscometerReading):
        pairs = (
            (reading.stress_at_5, low**2),
            (reading.viscosity_at_40, high**2 / rates.rate_high),
        )
        both = [_of_value(seen, at, scale) for seen, at in pairs if seen is not None]
        return np.sum(both, axis=0) if both else np.zeros(np.broadcast(viscosity, stress).shape)
    if isinstance(reading, CupReading):
        seen = cup_viscosity(reading.seconds, reading.cup, reading.density)
        return _of_value(seen, high**2 / rates.rate_high, scale)
    seen = ring_yield(reading.diameter_mm, reading.volume_cm3, reading.density)
    return _of_value(seen, reading.predicted.yield_pa * np.exp(stress) + 0 * viscosity, scale)


def _roots(reading: Reading, viscosity: Array, stress: Array) -> tuple[Array, Array]:
    """Square roots of the stress at 5 and at 40 1/s."""
    foot = np.sqrt(reading.predicted.yield_pa * np.exp(stress))
    slope = np.sqrt(reading.predicted.viscosity_pas * np.exp(viscosity))
    rates = parameters()
    return foot + slope * math.sqrt(rates.rate_low), foot + slope * math.sqrt(rates.rate_high)


def _of_value(seen: float, at: Array, scale: float) -> Array:
    if not 0 < seen < math.inf:
        raise InputError("A reading of flow is above zero", value=seen)
    miss = (math.log(seen) - np.log(at)) / scale
    return np.asarray(-0.5 * (_TAILS + 1) * np.log1p(miss**2 / _TAILS))


def _of_word(reading: WordReading, low: Array, high: Array, deviation: float) -> Array:
    """Ordered logit: too thick above the limits of the use, too thin under its lower ones."""
    limits, rate = limits_of(reading.use), parameters().rate_high
    scale = deviation * math.sqrt(3) / math.pi
    thick = _thickness(low**2 / limits.stress_pa, high**2 / rate / limits.viscosity_pas) / scale
    thin = -_thickness(low**2 / limits.thin_stress_pa, high**2 / rate / limits.thin_viscosity_pas) / scale
    if reading.feel is Feel.TOO_THICK:
        return -np.logaddexp(0.0, -thick)
    if reading.feel is Feel.TOO_THIN:
        return -np.logaddexp(0.0, -thin)
    right = 1 - 1 / (1 + np.exp(-thick)) - 1 / (1 + np.exp(-thin))
    return np.log(np.maximum(right, np.finfo(float).tiny))


def _thickness(stress: Array, viscosity: Array) -> Array:
    return np.asarray(np.log(np.maximum(stress, viscosity)))
