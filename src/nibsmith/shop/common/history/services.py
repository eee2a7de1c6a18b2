"""Save a record and its entry in the change log, as one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import models

from nibsmith.shop.common import texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.once_named import MARK, marked

_OWN_BUSINESS = frozenset({"id", "public_id", "created_at", "updated_at", "only", MARK, "decimals"})


def fields_of(thing: models.Model) -> dict[str, Any]:
    """Return what a person may change of a record, as the log keeps it."""
    return {
        field.attname: field.value_from_object(thing)
        for field in thing._meta.concrete_fields
        if field.attname not in _OWN_BUSINESS
    }


def save_new(what: str, thing: models.Model, *, why: str = "") -> None:
    """Store a new record and say so in the log; the caller has opened the transaction."""
    marked(thing)
    thing.save(force_insert=True)
    record(what, thing, after=fields_of(thing), why=texts.note(why, "why"))


def save_changes(what: str, thing: models.Model, changes: Mapping[str, Any], *, why: str = "") -> bool:
    """Store what differs, and only that; return whether anything did."""
    now = fields_of(thing)
    different = {name: value for name, value in changes.items() if now[name] != value}
    if not different:
        return False
    for name, value in different.items():
        setattr(thing, name, value)
    thing.save(update_fields=[*different, *marked(thing), "updated_at"])
    before = {name: now[name] for name in different}
    record(what, thing, before=before, after=different, why=texts.note(why, "why"))
    return True
