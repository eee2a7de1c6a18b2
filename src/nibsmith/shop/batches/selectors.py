"""Read batches, with what stands of everything that was written down about them."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

from django.db.models import Prefetch, QuerySet
from django.http import Http404

from nibsmith.shop.batches.mass import Account, account
from nibsmith.shop.batches.models import (
    Addition,
    Batch,
    BatchEntry,
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
class ToldSession:
    """A session with what stands of what was written down about it."""

    session: Session
    fold_ins: tuple[FoldIn, ...]
    curves: tuple[Curve, ...]
    every: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class Diary:
    """Everything that stands of a batch, in the order of its hours; ``past`` was corrected or struck out."""

    batch: Batch
    planned: tuple[PlannedPart, ...]
    additions: tuple[Addition, ...]
    sizes: tuple[SizeReading, ...]
    flows: tuple[FlowReading, ...]
    ends: tuple[EndWeight, ...]
    told: tuple[ToldSession, ...]
    past: tuple[Entry, ...]

    @property
    def sessions(self) -> tuple[Session, ...]:
        """The sessions, the struck ones too."""
        return tuple(one.session for one in self.told)

    def of_session(self, session: Session) -> ToldSession:
        """Return one session with its entries."""
        return next(one for one in self.told if one.session.pk == session.pk)

    @property
    def account(self) -> Account:
        """Where its mass went."""
        return account(self.planned, self.additions, self.ends, self.sessions)

    @property
    def machine_parts(self) -> tuple[PlannedPart, ...]:
        """The parts that are weighed into the machine."""
        return tuple(part for part in self.planned if part.in_machine)

    @property
    def ground_until(self) -> Decimal:
        """Until when it is known to have been ground: to the last entry, or until it came out [h]."""
        rows = (*self.ends, *self.sizes) if self.ends else self._of_mass
        return max((row.hours for row in rows), default=Decimal(0))

    @property
    def begun(self) -> bool:
        """Whether anything is known to be in the machine: it was weighed, read, or came out."""
        return bool(self._of_mass)

    @property
    def _of_mass(self) -> tuple[BatchEntry, ...]:
        return (*self.additions, *self.sizes, *self.flows, *self.ends)

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
    """Read everything that was written down about a batch: a query for each kind of entry."""
    additions, sizes = _of(batch, Addition), _of(batch, SizeReading)
    flows, ends = _of(batch, FlowReading), _of(batch, EndWeight)
    folds, curves = _all(FoldIn), _all(Curve).select_related("replaced_by", "probe")
    sessions = Session.objects.filter(batch=batch).prefetch_related(
        Prefetch("foldins", folds, to_attr="all_fold_ins"), Prefetch("curves", curves, to_attr="all_curves")
    )
    told = tuple(_with_entries(session) for session in sessions)
    every = [*additions, *sizes, *flows, *ends, *(row for one in told for row in one.every)]
    return Diary(
        batch=batch,
        planned=tuple(batch.planned.all()),
        additions=_stand(additions),
        sizes=_stand(sizes),
        flows=_stand(flows),
        ends=_stand(ends),
        told=told,
        past=tuple(sorted((row for row in every if _is_past(row)), key=lambda row: row.created_at)),
    )


def _all(kind: type[Row]) -> QuerySet[Row]:
    manager: Any = kind._default_manager
    found: QuerySet[Row] = manager.select_related("replaced_by")
    return found


def _of(batch: Batch, kind: type[Row]) -> list[Row]:
    return list(_all(kind).filter(batch=batch))


def _with_entries(session: Session) -> ToldSession:
    folds: list[FoldIn] = session.all_fold_ins  # type: ignore[attr-defined]
    curves: list[Curve] = session.all_curves  # type: ignore[attr-defined]
    return ToldSession(session, _stand(folds), _stand(curves), (*folds, *curves))


def _stand(rows: Sequence[Row]) -> tuple[Row, ...]:
    return tuple(row for row in rows if not row.struck and not _is_past(row))


def _is_past(row: Entry) -> bool:
    return getattr(row, "replaced_by", None) is not None


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
