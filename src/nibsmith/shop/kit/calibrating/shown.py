"""Calibrations in words: how far a kit is from the estimate, and how many observations say so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from nibsmith.shop.common.figures import rounded, with_unit
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.calibrating.selectors import known
from nibsmith.shop.kit.models import Calibration, Observation, Subject

HUNDREDTH = Decimal("0.01")
TENTH = Decimal("0.1")
WHOLE = Decimal(1)
COARSE_UM, FINE_UM = 100, 50  # a speed of grinding is told by the hours from the one to the other
_BEHIND = {
    Subject.FLOW: ("reading", "readings"),
    Subject.GRINDING: ("batch", "batches"),
    Subject.TEMPER: ("marked curve", "marked curves"),
}


@dataclass(frozen=True, slots=True)
class ShownCalibration:
    """One calibration as a page tells it; ``key`` names it within its kit."""

    key: str
    kind: str
    number: int
    at: datetime
    behind: str
    lines: tuple[tuple[str, str], ...]
    seen: tuple[str, ...] = ()

    @property
    def in_short(self) -> str:
        """Name it in a sentence: which, and how much stands behind it."""
        return f"{self.kind}: calibration {self.number}, of {self.behind}"


def show_known(kit: str, settings: WorkshopSettings) -> tuple[ShownCalibration, ...]:
    """Tell the newest calibrations of a kit."""
    found = known(kit)
    return tuple(show(row, settings) for row in (found.flow, found.grinding) if row is not None)


def show_history(
    told: Sequence[tuple[Calibration, tuple[Observation, ...]]], settings: WorkshopSettings
) -> tuple[ShownCalibration, ...]:
    """Tell every calibration with what it was made of."""
    return tuple(show(row, settings, (one.words for one in seen)) for row, seen in told)


def show(row: Calibration, settings: WorkshopSettings, seen: Iterable[str] = ()) -> ShownCalibration:
    """Tell one calibration."""
    return ShownCalibration(
        key=f"{row.kind}-{row.number}",
        kind=row.get_kind_display().capitalize(),
        number=row.number,
        at=row.created_at,
        behind=_behind(row),
        lines=tuple(_lines(row, settings)),
        seen=tuple(seen),
    )


def _behind(row: Calibration) -> str:
    one, more = _BEHIND[Subject(row.kind)]
    return f"{row.observations} {one if row.observations == 1 else more}"


def _lines(row: Calibration, settings: WorkshopSettings) -> Iterable[tuple[str, str]]:
    factors = row.factors
    if not row.observations:
        yield "It stands on nothing now", "the usual estimate holds again"
    elif row.kind == Subject.FLOW:
        yield "Viscosity, times the estimate", _ends(factors["viscosity"], HUNDREDTH, settings)
        yield "Yield, times the estimate", _ends(factors["yield"], HUNDREDTH, settings)
    elif row.kind == Subject.GRINDING:
        yield from _speed(row, settings)
    else:
        yield "Well tempered", _slopes(factors["slope"], settings)


def _speed(row: Calibration, settings: WorkshopSettings) -> Iterable[tuple[str, str]]:
    low, usual, high = row.factors["speed"]
    hours = [(1 / FINE_UM - 1 / COARSE_UM) / speed for speed in (high, usual, low)]
    charge = with_unit(rounded(row.factors["charge_g"][1], WHOLE, settings.decimal_sign), "g")
    yield f"From {COARSE_UM} to {FINE_UM} µm, a charge of {charge}", _ends(hours, TENTH, settings, "h")


def _ends(ends: Sequence[float], step: Decimal, settings: WorkshopSettings, unit: str = "") -> str:
    low, usual, high = (rounded(end, step, settings.decimal_sign) for end in ends)
    return f"{with_unit(usual, unit)}, two in three from {low} to {with_unit(high, unit)}"


def _slopes(ends: Sequence[float | None], settings: WorkshopSettings) -> str:
    low, _, high = (None if end is None else rounded(end, HUNDREDTH, settings.decimal_sign) for end in ends)
    if low is None and high is None:
        return "not known yet: three curves taken alike, of them one well tempered, tell it"
    if low is None:
        return f"below {with_unit(high or '', 'K/min')}"
    return f"above {with_unit(low, 'K/min')}" if high is None else f"{low} to {with_unit(high, 'K/min')}"
