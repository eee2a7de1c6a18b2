"""How a kit's masses differ from the estimate: a factor for the viscosity and one for the yield.

The estimate is taken to be wrong by a factor that is the kit's own, and by another from batch to batch.
Before any reading, two in three masses lie within a factor 2 of the estimate; each reading narrows the kit's
factor, and what is left from batch to batch stays.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.flow.parameters import log_factor, parameters
from nibsmith.science.flow.readings import (
    CupReading,
    Reading,
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


def calibrate(readings: Sequence[Reading]) -> Calibration:
    """Return how a kit's masses differ from the estimate.

    ``ln C = ln C_kit + e``: a normal prior on both ``ln C_kit``, errors of batch and reading together with
    heavy tails, words as an ordered logit of how thick the mass is for its use.

    Parameters
    ----------
    readings : sequence of Reading
        Readings of masses made on one kit, each with what the uncalibrated estimate says of it.

    Returns
    -------
    Calibration
        Factors on viscosity and yield for the next batch [1].

    Raises
    ------
    InputError
        If a reading is not above zero.

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

    References
    ----------
    [aeschlimann-beckett-2000], [spread-ring-study]
    """
    if not readings:
        return _prior()
    kit = _kit_deviation()
    ends = (-_REACH * kit, _REACH * kit)

    def log_density(viscosity: Array, stress: Array) -> Array:
        logs = -0.5 * ((viscosity / kit) ** 2 + (stress / kit) ** 2)
        for reading in readings:
            logs = logs + _log_likelihood(reading, viscosity, stress)
        return logs

    found = posterior(log_density, ends, ends)
    spans = [_next_batch(*pair) for pair in zip(found.means, found.deviations, strict=True)]
    return Calibration(spans[0], spans[1], len(readings))


@lru_cache(maxsize=1)
def _prior() -> Calibration:
    spans = _next_batch(0.0, _kit_deviation())
    return Calibration(spans, spans, 0)


def _kit_deviation() -> float:
    """Of the logarithm of the kit's own factor before any reading: the prior less the batch."""
    return math.sqrt(log_factor("prior_factor") ** 2 - log_factor("batch_factor") ** 2)


def _next_batch(mean: float, deviation: float) -> Span:
    both = math.hypot(deviation, log_factor("batch_factor"))
    return Span(*(round(math.exp(mean + side * both), 12) for side in (-1, 0, 1)))


def _log_likelihood(reading: Reading, viscosity: Array, stress: Array) -> Array:
    """How likely a reading is, up to a constant, at logarithms of the two factors."""
    low, high = _roots(reading, viscosity, stress)
    if isinstance(reading, WordReading):
        return _of_word(reading, low, high)
    rates = parameters()
    if isinstance(reading, ViscometerReading):
        pairs = (
            (reading.stress_at_5, low**2),
            (reading.viscosity_at_40, high**2 / rates.rate_high),
        )
        both = [_of_value(seen, at, "viscometer_factor") for seen, at in pairs if seen is not None]
        return np.sum(both, axis=0) if both else np.zeros(np.broadcast(viscosity, stress).shape)
    if isinstance(reading, CupReading):
        seen = cup_viscosity(reading.seconds, reading.cup, reading.density)
        return _of_value(seen, high**2 / rates.rate_high, "cup_factor")
    seen = ring_yield(reading.diameter_mm, reading.volume_cm3, reading.density)
    return _of_value(seen, reading.predicted.yield_pa * np.exp(stress) + 0 * viscosity, "ring_factor")


def _roots(reading: Reading, viscosity: Array, stress: Array) -> tuple[Array, Array]:
    """Square roots of the stress at 5 and at 40 1/s."""
    foot = np.sqrt(reading.predicted.yield_pa * np.exp(stress))
    slope = np.sqrt(reading.predicted.viscosity_pas * np.exp(viscosity))
    rates = parameters()
    return foot + slope * math.sqrt(rates.rate_low), foot + slope * math.sqrt(rates.rate_high)


def _of_value(seen: float, at: Array, factor: str) -> Array:
    if not 0 < seen < math.inf:
        raise InputError("A reading of flow is above zero", value=seen)
    scale = math.hypot(log_factor("batch_factor"), log_factor(factor))
    miss = (math.log(seen) - np.log(at)) / scale
    return np.asarray(-0.5 * (_TAILS + 1) * np.log1p(miss**2 / _TAILS))


def _of_word(reading: WordReading, low: Array, high: Array) -> Array:
    """Ordered logit: too thick above the limits of the use, too thin under its lower ones."""
    limits, rate = limits_of(reading.use), parameters().rate_high
    scale = math.hypot(log_factor("batch_factor"), log_factor("words_factor")) * math.sqrt(3) / math.pi
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
