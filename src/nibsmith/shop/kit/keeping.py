"""What is done to every thing of the kit alike: change it, put it away, bring it back."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, TypeVar

from django.db import models, transaction
from django.utils import timezone

from nibsmith.science.kit import kits
from nibsmith.shop.common import texts
from nibsmith.shop.common.history.meanwhile import check_seen
from nibsmith.shop.common.history.services import save_changes, save_new
from nibsmith.shop.common.once_named import looked_up_again
from nibsmith.shop.kit.models import Fridge, Mould, OwnKit, Probe

Kept = TypeVar("Kept", OwnKit, Mould, Fridge, Probe)
_WORDS: Mapping[type[models.Model], str] = MappingProxyType(
    {OwnKit: "kit", Mould: "mould", Fridge: "fridge", Probe: "probe"}
)


def add(row: Kept, *, why: str = "") -> Kept:
    """Store a new thing, in one transaction; refuse the name of another one in the lists."""
    with looked_up_again(lambda: _check_name(row, row.name)):
        _check_name(row, row.name)
        save_new(_code(row, "added"), row, why=why)
    return row


def change(row: Kept, columns: Mapping[str, Any], why: str, seen: str = "") -> Kept:
    """Store what is different about a thing; ``seen`` is the stamp of it as its form was shown."""
    return _changed(row, "changed", columns, why, seen)


@transaction.atomic
def retire(row: Kept, *, why: str = "") -> Kept:
    """Put a thing away: no list offers it any more."""
    locked = _locked(row)
    if locked.retired_at is None:
        save_changes(_code(row, "put_away"), locked, {"retired_at": timezone.now()}, why=why)
    return locked


def bring_back(row: Kept, *, why: str = "") -> Kept:
    """Offer a thing again that was put away; refuse it where its name has gone to another."""
    return _changed(row, "brought_back", {"retired_at": None}, why)


def _changed(row: Kept, what: str, columns: Mapping[str, Any], why: str, seen: str = "") -> Kept:
    """Store what is different, in one transaction."""
    with looked_up_again(lambda: _check_name(row, columns.get("name", row.name))):
        locked = _locked(row)
        check_seen(locked, seen)
        name = columns.get("name", locked.name)
        renamed = locked.retired_at is None and not texts.same_name(name, locked.name)
        if renamed or (locked.retired_at is not None and "retired_at" in columns):
            _check_name(locked, name)
        save_changes(_code(row, what), locked, columns, why=why)
    return locked


def _check_name(row: Kept, name: str) -> None:
    others = type(row)._default_manager.filter(retired_at=None).exclude(pk=row.pk)
    in_lists = others.values_list("name", flat=True)
    texts.check_free(name, in_lists, f"One of your {_WORDS[type(row)]}s")
    if isinstance(row, OwnKit):
        texts.check_free(name, (thing.name for thing in kits().values()), "A kind of kit")


def _code(row: models.Model, what: str) -> str:
    return f"kit.{_WORDS[type(row)]}_{what}"


def _locked(row: Kept) -> Kept:
    manager: models.Manager[Kept] = type(row)._default_manager
    return manager.select_for_update().get(pk=row.pk)
