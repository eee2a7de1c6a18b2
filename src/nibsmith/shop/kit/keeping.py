"""What is done to every thing of the kit alike: change it, put it away, bring it back."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, TypeVar

from django.db import models, transaction
from django.utils import timezone

from nibsmith.shop.common.history.meanwhile import check_seen
from nibsmith.shop.common.history.services import save_changes
from nibsmith.shop.kit.models import Fridge, Mould, OwnKit, Probe

Kept = TypeVar("Kept", OwnKit, Mould, Fridge, Probe)
_WORDS: Mapping[type[models.Model], str] = MappingProxyType(
    {OwnKit: "kit", Mould: "mould", Fridge: "fridge", Probe: "probe"}
)


@transaction.atomic
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


@transaction.atomic
def bring_back(row: Kept, *, why: str = "") -> Kept:
    """Offer a thing again that was put away."""
    return _changed(row, "brought_back", {"retired_at": None}, why)


def _changed(row: Kept, what: str, columns: Mapping[str, Any], why: str, seen: str = "") -> Kept:
    locked = _locked(row)
    check_seen(locked, seen)
    save_changes(_code(row, what), locked, columns, why=why)
    return locked


def _code(row: models.Model, what: str) -> str:
    return f"kit.{_WORDS[type(row)]}_{what}"


def _locked(row: Kept) -> Kept:
    manager: models.Manager[Kept] = type(row)._default_manager
    return manager.select_for_update().get(pk=row.pk)
