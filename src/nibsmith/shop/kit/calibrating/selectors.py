"""Read what the observations of a kit say, as answers take it and as a page tells it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Min, OuterRef, QuerySet, Subquery

from nibsmith.answers.process import Process
from nibsmith.science import flow
from nibsmith.science.grind import KitSpeed
from nibsmith.science.temper import MarkedCurve
from nibsmith.shop.common.per_request import remembered
from nibsmith.shop.kit.calibrating.facts import marked_curve, span_of
from nibsmith.shop.kit.models import CUP, Calibration, Observation, Subject


@dataclass(frozen=True, slots=True)
class Known:
    """The calibrations of a kit that answers are to use; none where nothing was seen yet."""

    flow: Calibration | None = None
    grinding: Calibration | None = None

    @property
    def process(self) -> Process | None:
        """What answers take of them."""
        if self.flow is None and self.grinding is None:
            return None
        return Process(calibration=flow_of(self.flow), speed=speed_of(self.grinding))


REMEMBERED = "calibrations of "  # and the kit: once in a request, however often it is asked


def known(kit: str, *, but_for: str = "") -> Known:
    """Return the newest calibrations of a kit that stand on something.

    With ``but_for``, a batch, they are those of before the batch: what was read in it must not count twice.
    """
    asked: dict[str, Known] = remembered(f"{REMEMBERED}{kit}", dict)
    if but_for not in asked:
        asked[but_for] = _known(kit, but_for)
    return asked[but_for]


def _known(kit: str, but_for: str) -> Known:
    newest = _newest(kit)
    found = {kind: _before(kit, kind, but_for) if but_for else row for kind, row in newest.items()}
    return Known(found.get(Subject.FLOW), found.get(Subject.GRINDING))


def _newest(kit: str) -> dict[str, Calibration]:
    """Return the newest of each kind, in one query."""
    alike = Calibration.objects.filter(kit=OuterRef("kit"), kind=OuterRef("kind")).order_by("-number")
    rows = _of(kit).filter(number=Subquery(alike.values("number")[:1]), observations__gt=0)
    return {row.kind: row for row in rows}


def _before(kit: str, kind: str, run: str) -> Calibration | None:
    joined = Observation.objects.filter(kit=kit, kind=kind, run=run).aggregate(at=Min("joined"))
    rows = _of(kit).filter(kind=kind, observations__gt=0)
    if joined["at"] is not None:
        rows = rows.filter(number__lt=joined["at"])
    return rows.first()


def _of(kit: str) -> QuerySet[Calibration]:
    return Calibration.objects.filter(kit=kit)


def flow_of(row: Calibration | None) -> flow.Calibration | None:
    """Return a stored calibration of the flow as answers read it."""
    if row is None:
        return None
    factors = row.factors
    return flow.Calibration(span_of(factors["viscosity"]), span_of(factors["yield"]), row.observations)


def speed_of(row: Calibration | None) -> KitSpeed | None:
    """Return a stored speed of grinding as answers read it."""
    if row is None:
        return None
    return KitSpeed(span_of(row.factors["speed"]), row.factors["charge_g"][1], row.observations)


def was_seen(run: str) -> bool:
    """Whether anything of a batch or a session ever counted, or waits to count."""
    return Observation.objects.filter(run=run, left=None).exists()


def marked_curves(*, but_for: str = "") -> tuple[MarkedCurve, ...]:
    """Return the cooling curves that the maker has marked, without those of one session."""
    rows = Observation.objects.filter(kit=CUP, kind=Subject.TEMPER, left=None)
    return tuple(marked_curve(row.facts) for row in rows if row.run != but_for)


def history(kit: str) -> Sequence[tuple[Calibration, tuple[Observation, ...]]]:
    """List the calibrations of a kit, the newest first, each with the observations it is made of."""
    rows = list(Observation.objects.filter(kit=kit).exclude(joined=None))
    return [(found, tuple(row for row in rows if _counts(row, found))) for found in _of(kit)]


def _counts(row: Observation, of: Calibration) -> bool:
    if row.kind != of.kind or row.joined is None or row.joined > of.number:
        return False
    return row.left is None or row.left > of.number
