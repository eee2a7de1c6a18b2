"""The price of a kilogram of each part as it is reckoned: nibs from own beans, recipes used as parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from nibsmith.answers.context import Context
from nibsmith.answers.wording import thing
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Ingredient, Kind, Part, Recipe
from nibsmith.science.money import GRAMS_PER_KG, Money, cost_of, exact_grams, sum_money

BOUGHT_TAG = "bought"  # nibs bought as nibs: their price is not that of beans


@dataclass(frozen=True)
class PartPrice:
    """What a kilogram of a part costs.

    ``known`` is what is priced of it, ``None`` where nothing is said; ``missing`` names what has no price,
    so that ``known`` is a lower bound; ``of_beans`` says that a price of beans went into it.
    """

    known: Money | None
    missing: tuple[str, ...] = ()
    of_beans: bool = False

    @property
    def per_kg(self) -> Money | None:
        """The whole price, ``None`` where one is missing."""
        return None if self.missing else self.known


def price_of(part: Part, context: Context) -> PartPrice:
    """Return what a kilogram of a part costs.

    Parameters
    ----------
    part : Part
        The part; a recipe used as a part costs what its own parts cost, unless it has a price.
    context : Context
        Its currency; its bean yield, with which the price of nibs is that of beans over the yield.

    Returns
    -------
    PartPrice
        The exact price, with what is missing.

    Raises
    ------
    InputError
        If a price is negative, or the yield or the currency cannot be.

    Examples
    --------
    >>> from nibsmith.science.mixture import part
    >>> nibs = part("cocoa_nibs_roasted", 1.0, price_per_kg=Decimal(8))
    >>> str(price_of(nibs, Context(bean_yield=Decimal("0.8"))).per_kg).replace(chr(160), " ")
    '10.00 EUR'
    """
    if part.price_per_kg is not None:
        per_kg = cost_of(part.price_per_kg, float(GRAMS_PER_KG), context.currency)
        of_beans = context.bean_yield is not None and _is_of_beans(part)
        if of_beans and context.bean_yield is not None:
            per_kg = per_kg.over(_checked(context.bean_yield))
        return PartPrice(per_kg, of_beans=of_beans)
    if isinstance(part.of, Recipe):
        return _nested(part.of, context)
    return PartPrice(None, (thing(part),))


def _nested(recipe: Recipe, context: Context) -> PartPrice:
    """What its own parts cost together."""
    inside = [(part, price_of(part, context)) for part in recipe.parts if part.mass_g > 0]
    costs = [price.known.times(exact_grams(part.mass_g)) for part, price in inside if price.known is not None]
    return PartPrice(
        sum_money(costs, context.currency).over(exact_grams(recipe.total_g)),
        tuple(name for _, price in inside for name in price.missing),
        any(price.of_beans for _, price in inside),
    )


def _is_of_beans(part: Part) -> bool:
    bought = isinstance(part.of, Ingredient) and BOUGHT_TAG in part.of.tags
    return part.kind is Kind.NIB and not bought


def _checked(bean_yield: Decimal) -> Decimal:
    if not 0 < bean_yield <= 1:
        raise InputError(
            "The yield of beans is a share", value=bean_yield, limit="0 to 1", advice="Type 0.78 for 78 %."
        )
    return bean_yield


def prices_of(recipe: Recipe, context: Context) -> Mapping[str, PartPrice]:
    """Return the price of a kilogram of every part, by label."""
    return {part.label: price_of(part, context) for part in recipe.parts}


def priced(recipe: Recipe, context: Context) -> Recipe:
    """Return a recipe whose parts have the prices they are reckoned at.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    context : Context
        Its currency and its bean yield.

    Returns
    -------
    Recipe
        The same weights; a part whose price is missing has none.

    Raises
    ------
    InputError
        As in ``price_of``.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> nibs = part("cocoa_nibs_roasted", 700.0, price_per_kg=Decimal(8))
    >>> priced(Recipe("bar", Form.BAR, (nibs,)), Context(bean_yield=Decimal("0.8"))).parts[0].price_per_kg
    Decimal('10')
    """
    found = prices_of(recipe, context)
    return replace(recipe, parts=tuple(_with(part, found[part.label]) for part in recipe.parts))


def _with(part: Part, price: PartPrice) -> Part:
    return replace(part, price_per_kg=None if price.per_kg is None else price.per_kg.amount)
