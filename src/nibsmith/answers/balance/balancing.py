"""Balance a recipe to a maker's wishes: the nearest or the cheapest that keeps them, or why there is none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from nibsmith.answers._limit_words import impossible_words, limit_words
from nibsmith.answers.answer import Change, Remedy
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.balance.limits import goal_of, limits_of
from nibsmith.answers.balance.wishes import Between, Wishes
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, grams, joined, thing
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.formulate import Impossible, Objective, Rounded, Solution, balance_on_scale
from nibsmith.science.formulate import balance as balanced_by
from nibsmith.science.legal import judge_name, jurisdictions
from nibsmith.science.mixture import Ingredient, Limit, Part, Recipe, part

FINEST_G = Decimal("0.001")  # no weight is said more finely than to a milligram
KEPT = 1e-9  # a limit missed by less than this, in its own unit, is kept; the solver promises a tenth of it


@dataclass(frozen=True)
class PartChange:
    """One part before and after [g]; ``new`` says that it was not in the recipe."""

    label: str
    name: str
    before_g: float
    after_g: float
    new: bool = False

    @property
    def add_g(self) -> float:
        """What to add, negative where less goes in [g]."""
        return self.after_g - self.before_g


@dataclass(frozen=True)
class Held:
    """One limit as asked, and whether the balanced recipe keeps it."""

    words: str
    reason: str
    kept: bool


@dataclass(frozen=True)
class Balanced:
    """What a balance comes to.

    ``recipe`` is the balanced recipe, ``None`` where there is none; ``changes`` the parts that differ;
    ``held`` every limit asked. ``on_scale`` is the same in amounts the scale can show, and
    ``missed_on_scale`` the limits that no rounding keeps. What is said and what the remedy changes is in
    amounts of the scale, as far as these keep the limits. ``cost_before`` and ``cost_after`` are per
    kilogram, ``None`` where a price is missing. Where there is no such recipe, ``sentence`` names limits
    that stand in each other's way and ``gives`` how far each would have to give; where something is not
    known, ``unknown`` says what.
    """

    possible: bool
    sentence: str
    recipe: Recipe | None = None
    changes: tuple[PartChange, ...] = ()
    held: tuple[Held, ...] = ()
    remedy: Remedy | None = None
    on_scale: Rounded | None = None
    missed_on_scale: tuple[str, ...] = ()
    cost_before: float | None = None
    cost_after: float | None = None
    remarks: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    impossible: Impossible | None = None
    unknown: str = ""

    @property
    def moved_g(self) -> float:
        """Everything put in and taken out [g]."""
        return sum(abs(change.add_g) for change in self.changes)

    @property
    def weigh_g(self) -> Mapping[str, float]:
        """What to weigh, by label [g]: on the scale where that keeps every limit, else exactly."""
        return weighed_g(self.recipe, self.on_scale, self.missed_on_scale)


def weighed_g(
    recipe: Recipe | None, on_scale: Rounded | None, missed: tuple[str, ...] = ()
) -> Mapping[str, float]:
    """Return what to weigh of a balanced recipe.

    Parameters
    ----------
    recipe : Recipe or None
        The balanced recipe [g].
    on_scale : Rounded or None
        The same in amounts of the scale [g].
    missed : tuple of str
        Limits that those amounts miss.

    Returns
    -------
    Mapping[str, float]
        Label to weight [g]; nothing where there is no recipe.

    Examples
    --------
    >>> dict(weighed_g(None, None))
    {}
    """
    if recipe is None:
        return {}
    exact = {each.label: each.mass_g for each in recipe.parts}
    if on_scale is None or missed:
        return exact
    return {label: on_scale.floats_g.get(label, mass_g) for label, mass_g in exact.items()}


def balance(recipe: Recipe, wishes: Wishes, context: Context) -> Balanced:
    """Balance a recipe to what is wished of it.

    Parameters
    ----------
    recipe : Recipe
        The recipe at its size [g].
    wishes : Wishes
        What is wished, read with ``wishes_from``.
    context : Context
        Its kit says how dry the mass ends and, where the total is free, how much it holds; its scale rounds.

    Returns
    -------
    Balanced
        The recipe, or the limits that stand in each other's way.

    Raises
    ------
    InputError
        If a wish speaks of a part that is not in the recipe or of an ingredient that is in no table.

    Examples
    --------
    >>> from nibsmith.answers.balance import wishes_from
    >>> from nibsmith.science.mixture import Form
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 600.0), part("sugar_granulated", 400.0)))
    >>> balanced = balance(bar, wishes_from({"share": {"sugar_granulated": {"max": 35}}}), Context())
    >>> [(change.label, round(change.add_g)) for change in balanced.changes]
    [('cocoa_mass', 50), ('sugar_granulated', -50)]
    """
    start = _with_offered(recipe, wishes.offer)
    try:
        limits = limits_of(start, wishes, context)
        goal = goal_of(wishes)
        found = balanced_by(start, limits, goal)
    except UnknownFigure as error:
        return Balanced(False, capital(str(error)), unknown=str(error))
    if isinstance(found, Impossible):
        sentence, gives = impossible_words(found)
        return Balanced(False, sentence, gives=gives, impossible=found)
    return _balanced(recipe, wishes, context, found)


def _with_offered(recipe: Recipe, offered: Sequence[str | Part]) -> Recipe:
    """The recipe with what may come in as parts of no weight."""
    keys = {part.of.key for part in recipe.parts if isinstance(part.of, Ingredient) and part.of.key}
    labels = {part.label for part in recipe.parts}
    parts = (part(each, 0.0) if isinstance(each, str) else each.weighing(0.0) for each in offered)
    new = tuple(each for each in parts if _key(each) not in keys and each.label not in labels)
    return replace(recipe, parts=(*recipe.parts, *new))


def _key(part: Part) -> str:
    return part.of.key if isinstance(part.of, Ingredient) else ""


def _balanced(recipe: Recipe, wishes: Wishes, context: Context, found: Solution) -> Balanced:
    after = _without_unused(recipe, found.recipe)
    limits = limits_of(found.recipe, wishes, context)
    changes = tuple(_changes(recipe, found))
    on_scale, missed = _on_scale(found.start, wishes, context)
    weigh_g = weighed_g(after, on_scale, missed)
    told = tuple(_told(recipe, after, weigh_g)) if changes else ()
    return Balanced(
        possible=True,
        sentence=_sentence(after, wishes, context, told, sum(weigh_g.values())),
        recipe=after,
        changes=changes,
        held=_held(limits, found),
        remedy=_remedy(recipe, after, wishes, context, (told, changes)),
        on_scale=on_scale,
        missed_on_scale=missed,
        cost_before=cost_per_kg(recipe),
        cost_after=cost_per_kg(after),
        remarks=tuple(_remarks(after, wishes, context)),
    )


def _held(limits: Sequence[Limit], found: Solution) -> tuple[Held, ...]:
    """Each limit once, however many ends of what varies it was asked at."""
    kept: dict[tuple[str, str], bool] = {}
    for limit in limits:
        said = limit_words(limit), limit.reason
        kept[said] = kept.get(said, True) and limit.gap(found.masses_g) <= KEPT
    return tuple(Held(words, reason, keeps) for (words, reason), keeps in kept.items())


def _without_unused(recipe: Recipe, after: Recipe) -> Recipe:
    """Leave out what was offered and not taken."""
    old = {part.label for part in recipe.parts}
    return replace(after, parts=tuple(each for each in after.parts if each.mass_g > 0 or each.label in old))


def _changes(recipe: Recipe, found: Solution) -> Iterator[PartChange]:
    old = {part.label for part in recipe.parts}
    for label in found.changes_g:
        before, after = found.start.part(label), found.masses_g[label]
        yield PartChange(label, before.name, before.mass_g, after, new=label not in old)


def _on_scale(start: Recipe, wishes: Wishes, context: Context) -> tuple[Rounded | None, tuple[str, ...]]:
    """The balance on the scale; none where the scale is too coarse for the batch."""
    rounded = balance_on_scale(start, limits_of(start, wishes, context), context.scale_g, goal_of(wishes))
    if isinstance(rounded, Impossible):
        return None, ()
    amounts, missed = rounded
    return amounts, tuple(limit_words(limit) for limit in missed)


def _told(recipe: Recipe, after: Recipe, weigh_g: Mapping[str, float]) -> Iterator[PartChange]:
    """What changes in the amounts that are weighed."""
    before = {each.label: each.mass_g for each in recipe.parts}
    for each in after.parts:
        old_g, new_g = before.get(each.label, 0.0), weigh_g[each.label]
        if new_g != old_g:
            yield PartChange(each.label, each.name, old_g, new_g, new=each.label not in before)


def _sentence(
    after: Recipe, wishes: Wishes, context: Context, changes: tuple[PartChange, ...], total_g: float
) -> str:
    if not changes:
        return "Nothing has to change: the recipe keeps every limit."
    step = context.scale_g
    # What the scale does not show is left out, unless there is nothing else to say.
    seen = [change for change in changes if 2 * abs(change.add_g) >= step] or changes
    said = [_change_words(change, after, context) for change in seen]
    moved_g = sum(abs(change.add_g) for change in seen)
    aim = "The cheapest" if wishes.objective is Objective.CHEAPEST else "The least change"
    return f"{aim}: {joined(said)}; {_fine(moved_g, step)} moved, {grams(total_g, step)} in all."


def _change_words(change: PartChange, after: Recipe, context: Context) -> str:
    amount = _fine(abs(change.add_g), context.scale_g)
    return f"{amount} {'more' if change.add_g > 0 else 'less'} {thing(after.part(change.label))}"


def _fine(mass_g: float, step_g: Decimal) -> str:
    """A weight to the step of the scale, or finer where it would read as nothing."""
    while Decimal(repr(mass_g)) < step_g and step_g > FINEST_G:
        step_g /= 10
    return grams(mass_g, step_g)


def _remedy(
    recipe: Recipe,
    after: Recipe,
    wishes: Wishes,
    context: Context,
    ways: tuple[tuple[PartChange, ...], ...],
) -> Remedy | None:
    """The change in amounts of the scale where those keep every wish, else exactly."""
    made = [_made(recipe, after, wishes, context, changes) for changes in ways if changes]
    return next((remedy for remedy in made if remedy.checked), made[-1] if made else None)


def _made(
    recipe: Recipe, after: Recipe, wishes: Wishes, context: Context, changes: tuple[PartChange, ...]
) -> Remedy:
    steps = tuple(
        Change(change.label, change.add_g, change.label if change.new else "") for change in changes
    )
    made = _without_unused(recipe, apply_remedy(_with_offered(recipe, wishes.offer), Remedy("", steps)))
    words = _sentence(after, wishes, context, changes, made.total_g)
    return Remedy(words, steps, made.total_g, keeps_all(made, wishes, context))


def keeps_all(recipe: Recipe, wishes: Wishes, context: Context) -> bool:
    """Whether a recipe keeps every wish, all limits worked out afresh on it.

    Parameters
    ----------
    recipe : Recipe
        The recipe [g].
    wishes : Wishes
        What is wished.
    context : Context
        Its kit and its currency.

    Returns
    -------
    bool
        Whether no limit is missed.

    Examples
    --------
    >>> from nibsmith.answers.balance import wishes_from
    >>> from nibsmith.science.mixture import Form
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 600.0), part("sugar_granulated", 400.0)))
    >>> keeps_all(bar, wishes_from({"share": {"sugar_granulated": {"max": 35}}}), Context())
    False
    """
    masses_g = {each.label: each.mass_g for each in recipe.parts}
    wanted = _there(recipe, replace(wishes, lock=()))
    return all(limit.gap(masses_g) <= KEPT for limit in limits_of(recipe, wanted, context))


def _there(recipe: Recipe, wishes: Wishes) -> Wishes:
    """The wishes without those on offered parts that did not come in."""
    labels = {each.label for each in recipe.parts}

    def there(wanted: Mapping[str, Between] | None) -> Mapping[str, Between]:
        return {label: between for label, between in (wanted or {}).items() if label in labels}

    return replace(wishes, shares=there(wishes.shares), masses_g=there(wishes.masses_g))


def cost_per_kg(recipe: Recipe) -> float | None:
    """Return what a kilogram of everything weighed costs, ``None`` where a part with weight has no price.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its prices.

    Returns
    -------
    float or None
        Cost [currency/kg].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form
    >>> cost_per_kg(Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0, price_per_kg=Decimal("12.5")),)))
    12.5
    """
    weighed = [each for each in recipe.parts if each.mass_g > 0]
    if any(each.price_per_kg is None for each in weighed):
        return None
    total = sum((each.price_per_kg or Decimal(0)) * Decimal(repr(each.mass_g)) for each in weighed)
    return float(total / Decimal(repr(recipe.total_g)))


def _remarks(after: Recipe, wishes: Wishes, context: Context) -> Iterator[str]:
    for market, key in wishes.called:
        verdict = judge_name(
            after,
            market,
            key,
            memory_rules=context.memory_rules,
            end_water_percent=context.end_water_percent,
        )
        if verdict.allowed.value != "yes":
            why = "; ".join(lack.sentence for lack in verdict.lacking) or verdict.allowed.value
            yield f"{jurisdictions()[market]}, {verdict.name}: not by amounts alone: {why}."
