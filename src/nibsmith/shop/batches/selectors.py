"""Read batches, with what stands of everything that was written down about them."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

from django.db.models import Prefetch, QuerySet
from django.http import Http404

from nibsmith.shop.batches.mass import Account, account
from nibsmith.shop.batches.models import (
    Addition,
    Batch,
    Curve,
    EndWeight,
    Entry,
    FlowReading,
    FoldIn,
    PlannedPart,
    Session,
    SizeReading,
)

Row = TypeVar("Row", bound=Entry)
KINDS: dict[str, type[Entry]] = {
    "weight": Addition,
    "size": SizeReading,
    "flow": FlowReading,
    "end": EndWeight,
    "fold-in": FoldIn,
    "curve": Curve,
}


@dataclass(frozen=True, slots=True)
class Diary:
    """Everything that stands of a batch, in the order of its hours."""

    batch: Batch
    planned: tuple[PlannedPart, ...]
    additions: tuple[Addition, ...]
    sizes: tuple[SizeReading, ...]
    flows: tuple[FlowReading, ...]
    ends: tuple[EndWeight, ...]
    sessions: tuple[Session, ...]

    @property
    def account(self) -> Account:
        """Where its mass went."""
        return account(self.planned, self.additions, self.ends, self.sessions)

    @property
    def machine_parts(self) -> tuple[PlannedPart, ...]:
        """The parts that are weighed into the machine."""
        return tuple(part for part in self.planned if part.in_machine)

    def weighed_g(self, part: PlannedPart, until: Decimal | None = None) -> Decimal | None:
        """What was weighed of a part, up to an hour; none where it was never weighed [g]."""
        rows = [row for row in self.additions if row.part_id == part.pk]
        if not rows:
            return None
        return sum((row.weighed_g for row in rows if until is None or row.hours <= until), Decimal(0))

    def coarse_since(self, until: Decimal | None = None) -> Decimal:
        """When the last coarse part went in, up to an hour [h]."""
        coarse = (row.hours for row in self.additions if row.coarse and row.weighed_g)
        return max((hours for hours in coarse if until is None or hours <= until), default=Decimal(0))


def standing(kind: type[Row]) -> QuerySet[Row]:
    """Return the entries of a kind that were neither corrected nor struck out."""
    manager: Any = kind._default_manager
    found: QuerySet[Row] = manager.filter(replaced_by=None, struck=False)
    return found


def one(public_id: uuid.UUID) -> Batch:
    """Return a batch with its version and its recipe."""
    found = Batch.objects.select_related("version__recipe").filter(public_id=public_id).first()
    if found is None:
        raise Http404
    return found


def diary(batch: Batch) -> Diary:
    """Read everything that stands of a batch: a query for each kind of entry."""
    sessions = Session.objects.filter(batch=batch).prefetch_related(
        Prefetch("foldins", standing(FoldIn)), Prefetch("curves", standing(Curve).select_related("probe"))
    )
    return Diary(
        batch=batch,
        planned=tuple(batch.planned.all()),
        additions=tuple(standing(Addition).filter(batch=batch)),
        sizes=tuple(standing(SizeReading).filter(batch=batch)),
        flows=tuple(standing(FlowReading).filter(batch=batch)),
        ends=tuple(standing(EndWeight).filter(batch=batch)),
        sessions=tuple(sessions),
    )


def entry(batch: Batch, kind: str, public_id: uuid.UUID) -> Entry:
    """Return one entry of a batch or of its sessions."""
    if kind not in KINDS:
        raise Http404
    model = KINDS[kind]
    path = "session__batch" if issubclass(model, FoldIn | Curve) else "batch"
    manager: Any = model._default_manager
    found: Entry | None = manager.filter(public_id=public_id, **{path: batch}).first()
    if found is None:
        raise Http404
    return found


def session(batch: Batch, number: int) -> Session:
    """Return one session of a batch."""
    found = Session.objects.filter(batch=batch, number=number).first()
    if found is None:
        raise Http404
    found.batch = batch
    return found


def corrected(found: Diary) -> Iterator[Entry]:
    """Yield what was corrected or struck out, the newest first."""
    rows: list[Entry] = []
    for model in KINDS.values():
        path = "session__batch" if issubclass(model, FoldIn | Curve) else "batch"
        manager: Any = model._default_manager
        rows += manager.filter(**{path: found.batch}).exclude(replaced_by=None)
    yield from sorted(rows, key=lambda row: row.created_at, reverse=True)


@dataclass(frozen=True, slots=True)
class Listed:
    """A batch as a list shows it."""

    batch: Batch
    end_g: Decimal | None
    sessions: int


def listed(count: int | None = None) -> list[Listed]:
    """List batches, the newest first, each with what came out: three queries."""
    rows = Batch.objects.select_related("version__recipe").prefetch_related(
        Prefetch("endweights", standing(EndWeight)),
        Prefetch("sessions", Session.objects.filter(struck=False)),
    )
    return [_listed(batch) for batch in rows[:count]]


def _listed(batch: Batch) -> Listed:
    ends = list(batch.endweights.all())
    return Listed(batch, ends[-1].grams if ends else None, len(batch.sessions.all()))
