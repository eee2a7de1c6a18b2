"""Begin a batch: the version is kept as it is from then on, and what is to be weighed is written down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from nibsmith.answers.process import usual_use
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Form
from nibsmith.shop.batches.models import AIMS, USES, Batch, PlannedPart
from nibsmith.shop.batches.planning import opened_on, planned_parts
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.history.services import save_changes
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit.selectors import kit_name
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.services import freeze

LARGEST_G = 10_000_000


@dataclass(frozen=True, kw_only=True)
class Making:
    """How a version is made this time; without a total as much as the version says, without a time now.

    Without a ``use`` it is poured for what the recipe is sold as; without an ``aim`` it is to be as smooth as
    the kit gets.
    """

    kit: str = ""
    total_g: Decimal | None = None
    use: str = ""
    aim: str = ""
    began_at: datetime | None = None
    note: str = ""


@transaction.atomic
def make(version: RecipeVersion, making: Making) -> Batch:
    """Begin a batch of a version."""
    kit = making.kit or version.kit or workshop().default_kit
    if not kit:
        raise InputError("No kit is chosen", advice="Choose what it is ground on.", field="kit")
    name = kit_name(kit)
    if making.total_g is not None:
        amounts.more_than_nothing(making.total_g, "total_g", high=LARGEST_G)
    kept = freeze(version, why=f"made as batch {_next_number()}")
    parts = list(planned_parts(opened_on(kept, kit), making.total_g))
    use = making.use or usual_use(Form(version.recipe.form)).value
    batch = Batch(
        number=_next_number(),
        version=kept,
        kit=kit,
        planned_g=sum((part.planned_g for part in parts), Decimal(0)),
        began_at=_begun(making.began_at),
        note=texts.note(making.note),
        **_purpose(use, making.aim),
    )
    batch.save(force_insert=True)
    for part in parts:
        part.batch = batch
    PlannedPart.objects.bulk_create(parts)
    record("batches.begun", batch, after=_entry(batch, name, parts))
    return batch


@transaction.atomic
def describe(batch: Batch, *, note: str, why: str = "") -> Batch:
    """Store another note."""
    locked = Batch.objects.select_for_update().get(pk=batch.pk)
    save_changes("batches.described", locked, {"note": texts.note(note)}, why=why)
    return locked


@transaction.atomic
def pour_for(batch: Batch, *, use: str, aim: str, why: str = "") -> Batch:
    """Store what the mass is poured for, and how smooth it is to be."""
    locked = Batch.objects.select_for_update().get(pk=batch.pk)
    save_changes("batches.purpose_changed", locked, _purpose(use, aim), why=why)
    return locked


def _purpose(use: str, aim: str) -> dict[str, str]:
    for field, value, known in (("use", use, dict(USES)), ("aim", aim, {"": "", **dict(AIMS)})):
        if value not in known:
            raise InputError("This is not on the list", value=value, field=field)
    return {"use": use, "aim": aim}


def _next_number() -> int:
    """Count on; whoever makes a batch at the same time waits for the newest one."""
    Batch.objects.select_for_update().order_by("-number")[:1].first()
    return (Batch.objects.aggregate(last=Max("number"))["last"] or 0) + 1


def _begun(at: datetime | None) -> datetime:
    now = timezone.now()
    if at is not None and at > now:
        raise InputError("A batch does not begin in the future", value=f"{at:%d %B %Y}", field="began_on")
    return at or now


def _entry(batch: Batch, kit: str, parts: list[PlannedPart]) -> dict[str, object]:
    weights = {part.label: f"{part.planned_g.normalize():f} g" for part in parts}
    return {
        "name": str(batch),
        "version": batch.version.number,
        "kit": kit,
        "planned_g": batch.planned_g,
        "began_at": batch.began_at,
        "use": batch.use,
        **({"aim": batch.aim} if batch.aim else {}),
        **({"note": batch.note} if batch.note else {}),
        **weights,
    }
