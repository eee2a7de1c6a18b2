"""A version in the words of the change log: what differs, and what a new recipe holds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from nibsmith.shop.kit.selectors import kit_name, science_mould
from nibsmith.shop.recipes.drafts import Draft, Row
from nibsmith.shop.recipes.models import RecipeVersion


def _mould_name(ref: str) -> str:
    return science_mould(ref).name


_NAMES: Mapping[str, Callable[[str], str]] = MappingProxyType({"kit": kit_name, "mould": _mould_name})


def differences(before: Draft, after: Draft) -> dict[str, tuple[Any, Any]]:
    """Return what differs, by a name a person can read, as texts the log keeps."""
    old, new = plain(before), plain(after)
    return {
        key: (old.get(key), new.get(key))
        for key in dict.fromkeys((*old, *new))
        if old.get(key) != new.get(key) and key not in ("name", "form")
    }


def side(changes: Mapping[str, tuple[Any, Any]], which: int) -> dict[str, Any]:
    """Return one side of what differs, its kit and mould by their names: 0 before, 1 after."""
    return _named({key: pair[which] for key, pair in changes.items()})


def whole(draft: Draft) -> dict[str, Any]:
    """Return all that a new recipe holds."""
    return _named(plain(draft))


def _named(facts: dict[str, Any]) -> dict[str, Any]:
    return {key: _NAMES[key](value) if key in _NAMES and value else value for key, value in facts.items()}


def plain(draft: Draft) -> dict[str, Any]:
    """Return what a draft holds as texts, its kit and mould by their refs."""
    amount = draft.amount
    facts = {"name": draft.name, "form": draft.form, "total_g": f"{amount.total_g.normalize():f}"}
    optional = {"way": amount.way.value, "have": amount.have, "bars": amount.bars}
    optional |= {"kit": amount.kit, "mould": amount.mould}
    inside = _names_of({row.sub_version for row in draft.rows if row.sub_version is not None})
    rows = {row.label: _row_in_words(row, inside.get(row.sub_version or 0, "")) for row in draft.rows}
    order = {"order": ", ".join(row.label for row in draft.rows)}
    return {**facts, **{key: value for key, value in optional.items() if value}, **order, **rows}


def _names_of(versions: set[int]) -> dict[int, str]:
    """Name the recipes inside another with their versions."""
    found = RecipeVersion.objects.filter(pk__in=versions).select_related("recipe") if versions else ()
    return {version.pk: str(version) for version in found}


def _row_in_words(row: Row, inside: str) -> str:
    typed = "the rest" if row.typed is None else f"{row.typed:f} {row.mode.label}"
    overruled = [word for word in (row.kind, row.stage, row.grind) if word]
    price = [] if row.price_per_kg is None else [f"{row.price_per_kg.normalize():f} per kg"]
    return "; ".join([*filter(None, [inside]), typed, *overruled, *price])
