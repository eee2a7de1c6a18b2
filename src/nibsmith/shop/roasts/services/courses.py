"""Write wanted courses."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import Scale
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.common.history.meanwhile import check_seen
from nibsmith.shop.common.history.services import save_changes, save_new
from nibsmith.shop.roasts.models import Course
from nibsmith.shop.roasts.reading import written_course

WIDEST_K = 50


@dataclass(frozen=True, kw_only=True)
class CourseCard:
    """What a maker says of a wanted course; a bare temperature is on ``scale``."""

    name: str
    typed: str
    tolerance_k: Decimal
    note: str = ""
    scale: Scale = "C"


@transaction.atomic
def create(card: CourseCard, *, why: str = "") -> Course:
    """Store a new wanted course."""
    row = Course(**_columns(card))
    save_new("roasts.course_added", row, why=why)
    return row


@transaction.atomic
def update(course: Course, card: CourseCard, *, why: str = "", seen: str = "") -> Course:
    """Store what is different about a wanted course."""
    locked = Course.objects.select_for_update().get(pk=course.pk)
    check_seen(locked, seen)
    save_changes("roasts.course_changed", locked, _columns(card), why=why)
    return locked


@transaction.atomic
def retire(course: Course, *, why: str = "") -> Course:
    """Put a wanted course away: no list offers it; roasts keep it."""
    locked = Course.objects.select_for_update().get(pk=course.pk)
    if locked.retired_at is None:
        save_changes("roasts.course_put_away", locked, {"retired_at": timezone.now()}, why=why)
    return locked


@transaction.atomic
def bring_back(course: Course) -> Course:
    """Offer a wanted course again."""
    locked = Course.objects.select_for_update().get(pk=course.pk)
    save_changes("roasts.course_brought_back", locked, {"retired_at": None})
    return locked


def _columns(card: CourseCard) -> dict[str, Any]:
    amounts.more_than_nothing(card.tolerance_k, "tolerance_k", high=WIDEST_K, decimals=1)
    try:
        typed = written_course(texts.note(card.typed, "typed", 4000), card.scale)
    except InputError as error:
        error.field = "typed"
        raise
    return {
        "name": texts.name(card.name),
        "typed": typed,
        "tolerance_k": card.tolerance_k,
        "note": texts.note(card.note),
    }
