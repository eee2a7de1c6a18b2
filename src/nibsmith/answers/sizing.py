"""The size of a batch: by the total, by bars of a mould, or by what is on the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from nibsmith.answers._out import loss_of
from nibsmith.answers.context import Context
from nibsmith.answers.wording import grams, joined, thing
from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.formulate import (
    LargestBatch,
    batch_for_bars,
    largest_batch,
    scale_to_total,
    share_of_stock,
)
from nibsmith.science.mixture import Recipe

NO_STOCK: Mapping[str, float] = MappingProxyType({})
SHARE_ROUNDING = 0.0005  # half of the tenth of a percent that is shown
REACH_SLACK = 1e-9  # a stock short by less than this, relatively, reaches: a microgram in a kilogram


@dataclass(frozen=True)
class Order:
    """How much is wanted: a total [g] or bars, and what there is on the shelf [g]."""

    total_g: float | None = None
    bars: int | None = None
    shelf_g: Mapping[str, float] = field(default_factory=lambda: NO_STOCK)


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
        return _for_bars(recipe, order.bars, order.shelf_g, context)
    wanted = recipe if order.total_g is None else scale_to_total(recipe, order.total_g)
    return _for_shelf(wanted, order, context) if order.shelf_g else Sized(wanted, wanted)


def _for_shelf(wanted: Recipe, order: Order, context: Context) -> Sized:
    """Take the largest batch of the shelf, or what is wanted where that is less."""
    largest = largest_batch(wanted, order.shelf_g)
    if order.total_g is None or largest.total_g < order.total_g * (1 - REACH_SLACK):
        remarks = _short(order.total_g, largest, context)
        return Sized(
            largest.recipe,
            largest.recipe,
            runs_out=largest.runs_out,
            left_g=largest.left_g,
            to_bring_g=largest.to_bring_g,
            remarks=remarks,
        )
    bring_g = {label: wanted.part(label).mass_g for label in largest.to_bring_g}
    return Sized(wanted, wanted, left_g=_left(wanted, order.shelf_g), to_bring_g=bring_g)


def _short(total_g: float | None, largest: LargestBatch, context: Context) -> tuple[str, ...]:
    if total_g is None:
        return ()
    names = {part.label: thing(part) for part in largest.recipe.parts}
    out = joined([names.get(key, key) for key in largest.runs_out])
    wanted, reached = grams(total_g, context.scale_g), grams(largest.total_g, context.scale_g)
    return (f"The shelf does not reach {wanted}, only {reached}, for want of {out}.",)


def _left(weigh: Recipe, shelf_g: Mapping[str, float]) -> Mapping[str, float]:
    return {key: max(0.0, have_g - _taken(weigh, key)) for key, have_g in shelf_g.items()}


def _taken(weigh: Recipe, key: str) -> float:
    return share_of_stock(weigh, key) * weigh.total_g


def _for_bars(recipe: Recipe, bars: int, shelf_g: Mapping[str, float], context: Context) -> Sized:
    if bars < 1:
        raise InputError("Less than one bar is wanted", value=bars, advice="Say how many.", field="bars")
    most = _reach(recipe, bars, shelf_g, context) if shelf_g else bars
    weigh = weighed_for(recipe, most, context)
    remarks = () if most == bars else (f"The shelf does not reach {bars} bars: it is enough for {most}.",)
    left_g = _left(weigh, shelf_g)
    missing = largest_batch(weigh, shelf_g).to_bring_g if shelf_g else ()
    return Sized(
        recipe.scaled(weigh.total_g),
        weigh,
        bars=most,
        runs_out=_first_out(weigh, shelf_g) if most < bars else (),
        left_g=left_g,
        to_bring_g={label: weigh.part(label).mass_g for label in missing},
        remarks=remarks,
    )


def _first_out(weigh: Recipe, shelf_g: Mapping[str, float]) -> tuple[str, ...]:
    return largest_batch(weigh, shelf_g).runs_out


def _reach(recipe: Recipe, bars: int, shelf_g: Mapping[str, float], context: Context) -> int:
    """Return how many of the bars the shelf allows: what a stock gives up grows with every bar."""
    largest_batch(recipe, shelf_g)  # refuses a shelf that holds nothing of it
    low, high = 0, bars
    while low < high:
        middle = (low + high + 1) // 2
        if _enough(weighed_for(recipe, middle, context), shelf_g):
            low = middle
        else:
            high = middle - 1
    if not low:
        raise InputError("The shelf is not enough for one bar", advice="Get more, or take a smaller mould.")
    return low


def _enough(weigh: Recipe, shelf_g: Mapping[str, float]) -> bool:
    return all(_taken(weigh, key) <= have_g * (1 + REACH_SLACK) for key, have_g in shelf_g.items())


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
