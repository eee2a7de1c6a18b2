"""A change that earns a name: rounded as the scale weighs, and in words."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nibsmith.answers.answer import Change, Remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, exactly, joined, thing
from nibsmith.science.legal import Move, NameVerdict
from nibsmith.science.mixture import Ingredient, Part, Recipe, part

THEN = ": then it may be called"
MOST_MOVED = 3  # amounts that are moved by a step of the scale, every one with every other
FAR_FROM_HALF = 4  # steps that an amount holds at least where a step more of it still leaves half too little
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
    """Give the changes rounded up to the scale, then a step of it off that, then finer.

    A step is at most the smallest amount, so that half of what is rounded up is less than what is needed.
    Where an amount has an upper end too, one step more or less beside others can hold where rounding all up
    does not.
    """
    least_g = min(amount_g for amount_g, _ in steps)
    for decimals in range(FINEST_DECIMALS + 1):
        step_g = float(context.scale_g) / 10**decimals
        if step_g <= least_g:
            up = [(_up(amount_g, step_g, move), move) for amount_g, move in steps]
            moved = not decimals and FAR_FROM_HALF * step_g <= least_g
            for off in _offsets(len(up)) if moved else [(0,) * len(up)]:
                pairs = zip(up, off, strict=True)
                yield _changes(wider, [(_off(one[0], one[1], by * step_g), one[1]) for one, by in pairs])


def _offsets(count: int) -> list[tuple[int, ...]]:
    """Return how many steps each of several amounts is moved, the least in all first."""
    if not 1 < count <= MOST_MOVED:
        return [(0,) * count]
    return sorted(itertools.product((0, 1, -1), repeat=count), key=lambda off: sum(map(abs, off)))


def _off(amount_g: float, move: Move, by_g: float) -> float:
    if not by_g:
        return amount_g  # all of a part is not rounded: a crumb of it would keep a gate shut
    moved_g = max(0.0, round(amount_g + by_g, FINEST_DECIMALS + 1))
    return moved_g if move.most_g is None else min(moved_g, move.most_g)


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
        if change.part in labels and change.add_g == -labels[change.part].mass_g:
            yield f"take out all the {name}"
        else:
            yield f"{'add' if change.add_g > 0 else 'take out'} {exactly(abs(change.add_g))} {name}"
