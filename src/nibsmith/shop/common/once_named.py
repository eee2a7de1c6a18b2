"""Names that stand once in the lists: the database keeps them apart, also for two that save at once."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from django.db import IntegrityError, models, transaction
from django.db.models import Q

from nibsmith.shop.common.texts import folded

MARK = "name_mark"
LONGEST = 120  # letters that a name may have


def mark_of(name: str) -> str:
    """Return what two names share that a reader would take for the same; of one length, to be indexed."""
    return hashlib.sha256(folded(name).encode()).hexdigest()


def mark_field() -> models.CharField[str, str]:
    """Return the column of the mark; the services fill it whenever a name is stored."""
    return models.CharField("what tells its name from others", max_length=64, editable=False)


def once_in_lists(name: str) -> models.UniqueConstraint:
    """Return the constraint that of things of one name only one is not put away."""
    return models.UniqueConstraint(fields=(MARK,), condition=Q(retired_at__isnull=True), name=name)


def marked(thing: Any) -> list[str]:
    """Bring the mark of a thing in line with its name; return the columns that this changed."""
    if not hasattr(thing, MARK) or thing.name_mark == mark_of(thing.name):
        return []
    thing.name_mark = mark_of(thing.name)
    return [MARK]


@contextmanager
def looked_up_again(check: Callable[[], None]) -> Iterator[None]:
    """Write in one transaction what was free when it was looked up; let the check say what came between.

    It is asked when the transaction is over: only then does it see what another one stored meanwhile.
    """
    try:
        with transaction.atomic():
            yield
    except IntegrityError:
        check()
        raise


def tell_apart(rows: models.Manager[Any]) -> None:
    """Mark what was named before there were marks; of one name in the lists, the later ones get a number."""
    taken: set[str] = set()
    for row in rows.order_by("pk"):
        name = row.name
        number = 1
        while row.retired_at is None and mark_of(name) in taken:
            number += 1
            name = f"{row.name[: LONGEST - len(str(number)) - 3]} ({number})"
        taken |= {mark_of(name)} if row.retired_at is None else set()
        rows.filter(pk=row.pk).update(name=name, name_mark=mark_of(name))
