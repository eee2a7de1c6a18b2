"""Read the change log."""

from __future__ import annotations

from django.db import models

from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.changelog.services import name_of


def history(thing: models.Model) -> models.QuerySet[ChangeEntry]:
    """List the changes of one record, the newest first."""
    return ChangeEntry.objects.filter(object_type=thing._meta.label_lower, object_id=name_of(thing))


def latest(count: int) -> models.QuerySet[ChangeEntry]:
    """List the last changes of all records, the newest first."""
    return ChangeEntry.objects.all()[:count]
