"""Write to the change log."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django.db import models, transaction

from nibsmith.science.errors import InputError
from nibsmith.shop.common.base import Record
from nibsmith.shop.common.changelog.models import ChangeEntry

WORKSHOP = "workshop"
_DOTTED_CODE = re.compile(r"[a-z][a-z_]*(\.[a-z][a-z_]*)+")


def record(
    what: str,
    thing: models.Model,
    *,
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
    why: str = "",
    who: str = WORKSHOP,
) -> ChangeEntry:
    """Add one entry, in the transaction of the change itself.

    ``what`` is a dotted code such as ``recipes.version_made``. ``before`` is none for something new,
    ``after`` is none for something removed. Until there are accounts, ``who`` is the workshop.
    """
    if not _DOTTED_CODE.fullmatch(what):
        raise InputError("A change is named by a dotted code", value=what, advice="Such as recipes.made.")
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError(
            f"{what} is logged outside the transaction that changes it."
        )
    return ChangeEntry.objects.create(
        who=who,
        what=what,
        object_type=thing._meta.label_lower,
        object_id=name_of(thing),
        before=before,
        after=after,
        why=why,
    )


def name_of(thing: models.Model) -> str:
    """Name a record by what outlives a move to another database, where it has that."""
    return str(thing.public_id if isinstance(thing, Record) else thing.pk)
