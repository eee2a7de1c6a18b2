"""A batch as answers read it: what is in the machine at an hour, and how it was ground until then."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nibsmith.answers.context import Context
from nibsmith.answers.process import Process, readings_since
from nibsmith.science.flow import Use
from nibsmith.science.grind import Aim, SizeReading
from nibsmith.science.mixture import Part, Recipe, Span
from nibsmith.shop.batches.selectors import Diary
from nibsmith.shop.common.workshop.selectors import context
from nibsmith.shop.kit.calibrating.selectors import flow_of, known, speed_of
from nibsmith.shop.recipes.drafts import label_for
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.stock.selectors import find_many


def recipe_of(diary: Diary, opened: Opened, until: Decimal | None = None) -> Recipe:
    """Return what was made, by the weights that were written down.

    A part that nobody weighed counts as planned. Up to an hour, what was weighed later is not in yet.
    """
    masses: dict[str, float] = {}
    for part in diary.planned:
        weighed = diary.weighed_g(part, until)
        masses[part.label] = float(part.planned_g if weighed is None else weighed)
    recipe = opened.recipe.weighing(masses)
    return replace(recipe, parts=(*recipe.parts, *_others(diary, recipe, until)))


def _others(diary: Diary, recipe: Recipe, until: Decimal | None) -> list[Part]:
    """What went in besides the plan."""
    rows = [row for row in diary.additions if row.part_id is None and _in_by(row.hours, until)]
    found = find_many({row.ingredient for row in rows}) if rows else {}
    labels = {part.label for part in recipe.parts}
    parts: list[Part] = []
    for row in rows:
        thing = found[row.ingredient].ingredient
        label = label_for(row.name, labels)
        labels.add(label)
        parts.append(Part(label, thing, float(row.weighed_g), thing.kind, thing.stage, thing.grind))
    return parts


def _in_by(hours: Decimal, until: Decimal | None) -> bool:
    return until is None or hours <= until


def context_of(diary: Diary, until: Decimal | None = None, celsius: Decimal | None = None) -> Context:
    """Return what answers know of a batch besides its recipe: its kit, what was seen on it, its readings."""
    batch = diary.batch
    here = context(kit=batch.kit, mould=batch.version.mould or None)
    told = known(batch.kit, but_for=batch.run)
    since = diary.coarse_since(until)
    hours = None if until is None else float(until - since)
    process = Process(
        calibration=flow_of(told.flow),
        speed=speed_of(told.grinding),
        readings=sizes_since(diary, since, until),
        hours=hours,
        temperature_celsius=None if celsius is None else Span.exactly(float(celsius)),
        use=Use(batch.use),
        aim=Aim(batch.aim) if batch.aim else None,
    )
    return replace(here, process=process)


def sizes_since(diary: Diary, since: Decimal, until: Decimal | None = None) -> tuple[SizeReading, ...]:
    """Return the readings of size after an hour, counted from it."""
    read = (
        (float(row.hours), float(row.median_um), len(row.values))
        for row in diary.sizes
        if _in_by(row.hours, until)
    )
    return readings_since(read, float(since))
