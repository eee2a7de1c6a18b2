"""A balance in a sentence."""

from __future__ import annotations

from decimal import Decimal

from nibsmith.answers.balance.result import PartChange
from nibsmith.answers.balance.wishes import Wishes
from nibsmith.answers.context import Context
from nibsmith.answers.wording import grams, joined, thing
from nibsmith.science.formulate import Objective
from nibsmith.science.mixture import Recipe

FINEST_G = Decimal("0.001")  # no weight is said more finely than to a milligram
NO_CHANGE = "Nothing has to change: the recipe keeps every limit."


def change_sentence(
    after: Recipe, wishes: Wishes, context: Context, changes: tuple[PartChange, ...], total_g: float
) -> str:
    """Say what changes, how much is moved, and what there is of it then [g]."""
    if not changes:
        return NO_CHANGE
    step = context.scale_g
    # What the scale does not show is left out, unless there is nothing else to say.
    seen = [change for change in changes if 2 * abs(change.add_g) >= step] or changes
    said = [_change_words(change, after, context) for change in seen]
    moved_g = sum(abs(change.add_g) for change in seen)
    cheapest = wishes.objective is Objective.CHEAPEST
    aim = "The cheapest of what is weighed" if cheapest else "The least change"
    return f"{aim}: {joined(said)}; {_fine(moved_g, step)} moved, {grams(total_g, step)} in all."


def _change_words(change: PartChange, after: Recipe, context: Context) -> str:
    amount = _fine(abs(change.add_g), context.scale_g)
    return f"{amount} {'more' if change.add_g > 0 else 'less'} {thing(after.part(change.label))}"


def _fine(mass_g: float, step_g: Decimal) -> str:
    """A weight to the step of the scale, or finer where it would read as nothing."""
    while Decimal(repr(mass_g)) < step_g and step_g > FINEST_G:
        step_g /= 10
    return grams(mass_g, step_g)
