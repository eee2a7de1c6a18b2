"""A change that earns a name: rounded as the scale weighs, and in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nibsmith.answers.answer import Change, Remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, exactly, joined, thing
from nibsmith.science.legal import Move, NameVerdict
from nibsmith.science.mixture import Ingredient, Part, Recipe, part

THEN = ": then it may be called"
FINEST_DECIMALS = 5  # grams to a hundredth of a milligram: finer than any scale


@dataclass(frozen=True)
class Promise:
    """Changes that earn a name in one market."""

    verdict: NameVerdict
    changes: tuple[Change, ...]


def remedy(recipe: Recipe, promise: Promise, names: str) -> Remedy:
    """Return a promise as a remedy; ``names`` says what it earns where."""
    total_g = recipe.total_g + sum(change.add_g for change in promise.changes)
    sentence = f"{capital(joined(tuple(_steps(recipe, promise.changes))))}{THEN} {names}."
    return Remedy(sentence, promise.changes, total_g, checked=True)


def rounded(
    wider: Recipe, context: Context, steps: Sequence[tuple[float, Move]]
) -> Iterator[tuple[Change, ...]]:
    """Give the changes rounded up, first to the scale, then finer.

    A step is at most the smallest amount, so that half of what is rounded up is less than what is needed.
    """
    least_g = min(amount_g for amount_g, _ in steps)
    for decimals in range(FINEST_DECIMALS + 1):
        step_g = float(context.scale_g) / 10**decimals
        if step_g <= least_g:
            yield _changes(wider, [(_up(amount_g, step_g, move), move) for amount_g, move in steps])


def _up(amount_g: float, step_g: float, move: Move) -> float:
    # The margin keeps a whole number of steps from being rounded one further by the noise of floats.
    steps = math.ceil(amount_g / step_g * (1 - STEP_MARGIN))
    rounded = round(steps * step_g, FINEST_DECIMALS + 1)
    return rounded if move.most_g is None else min(rounded, move.most_g)


STEP_MARGIN = 1e-12  # relative: far below any step


def _changes(wider: Recipe, used: Sequence[tuple[float, Move]]) -> tuple[Change, ...]:
    totals: dict[str, float] = {}
    for amount_g, move in used:
        for label, delta in move.deltas.items():
            totals[label] = totals.get(label, 0.0) + delta * amount_g
    return tuple(
        Change(label, add_g, _ingredient_key(wider.part(label)))
        for label, add_g in totals.items()
        if add_g != 0
    )


def _ingredient_key(of: Part) -> str:
    """Name the ingredient of a part that is not in the recipe yet; the others are found by their label."""
    return of.of.key if of.mass_g == 0 and isinstance(of.of, Ingredient) else ""


def _steps(recipe: Recipe, changes: Sequence[Change]) -> Iterator[str]:
    labels = {each.label: each for each in recipe.parts}
    for change in changes:
        name = thing(labels[change.part] if change.part in labels else part(change.ingredient, 0.0))
        verb = "add" if change.add_g > 0 else "take out"
        yield f"{verb} {exactly(abs(change.add_g))} {name}"
