"""Observations as they are stored, and as science reads them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.science.flow import (
    Casson,
    CupReading,
    Feel,
    Reading,
    RingReading,
    Use,
    ViscometerReading,
    WordReading,
)
from nibsmith.science.grind import GrindFit, SizeReading, fit_readings
from nibsmith.science.mixture import Span
from nibsmith.science.temper import MarkedCurve, Temper

Facts = Mapping[str, Any]
Run = tuple[GrindFit, float]

WORDS, CUP_SECONDS, RING, VISCOMETER = "words", "cup", "ring", "viscometer"


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One observation: the record it is kept as, what it is in words, and what science reads of it."""

    source: str
    words: str
    facts: Facts


def flow_facts(how: str, predicted: Casson, values: Facts) -> dict[str, Any]:
    """Return what a calibration of the flow needs of a reading: what was foretold, and what was read."""
    return {
        "how": how,
        "predicted": {"yield_pa": predicted.yield_pa, "viscosity_pas": predicted.viscosity_pas},
        **values,
    }


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """What is ground at one go: since when [h], from which size, to which at the finest [µm], on what [g]."""

    since_hours: float
    start: Span
    floor_um: float
    charge_g: float


def grinding_facts(reading: SizeReading, stretch: Stretch) -> dict[str, Any]:
    """Return what a calibration of the grinding needs of a reading since the last coarse addition."""
    return {
        "hours": reading.hours,
        "size_um": reading.size_um,
        "count": reading.count,
        "since_hours": stretch.since_hours,
        "start_um": list_of(stretch.start),
        "floor_um": stretch.floor_um,
        "charge_g": stretch.charge_g,
    }


def temper_facts(curve: MarkedCurve) -> dict[str, Any]:
    """Return what a marked cooling curve tells of later ones."""
    return {
        "slope": curve.slope,
        "coolant_celsius": curve.coolant_celsius,
        "start_celsius": curve.start_celsius,
        "mark": curve.mark.value,
    }


def flow_reading(facts: Facts) -> Reading:
    """Return a stored reading of flow as science reads it."""
    predicted = Casson(**facts["predicted"])
    how = facts["how"]
    if how == WORDS:
        return WordReading(predicted, Feel(facts["feel"]), Use(facts["use"]))
    if how == CUP_SECONDS:
        return CupReading(predicted, facts["seconds"], facts["cup"], facts["density"])
    if how == RING:
        return RingReading(predicted, facts["diameter_mm"], facts["volume_cm3"], facts["density"])
    return ViscometerReading(predicted, facts["stress_at_5"], facts["viscosity_at_40"])


def marked_curve(facts: Facts) -> MarkedCurve:
    """Return a stored cooling curve as science reads it."""
    return MarkedCurve(
        facts["slope"], facts["coolant_celsius"], facts["start_celsius"], Temper(facts["mark"])
    )


def grinding_run(readings: Sequence[Facts]) -> Run | None:
    """Fit the readings of one stretch; none where they tell no speed.

    So are one alone, what is no finer than before, what does not follow the law of grinding, and a grinding
    that had come to rest by the second reading.
    """
    first = readings[0]
    sizes = sorted((_size(facts) for facts in readings), key=lambda size: size.hours)
    try:
        fit = fit_readings(sizes, span_of(first["start_um"]), None, first["floor_um"])
    except InputError:
        return None
    return (fit, first["charge_g"]) if fit.tells_speed else None


def _size(facts: Facts) -> SizeReading:
    return SizeReading(facts["hours"], facts["size_um"], facts["count"])


def list_of(span: Span) -> list[float]:
    """Write a range as it is stored."""
    return [span.low, span.value, span.high]


def span_of(stored: Sequence[float]) -> Span:
    """Read a range as it is stored."""
    return Span(*stored)
