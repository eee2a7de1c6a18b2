"""What makes a recipe keep: a dry thing instead of a wet one, leaving it out, less of it, drying it first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from nibsmith.answers._weighable import INSIDE_EPSILON, weighable, weighed_words
from nibsmith.answers.answer import BETTER, Change, Remedy, Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, grams, joined, thing
from nibsmith.science.errors import InputError
from nibsmith.science.keep import (
    Replacement,
    Risk,
    extra_water,
    judge_inclusion,
    mass_water,
    replacement_for,
    water_limit,
    water_to_remove,
)
from nibsmith.science.mixture import Ingredient, Leaf, Recipe, ingredient
from nibsmith.science.tables import load

Ask = Callable[[Recipe], Verdict]
_LIMITS = {Verdict.STOP: "water_stop", Verdict.WATCH: "water_watch"}


def remedies(recipe: Recipe, context: Context, verdict: Verdict, ask: Ask) -> Iterator[Remedy]:
    """Yield what makes the answer better; every change of the recipe is asked again before it is offered.

    Parameters
    ----------
    recipe : Recipe
        The recipe as it stands.
    context : Context
        Its scale rounds the weights; what is taken out is rounded up.
    verdict : Verdict
        The answer as it stands.
    ask : callable
        Takes a recipe and gives its verdict.

    Yields
    ------
    Remedy
        Drying is a step of work, not a change of the recipe, and so is not marked as checked.
    """
    if verdict not in _LIMITS:
        return
    seen: set[tuple[Change, ...]] = set()
    for remedy in _offers(recipe, context, verdict):
        if remedy.sentence and not remedy.changes:
            yield remedy
        elif remedy.changes and remedy.changes not in seen and _helps(recipe, remedy, verdict, ask):
            seen.add(remedy.changes)
            total_g = apply_remedy(recipe, remedy).total_g
            yield Remedy(remedy.sentence, remedy.changes, total_g, checked=True)


def _helps(recipe: Recipe, remedy: Remedy, verdict: Verdict, ask: Ask) -> bool:
    """Whether the whole of it makes the answer better and half of it does not."""
    try:
        whole, half = apply_remedy(recipe, remedy), apply_remedy(recipe, remedy, 0.5)
    except InputError:  # it would leave nothing
        return False
    if not mass_water(whole).mass_g:
        return False
    return BETTER[ask(whole)] > BETTER[verdict] >= BETTER[ask(half)]


def _offers(recipe: Recipe, context: Context, verdict: Verdict) -> Iterator[Remedy]:
    wet = _wet_parts(recipe, verdict)
    yield _with_less(recipe, context, verdict, _instead(recipe, context, wet))
    if wet and verdict is Verdict.STOP:
        yield _with_less(recipe, context, verdict, _left_out(recipe, wet))
    if not wet:
        yield _drying(recipe, context, verdict)


def _wet_parts(recipe: Recipe, verdict: Verdict) -> dict[str, Leaf]:
    """Parts that bring the verdict about by what they are, by label, with the ingredient that does it."""
    risk = Risk.STOP if verdict is Verdict.STOP else Risk.WATCH
    found = list(mass_water(recipe).liquids) if risk is Risk.STOP else []
    outside = (leaf for leaf in recipe.leaves() if not leaf.in_machine and leaf.mass_g > 0)
    found += [leaf for leaf in outside if judge_inclusion(leaf).risk is risk]
    if risk is Risk.WATCH:
        found = [leaf for leaf in found if _replacement(leaf) is not None]
    return {leaf.part.label: leaf for leaf in found}


def _replacement(leaf: Leaf) -> Replacement | None:
    """What goes in its place; nothing is put inside a recipe used as a part."""
    return replacement_for(leaf.ingredient) if isinstance(leaf.part.of, Ingredient) else None


def _mass(recipe: Recipe, label: str) -> float:
    return recipe.part(label).mass_g


Step = tuple[Change, str]  # a change, and the ingredient it adds where it adds one


def _instead(recipe: Recipe, context: Context, wet: dict[str, Leaf]) -> list[Step]:
    """Put dry things in and take wet ones out, in this order so that the recipe is never empty between."""
    steps: list[Step] = []
    for label, leaf in wet.items():
        new = _replacement(leaf)
        if new is not None:
            add_g = weighable(_mass(recipe, label) * new.grams_per_gram, context.scale_g)
            change = Change(_free_label(recipe, new.key), add_g, new.key)
            steps.append((change, thing(ingredient(new.key))))
        steps.append((Change(label, -_mass(recipe, label)), ""))
    return steps


def _left_out(recipe: Recipe, labels: Iterable[str]) -> list[Step]:
    return [(Change(label, -_mass(recipe, label)), "") for label in labels]


def _free_label(recipe: Recipe, key: str) -> str:
    """The label of the part that is this ingredient already, or one that no other part has."""
    same = [part for part in recipe.parts if isinstance(part.of, Ingredient) and part.of.key == key]
    if same:
        return same[0].label
    return f"{key}_instead" if key in {part.label for part in recipe.parts} else key


def _with_less(recipe: Recipe, context: Context, verdict: Verdict, steps: list[Step]) -> Remedy:
    """Add to some changes the smallest cut of a damp part that they still need."""
    try:
        after = apply_remedy(recipe, Remedy("", tuple(change for change, _ in steps)))
    except InputError:  # nothing would be left
        return Remedy("")
    cut = _less(after, verdict, context)
    all_steps = _merged(steps, cut) if cut else steps
    return Remedy(_told(recipe, context, all_steps), tuple(change for change, _ in all_steps))


def _merged(steps: list[Step], cut: Change) -> list[Step]:
    """Put a cut to the changes; where the part is only now put in, put in less of it."""
    if cut.part not in {change.part for change, _ in steps}:
        return [*steps, (cut, "")]
    return [
        (replace(change, add_g=change.add_g + cut.add_g), adds) if change.part == cut.part else (change, adds)
        for change, adds in steps
    ]


def _less(recipe: Recipe, verdict: Verdict, context: Context) -> Change | None:
    """The smallest cut of the dampest part that keeps the limit on extra water, if one part is enough."""
    row, _ = water_limit(recipe, load("keep")[_LIMITS[verdict]].value).rows()[0]
    missing = -sum(row[part.label] * part.mass_g for part in recipe.parts)
    if missing <= 0:
        return None
    damp = max(recipe.parts, key=lambda part: -row[part.label] * part.mass_g)
    cut_g = missing / -row[damp.label] * (1 + INSIDE_EPSILON) if row[damp.label] < 0 else damp.mass_g
    cut_g = weighable(cut_g, context.scale_g)
    return Change(damp.label, -cut_g) if cut_g < damp.mass_g else None


def _told(recipe: Recipe, context: Context, steps: Sequence[Step]) -> str:
    words = []
    for change, adds in steps:
        if change.add_g > 0:
            words.append(f"put in {weighed_words(change.add_g, context.scale_g)} of {adds}")
        elif -change.add_g < _mass(recipe, change.part):
            name = thing(recipe.part(change.part))
            words.append(f"take out {weighed_words(-change.add_g, context.scale_g)} of {name}")
        else:
            words.append(f"leave out {thing(recipe.part(change.part))}")
    return f"{capital(joined(words))}." if words else ""


def _drying(recipe: Recipe, context: Context, verdict: Verdict) -> Remedy:
    """Drying the damp parts first: how much water they have to lose before they go in."""
    water = mass_water(recipe)
    limit_percent = load("keep")[_LIMITS[verdict]].value
    remove_g = water_to_remove(water.extra.low * water.mass_g / 100, water.mass_g, limit_percent)
    held = extra_water
    if not remove_g and _kept(context):
        limit_percent = load("keep")["finished_water_watch"].value
        remove_g = water_to_remove(water.charged.low * water.mass_g / 100, water.mass_g, limit_percent)
        held = _all_water
    if not remove_g:
        return Remedy("")
    leaves = [leaf for leaf in recipe.leaves() if leaf.in_machine and leaf.mass_g > 0]
    names: list[str] = []
    held_g = 0.0
    for leaf in sorted(leaves, key=lambda leaf: -leaf.mass_g * (held(leaf) or 0.0)):
        if held_g < remove_g:
            held_g += leaf.mass_g * (held(leaf) or 0.0)
            names.append(thing(leaf.ingredient))
    step_g = min(context.scale_g, load("keep")["drying_step"].decimal)
    return Remedy(
        f"Dry {joined(list(dict.fromkeys(names)))} first, until {grams(remove_g, step_g)} of water are gone."
    )


def _kept(context: Context) -> bool:
    """Whether the kit leaves the water in the mass, and no measured figure says otherwise."""
    said = None if context.process is None else context.process.end_water_percent
    return context.kit is not None and context.kit.end_water_percent is None and said is None


def _all_water(leaf: Leaf) -> float | None:
    """Return all the water that a gram brings, cocoa's own too [g/g]."""
    water = leaf.ingredient.composition.get("water_g")
    return None if water is None else water / 100
