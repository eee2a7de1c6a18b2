"""What comes out of a kit from what a recipe weighs, with the range of what stays behind."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.answers.context import Context
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.formulate import Batch, MachineLoss, batch_of
from nibsmith.science.mixture import Recipe, Span


@dataclass(frozen=True)
class Out:
    """The batch as usual, and what it yields at least and at most [g].

    ``end_water_percent`` is the water of the finished mass that was reckoned with [%]. It is ``None``, and
    the water stays as charged, where the kit drives none out or ``water_unknown`` names parts without any.
    """

    batch: Batch
    product_g: Span
    end_water_percent: float | None
    water_unknown: tuple[str, ...] = ()


def out_of(recipe: Recipe, context: Context) -> Out:
    """Return what comes out of the kit.

    Parameters
    ----------
    recipe : Recipe
        What is weighed.
    context : Context
        Its kit keeps some back and drives water out; its mould gives the mass of a bar. Without a kit nothing
        is lost.

    Returns
    -------
    Out
        The usual batch; the low end keeps the most back [g].
    """
    try:
        return _out(recipe, context, context.end_water_percent, ())
    except UnknownFigure as error:
        return _out(recipe, context, None, error.missing)


def all_comes_out(context: Context) -> bool:
    """Whether nothing is said that stays behind or leaves, so that what is weighed comes out."""
    return context.kit is None and not context.residue_g.value and not context.loss_percent


def loss_of(context: Context, end_water_percent: float | None) -> MachineLoss:
    """Return what is usually kept back, nothing where nothing is said, and how dry the mass ends."""
    return MachineLoss(context.residue_g.value, context.loss_percent, end_water_percent)


def _out(recipe: Recipe, context: Context, end_water: float | None, unknown: tuple[str, ...]) -> Out:
    kept, percent = context.residue_g, context.loss_percent
    cavity_g = 0.0 if context.mould is None else context.mould.cavity_g
    most, usual, least = (
        batch_of(recipe, cavity_g, MachineLoss(kept_g, percent, end_water))
        for kept_g in (kept.high, kept.value, kept.low)
    )
    return Out(usual, Span(most.product_g, usual.product_g, least.product_g), end_water, unknown)
