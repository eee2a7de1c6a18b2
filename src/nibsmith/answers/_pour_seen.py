"""What a maker saw of the flow of this very mass: it goes before what was foretold of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from nibsmith.answers.process import SeenFlow
from nibsmith.science.flow import Calibration, Feel, Use, UseLimits, WordReading, limits_of, of_one_mass


@lru_cache(maxsize=16)  # every remedy asks of the same
def calibration_of(seen: tuple[SeenFlow, ...], kit: Calibration) -> Calibration:
    """Return how this mass differs from the estimate: by its own readings, and never against its last word.

    A mass that was found too thick is at least as thick as the limit of that use; one that was found right or
    too thin is no thicker.
    """
    own = of_one_mass([one.reading for one in seen if one.reading is not None], kit)
    words = [one for one in seen if one.feel is not None]
    if not words or not isinstance(words[-1].reading, WordReading):
        return own
    last = words[-1].reading
    times = limits_of(last.use).thickness(last.predicted.times(own.eta_factor.value, own.tau_factor.value))
    against = times < 1 if last.feel is Feel.TOO_THICK else times > 1
    if not against:
        return own
    return Calibration(own.eta_factor.times(1 / times), own.tau_factor.times(1 / times), own.observations)


def found_for(seen: Sequence[SeenFlow], use: Use) -> SeenFlow | None:
    """Return the last word of a maker that settles how this mass is for a use; none where none does.

    What is too thick for one use is so for every use that bears less; what is right for one is thin enough
    for every use that bears more.
    """
    asked = limits_of(use)
    settling = (one for one in reversed(seen) if one.use is not None and _settles(one, asked))
    return next(settling, None)


def _settles(one: SeenFlow, asked: UseLimits) -> bool:
    assert one.use is not None  # noqa: S101  asked by the caller, for the reader of types
    said = limits_of(one.use)
    if one.feel is Feel.TOO_THICK:
        return asked.stress_pa <= said.stress_pa and asked.viscosity_pas <= said.viscosity_pas
    return asked.stress_pa >= said.stress_pa and asked.viscosity_pas >= said.viscosity_pas
