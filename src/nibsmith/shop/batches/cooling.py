"""A cooling curve as science reads it, with the probe put right."""

from __future__ import annotations

from nibsmith.answers.curve import CurveAsked
from nibsmith.science.errors import NibsmithError
from nibsmith.science.temper import MarkedCurve, fat_phase, softening
from nibsmith.shop.batches.models import Batch, Curve
from nibsmith.shop.batches.planning import opened_on


def asked_of(curve: Curve, lowering_k: float, marked: tuple[MarkedCurve, ...] = ()) -> CurveAsked:
    """Return a stored curve as it is asked about."""
    offset = float(curve.offset_k)
    return CurveAsked(
        seconds=[seconds for seconds, _ in curve.points],
        celsius=[celsius + offset for _, celsius in curve.points],
        coolant_celsius=float(curve.coolant_celsius),
        marked=marked,
        lowering_k=lowering_k,
    )


def lowering_of(batch: Batch) -> float:
    """Return how far other fats lower the melting of a batch's mass [K]; nothing where that is not known."""
    try:
        return softening(fat_phase(opened_on(batch.version, batch.kit).recipe).cocoa_butter_share)
    except NibsmithError:
        return 0.0
