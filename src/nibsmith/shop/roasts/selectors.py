"""Read roasts, their readings and wanted courses."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Prefetch
from django.http import Http404

from nibsmith.shop.roasts.models import Course, Readings, Roast

MOST_COMPARED = 6


@dataclass(frozen=True, slots=True)
class Told:
    """A roast with its readings: those that stand, and those that stood before, the newest first."""

    roast: Roast
    readings: Readings | None
    before: tuple[Readings, ...]


def one(public_id: uuid.UUID) -> Roast:
    """Return a roast with its wanted course."""
    found = Roast.objects.select_related("wanted").filter(public_id=public_id).first()
    if found is None:
        raise Http404
    return found


def told(roast: Roast) -> Told:
    """Read a roast with all its readings; the text of those that stood before is left where it is."""
    rows = list(Readings.objects.filter(roast=roast).defer("raw"))
    if not rows:
        return Told(roast, None, ())
    newest = Readings.objects.select_related("roast").prefetch_related("points").get(pk=rows[0].pk)
    return Told(roast, newest, tuple(rows[1:]))


def readings(roast: Roast, public_id: uuid.UUID) -> Readings:
    """Return some readings of a roast, standing or not."""
    found = Readings.objects.filter(roast=roast, public_id=public_id).first()
    if found is None:
        raise Http404
    return found


def listed() -> list[Roast]:
    """List roasts, the newest first, with where their readings are from."""
    only_kind = Readings.objects.defer("raw", "report")
    return list(Roast.objects.prefetch_related(Prefetch("readings", only_kind)))


def several(ids: Sequence[uuid.UUID]) -> list[Told]:
    """Return some roasts in the order asked for, each with its readings."""
    found = {roast.public_id: roast for roast in Roast.objects.filter(public_id__in=ids)}
    newest: dict[int, Readings] = {}
    for row in Readings.objects.filter(roast__in=found.values()).prefetch_related("points").order_by("pk"):
        newest[row.roast_id] = row
    return [Told(found[one], newest.get(found[one].pk), ()) for one in ids if one in found]


def course(public_id: uuid.UUID) -> Course:
    """Return a wanted course, put away or not."""
    found = Course.objects.filter(public_id=public_id).first()
    if found is None:
        raise Http404
    return found


def courses(*, put_away: bool = False) -> list[Course]:
    """List the wanted courses that are in use, or those put away."""
    return list(Course.objects.filter(retired_at__isnull=not put_away))
