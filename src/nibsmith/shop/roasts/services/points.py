"""Add one reading after the other to a roast under way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction

from nibsmith.answers.roast_log import clock
from nibsmith.science.errors import InputError
from nibsmith.science.roast import Role
from nibsmith.science.roast.typed import MOST_POINTS, in_time
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.roasts.models import Kind, Point, Readings, Roast
from nibsmith.shop.roasts.reading import BY_HAND, points_of
from nibsmith.shop.roasts.services.roasts import lock

LONGEST_S = 24 * 3600


@dataclass(frozen=True, kw_only=True)
class NewPoint:
    """A reading on its way in [s, °C]; ``probe`` is what is known of the probe, where it is the first one."""

    at_s: int
    celsius: Decimal
    probe: Mapping[str, Any] | None = None


@transaction.atomic
def add_point(roast: Roast, new: NewPoint) -> Readings:
    """Add a reading to those by hand, or begin them with it; nothing that stands is altered."""
    if not 0 <= new.at_s <= LONGEST_S:
        raise InputError("This is no time of a roast", value=clock(new.at_s), field="at")
    locked = lock(roast)
    row = locked.readings.first()
    if row is None:
        row = _begun(locked, new)
    elif row.kind != Kind.TYPED:
        raise InputError(
            "These readings are a logger's", advice="A reading by hand cannot be put among them.", field="at"
        )
    else:
        _check(row, new)
        Point(readings=row, at_s=new.at_s, celsius=new.celsius).save(force_insert=True)
    after = {"entry": str(row.public_id), "at": clock(new.at_s), "temperature": f"{new.celsius} °C"}
    record("roasts.reading_added", locked, before=None, after=after, why="")
    return row


def _begun(roast: Roast, new: NewPoint) -> Readings:
    facts = dict(new.probe or {})
    row = Readings(
        roast=roast,
        kind=Kind.TYPED,
        role=facts.get("role") or Role.BEAN.value,
        raw=f"{clock(new.at_s)} {new.celsius} °C",
        probes={BY_HAND: facts} if facts else {},
    )
    row.save(force_insert=True)
    return row


def _check(row: Readings, new: NewPoint) -> None:
    try:
        together = in_time(points_of(row), [(float(new.at_s), float(new.celsius))])
    except InputError as error:
        error.field = "at"
        raise
    if len(together) > MOST_POINTS:
        raise InputError("These are readings enough", value=len(together), limit=MOST_POINTS, field="at")
