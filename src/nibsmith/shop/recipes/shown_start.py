"""The first page and the lists of recipes as their templates show them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.selectors import Listed
from nibsmith.shop.recipes.shown import ribbon_of
from nibsmith.shop.recipes.starting import Makeable, Read
from nibsmith.shop.recipes.words import FORMS
from nibsmith.shop.recipes.written import Weight, typed_text, weight


@dataclass(frozen=True, slots=True)
class ShownThing:
    """One thing that was typed: its name and its weight, or its parts."""

    name: str
    weight: Weight | None
    parts: str = ""


@dataclass(frozen=True, slots=True)
class ShownRecipe:
    """A recipe in a list: its parts at a glance and its size."""

    listed: Listed
    form: str
    parts: str
    ribbon: str
    weight: Weight


@dataclass(frozen=True, slots=True)
class ShownMakeable:
    """What a shelf makes of a recipe: the batch, what runs out, what is left, what is to bring."""

    recipe: ShownRecipe
    weight: Weight
    runs_out: str
    left: tuple[str, ...]
    to_bring: tuple[str, ...]


def show_read(read: Read, settings: WorkshopSettings) -> tuple[ShownThing, ...]:
    """Show what was typed as it was understood."""
    return tuple(
        ShownThing(
            thing.named.name,
            None if thing.mass_g is None else weight(thing.mass_g, settings),
            "" if thing.parts is None else _parts(thing.parts, settings),
        )
        for thing in read.things
    )


def _parts(number: Decimal, settings: WorkshopSettings) -> str:
    return f"{typed_text(number, settings)} {'part' if number == 1 else 'parts'}"


def show_recipe(listed: Listed, settings: WorkshopSettings) -> ShownRecipe:
    """Show a recipe in a list; one that cannot be opened says why, and the others stand all the same."""
    form, total = FORMS[listed.recipe.form], weight(listed.version.total_g, settings)
    try:
        opened = open_version(listed.version)
    except NibsmithError as error:
        return ShownRecipe(listed, form, f"It cannot be opened: {error}", "", total)
    names = [part.name for part in opened.recipe.parts]
    return ShownRecipe(
        listed=listed,
        form=form,
        parts=", ".join(names),
        ribbon=ribbon_of(opened, settings),
        weight=weight(opened.recipe.total_g, settings),
    )


def show_makeable(made: Makeable, read: Read, settings: WorkshopSettings) -> ShownMakeable:
    """Show the largest batch of a recipe."""
    names = {thing.named.ref: thing.named.name for thing in read.things}
    batch = made.batch
    return ShownMakeable(
        recipe=show_recipe(made.listed, settings),
        weight=weight(batch.total_g, settings),
        runs_out=" and ".join(names[ref] for ref in batch.runs_out),
        left=tuple(
            f"{names[ref]} {_text(weight(grams, settings))}"
            for ref, grams in batch.left_g.items()
            if grams >= float(settings.scale_g) / 2 and ref not in batch.runs_out
        ),
        to_bring=tuple(
            f"{made.recipe.part(label).name} {_to_bring(grams, settings)}"
            for label, grams in batch.to_bring_g.items()
            if grams > 0
        ),
    )


def _to_bring(grams: float, settings: WorkshopSettings) -> str:
    """Write a weight to get; one too small for the scale is said to be under its step, not nothing."""
    if grams >= float(settings.scale_g) / 2:
        return _text(weight(grams, settings))
    return f"under {_text(weight(settings.scale_g, settings))}"


def _text(shown: Weight) -> str:
    beside = f" ({shown.beside})" if shown.beside else ""
    return f"{shown.number}\u00a0{shown.unit}{beside}"
