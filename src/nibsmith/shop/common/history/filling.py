"""A record filled in bit by bit: what was empty may be written, what stands is changed for a reason."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from django.db import models

from nibsmith.science.errors import InputError

_EMPTY = (None, "", False)
NOTHING_FREE: frozenset[str] = frozenset()


def check_reason(
    thing: models.Model, changes: Mapping[str, Any], why: str, free: Collection[str] = NOTHING_FREE
) -> None:
    """Refuse to change what stands without a reason; ``free`` names what may change at any time."""
    stands = [name for name in changes if name not in free and getattr(thing, name) not in _EMPTY]
    if stands and not why:
        names = ", ".join(_called(thing, name) for name in stands)
        raise InputError(f"This stands already: {names}", advice="Say why it is changed.", field="why")


def _called(thing: models.Model, name: str) -> str:
    return str(getattr(thing._meta.get_field(name), "verbose_name", name))
