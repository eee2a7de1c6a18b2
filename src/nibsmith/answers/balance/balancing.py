"""Balance a recipe to a maker's wishes: the nearest or the cheapest that keeps them, or why there is none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from nibsmith.answers._limit_words import advice_words, impossible_words, limit_words
from nibsmith.answers._prices import priced, prices_of
from nibsmith.answers.answer import Answer, Change, Remedy, Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.balance.limits import goal_of, limits_of
from nibsmith.answers.balance.names import asked_names
from nibsmith.answers.balance.pouring import ROUNDS, Pouring, pouring_of
from nibsmith.answers.balance.result import KEPT, Balanced, Held, PartChange, weighed_g
from nibsmith.answers.balance.wishes import Between, Wishes
from nibsmith.answers.balance.words import change_sentence
from nibsmith.answers.context import Context
from nibsmith.answers.cost import cost_per_kg, of_what
from nibsmith.answers.sizing import weighed_for
from nibsmith.answers.weigh_out import weighing_faults
from nibsmith.science.errors import InputError, OutOfRange, UnknownFigure, UnknownPrice
from nibsmith.science.formulate import Impossible, Objective, Rounded, Solution, balance_on_scale
from nibsmith.science.formulate import balance as balanced_by
from nibsmith.science.mixture import Ingredient, Limit, Part, Recipe, part


def balance(recipe: Recipe, wishes: Wishes, context: Context) -> Balanced:
    """Balance a recipe to what is wished of it.

    Parameters
    ----------
    recipe : Recipe
        The recipe at its size [g].
    wishes : Wishes
        What is wished, read with ``wishes_from``.
    context : Context
        Its kit says how dry the mass ends, what stays on the machine and, where the total is free, how much
        it holds; its scale rounds; its bean yield turns the price of beans into that of nibs.

    Returns
    -------
    Balanced
        The recipe, or the limits that stand in each other's way.

    Raises
    ------
    InputError
        If a wish speaks of a part that is not in the recipe or of an ingredient that is in no table, or the
        cheapest is asked for and nothing limits it.

    Examples
    --------
    >>> from nibsmith.answers.balance import wishes_from
    >>> from nibsmith.science.mixture import Form
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 600.0), part("sugar_granulated", 400.0)))
    >>> balanced = balance(bar, wishes_from({"share": {"sugar_granulated": {"max": 35}}}), Context())
    >>> [(change.label, round(change.add_g)) for change in balanced.changes]
    [('cocoa_mass', 50), ('sugar_granulated', -50)]
    """
    _check_limited(wishes)
    start = _with_offered(recipe, wishes.offer)
    try:
        found = _found(_Asked(recipe, start, wishes, context))
    except (UnknownFigure, OutOfRange) as error:
        return Balanced(str(error), unknown=str(error))
    if isinstance(found, Impossible):
        sentence, gives = impossible_words(found)
        return Balanced(sentence, gives=gives, advice=advice_words(found), impossible=found)
    return found


def _check_limited(wishes: Wishes) -> None:
    """Refuse the cheapest of anything: a limit on the cost alone keeps nothing out either."""
    if wishes.objective is Objective.CHEAPEST and not (
        wishes.properties
        or wishes.shares
        or wishes.masses_g
        or wishes.lock
        or wishes.called
        or wishes.pours
        or wishes.pours_for
    ):
        raise InputError(
            "Without a limit the cheapest is one ingredient alone",
            advice="Say what must hold, such as a figure, a share or a name.",
            field="objective",
        )


def _with_offered(recipe: Recipe, offered: Sequence[str | Part]) -> Recipe:
    """The recipe with what may come in as parts of no weight."""
    keys = {part.of.key for part in recipe.parts if isinstance(part.of, Ingredient) and part.of.key}
    labels = {part.label for part in recipe.parts}
    parts = (part(each, 0.0) if isinstance(each, str) else each.weighing(0.0) for each in offered)
    new = tuple(each for each in parts if _key(each) not in keys and each.label not in labels)
    return replace(recipe, parts=(*recipe.parts, *new))


def _key(part: Part) -> str:
    return part.of.key if isinstance(part.of, Ingredient) else ""


@dataclass(frozen=True)
class _Asked:
    """What was asked: the recipe, the same with what may come in, the wishes, the workshop."""

    recipe: Recipe
    start: Recipe
    wishes: Wishes
    context: Context

    def reckoned(self) -> Recipe:
        """The start with the prices its parts are reckoned at, where cost matters; refuse one that lacks."""
        wishes, context = self.wishes, self.context
        if wishes.objective is not Objective.CHEAPEST and wishes.cost_per_kg is None:
            return self.start
        prices = prices_of(self.start, context).items()
        missing = [
            self.start.part(label).name if isinstance(self.start.part(label).of, Ingredient) else name
            for label, price in prices
            for name in price.missing
        ]
        if missing:
            raise UnknownPrice("the cost", list(dict.fromkeys(missing)))
        return priced(self.start, context)


def _found(asked: _Asked) -> Balanced | Impossible:
    """Balance; where it must pour, again on what came of it until the answer says that it does."""
    pouring = pouring_of(asked.wishes, asked.context)
    found = _turn(asked, pouring, asked.start, 0)
    for turn in range(1, ROUNDS):
        if isinstance(found, Impossible) or found.pours is None or found.pours.verdict is Verdict.GOOD:
            break
        before, found = found, _turn(asked, pouring, found.solved.recipe, turn)
        if pouring.tightens(turn) and isinstance(found, _Turn) and found.weigh == before.weigh:
            break  # it is not fat that keeps the answer from being good
    return found if isinstance(found, Impossible) else _balanced(asked, found, pouring)


@dataclass(frozen=True)
class _Turn:
    """One solution exactly and as it is weighed, what the scale misses, and whether it pours if asked."""

    solved: Solution
    after: Recipe
    weigh: Recipe
    on_scale: Rounded | None
    missed: tuple[str, ...]
    pours: Answer | None


def _turn(asked: _Asked, pouring: Pouring, here: Recipe, turn: int) -> _Turn | Impossible:
    """Solve with the flow as worked out on a recipe; no amounts of the scale where it is too coarse."""
    reckoned, goal = asked.reckoned(), goal_of(asked.wishes)
    limits = (*limits_of(asked.start, asked.wishes, asked.context), *pouring.limits(here, turn))
    found = balanced_by(reckoned, limits, goal)
    if isinstance(found, Impossible):
        return found
    solved = replace(found, start=asked.start)
    after = _without_unused(asked.recipe, solved.recipe)
    rounded = balance_on_scale(reckoned, limits, asked.context.scale_g, goal)
    on_scale, broken = (None, ()) if isinstance(rounded, Impossible) else rounded
    missed = tuple(limit_words(limit) for limit in broken)
    weigh = after.weighing(weighed_g(after, on_scale, missed))
    return _Turn(solved, after, weigh, on_scale, missed, pouring.answer(weigh))


def _balanced(asked: _Asked, found: _Turn, pouring: Pouring) -> Balanced:
    recipe, wishes, context, after = asked.recipe, asked.wishes, asked.context, found.after
    changes = tuple(_changes(recipe, found.solved))
    told = tuple(_told(recipe, found.weigh)) if changes else ()
    names, pours = asked_names(after, wishes, context), found.pours
    thick = () if pours is None or pours.verdict in {Verdict.GOOD, Verdict.UNKNOWN} else (pours.sentence,)
    untold = (pours.sentence,) if pours is not None and pours.verdict is Verdict.UNKNOWN else ()
    unmet, doubts = (*names.refused, *thick), (*names.doubtful, *untold)
    sentence = change_sentence(after, wishes, context, told, found.weigh.total_g)
    if (unmet or doubts) and not told:
        sentence = "No amount has to change for the rest."
    before = cost_per_kg(_as_made(recipe, context), context)
    limits = limits_of(found.solved.recipe, wishes, context)
    remedy = _remedy(asked, after, (told, changes))
    return Balanced(
        sentence=" ".join((*unmet, *doubts, sentence)),
        recipe=after,
        changes=changes,
        held=(*_held(limits, found.solved), *pouring.held(pours, found.weigh)),
        remedy=remedy if remedy is None or not unmet else replace(remedy, checked=False),
        on_scale=found.on_scale,
        missed_on_scale=found.missed,
        cost_before=before,
        cost_after=cost_per_kg(after, context) if changes else before,
        cost_of=of_what(context),
        remarks=weighing_faults(after, context),
        unmet=unmet,
        doubts=doubts,
    )


def _as_made(recipe: Recipe, context: Context) -> Recipe:
    """What is weighed for a number of bars, as the answer on the cost takes it; else the recipe."""
    for_bars = context.bars and context.mould is not None
    return weighed_for(recipe, context.bars, context) if for_bars and context.bars else recipe


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


def _told(recipe: Recipe, weigh: Recipe) -> Iterator[PartChange]:
    """What changes in the amounts that are weighed."""
    before = {each.label: each.mass_g for each in recipe.parts}
    for each in weigh.parts:
        old_g = before.get(each.label, 0.0)
        if each.mass_g != old_g:
            yield PartChange(each.label, each.name, old_g, each.mass_g, new=each.label not in before)


def _remedy(asked: _Asked, after: Recipe, ways: tuple[tuple[PartChange, ...], ...]) -> Remedy | None:
    """The change in amounts of the scale where those keep every wish, else exactly."""
    made = [_made(asked, after, changes) for changes in ways if changes]
    return next((remedy for remedy in made if remedy.checked), made[-1] if made else None)


def _made(asked: _Asked, after: Recipe, changes: tuple[PartChange, ...]) -> Remedy:
    steps = tuple(
        Change(change.label, change.add_g, change.label if change.new else "") for change in changes
    )
    made = _without_unused(asked.recipe, apply_remedy(asked.start, Remedy("", steps)))
    words = change_sentence(after, asked.wishes, asked.context, changes, made.total_g)
    return Remedy(words, steps, made.total_g, keeps_all(made, asked.wishes, asked.context))


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
        Whether no limit is missed, and it pours where that is wished.

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
    if any(limit.gap(masses_g) > KEPT for limit in limits_of(recipe, wanted, context)):
        return False
    pours = pouring_of(wishes, context).answer(recipe)
    return pours is None or pours.verdict is Verdict.GOOD


def _there(recipe: Recipe, wishes: Wishes) -> Wishes:
    """The wishes without those on offered parts that did not come in."""
    labels = {each.label for each in recipe.parts}

    def there(wanted: Mapping[str, Between] | None) -> Mapping[str, Between]:
        return {label: between for label, between in (wanted or {}).items() if label in labels}

    return replace(wishes, shares=there(wishes.shares), masses_g=there(wishes.masses_g))
