"""Add the readings of a roast as they came, and say how they are read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction

from nibsmith.answers.roast_log import roast_log
from nibsmith.science.errors import InputError
from nibsmith.science.roast import Role
from nibsmith.science.roast.log.text import decode
from nibsmith.shop.common import texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.roasts.models import Kind, Readings, Roast
from nibsmith.shop.roasts.reading import read, told_of
from nibsmith.shop.roasts.services.roasts import LONGEST_WHY, RoastCard, lock, write_down

LONGEST_NAME = 200


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
def settle(row: Readings, told: Mapping[str, Any], probes: Mapping[str, Any], *, why: str = "") -> Readings:
    """Say how readings are read, and what is known of their probes; the text stays as it came."""
    locked = lock(row.roast)
    found = Readings.objects.get(pk=row.pk)
    before = {"told": found.told, "probes": found.probes}
    found.told, found.probes = dict(told), dict(probes)
    after = {"told": found.told, "probes": found.probes}
    if before == after:
        return found
    read(found)
    found.save(update_fields=["told", "probes", "updated_at"])
    reason = texts.line(why, "why", LONGEST_WHY)
    record("roasts.readings_settled", locked, before=before, after=after, why=reason)
    return found


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
    return {"from": row.get_kind_display(), **name, "characters": len(row.raw)}
