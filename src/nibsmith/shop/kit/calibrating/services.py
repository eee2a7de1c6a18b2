"""The one way in for what is seen on a kit: it becomes part of the kit's calibration, with its history."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.db.models import Max

from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.per_request import forget
from nibsmith.shop.kit.calibrating.facts import Seen
from nibsmith.shop.kit.calibrating.selectors import REMEMBERED
from nibsmith.shop.kit.calibrating.telling import NOTHING, Told, told_by
from nibsmith.shop.kit.models import CUP, Calibration, Observation, Subject
from nibsmith.shop.kit.selectors import kit_name


@transaction.atomic
def observe(kit: str, kind: Subject, run: str, seen: Sequence[Seen], *, why: str = "") -> Calibration | None:
    """Take what a batch or a session says now about its kit; return the new calibration where one follows.

    ``seen`` is everything that stands of this ``run``: what was there before and is no longer leaves the
    calibration, what is there as it was stays, and the rest joins. The same call twice changes nothing.
    """
    standing = list(Observation.objects.select_for_update().filter(kit=kit, kind=kind, left=None))
    mine = {_sign(row.source, row.facts): row for row in standing if row.run == run}
    wanted = {_sign(one.source, one.facts): one for one in seen}
    gone = [row for key, row in mine.items() if key not in wanted]
    new = [_row(kit, kind, run, one) for key, one in wanted.items() if key not in mine]
    if not gone and not new:
        return None
    number = _next_number(kit, kind)
    _leave(gone, number)
    Observation.objects.bulk_create(new)
    kept = [row for row in standing if row not in gone] + new
    told = told_by(kit, kind, kept)
    if not told.observations and not any(row.joined for row in standing):
        return None
    _join(kept, told, number)
    return _calibrated(kit, kind, number, told, why)


def _sign(source: str, facts: Mapping[str, Any]) -> tuple[str, str]:
    """Return what tells an observation from another; a fact that changed makes another one of it."""
    return source, json.dumps(facts, sort_keys=True)


def _row(kit: str, kind: Subject, run: str, one: Seen) -> Observation:
    return Observation(kit=kit, kind=kind, run=run, source=one.source, words=one.words, facts=dict(one.facts))


def _next_number(kit: str, kind: Subject) -> int:
    found = Calibration.objects.filter(kit=kit, kind=kind).aggregate(last=Max("number"))
    return (found["last"] or 0) + 1


def _leave(gone: Sequence[Observation], number: int) -> None:
    Observation.objects.filter(pk__in=[row.pk for row in gone]).update(left=number)


def _join(kept: Sequence[Observation], told: Told, number: int) -> None:
    """Say of each from which calibration on it counts; one that tells nothing any more waits anew."""
    counted = {row.pk for row in told.counted}
    new = [row.pk for row in told.counted if row.joined is None]
    Observation.objects.filter(pk__in=new).update(joined=number)
    waiting = [row for row in kept if row.joined is not None and row.pk not in counted]
    _leave(waiting, number)
    Observation.objects.bulk_create(
        Observation(
            kit=row.kit, kind=row.kind, run=row.run, source=row.source, words=row.words, facts=row.facts
        )
        for row in waiting
    )


def _calibrated(kit: str, kind: Subject, number: int, told: Told, why: str) -> Calibration:
    """Store the calibration; where nothing is left to stand on, store that."""
    factors = dict(told.factors) if told.observations else dict(NOTHING.factors)
    row = Calibration(kit=kit, kind=kind, number=number, observations=told.observations, factors=factors)
    row.save(force_insert=True)
    forget(f"{REMEMBERED}{kit}")
    record("kit.calibrated", row, after=_entry(row, kit), why=why)
    return row


def _entry(row: Calibration, kit: str) -> Mapping[str, Any]:
    of = "The cooling cup" if kit == CUP else kit_name(kit)
    return {
        "name": f"{of}: {row.get_kind_display()}",
        "kit": kit,
        "number": row.number,
        "observations": row.observations,
        **{name.replace("_", " "): ends for name, ends in row.factors.items()},
    }
