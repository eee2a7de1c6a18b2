"""One stock shared between recipes: what each gets, what it makes of it, and what is short or left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nibsmith.answers._out import loss_of
from nibsmith.answers._stock_words import stock_words
from nibsmith.answers.context import Context
from nibsmith.answers.weigh_out import weighing_faults
from nibsmith.answers.wording import grams, joined
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Claim, Portion, SharedStock, Split
from nibsmith.science.formulate import share_out as shared_by
from nibsmith.science.kit import Kit
from nibsmith.science.mixture import Recipe

SHORT_G = 1e-6  # a stock short by less than a microgram is not short


@dataclass(frozen=True)
class SharePortion:
    """What one recipe gets of the stock [g], the batch it makes of it, and its bars where bars are shared.

    ``remarks`` say what is wrong with weighing that batch: a charge its kit does not take, doses the scale
    cannot weigh.
    """

    name: str
    takes_g: float
    recipe: Recipe | None
    bars: int | None
    sentence: str
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class SharedOut:
    """A stock shared out, in the order of the recipes.

    ``short_g`` is missing for all wishes, ``left_g`` stays [g].
    """

    sentence: str
    portions: tuple[SharePortion, ...]
    left_g: float
    short_g: float


def share_out(
    stock: str,
    stock_g: float,
    recipes: Sequence[Recipe],
    context: Context,
    *,
    split: Split = Split.EQUAL,
    wanted: Sequence[float] | None = None,
    use_up: bool = False,
    kits: Sequence[Kit | None] | None = None,
) -> SharedOut:
    """Share one stock between recipes.

    Parameters
    ----------
    stock : str
        A part label or an ingredient key.
    stock_g : float
        How much there is of it [g].
    recipes : sequence of Recipe
        The recipes that take from it.
    context : Context
        Its kit and mould count where bars are wanted.
    split : Split
        Equal, by the weight of the batches, or by bars.
    wanted : sequence of float, optional
        A weight [g] or a number of bars for each recipe; their own weights where none is given.
    use_up : bool
        By weight: whether the batches grow until the stock is used up.
    kits : sequence of Kit, optional
        What each recipe is ground with; the kit of the context for all where they are not given.

    Returns
    -------
    SharedOut
        What each gets, with a sentence.

    Raises
    ------
    InputError
        If a recipe does not use the stock, a number is missing, or bars are wanted without a mould.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> dark = Recipe("Dark", Form.BAR, (part("cocoa_mass", 75.0), part("sugar_granulated", 25.0)))
    >>> mild = Recipe("Mild", Form.BAR, (part("cocoa_mass", 50.0), part("sugar_granulated", 50.0)))
    >>> shared = share_out("cocoa_mass", 600.0, [dark, mild], Context())
    >>> [round(each.recipe.total_g) for each in shared.portions]
    [400, 600]
    """
    claims = _claims(recipes, context, split, wanted)
    shared = shared_by(stock, stock_g, claims, split, use_up=use_up)
    machines = [context.kit] * len(recipes) if kits is None else kits
    portions = tuple(
        _portion(portion, replace(context, kit=kit))
        for portion, kit in zip(shared.portions, machines, strict=True)
    )
    return SharedOut(
        _sentence(stock, stock_g, recipes, shared, context), portions, shared.left_g, shared.short_g
    )


def _claims(
    recipes: Sequence[Recipe], context: Context, split: Split, wanted: Sequence[float] | None
) -> list[Claim]:
    if wanted is not None and len(wanted) != len(recipes):
        raise InputError(
            "Each recipe needs its own number", value=len(wanted), limit=len(recipes), field="wanted"
        )
    if split is Split.BARS and (context.mould is None or wanted is None):
        raise InputError(
            "To share by bars takes a mould and a number of bars for each recipe",
            advice="Choose a mould and say how many bars of each.",
            field="mould" if context.mould is None else "wanted",
        )
    numbers = [recipe.total_g for recipe in recipes] if wanted is None else wanted
    cavity_g = 0.0 if context.mould is None else context.mould.cavity_g
    loss = loss_of(context, context.end_water_percent)
    return [Claim(recipe, number, cavity_g, loss) for recipe, number in zip(recipes, numbers, strict=True)]


def _portion(portion: Portion, context: Context) -> SharePortion:
    name, step = portion.claim.recipe.name, context.scale_g
    takes = grams(portion.takes_g, step)
    if portion.recipe is None:
        words = f"{name}: not enough for one bar."
    elif portion.bars is None:
        words = f"{name}: {takes} of it, a batch of {grams(portion.recipe.total_g, step)}."
    else:
        of = portion.claim.wanted
        words = f"{name}: {takes} of it, {portion.bars} of the {of:.0f} bars wanted."
    faults = () if portion.recipe is None else weighing_faults(portion.recipe, context)
    return SharePortion(name, portion.takes_g, portion.recipe, portion.bars, words, faults)


def _sentence(
    stock: str, stock_g: float, recipes: Sequence[Recipe], shared: SharedStock, context: Context
) -> str:
    step = context.scale_g
    names = joined([each.name for each in recipes])
    what = f"{grams(stock_g, step)} of {stock_words(stock, *recipes)} for {names}"
    left = grams(shared.left_g, step) if shared.left_g > SHORT_G else ""
    if shared.short_g > SHORT_G:
        tail = f"; whole bars leave {left} of it" if left else ""
        return f"{what}: {grams(shared.short_g, step)} short of what is wanted, so all get less{tail}."
    if left:
        return f"{what}: enough, and {left} is left."
    return f"{what}: all of it is used."
