"""How much of a recipe is made: a typed total, what the shelf allows, or a number of bars."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType

from nibsmith.answers.context import Context
from nibsmith.answers.sizing import Order, Sized, sized
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Ingredient, Recipe
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes.drafts import Amount
from nibsmith.shop.recipes.listing import read_things
from nibsmith.shop.recipes.models import Way
from nibsmith.shop.recipes.naming import Names, NoSuchName, WhichOne, holds

NOTHING: Mapping[str, Decimal] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Total:
    """Everything weighed [g], what is on the shelf by part label [g], and the recipe at that size."""

    grams: Decimal
    sized: Sized
    shelf_g: Mapping[str, Decimal] = field(default_factory=lambda: NOTHING)


def total_of(amount: Amount, unit: Recipe, context: Context) -> Total:
    """Return what the way of saying it comes to."""
    if amount.way == Way.HAVE:
        return _of_shelf(amount.have, unit, context)
    if amount.way == Way.BARS:
        return _of_bars(unit, context)
    return Total(amount.total_g, sized(unit, Order(total_g=float(amount.total_g)), context))


def _of_shelf(have: str, unit: Recipe, context: Context) -> Total:
    if not have:
        raise InputError("Nothing is on the shelf", advice="Type such as 1040 g nibs.", field="have")
    try:
        shelf_g = parts_named(have, unit)
        order = Order(shelf_g={label: float(grams) for label, grams in shelf_g.items()})
        found = sized(unit, order, context)
    except InputError as error:
        error.field = "have"
        raise
    return Total(_grams(found), found, shelf_g)


def _of_bars(unit: Recipe, context: Context) -> Total:
    if context.mould is None:
        raise InputError("The weight of a bar is not known", advice="Choose a mould.", field="mould")
    if context.bars is None:
        raise InputError("How many bars?", advice="Type a number.", field="bars")
    found = sized(unit, Order(bars=context.bars), context)
    return Total(_grams(found), found)


def _grams(found: Sized) -> Decimal:
    return Decimal(repr(found.weigh.total_g))


def parts_named(text: str, recipe: Recipe) -> Mapping[str, Decimal]:
    """Return stocks typed in words [g]: by part labels, or by ingredient where several parts are of it."""
    found: dict[str, Decimal] = {}
    for thing in read_things(text, workshop().decimal_sign):
        if thing.mass_g is None:
            raise InputError("This needs a weight", value=thing.words, advice="Write such as 500 g.")
        label = _stock_of(thing.words, recipe)
        found[label] = found.get(label, Decimal(0)) + thing.mass_g
    return found


def ratio_named(text: str, recipe: Recipe) -> Mapping[str, Decimal]:
    """Return parts or weights typed in words by the labels of a recipe's parts; only their ratio counts."""
    things = read_things(text, workshop().decimal_sign)
    if len({thing.parts is None for thing in things}) > 1:
        raise InputError("Weights and parts are mixed", advice="Type weights for all, or parts for all.")
    found: dict[str, Decimal] = {}
    for thing in things:
        label = _label_of(thing.words, recipe)
        amount = thing.parts if thing.mass_g is None else thing.mass_g
        found[label] = found.get(label, Decimal(0)) + (amount or Decimal(0))
    if len(found) < 2 or not sum(found.values()):
        raise InputError(
            "A ratio is of two parts at least", advice="Type such as 2 parts nibs, 1 part sugar."
        )
    return found


def _label_of(words: str, recipe: Recipe) -> str:
    label = label_in(words, recipe)
    if label is None:
        names = ", ".join(part.name for part in recipe.parts)
        raise InputError(f"“{words}” is not in this recipe", advice=f"It has: {names}.")
    return label


def _stock_of(words: str, recipe: Recipe) -> str:
    """Several parts of one ingredient have one stock together."""
    labels = _labels_in(words, recipe)
    things = [recipe.part(label).of for label in labels]
    keys = {thing.key for thing in things if isinstance(thing, Ingredient)}
    if len(labels) > 1 and len(keys) == 1 and all(isinstance(thing, Ingredient) for thing in things):
        return keys.pop()
    return _label_of(words, recipe)


def _labels_in(words: str, recipe: Recipe) -> list[str]:
    """Return the parts that words can name."""
    plain = words.casefold()
    by_name = [part.label for part in recipe.parts if plain in (part.name.casefold(), part.label)]
    holding = [part.label for part in recipe.parts if holds(part.name, words)]
    return by_name or holding or _labels_by_alias(words, recipe)


def label_in(words: str, recipe: Recipe) -> str | None:
    """Return the one part that words name; what stands in the recipe decides between several meanings."""
    labels = _labels_in(words, recipe)
    if len(labels) > 1:
        names = list(dict.fromkeys(recipe.part(label).name for label in labels))
        offered = " or ".join(names if len(names) == len(labels) else labels)
        raise InputError(f"“{words}” can be several parts", advice=f"Write {offered}.")
    return labels[0] if labels else None


def _labels_by_alias(words: str, recipe: Recipe) -> list[str]:
    try:
        keys = {Names(with_recipes=False).find(words).ref}
    except WhichOne as question:
        keys = {choice.ref for choice in question.choices}
    except NoSuchName:
        return []
    return [part.label for part in recipe.parts if isinstance(part.of, Ingredient) and part.of.key in keys]
