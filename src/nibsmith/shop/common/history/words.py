"""The words of the change log: what each code means, what each field is called, where a record is shown.

An app says its own in methods of its ``AppConfig``: ``change_words`` by code, ``change_values`` for values
that are keys of a list, and ``change_addresses`` by model: the view, its argument, and a pattern of the
record's ``{id}`` or ``{name}``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db import models
from django.urls import NoReverseMatch, reverse

from nibsmith.shop.common.changelog.models import ChangeEntry

# How the last part of a field's name is written as its unit.
UNITS: Mapping[str, str] = MappingProxyType(
    {"g": "g", "celsius": "°C", "k": "K", "um": "µm", "percent": "%", "pas": "Pa·s", "pa": "Pa", "mm": "mm"}
)
ALONE: Mapping[str, str] = MappingProxyType({"celsius": "temperature, °C", "grams": "weight, g"})


@lru_cache(maxsize=1)
def change_words() -> Mapping[str, str]:
    """Return what every code means."""
    return MappingProxyType(_collected("change_words"))


@lru_cache(maxsize=1)
def change_values() -> Mapping[str, Mapping[str, str]]:
    """Return the words for values, by model and field: ``stock.owningredient.kind``."""
    return MappingProxyType(_collected("change_values"))


@lru_cache(maxsize=1)
def _addresses() -> Mapping[str, tuple[str, str, str]]:
    return MappingProxyType(_collected("change_addresses"))


def _collected(name: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for config in apps.get_app_configs():
        said: Callable[[], Mapping[str, Any]] = getattr(config, name, dict)
        found.update(said())
    return found


def deed(code: str) -> str:
    """Say what a code means; one that nobody explains is at least readable."""
    return change_words().get(code) or code.partition(".")[2].replace(".", " ").replace("_", " ")


def field_name(object_type: str, field: str) -> str:
    """Say what a field is called on the pages."""
    try:
        return str(apps.get_model(object_type)._meta.get_field(field).verbose_name)
    except (LookupError, ValueError, FieldDoesNotExist, AttributeError):
        if field in ALONE:
            return ALONE[field]
        stem, _, unit = field.rpartition("_")
        return (
            f"{stem.replace('_', ' ')}, {UNITS[unit]}" if stem and unit in UNITS else field.replace("_", " ")
        )


def model_behind(object_type: str, field: str) -> type[models.Model] | None:
    """Return the model whose row numbers a field of a record holds, if it holds such."""
    try:
        held = apps.get_model(object_type)._meta.get_field(field)
    except (LookupError, ValueError, FieldDoesNotExist):
        return None
    model = held.related_model if held.is_relation else None
    return model if isinstance(model, type) else None


def row_key(model: type[models.Model], pk: object) -> str:
    """Return how a row is told from all others."""
    return f"{model._meta.label_lower} {pk}"


def thing_name(object_type: str) -> str:
    """Say what a model is called."""
    try:
        return str(apps.get_model(object_type)._meta.verbose_name)
    except (LookupError, ValueError):
        return object_type.partition(".")[2]


def address(entry: ChangeEntry, name: str) -> str:
    """Return where the record is shown, or nothing."""
    if entry.object_type not in _addresses():
        return ""
    view, argument, pattern = _addresses()[entry.object_type]
    value = pattern.format(id=entry.object_id, name=name)
    try:
        return reverse(view, kwargs={argument: value} if argument else None)
    except NoReverseMatch:
        return ""
