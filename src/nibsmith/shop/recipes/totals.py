"""How much of a recipe is made: a typed total, what the shelf allows, or a number of bars."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from nibsmith.answers.context import Context
from nibsmith.science.errors import InputError
from nibsmith.science.formulate.batch import NO_LOSS, MachineLoss, batch_for_bars
from nibsmith.science.formulate.shelf import LargestBatch, largest_batch
from nibsmith.science.mixture import Ingredient, Recipe
from nibsmith.science.quantities import parse_things
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes.drafts import Amount
from nibsmith.shop.recipes.models import Way
from nibsmith.shop.recipes.naming import Names, NoSuchName, WhichOne

NOTHING: Mapping[str, Decimal] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Total:
    """Everything weighed [g]; where the shelf decides, what is on it by part label [g] and what it allows."""

    grams: Decimal
    shelf_g: Mapping[str, Decimal] = field(default_factory=lambda: NOTHING)
    batch: LargestBatch | None = None


def total_of(amount: Amount, unit: Recipe, context: Context) -> Total:
    """Return what the way of saying it comes to."""
    if amount.way == Way.HAVE:
        return _of_shelf(amount.have, unit)
    if amount.way == Way.BARS:
        return Total(_grams(_of_bars(unit, context)))
    return Total(amount.total_g)


def _of_shelf(have: str, unit: Recipe) -> Total:
    if not have:
        raise InputError("Nothing is on the shelf", advice="Type such as 1040 g nibs.", field="have")
    try:
        shelf_g = parts_named(have, unit)
    except InputError as error:
        error.field = "have"
        raise
    batch = largest_batch(unit, {label: float(grams) for label, grams in shelf_g.items()})
    return Total(_grams(batch.total_g), shelf_g, batch)


def parts_named(text: str, recipe: Recipe) -> Mapping[str, Decimal]:
    """Return amounts typed in words by the labels of a recipe's parts [g]."""
    found: dict[str, Decimal] = {}
    for thing in parse_things(text, workshop().decimal_sign):
        if thing.mass_g is None:
            raise InputError("This needs a weight", value=thing.words, advice="Write such as 500 g.")
        label = _label_of(thing.words, recipe)
        found[label] = found.get(label, Decimal(0)) + thing.mass_g
    return found


def _label_of(words: str, recipe: Recipe) -> str:
    """Return the one part that words name; what stands in the recipe decides between several meanings."""
    plain = words.casefold()
    by_name = [part.label for part in recipe.parts if plain in (part.name.casefold(), part.label)]
    labels = by_name or _labels_by_alias(words, recipe)
    if len(labels) == 1:
        return labels[0]
    if not labels:
        names = ", ".join(part.name for part in recipe.parts)
        raise InputError(f"“{words}” is not in this recipe", advice=f"It has: {names}.")
    offered = " or ".join(recipe.part(label).name for label in labels)
    raise InputError(f"“{words}” can be several parts", advice=f"Write {offered}.")


def _labels_by_alias(words: str, recipe: Recipe) -> list[str]:
    try:
        keys = {Names(with_recipes=False).find(words).ref}
    except WhichOne as question:
        keys = {choice.ref for choice in question.choices}
    except NoSuchName:
        return []
    return [part.label for part in recipe.parts if isinstance(part.of, Ingredient) and part.of.key in keys]


def _of_bars(unit: Recipe, context: Context) -> float:
    if context.mould is None:
        raise InputError("The weight of a bar is not known", advice="Choose a mould.", field="mould")
    if context.bars is None:
        raise InputError("How many bars?", advice="Type a number.", field="bars")
    batch = batch_for_bars(unit, context.bars, context.mould.cavity_g, loss_of(context))
    return batch.weigh.total_g


def loss_of(context: Context) -> MachineLoss:
    """Return what the kit keeps back of a batch."""
    if context.kit is None:
        return NO_LOSS
    end_water = context.end_water_percent
    return MachineLoss(context.kit.residue_g.value, context.kit.loss_percent, end_water)


def _grams(total_g: float) -> Decimal:
    return Decimal(repr(total_g))
