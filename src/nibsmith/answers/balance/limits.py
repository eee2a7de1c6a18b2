"""The limits that wishes put on a recipe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from nibsmith.answers._kit_words import the_kit
from nibsmith.answers._out import all_comes_out, loss_of
from nibsmith.answers._prices import priced
from nibsmith.answers.balance.wishes import Between, PropertyWish, Wishes
from nibsmith.answers.context import Context
from nibsmith.answers.figure_keys import BUTTER_OF_FAT
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.formulate import (
    ComingOut,
    Goal,
    coming_out,
    cost_limit,
    finished_row,
    lock,
    mass_limit,
    share_limit,
    total_limit,
)
from nibsmith.science.legal import requirements
from nibsmith.science.mixture import (
    PROPERTIES,
    Basis,
    Limit,
    Recipe,
    finished,
    property_limit,
    row_of,
)

YOURS = "your limit"


def limits_of(recipe: Recipe, wishes: Wishes, context: Context) -> tuple[Limit, ...]:
    """Return every limit that wishes put on a recipe.

    Parameters
    ----------
    recipe : Recipe
        The recipe, with what may come in as parts of no weight [g].
    wishes : Wishes
        What is wished.
    context : Context
        Its kit and its currency.

    Returns
    -------
    tuple of Limit
        Linear in the weights.

    Raises
    ------
    UnknownFigure
        If a part does not give what a limit counts.
    InputError
        If a wish speaks of a part that is not in the recipe.

    Examples
    --------
    >>> from nibsmith.answers.balance import wishes_from
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 600.0), part("sugar_granulated", 400.0)))
    >>> [limit.name for limit in limits_of(bar, wishes_from({"lock": ["cocoa_mass"]}), Context())]
    ['the share of Cocoa mass']
    """
    reckoned = priced(recipe, context) if wishes.cost_per_kg is not None else recipe
    return (
        *(_property(recipe, wish, context) for wish in wishes.properties),
        *_shares(recipe, wishes),
        *_masses(recipe, wishes, context),
        *_cost(reckoned, wishes, context),
        *_names(recipe, wishes, context),
    )


def _property(recipe: Recipe, wish: PropertyWish, context: Context) -> Limit:
    low, high = (None if end is None else end / 100 for end in (wish.between.low, wish.between.high))
    if wish.key == BUTTER_OF_FAT:
        return _of_fat(recipe, wish.basis, low, high)
    limit = property_limit(recipe, wish.key, low=low, high=high, basis=wish.basis, reason=YOURS)
    unit = PROPERTIES[wish.key].unit
    limit = limit if unit == "g" else replace(limit, unit=f"{unit}/g")
    end = context.end_water_percent
    dries = wish.basis in {Basis.FINISHED, Basis.PRODUCT} and end is not None
    return _dried(limit, recipe, wish, end) if dries and end is not None else limit


def _of_fat(recipe: Recipe, basis: Basis, low: float | None, high: float | None) -> Limit:
    """The share of cocoa butter in the fat, as ``cocoa_butter_of_fat`` has it."""
    whole = basis in {Basis.AS_WEIGHED, Basis.PRODUCT}
    which = None if whole else (lambda leaf: leaf.in_machine)
    butter, fat = (row_of(recipe, key, which=which) for key in ("cocoa_butter", "total_fat"))
    name = "cocoa butter in the fat without emulsifier"
    return Limit(name, YOURS, butter, fat, low, high, basis=basis.value)


def _dried(limit: Limit, recipe: Recipe, wish: PropertyWish, end_percent: float) -> Limit:
    """The limit on the mass as it ends, less what evaporates, as ``finished`` has it."""
    if not finished(recipe, end_percent).evaporated_g:
        return limit
    inside, water = (row_of(recipe, key, which=lambda leaf: leaf.in_machine) for key in ("mass", "water"))
    whole, end = limit.denominator or {}, end_percent / 100
    ends_g = finished_row(recipe, end_percent)
    outside = {label: whole[label] - inside[label] for label in whole}
    top = limit.numerator
    if wish.key == "water":
        top = {label: top[label] - water[label] + end * ends_g[label] for label in whole}
    return replace(
        limit, numerator=top, denominator={label: outside[label] + ends_g[label] for label in whole}
    )


def _shares(recipe: Recipe, wishes: Wishes) -> Iterator[Limit]:
    for label, between in (wishes.shares or {}).items():
        low, high = (None if end is None else end / 100 for end in (between.low, between.high))
        yield share_limit(recipe, label, low=low, high=high, reason=YOURS)
    for label in wishes.lock:
        yield lock(recipe, label)


def _masses(recipe: Recipe, wishes: Wishes, context: Context) -> Iterator[Limit]:
    for label, between in (wishes.masses_g or {}).items():
        yield mass_limit(recipe, label, low=between.low, high=between.high, reason=YOURS)
    total = wishes.total_g
    if total is None or _given(total) is not None:
        return
    if total != Between():
        yield total_limit(recipe, low=total.low, high=total.high, reason=YOURS)
    if context.kit is not None and context.kit.charge_max_g is not None:
        reason = f"{the_kit(context.kit)} holds no more"
        yield total_limit(recipe, high=context.kit.charge_max_g, only_machine=True, reason=reason)


def _cost(recipe: Recipe, wishes: Wishes, context: Context) -> Iterator[Limit]:
    between = wishes.cost_per_kg
    if between is not None:
        yield cost_limit(
            recipe,
            low=between.low,
            high=between.high,
            currency=context.currency,
            reason=YOURS,
            out=None if all_comes_out(context) else _coming_out(recipe, context),
        )


def _coming_out(recipe: Recipe, context: Context) -> ComingOut:
    """What comes out of the kit, with its water as charged where that of a part is not known."""
    try:
        return coming_out(recipe, loss_of(context, context.end_water_percent))
    except UnknownFigure:
        return coming_out(recipe, loss_of(context, None))


def _names(recipe: Recipe, wishes: Wishes, context: Context) -> Iterator[Limit]:
    for market, key in wishes.called:
        yield from requirements(
            recipe,
            market,
            key,
            memory_rules=context.memory_rules,
            end_water_percent=context.end_water,
            sure=True,
        )


def _given(total: Between) -> float | None:
    """The total, where it is given as one weight [g]."""
    return total.low if total.low is not None and total.low == total.high else None


def goal_of(wishes: Wishes) -> Goal:
    """Return what a balance to these wishes aims at."""
    if wishes.total_g is None:
        return Goal(wishes.objective)
    given_g = _given(wishes.total_g)
    return Goal(wishes.objective, total_g=given_g, free_total=given_g is None)
