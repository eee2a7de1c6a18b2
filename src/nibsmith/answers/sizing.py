"""The size of a batch: by the total, by bars of a mould, or by what is on the shelf."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from nibsmith.answers._out import loss_of
from nibsmith.answers._stock_words import stock_words
from nibsmith.answers.context import Context
from nibsmith.answers.wording import grams, joined
from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.formulate import (
    batch_for_bars,
    draws_on,
    largest_batch,
    scale_to_total,
)
from nibsmith.science.mixture import Recipe

NO_STOCK: Mapping[str, float] = MappingProxyType({})
SHARE_ROUNDING = 0.0005  # half of the tenth of a percent that is shown
REACH_SLACK = 1e-9  # a stock short by less than this, relatively, reaches: a microgram in a kilogram


@dataclass(frozen=True)
class Order:
    """How much is wanted: a total [g] or bars, and what there is.

    ``shelf_g`` is what is on the shelf by part label or ingredient key, ``bowl_g`` what is weighed already by
    part label [g]; the one is not in the other.
    """

    total_g: float | None = None
    bars: int | None = None
    shelf_g: Mapping[str, float] = field(default_factory=lambda: NO_STOCK)
    bowl_g: Mapping[str, float] = field(default_factory=lambda: NO_STOCK)


@dataclass(frozen=True)
class Sized:
    """A recipe at its size.

    ``recipe`` keeps the shares of the product; ``weigh`` is what goes on the scale, more of the ground part
    where the machine keeps some back; both come to the same total. ``bars`` is how many it is for,
    ``runs_out`` the stocks that are used up first, ``left_g`` what stays of each stock [g], ``to_bring_g``
    what is not on the shelf [g]; ``remarks`` say where the shelf does not reach.
    """

    recipe: Recipe
    weigh: Recipe
    bars: int | None = None
    runs_out: tuple[str, ...] = ()
    left_g: Mapping[str, float] = field(default_factory=lambda: NO_STOCK)
    to_bring_g: Mapping[str, float] = field(default_factory=lambda: NO_STOCK)
    remarks: tuple[str, ...] = ()


def sized(recipe: Recipe, order: Order, context: Context) -> Sized:
    """Return a recipe at the size that is wanted, or at the largest that the shelf allows.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    order : Order
        What is wanted and what there is.
    context : Context
        Its mould and kit say what bars take.

    Returns
    -------
    Sized
        The recipe, what goes on the scale [g], and what the shelf has to do with it.

    Raises
    ------
    InputError
        If both a total and bars are wanted, bars without a mould, or the shelf holds nothing of it.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> round(sized(bar, Order(shelf_g={"cocoa_mass": 1400.0}), Context()).weigh.total_g)
    2000
    """
    if order.total_g is not None and order.bars is not None:
        raise InputError("A total and bars are both wanted", advice="Say one of them.")
    if order.bars is not None:
        return _for_bars(recipe, order, order.bars, context)
    if order.total_g is not None and 0 < order.total_g < context.scale_g:
        raise InputError(
            "So small a batch does not show on the scale",
            value=f"{order.total_g:g} g",
            limit=grams(context.scale_g, context.scale_g),
            advice="Make more, or name a finer scale.",
            field="total",
        )
    wanted = recipe if order.total_g is None else scale_to_total(recipe, order.total_g)
    return _for_shelf(wanted, order, context) if order.shelf_g else Sized(wanted, wanted)


def _for_shelf(wanted: Recipe, order: Order, context: Context) -> Sized:
    """Take the largest batch of the shelf and the bowl, or what is wanted where that is less.

    What is in the bowl cannot come out, so that no batch is smaller than it asks for, unless one is wanted.
    """
    largest = largest_batch(wanted, _there(wanted, order))
    most_g = math.inf if order.total_g is None else order.total_g
    runs_out: tuple[str, ...] = ()
    if largest.total_g >= most_g * (1 - REACH_SLACK):
        weigh = wanted
    else:
        weigh = wanted.scaled(max(largest.total_g, min(most_g, _asked_by_bowl(wanted, order.bowl_g))))
        runs_out = largest.runs_out
    return Sized(
        weigh,
        weigh,
        runs_out=runs_out,
        left_g=_left(weigh, order),
        to_bring_g={label: weigh.part(label).mass_g for label in largest.to_bring_g},
        remarks=_short(weigh, runs_out, order, context),
    )


def _short(weigh: Recipe, runs_out: tuple[str, ...], order: Order, context: Context) -> tuple[str, ...]:
    """Say what the shelf does not reach, and what it lacks of a batch that the bowl asks for."""
    step, reached = context.scale_g, grams(weigh.total_g, context.scale_g)
    lacks = {
        key: still_g - order.shelf_g[key]
        for key, still_g in _still(weigh, order).items()
        if still_g > order.shelf_g[key] * (1 + REACH_SLACK)
    }
    if lacks:
        said = joined([f"{grams(lack, step)} of {stock_words(key, weigh)}" for key, lack in lacks.items()])
        return (f"What is in the bowl asks for {reached}, and the shelf is {said} short of that.",)
    if not runs_out or order.total_g is None:
        return ()
    out = joined([stock_words(key, weigh) for key in runs_out])
    return (f"The shelf does not reach {grams(order.total_g, step)}, only {reached}, for want of {out}.",)


def _asked_by_bowl(recipe: Recipe, bowl_g: Mapping[str, float]) -> float:
    """The smallest batch of the recipe's shares that holds what is in the bowl [g]."""
    asked = (held_g / recipe.share(label) for label, held_g in bowl_g.items() if recipe.share(label))
    return max(asked, default=0.0)


