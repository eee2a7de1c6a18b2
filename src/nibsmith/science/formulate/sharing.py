"""One stock shared between recipes: equal, by the weight or by the bars wanted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from nibsmith.science.errors import InputError
from nibsmith.science.formulate.batch import NO_LOSS, MachineLoss, batch_for_bars
from nibsmith.science.formulate.scaling import positive
from nibsmith.science.formulate.shelf import share_of_stock
from nibsmith.science.mixture import Recipe

# a stock this close to what is needed, relatively, is enough; far under one milligram in a kilogram
_TIE = 1e-9


class Split(StrEnum):
    """How one stock is shared out."""

    EQUAL = "equal"
    WEIGHT = "weight"
    BARS = "bars"


@dataclass(frozen=True)
class Claim:
    """A recipe that wants some of a stock.

    ``wanted`` is the weight of the batch [g] or the number of bars [1], by the split; an equal split needs
    none. ``cavity_g`` and ``loss`` matter where bars are wanted.
    """

    recipe: Recipe
    wanted: float = 1.0
    cavity_g: float = 0.0
    loss: MachineLoss = NO_LOSS


@dataclass(frozen=True)
class Portion:
    """What one recipe gets: the stock it takes [g], the batch made of it, and bars where they are wanted."""

    claim: Claim
    takes_g: float
    recipe: Recipe | None
    bars: int | None = None


@dataclass(frozen=True)
class SharedStock:
    """One stock shared out: ``needed_g`` all claims together would take, ``left_g`` stays [g]."""

    portions: tuple[Portion, ...]
    needed_g: float
    left_g: float

    @property
    def short_g(self) -> float:
        """What is missing for all claims [g]."""
        taken_g = sum(portion.takes_g for portion in self.portions)
        return max(0.0, self.needed_g - taken_g - self.left_g)


def share_out(
    stock: str, stock_g: float, claims: Sequence[Claim], split: Split = Split.EQUAL, *, use_up: bool = False
) -> SharedStock:
    """Return one stock shared between recipes.

    Equal: every recipe takes the same grams. By weight: batches in the proportion of the weights wanted, as
    large as wanted, or all smaller by one factor where the stock is short. By bars: the same with whole
    bars.

    Parameters
    ----------
    stock : str
        A part label or an ingredient key.
    stock_g : float
        How much there is of it [g].
    claims : Sequence[Claim]
        The recipes and what is wanted of each [g or 1].
    split : Split
        How it is shared.
    use_up : bool
        By weight: whether batches grow by one factor until the stock is used up.

    Returns
    -------
    SharedStock
        A portion a recipe, in their order, and what is left [g].

    Raises
    ------
    InputError
        If there is no recipe, one does not use the stock, or an amount is not above zero.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> dark = Recipe("dark", Form.BAR, (part("cocoa_mass", 75.0), part("sugar_granulated", 25.0)))
    >>> mild = Recipe("mild", Form.BAR, (part("cocoa_mass", 50.0), part("sugar_granulated", 50.0)))
    >>> shared = share_out("cocoa_mass", 600.0, [Claim(dark), Claim(mild)])
    >>> [round(portion.recipe.total_g) for portion in shared.portions]
    [400, 600]
    """
    if not claims:
        raise InputError("There is no recipe to share between", advice="Name at least one.")
    positive(stock_g, stock)
    for claim in claims:
        _check_claim(stock, claim, split)
    if split is Split.EQUAL:
        each_g = stock_g / len(claims)
        portions = tuple(Portion(claim, each_g, _batch_taking(stock, claim, each_g)) for claim in claims)
        return SharedStock(portions, stock_g, 0.0)
    if split is Split.WEIGHT:
        return _by_weight(stock, stock_g, claims, use_up)
    return _by_bars(stock, stock_g, claims)


def _by_weight(stock: str, stock_g: float, claims: Sequence[Claim], use_up: bool) -> SharedStock:
    needs = [claim.wanted * share_of_stock(claim.recipe, stock) for claim in claims]
    factor = stock_g / sum(needs)
    factor = factor if use_up else min(1.0, factor)
    portions = tuple(
        Portion(claim, need * factor, claim.recipe.scaled(claim.wanted * factor))
        for claim, need in zip(claims, needs, strict=True)
    )
    return SharedStock(portions, sum(needs), max(0.0, stock_g - sum(needs) * factor))


def _by_bars(stock: str, stock_g: float, claims: Sequence[Claim]) -> SharedStock:
    """Whole bars: all that is wanted, or all counts raised together while a further bar fits.

    A machine keeps its fixed mass once a batch, so what a batch takes is linear in its bars with an offset;
    one that gets no bars takes nothing.
    """
    wanted = [math.floor(claim.wanted) for claim in claims]
    lines = [_line(stock, claim) for claim in claims]
    needed_g = sum(line.at(bars) for line, bars in zip(lines, wanted, strict=True))
    bars = wanted if needed_g <= stock_g * (1 + _TIE) else _fair_bars(stock_g, lines, wanted)
    takes = [line.at(count) for line, count in zip(lines, bars, strict=True)]
    portions = tuple(
        Portion(claim, taken_g, _weigh_for(claim, count) if count else None, count)
        for claim, taken_g, count in zip(claims, takes, bars, strict=True)
    )
    return SharedStock(portions, needed_g, max(0.0, stock_g - sum(takes)))


@dataclass(frozen=True)
class _Line:
    """What a batch takes of the stock, by its bars [g]."""

    per_bar_g: float
    offset_g: float

    def at(self, bars: int) -> float:
        return self.per_bar_g * bars + self.offset_g if bars else 0.0


def _line(stock: str, claim: Claim) -> _Line:
    one, two = (_weigh_for(claim, bars) for bars in (1, 2))
    one_g, two_g = (share_of_stock(weigh, stock) * weigh.total_g for weigh in (one, two))
    return _Line(two_g - one_g, 2 * one_g - two_g)


def _weigh_for(claim: Claim, bars: int) -> Recipe:
    return batch_for_bars(claim.recipe, bars, claim.cavity_g, claim.loss).weigh


def _fair_bars(stock_g: float, lines: Sequence[_Line], wanted: Sequence[int]) -> list[int]:
    """Raise the count furthest behind its wish, again and again, until no further bar fits."""
    offsets_g = sum(line.offset_g for line in lines)
    fraction = (stock_g - offsets_g) / sum(line.per_bar_g * n for line, n in zip(lines, wanted, strict=True))
    bars = [max(0, math.floor(fraction * count)) for count in wanted]
    waiting = {index for index, count in enumerate(wanted) if bars[index] < count}
    while waiting:
        index = min(waiting, key=lambda i: ((bars[i] + 1) / wanted[i], i))
        tried = [count + (i == index) for i, count in enumerate(bars)]
        if sum(line.at(n) for line, n in zip(lines, tried, strict=True)) > stock_g * (1 + _TIE):
            waiting.discard(index)
        else:
            bars = tried
            if bars[index] == wanted[index]:
                waiting.discard(index)
    return bars


def _batch_taking(stock: str, claim: Claim, taken_g: float) -> Recipe:
    return claim.recipe.scaled(taken_g / share_of_stock(claim.recipe, stock))


def _check_claim(stock: str, claim: Claim, split: Split) -> None:
    if not share_of_stock(claim.recipe, stock):
        raise InputError(
            f"{claim.recipe.name} does not use {stock}",
            advice="Leave it out of this sharing.",
            field=claim.recipe.name,
        )
    if split is not Split.EQUAL:
        positive(claim.wanted, claim.recipe.name)
    if split is Split.BARS and claim.wanted < 1:
        raise InputError("Less than one bar is wanted", value=claim.wanted, field=claim.recipe.name)
    if split is Split.BARS:
        positive(claim.cavity_g, claim.recipe.name)
