"""Curves of the cooling cup as science reads them, with the probe put right; and how bars are cooled."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from nibsmith.answers.cooling import Cooling
from nibsmith.answers.curve import CurveAsked
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Span
from nibsmith.science.temper import MarkedCurve, Temper, fat_phase, softening
from nibsmith.shop.batches.models import Batch, Curve, Session
from nibsmith.shop.batches.planning import opened_on
from nibsmith.shop.kit.selectors import cooling_in, fridge, own_mould


def asked_of(curve: Curve, lowering_k: float, marked: tuple[MarkedCurve, ...] = ()) -> CurveAsked:
    """Return a stored curve as it is asked about."""
    offset = float(curve.offset_k)
    return CurveAsked(
        seconds=[seconds for seconds, _ in curve.points],
        celsius=[celsius + offset for _, celsius in curve.points],
        coolant_celsius=float(curve.coolant_celsius),
        marked=marked,
        lowering_k=lowering_k,
        mark=Temper(curve.mark) if curve.mark else None,
    )


def lowering_of(batch: Batch) -> float:
    """Return how far other fats lower the melting of a batch's mass [K]; nothing where that is not known."""
    try:
        return softening(fat_phase(opened_on(batch.version, batch.kit).recipe).cocoa_butter_share)
    except NibsmithError:
        return 0.0


def cooling_of(session: Session) -> Cooling:
    """Return how the bars of a session are cooled, as far as it says: its fridge, its moulds, its warmth."""
    warm = session.work_celsius
    return replace(
        cooling_in(fridge(session.fridge)),
        poured_celsius=None if warm is None else Span.exactly(float(warm)),
        tempered=not session.untempered,
        **_moulds(session),
    )


def _moulds(session: Session) -> dict[str, Any]:
    if not session.mould or not session.bars:
        return {}
    mould = own_mould(session.mould)
    moulds = math.ceil(session.bars / mould.cavities)
    empty_g = None if mould.empty_g is None else float(mould.empty_g)
    return {"moulds": moulds, "chocolate_g": float(mould.cavity_g * mould.cavities), "mould_g": empty_g}
