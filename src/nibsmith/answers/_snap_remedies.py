"""The smallest amount of cocoa butter with which a mass moulds and snaps."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from nibsmith.answers._setting import setting_of
from nibsmith.answers._weighable import INSIDE_EPSILON, weighable, weighed_words
from nibsmith.answers.answer import BETTER, Change, Remedy, Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.mixture import Ingredient, Kind, Limit, Recipe, as_weighed
from nibsmith.science.quantities import format_percent
from nibsmith.science.tables import load
from nibsmith.science.temper import cocoa_butter_limit, fat_limit, purity_limit, softest_published

Ask = Callable[[Recipe], Verdict]
BUTTER = "cocoa_butter"
_ROUNDS = 3  # more butter can make a milk mass count as dark, which asks for more again


def remedies(recipe: Recipe, context: Context, verdict: Verdict, ask: Ask) -> Iterator[Remedy]:
    """Yield the smallest cocoa butter that makes the answer better, asked again.

    Parameters
    ----------
    recipe : Recipe
        The recipe as it stands.
    context : Context
        Its scale rounds the weight up.
    verdict : Verdict
        The answer as it stands.
    ask : callable
        Takes a recipe and gives its verdict.

    Yields
    ------
    Remedy
        At most one: it holds whatever the lot of nibs; if that cannot be had, the least that is no longer
        refused.
    """
    if verdict in (Verdict.GOOD, Verdict.UNKNOWN):
        return
    for limits in (_all_limits, _least_limit):
        remedy = _butter(recipe, context, limits)
        if remedy is not None and _is_smallest(recipe, remedy, verdict, ask):
            yield remedy
            return


def _is_smallest(recipe: Recipe, remedy: Remedy, verdict: Verdict, ask: Ask) -> bool:
    """Whether it makes the answer better, and half of it does not come as far."""
    whole = BETTER[ask(apply_remedy(recipe, remedy))]
    return whole > BETTER[verdict] and BETTER[ask(apply_remedy(recipe, remedy, 0.5))] < whole


def _butter(recipe: Recipe, context: Context, limits: Callable[[Recipe], list[Limit]]) -> Remedy | None:
    label, needed_g = _label(recipe), 0.0
    new = _buttered(recipe, label, 0.0)
    for _ in range(_ROUNDS):
        more_g = max(_missing(limit, new, label) for limit in limits(new))
        if more_g <= 0:
            break
        needed_g += more_g * (1 + INSIDE_EPSILON)
        new = _buttered(recipe, label, needed_g)
    if not needed_g:
        return None
    add_g = weighable(needed_g, context.scale_g)
    new = _buttered(recipe, label, add_g)
    return Remedy(
        _told(recipe, new, weighed_words(add_g, context.scale_g)),
        (Change(label, add_g, BUTTER),),
        new.total_g,
        checked=True,
    )


def _buttered(recipe: Recipe, label: str, add_g: float) -> Recipe:
    return apply_remedy(recipe, Remedy("", (Change(label, add_g, BUTTER),)))


def _label(recipe: Recipe) -> str:
    """The butter that goes into the machine already, or a label that no other part has."""
    for part in recipe.parts:
        same = isinstance(part.of, Ingredient) and part.of.key == BUTTER and part.kind is Kind.BUTTER
        if same and part.in_machine:
            return part.label
    return BUTTER if BUTTER not in {part.label for part in recipe.parts} else f"{BUTTER}_added"


def _all_limits(recipe: Recipe) -> list[Limit]:
    setting = setting_of(recipe)
    limits = [
        fat_limit(recipe, load("temper")["fat_hard"].value, "low"),
        cocoa_butter_limit(recipe, setting.chocolate, "low"),
    ]
    if setting.lowering_k is None or setting.lowering_k > softest_published():
        limits.append(purity_limit(recipe, softest_published()))
    return limits


def _least_limit(recipe: Recipe) -> list[Limit]:
    return [fat_limit(recipe, load("temper")["fat_refuse"].value, "low")]


def _missing(limit: Limit, recipe: Recipe, label: str) -> float:
    """Grams of butter that bring a lower limit to its bound: its linear row, solved for one amount."""
    row, _ = limit.rows()[0]
    return -sum(row[part.label] * part.mass_g for part in recipe.parts) / row[label]


def _told(recipe: Recipe, new: Recipe, amount: str) -> str:
    sentence = f"Add {amount} of cocoa butter."
    try:
        before, after = (as_weighed(one).percent("cocoa_as_weighed") for one in (recipe, new))
    except UnknownFigure:
        return sentence
    change = f"Cocoa goes from {format_percent(before)} to {format_percent(after)}"
    return f"{sentence} {change}, so look at the name again."
