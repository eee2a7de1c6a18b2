"""Read the change log in words."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
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
PER_PAGE = 50
PER_RECORD = 20
LONGEST_VALUE = 300
NOTHING = "nothing"


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
    return tuple(_told(row, names.get((row.object_type, row.object_id), "")) for row in rows)


def _names(rows: list[ChangeEntry]) -> dict[tuple[str, str], str]:
    """Name the records, by what the log itself knows of them, in one query."""
    wanted = {row.object_id for row in rows}
    found: dict[tuple[str, str], str] = {}
    named = ChangeEntry.objects.filter(object_id__in=wanted).order_by("pk")
    for row in named.filter(models.Q(after__has_key="name") | models.Q(after__has_key="key")):
        after = row.after or {}
        found[row.object_type, row.object_id] = str(after.get("name") or after.get("key") or "")
    return found


def _told(row: ChangeEntry, name: str) -> Told:
    return Told(
        at=row.at,
        who="the workshop" if row.who == WORKSHOP else row.who,
        what=words.deed(row.what),
        name=words.change_values().get(f"{row.object_type}.key", {}).get(name, name),
        address=words.address(row, name),
        differences=tuple(_differences(row)),
        why=row.why,
        is_new=row.before is None,
    )


def _differences(row: ChangeEntry) -> Iterable[Difference]:
    before, after = _flat(row.before or {}), _flat(row.after or {})
    for field in dict.fromkeys([*before, *after]):
        old, new = before.get(field), after.get(field)
        if old != new:
            yield Difference(_field(row, field), _value(row, field, old), _value(row, field, new))


def _flat(values: Mapping[str, Any]) -> dict[str, Any]:
    """Spread a mapping inside a record, so that one figure of it shows as one change."""
    flat: dict[str, Any] = {}
    for field, value in values.items():
        if isinstance(value, Mapping):
            flat.update({f"{field}/{inner}": held for inner, held in value.items()})
        elif value not in (None, "", [], {}):
            flat[field] = value
    return flat


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


def _value(row: ChangeEntry, field: str, value: Any) -> str:
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    known = words.change_values().get(f"{row.object_type}.{field}", {})
    if isinstance(value, list):
        return ", ".join(known.get(str(one), str(one)) for one in value) or NOTHING
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    text = known.get(text) or _in_signs(text)
    return text if len(text) <= LONGEST_VALUE else f"{text[:LONGEST_VALUE]}…"