def _there(recipe: Recipe, order: Order) -> Mapping[str, float]:
    """What there is for a batch, by stock: on the shelf, and what the bowl holds of it [g]."""
    held = order.bowl_g.get
    return {
        stock: order.shelf_g[stock]
        + sum(held(label, 0.0) * share / recipe.share(label) for label, share in drawn.items() if share)
        for stock, drawn in draws_on(recipe, order.shelf_g).items()
    }


def _still(weigh: Recipe, order: Order) -> Mapping[str, float]:
    """What a batch still takes from each stock of the shelf besides what is in the bowl [g]."""
    return {
        stock: sum(
            share * weigh.total_g * max(0.0, 1 - order.bowl_g.get(label, 0.0) / weigh.part(label).mass_g)
            for label, share in drawn.items()
            if share
        )
        for stock, drawn in draws_on(weigh, order.shelf_g).items()
    }


def _left(weigh: Recipe, order: Order) -> Mapping[str, float]:
    still_g = _still(weigh, order)
    return {stock: max(0.0, have_g - still_g[stock]) for stock, have_g in order.shelf_g.items()}


def _for_bars(recipe: Recipe, order: Order, bars: int, context: Context) -> Sized:
    if bars < 1:
        raise InputError("Less than one bar is wanted", value=bars, advice="Say how many.", field="bars")
    most = _reach(recipe, order, bars, context) if order.shelf_g else bars
    weigh = weighed_for(recipe, most, context)
    remarks = () if most == bars else (f"The shelf does not reach {bars} bars: it is enough for {most}.",)
    largest = largest_batch(weigh, _there(weigh, order)) if order.shelf_g else None
    return Sized(
        recipe.scaled(weigh.total_g),
        weigh,
        bars=most,
        runs_out=largest.runs_out if largest is not None and most < bars else (),
        left_g=_left(weigh, order),
        to_bring_g={label: weigh.part(label).mass_g for label in (largest.to_bring_g if largest else ())},
        remarks=remarks,
    )


def _reach(recipe: Recipe, order: Order, bars: int, context: Context) -> int:
    """Return how many of the bars the shelf allows: what a stock gives up grows with every bar."""
    largest_batch(recipe, _there(recipe, order))  # refuses a shelf that holds nothing of it
    low, high = 0, bars
    while low < high:
        middle = (low + high + 1) // 2
        if _enough(weighed_for(recipe, middle, context), order):
            low = middle
        else:
            high = middle - 1
    if not low:
        raise InputError("The shelf is not enough for one bar", advice="Get more, or take a smaller mould.")
    return low


def _enough(weigh: Recipe, order: Order) -> bool:
    still_g = _still(weigh, order)
    return all(still_g[stock] <= have_g * (1 + REACH_SLACK) for stock, have_g in order.shelf_g.items())


def weighed_for(recipe: Recipe, bars: int, context: Context) -> Recipe:
    """Return what goes on the scale for a number of bars: what the kit keeps back is weighed besides.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bars : int
        How many.
    context : Context
        Its mould gives the mass of a bar; its kit keeps some back and drives water out.

    Returns
    -------
    Recipe
        The weights [g]; the water stays as charged where that of a part is not known.

    Raises
    ------
    InputError
        If there is no mould.

    Examples
    --------
    >>> from nibsmith.science.kit import Mould
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> round(weighed_for(bar, 20, Context(mould=Mould("50 g", 50.0))).total_g)
    1000
    """
    if context.mould is None:
        advice = "Say how much one bar weighs: --mould 70g."
        raise InputError("Bars are wanted, and no mould is chosen", advice=advice, field="mould")
    cavity_g = context.mould.cavity_g
    try:
        return batch_for_bars(recipe, bars, cavity_g, loss_of(context, context.end_water_percent)).weigh
    except UnknownFigure:
        return batch_for_bars(recipe, bars, cavity_g, loss_of(context, None)).weigh


def share_words(recipe: Recipe, weigh: Recipe) -> str:
    """Say what shares are of, where the weights beside them are not in these shares.

    Parameters
    ----------
    recipe : Recipe
        The recipe, whose shares are shown.
    weigh : Recipe
        What goes on the scale for it.

    Returns
    -------
    str
        A sentence; empty where the weights have the shares of the recipe.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("almond", 20.0)))
    >>> share_words(bar, bar.scaled(500.0))
    ''
    >>> share_words(bar, bar.weighing({"cocoa_mass": 100.0}))
    'Shares are those of the recipe; what stays in the machine is weighed besides.'
    """
    if all(abs(recipe.share(part.label) - weigh.share(part.label)) < SHARE_ROUNDING for part in recipe.parts):
        return ""
    return "Shares are those of the recipe; what stays in the machine is weighed besides."
