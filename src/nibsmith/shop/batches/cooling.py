"""A cooling curve as science reads it, with the probe put right."""

from __future__ import annotations

import numpy as np

from nibsmith.science.errors import NibsmithError
from nibsmith.science.temper import CurveReading, fat_phase, read_curve, softening
from nibsmith.shop.batches.models import Batch, Curve
from nibsmith.shop.batches.planning import opened_on


def read_stored(curve: Curve, lowering_k: float) -> CurveReading:
    """Return what a stored curve says; refuse one that cannot be read."""
    points = np.asarray(curve.points, dtype=float).reshape(-1, 2)
    return read_curve(
        points[:, 0], points[:, 1] + float(curve.offset_k), float(curve.coolant_celsius), lowering_k
    )


def lowering_of(batch: Batch) -> float:
    """Return how far other fats lower the melting of a batch's mass [K]; nothing where that is not known."""
    try:
        return softening(fat_phase(opened_on(batch.version, batch.kit).recipe).cocoa_butter_share)
    except NibsmithError:
        return 0.0
