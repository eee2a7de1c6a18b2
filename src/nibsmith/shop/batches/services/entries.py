"""Write down what happens to a batch. Nothing is altered: a correction is an entry of its own."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any, TypeVar

from django.db import transaction
from django.utils import timezone

from nibsmith.science.errors import InputError
from nibsmith.shop.batches import mass
from nibsmith.shop.batches.models import (
    Addition,
    Batch,
    Curve,
    EndWeight,
    Entry,
    FlowReading,
    FoldIn,
    Session,
    SizeReading,
)
from nibsmith.shop.batches.observing import learn_from_batch, learn_from_session
from nibsmith.shop.batches.selectors import standing
from nibsmith.shop.batches.services.checks import check
from nibsmith.shop.common import texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.history.services import fields_of

HUNDREDTH = Decimal("0.01")
SECONDS_AN_HOUR = 3600
LONGEST_GUESS_HOURS = 14 * 24
WEIGHED_IN_HOURS = 12  # what was planned goes in on the first day; later nobody means now
LONGEST_WHY = 300

Row = TypeVar("Row", bound=Entry)
_CODES: Mapping[type[Entry], str] = MappingProxyType(
    {
        Addition: "weighed",
        SizeReading: "size_read",
        FlowReading: "flow_read",
        EndWeight: "weighed_out",
        FoldIn: "folded_in",
        Curve: "curve_taken",
    }
)
_TEACHES_OF_BATCH = (Addition, SizeReading, FlowReading)
_OWN = frozenset({"id", "public_id", "created_at", "updated_at", "replaces_id", "struck", "why"})
_NOT_TOLD = frozenset(
    {"batch_id", "session_id", "part_id", "replaces_id", "struck", "why", "points", "probe_id"}
)


@transaction.atomic
def write(batch: Batch, rows: list[Row]) -> list[Row]:
    """Store new entries of one kind about a batch."""
    locked = lock(batch)
    if isinstance(rows[0], EndWeight):
        _only_one_end(locked)
    for row in rows:
        check(row)
        row.save(force_insert=True)
        record(f"batches.{_CODES[type(row)]}", locked, after=told(row))
    settle(locked, rows[0])
    return rows


@transaction.atomic
def correct(old: Row, new: Row, why: str) -> Row:
    """Store an entry in place of another, with the reason."""
    return _replace(old, new, why, struck=False)


@transaction.atomic
def strike(old: Row, why: str) -> Row:
    """Say that there was no such thing; the entry stays to be seen."""
    return _replace(old, copy_of(old), why, struck=True)


def _replace(old: Row, new: Row, why: str, *, struck: bool) -> Row:
    locked = lock(old.of_batch)
    if not standing(type(old)).filter(pk=old.pk).exists():
        raise InputError("This was corrected in the meantime", advice="Load the page anew.")
    reason = texts.line(why, "why", LONGEST_WHY)
    if not reason:
        raise InputError("A correction needs its reason", advice="Say what was wrong.", field="why")
    new.replaces, new.struck, new.why = old, struck, reason
    check(new)
    new.save(force_insert=True)
    code = "batches.struck_out" if struck else "batches.corrected"
    record(code, locked, before=told(old), after=None if struck else told(new), why=reason)
    settle(locked, new)
    return new


def copy_of(row: Row) -> Row:
    """Return a new entry that says what another says."""
    fields = [field for field in row._meta.concrete_fields if field.attname not in _OWN]
    return type(row)(**{field.attname: field.value_from_object(row) for field in fields})


def lock(batch: Batch) -> Batch:
    """Let nobody else write to a batch until this is done."""
    return Batch.objects.select_for_update(of=("self",)).select_related("version__recipe").get(pk=batch.pk)


def elapsed(batch: Batch) -> Decimal:
    """Return the hours since a batch began."""
    seconds = max(0, int((timezone.now() - batch.began_at).total_seconds()))
    return (Decimal(seconds) / SECONDS_AN_HOUR).quantize(HUNDREDTH)


def hours_now(batch: Batch, longest: int = LONGEST_GUESS_HOURS) -> Decimal:
    """Return the hours since a batch began; refuse to guess them for one that began long ago."""
    hours = elapsed(batch)
    if hours > longest:
        raise InputError(
            f"When was that? The batch began {hours:.0f} h ago",
            advice="Type how many hours after the start, 0 for the start itself.",
            field="hours",
        )
    return hours


def settle(batch: Batch, row: Entry) -> None:
    """Check that no mass is there twice, and let the kit learn what follows."""
    check_masses(batch, row)
    if isinstance(row, _TEACHES_OF_BATCH):
        learn_from_batch(batch, row.why)
    elif isinstance(row, Curve):
        learn_from_session(row.session, row.why)


def check_masses(batch: Batch, row: Entry | None) -> None:
    """Refuse what cannot be of the masses that now stand."""
    sessions = list(Session.objects.filter(batch=batch))
    ends = list(standing(EndWeight).filter(batch=batch))
    additions = list(standing(Addition).filter(batch=batch))
    found = mass.account(batch.planned.all(), additions, ends, sessions)
    mass.check_end(found)
    mass.check_taken(found.end_g, sessions, "grams" if isinstance(row, EndWeight) else "taken_g")
    for session in sessions:
        if isinstance(row, FoldIn) and row.session_id == session.pk:
            mass.check_left_over(session, list(standing(FoldIn).filter(session=session)))


def told(row: Entry) -> dict[str, Any]:
    """Return what an entry says, as the log keeps it."""
    facts = {name: value for name, value in fields_of(row).items() if name not in _NOT_TOLD}
    if isinstance(row, Curve) and row.probe is not None:
        facts["probe"] = row.probe.ref
    said = {name: value for name, value in facts.items() if value not in ("", None, [])}
    # The log calls a record by its latest "name", which is that of the batch.
    what = {"what": said.pop("name")} if "name" in said else {}
    return {"entry": str(row.public_id), **what, **said}


def _only_one_end(batch: Batch) -> None:
    if standing(EndWeight).filter(batch=batch).exists():
        raise InputError(
            "What came out is weighed already", advice="Correct it, with the reason.", field="grams"
        )
