"""The nearest change of a recipe that earns a name."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from nibsmith.answers.answer import Change, Remedy
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, exactly, joined, thing
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.legal import Allowed, Move, NameVerdict, judge_name, smallest_change
from nibsmith.science.legal.laws import words
from nibsmith.science.legal.requirements import Asked
from nibsmith.science.mixture import COCOA_KINDS, Ingredient, Kind, Part, Recipe, part

ADDED = COCOA_KINDS | {Kind.SUGAR, Kind.MILK}
# What may be taken out or swapped, and for which figures: nobody takes nuts out for want of cocoa.
OTHER_FIGURES = frozenset({"oef", "oef_not_nuts", "nuts", "hazel", "animal_fat", "chocolate", "shell"})
TAKEN_OUT: Mapping[Kind, frozenset[str]] = {
    Kind.OTHER_FOOD: OTHER_FIGURES,
    Kind.FLOUR: frozenset({"flour"}),
    Kind.EMULSIFIER: frozenset({"emulsifier"}),
}
STARCH, VEGETABLE_FAT = frozenset({"starch_sugar"}), frozenset({"vf", "other_oils"})
SOLID_COCOA = frozenset({Kind.BEAN, Kind.NIB, Kind.MASS})
FROM_THE_TABLE: Mapping[str, frozenset[Kind]] = {
    "cocoa_butter": frozenset({Kind.BUTTER}),
    "cocoa_mass": SOLID_COCOA,
    "milk_powder_whole": frozenset({Kind.MILK}),
    "sugar_granulated": frozenset({Kind.SUGAR}),
}
FINEST_DECIMALS = 5  # grams to a hundredth of a milligram: finer than any scale


@dataclass(frozen=True)
class Promise:
    """Changes that earn a name in one market."""

    verdict: NameVerdict
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Offer:
    """How much of each move a name needs [g]."""

    target: NameVerdict
    steps: tuple[tuple[float, Move], ...]

    @property
    def size_g(self) -> float:
        """Grams weighed or taken out."""
        return sum(amount_g * move.cost for amount_g, move in self.steps)


@dataclass(frozen=True)
class Choice:
    """A move, and the figures for which it is offered; none means for any."""

    move: Move
    figures: frozenset[str] = frozenset()


class Nearest:
    """A recipe, asked for the smallest change that earns a name."""

    def __init__(self, recipe: Recipe, context: Context) -> None:
        self.recipe = recipe
        self.context = context
        self.wider, self.choices = _choices(recipe)
        self.masses_g = {each.label: each.mass_g for each in self.wider.parts}
        self.asked = Asked(self.wider, memory_rules=context.memory_rules, end_water_percent=context.end_water)

    def earns(self, targets: Sequence[NameVerdict]) -> Promise | None:
        """Return the smallest checked change that earns any of these names."""
        offers = [offer for target in targets if (offer := self._offer(target)) is not None]
        smallest_first = sorted(offers, key=lambda offer: offer.size_g)
        return next((promise for offer in smallest_first for promise in self._checked(offer)), None)

    def _offer(self, target: NameVerdict) -> Offer | None:
        try:
            limits = self.asked.limits(target.jurisdiction, target.key, sure=True)
        except UnknownFigure:
            return None
        lacking = {lack.figure for lack in target.lacking}
        moves = [each.move for each in self.choices if not each.figures or lacking & _words(each.figures)]
        amounts_g = smallest_change(limits, self.masses_g, moves) or ()
        steps = tuple(step for step in zip(amounts_g, moves, strict=False) if step[0] > 0)
        return Offer(target, steps) if steps else None

    def _checked(self, offer: Offer) -> Iterator[Promise]:
        """Give the offer rounded as the scale weighs, or finer, once it is judged to hold."""
        for changes in _rounded(self.wider, self.context, offer.steps):
            if self._holds(offer.target, changes):
                yield Promise(offer.target, changes)
                return

    def _holds(self, target: NameVerdict, changes: tuple[Change, ...]) -> bool:
        verdict = judge_name(
            apply_remedy(self.recipe, Remedy("", changes)),
            target.jurisdiction,
            target.key,
            memory_rules=self.context.memory_rules,
            end_water_percent=self.context.end_water,
        )
        return verdict.allowed is Allowed.YES


def remedy(recipe: Recipe, promise: Promise, names: str) -> Remedy:
    """Return a promise as a remedy; ``names`` says what it earns where."""
    total_g = recipe.total_g + sum(change.add_g for change in promise.changes)
    sentence = f"{capital(joined(tuple(_steps(recipe, promise.changes))))}: then it may be called {names}."
    return Remedy(sentence, promise.changes, total_g, checked=True)


def _words(figures: frozenset[str]) -> set[str]:
    return {words("figures")[figure] for figure in figures}


def _rounded(
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


def _choices(recipe: Recipe) -> tuple[Recipe, list[Choice]]:
    """Return the recipe with what may be added as parts of no weight, and what may be done."""
    ground = [each for each in recipe.parts if each.in_machine and isinstance(each.of, Ingredient)]
    starchy = [each for each in ground if _holds_starch(each)]
    new = _new_parts(recipe, ground)
    added = [each for each in (*ground, *new) if each.kind in ADDED and not _holds_starch(each)]
    masses = [each for each in recipe.parts if each.in_machine and isinstance(each.of, Recipe)]
    choices = [Choice(Move({each.label: 1.0})) for each in (*masses, *added)]
    choices += _swaps(starchy, Kind.SUGAR, added, STARCH)
    fats = [each for each in ground if each.kind is Kind.VEGETABLE_FAT]
    choices += _swaps(fats, Kind.BUTTER, added, VEGETABLE_FAT)
    choices += [
        Choice(Move({each.label: -1.0}, each.mass_g), TAKEN_OUT[each.kind])
        for each in recipe.parts
        if each.kind in TAKEN_OUT and isinstance(each.of, Ingredient) and each.mass_g > 0
    ]
    return replace(recipe, parts=(*recipe.parts, *new)), choices


def _new_parts(recipe: Recipe, ground: Sequence[Part]) -> list[Part]:
    kinds = {each.kind for each in ground if not _holds_starch(each)}
    held = {leaf.kind for leaf in recipe.leaves() if leaf.mass_g > 0}
    # Milk is offered only where there is milk, mass only where there is powder: it stays the same thing.
    wanted = {Kind.BUTTER} | (held & {Kind.MILK}) | (SOLID_COCOA if Kind.POWDER in held else set())
    wanted |= {Kind.SUGAR} if any(_holds_starch(each) for each in ground) else set()
    return [
        _new_part(recipe, key) for key, like in FROM_THE_TABLE.items() if not kinds & like and like & wanted
    ]


def _swaps(
    out: Sequence[Part], kind: Kind, added: Sequence[Part], figures: frozenset[str]
) -> Iterator[Choice]:
    into = next((each.label for each in added if each.kind is kind), None)
    for each in out:
        if into is not None and each.mass_g > 0:
            yield Choice(Move({each.label: -1.0, into: 1.0}, each.mass_g), figures)


def _holds_starch(of: Part) -> bool:
    return isinstance(of.of, Ingredient) and words("tags")["icing_sugar"] in of.of.tags


def _new_part(recipe: Recipe, key: str) -> Part:
    labels = {each.label for each in recipe.parts}
    return part(key, 0.0, label=f"{key}_added" if key in labels else key)
