"""Add the readings of a roast as they came, and say how they are read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction

from nibsmith.answers.roast_log import clock, roast_log
from nibsmith.science.errors import InputError
from nibsmith.science.roast import Role
from nibsmith.science.roast.log.text import decode
from nibsmith.shop.common import texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.roasts.models import Kind, Readings, Roast
from nibsmith.shop.roasts.reading import check_stay, read, told_of, under_way
from nibsmith.shop.roasts.services.roasts import LONGEST_WHY, RoastCard, lock, write_down

LONGEST_NAME = 200


@dataclass(frozen=True, slots=True)
class Stay:
    """When the beans came in and out by the times of the readings [s]; none is not told."""

    in_s: float | None = None
    out_s: float | None = None


@dataclass(frozen=True, kw_only=True)
class Sent:
    """Readings on their way in: typed lines with what they measured, or the bytes of a file.

    ``told`` and ``probes`` are as ``Readings`` keeps them.
    """

    typed: str = ""
    data: bytes = b""
    file_name: str = ""
    role: str = Role.BEAN.value
    told: Mapping[str, Any] = field(default_factory=dict)
    probes: Mapping[str, Any] = field(default_factory=dict)
    stay: Stay = field(default_factory=Stay)


@transaction.atomic
def add_readings(roast: Roast, sent: Sent, *, why: str = "") -> Readings:
    """Store readings; where there are some already, the new ones stand in their place, for a reason."""
    locked = lock(roast)
    reason = texts.line(why, "why", LONGEST_WHY)
    before = locked.readings.first()
    if before is not None and not reason:
        raise InputError("There are readings already", advice="Say why these take their place.", field="why")
    row = _from_file(locked, sent) if sent.data else _from_text(locked, sent)
    row.why = reason
    row.in_s, row.out_s = sent.stay.in_s, sent.stay.out_s
    if sent.stay != Stay():
        check_stay(read(row), row)
    row.save(force_insert=True)
    after = {"entry": str(row.public_id), **_told(row)}
    record("roasts.readings_added", locked, before=_told(before) if before else None, after=after, why=reason)
    return row


@transaction.atomic
def write_down_with(card: RoastCard, sent: Sent | None) -> Roast:
    """Store a new roast with its readings, or neither."""
    roast = write_down(card)
    if sent is not None:
        add_readings(roast, sent)
    return roast


@transaction.atomic
def settle(
    row: Readings,
    told: Mapping[str, Any],
    probes: Mapping[str, Any],
    stay: Stay | None = None,
    *,
    why: str = "",
) -> Readings:
    """Say how readings are read, of which probes, and when the beans were in; the text stays as it came."""
    locked = lock(row.roast)
    found = Readings.objects.get(pk=row.pk)
    before = _how_read(found)
    found.told, found.probes = dict(told), dict(probes)
    if stay is not None:
        found.in_s, found.out_s = stay.in_s, stay.out_s
    after = _how_read(found)
    if before == after:
        return found
    if not under_way(found):
        check_stay(read(found), found)
    found.save(update_fields=["told", "probes", "in_s", "out_s", "updated_at"])
    reason = texts.line(why, "why", LONGEST_WHY)
    record("roasts.readings_settled", locked, before=before, after=after, why=reason)
    return found


def _how_read(row: Readings) -> dict[str, Any]:
    return {"told": row.told, "probes": row.probes, **_stay(row)}


def _stay(row: Readings) -> dict[str, str]:
    """Return when the beans were in as the log keeps it."""
    told = (("beans_in_at", row.in_s), ("beans_out_at", row.out_s))
    return {name: clock(round(time_s)) for name, time_s in told if time_s is not None}


def _from_text(roast: Roast, sent: Sent) -> Readings:
    typed = texts.note(sent.typed, "typed", 4000)
    row = Readings(
        roast=roast,
        kind=Kind.TYPED,
        role=sent.role,
        raw=typed,
        told=dict(sent.told),
        probes=dict(sent.probes),
    )
    _beside("typed", row)
    return row


def _from_file(roast: Roast, sent: Sent) -> Readings:
    """Keep the text of a file; what was understood is said of the file as it came."""
    try:
        report = list(roast_log(sent.data, told_of(sent.told)).lines)
        raw = decode(sent.data).data.decode("utf-8")
    except InputError as error:
        error.field = "file"
        raise
    return Readings(
        roast=roast,
        kind=Kind.FILE,
        file_name=texts.line(sent.file_name, "file", LONGEST_NAME),
        raw=raw,
        told=dict(sent.told),
        probes=dict(sent.probes),
        report=report,
    )


def _beside(field_name: str, row: Readings) -> None:
    try:
        read(row)
    except InputError as error:
        error.field = field_name
        raise


def _told(row: Readings) -> dict[str, Any]:
    """Return what the log keeps of readings: where they are from and how long, not the text itself."""
    name = {"file": row.file_name} if row.file_name else {}
    return {"from": row.get_kind_display(), **name, "characters": len(row.raw), **_stay(row)}
