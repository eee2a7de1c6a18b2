"""Read the change log in words."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Context, Decimal
from typing import Any

from django.core.paginator import Page, Paginator
from django.db import models

from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.changelog.selectors import history
from nibsmith.shop.common.changelog.services import WORKSHOP
from nibsmith.shop.common.figures import as_given
from nibsmith.shop.common.history import words
from nibsmith.shop.common.said import said
from nibsmith.shop.common.workshop.selectors import workshop

_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)")
_NUMBER = re.compile(r"-?\d+(\.\d+)?(?![\d.:-])")
_ID = re.compile(r"(?:\w+:)?([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})")
_NOBODYS_BUSINESS = frozenset({"entry"})  # which row it is, for programs
_FIGURES = Context(prec=4)  # what a calibration came to is kept in full and shown to four figures
PER_PAGE = 50
PER_RECORD = 20
LONGEST_VALUE = 300
NOTHING = "nothing"
ANOTHER = "a record that is not in this history"


@dataclass(frozen=True, slots=True)
class Difference:
    """One field that changed."""

    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Told:
    """One entry as a person reads it."""

    at: datetime
    who: str
    what: str
    name: str
    address: str
    differences: tuple[Difference, ...]
    why: str
    is_new: bool


def told_of(thing: models.Model | None) -> tuple[Told, ...]:
    """Tell the last changes of one record, the newest first."""
    return () if thing is None else tell(history(thing)[:PER_RECORD])


def told_page(number: str, kind: str = "") -> tuple[Page[ChangeEntry], tuple[Told, ...]]:
    """Tell one page of all changes, the newest first, of one kind of record or of all."""
    entries = ChangeEntry.objects.all()
    if kind and kind in dict(kinds()):
        entries = entries.filter(object_type=kind)
    page = Paginator(entries, PER_PAGE).get_page(number)
    return page, tell(page.object_list)


def kinds() -> tuple[tuple[str, str], ...]:
    """List the kinds of record that have a history."""
    found = ChangeEntry.objects.order_by().values_list("object_type", flat=True).distinct()
    return tuple(sorted(((key, words.thing_name(key)) for key in found), key=lambda pair: pair[1]))


def tell(entries: Iterable[ChangeEntry]) -> tuple[Told, ...]:
    """Put entries into words; a record that has lost its name in a change is found by its earlier entries."""
    rows = list(entries)
    names = _names(rows)
    by_id = {object_id: name for (_, object_id), name in names.items()} | _rows_pointed_to(rows)
    return tuple(_told(row, names.get((row.object_type, row.object_id), ""), by_id) for row in rows)


def _names(rows: list[ChangeEntry]) -> dict[tuple[str, str], str]:
    """Name the records, and those that they point to, by what the log itself knows of them, in one query."""
    wanted = {row.object_id for row in rows} | {found[1] for row in rows for found in _pointed_to(row)}
    found: dict[tuple[str, str], str] = {}
    named = ChangeEntry.objects.filter(object_id__in=wanted).order_by("pk")
    for row in named.filter(models.Q(after__has_key="name") | models.Q(after__has_key="key")):
        after = row.after or {}
        found[row.object_type, row.object_id] = str(after.get("name") or after.get("key") or "")
    return found


def _pointed_to(row: ChangeEntry) -> Iterable[re.Match[str]]:
    values = [*(row.before or {}).values(), *(row.after or {}).values()]
    return filter(None, (_ID.fullmatch(value) for value in values if isinstance(value, str)))


def _rows_pointed_to(rows: list[ChangeEntry]) -> dict[str, str]:
    """Name what fields such as ``wanted_id`` point to, in one query a model."""
    wanted: dict[type[models.Model], set[int]] = {}
    for row in rows:
        for field, value in [*(row.before or {}).items(), *(row.after or {}).items()]:
            if model := words.model_behind(row.object_type, field):
                wanted.setdefault(model, set()).add(value)
    found = {model: model._default_manager.in_bulk(ids) for model, ids in wanted.items()}
    return {
        words.row_key(model, pk): str(thing)
        for model, things in found.items()
        for pk, thing in things.items()
    }


def _told(row: ChangeEntry, name: str, names: Mapping[str, str]) -> Told:
    return Told(
        at=row.at,
        who="the workshop" if row.who == WORKSHOP else row.who,
        what=words.deed(row.what),
        name=words.change_values().get(f"{row.object_type}.key", {}).get(name, name),
        address=words.address(row, name),
        differences=tuple(_differences(row, names)),
        why=row.why,
        is_new=row.before is None,
    )


def _differences(row: ChangeEntry, names: Mapping[str, str]) -> Iterable[Difference]:
    before, after = _flat(row.before or {}), _flat(row.after or {})
    for field in dict.fromkeys([*before, *after]):
        old, new = (_value(row, field, values.get(field), names) for values in (before, after))
        if before.get(field) != after.get(field):
            yield Difference(_field(row, field), old, new)


def _flat(values: Mapping[str, Any]) -> dict[str, Any]:
    """Spread a mapping inside a record, so that one figure of it shows as one change."""
    flat: dict[str, Any] = {}
    for field, value in values.items():
        if isinstance(value, Mapping):
            flat.update({f"{field}/{inner}": held for inner, held in value.items() if not _empty(held)})
        elif not _empty(value) and field not in _NOBODYS_BUSINESS:
            flat[field] = value
    return flat


def _empty(value: Any) -> bool:
    return value in (None, "", {}) or (isinstance(value, list) and all(each is None for each in value))


def _field(row: ChangeEntry, field: str) -> str:
    outer, _, inner = field.partition("/")
    name = words.field_name(row.object_type, outer)
    if not inner:
        return name
    within = words.change_values().get(f"{row.object_type}.{outer}", {})
    return f"{within.get(inner, inner.replace('_', ' '))}, {name}"


def _in_signs(text: str) -> str:
    """Write a time as people read it, and a figure in the signs of the workshop; other texts stay."""
    if _TIME.fullmatch(text):
        at = datetime.fromisoformat(text).astimezone(UTC)
        return f"{at.day} {at:%B %Y, %H:%M} UTC"
    if _NUMBER.fullmatch(text):
        return as_given(Decimal(text), workshop().decimal_sign)
    return said(text, workshop()) if _NUMBER.match(text) else text


def _value(row: ChangeEntry, field: str, value: Any, names: Mapping[str, str]) -> str:
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if model := words.model_behind(row.object_type, field):
        return names.get(words.row_key(model, value), ANOTHER)
    known = words.change_values().get(f"{row.object_type}.{field}", {})
    if isinstance(value, list):
        return ", ".join(known.get(str(one)) or _one_of(one) for one in value)
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    pointed = _ID.fullmatch(text)
    text = known.get(text) or (names.get(pointed[1], ANOTHER) if pointed else _in_signs(text))
    return text if len(text) <= LONGEST_VALUE else f"{text[:LONGEST_VALUE]}…"


def _one_of(value: Any) -> str:
    """Write one of several values; a figure that was worked out to four figures."""
    if isinstance(value, float):
        return as_given(_FIGURES.create_decimal_from_float(value), workshop().decimal_sign)
    return NOTHING if value is None else str(value)
