"""What can still be done: what is in the bowl cannot come out, so the smallest additions bring it back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from nibsmith.answers._foreign import foreign_words
from nibsmith.answers._kit_words import the_kit
from nibsmith.answers._limit_words import impossible_words
from nibsmith.answers._weighable import step_within, weighed_words
from nibsmith.answers.answer import Change, Remedy
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.weigh_out import coarse_words
from nibsmith.answers.who_must_not import brought_words
from nibsmith.answers.wording import capital, grams, joined, thing
from nibsmith.science.formulate import (
    Bench,
    FigureChange,
    Impossible,
    Rescue,
    Tolerance,
    bowl_recipe,
    figure_changes,
    rescue_limits,
    usual_tolerance,
)
from nibsmith.science.formulate import rescue as rescued_by
from nibsmith.science.mixture import Kind, Part, Recipe, Stage

KEPT = 1e-9  # a limit missed by less than this, in its own unit, is kept; the solver promises a tenth of it
# shares of the tolerance tried in turn, until rounding to the scale stays within it
TIGHTER_STEPS = (1.0, 0.9, 0.75, 0.5)


@dataclass(frozen=True)
class Addition:
    """What goes in of one part: exactly, and on the scale [g]."""

    label: str
    name: str
    add_g: float
    weigh_g: Decimal


@dataclass(frozen=True)
class Rescued:
    """What can be done about a bowl.

    ``possible`` says whether something can; ``bowl`` is what is in it, ``recipe`` everything afterwards.
    ``changes`` are figures of the recipe and of the bowl afterwards [%]. Where nothing can be done,
    ``gives`` says how far each limit in the way would have to give.
    """

    possible: bool
    sentence: str
    bowl: Recipe
    recipe: Recipe | None = None
    additions: tuple[Addition, ...] = ()
    shares: Mapping[str, tuple[float, float]] | None = None
    changes: tuple[FigureChange, ...] = ()
    remedy: Remedy | None = None
    remarks: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    impossible: Impossible | None = None

    @property
    def added_g(self) -> float:
        """Everything that goes in [g]."""
        return sum(addition.add_g for addition in self.additions)


@dataclass(frozen=True)
class Moment:
    """What is being done now, and how much can still be changed.

    ``grind_on`` says that the maker will grind for hours more; ``only_shelf`` that what is not on the shelf
    cannot be had; ``foreign`` is what is in the bowl and not in the recipe [g].
    """

    stage: Stage = Stage.START
    grind_on: bool = False
    only_shelf: bool = False
    tolerance: Tolerance | None = None
    foreign: tuple[Part, ...] = ()


def rescue(
    recipe: Recipe, bowl_g: Mapping[str, float], context: Context, moment: Moment | None = None
) -> Rescued:
    """Say what to add to a bowl so that it is the recipe again.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bowl_g : Mapping[str, float]
        Part label to what is in the bowl [g].
    context : Context
        Its kit says how much it holds, its shelf what there is, its scale rounds.
    moment : Moment, optional
        Where the work stands; at the start where none is given.

    Returns
    -------
    Rescued
        The smallest additions, or what stands in the way.

    Raises
    ------
    InputError
        If the bowl is empty or speaks of parts that are not in the recipe.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> back = rescue(bar, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0}, Context())
    >>> [(addition.label, str(addition.weigh_g)) for addition in back.additions]
    [('cocoa_mass', '59')]
    """
    now = moment or Moment()
    bench = _bench(now, context)
    bowl = bowl_recipe(recipe, bowl_g, now.foreign)
    if any(part.mass_g > 0 for part in now.foreign):
        sentence, gives = foreign_words(recipe, bowl_g, context, bench, now.foreign)
        sentence = " ".join((sentence, *brought_words(recipe, bowl)))
        return Rescued(False, sentence, bowl, gives=gives)
    found = rescued_by(recipe, bowl_g, bench, now.foreign)
    if isinstance(found, Impossible):
        sentence, gives = impossible_words(found)
        return Rescued(False, sentence, bowl, gives=gives, impossible=found)
    return _rescued(recipe, bowl_g, context, now, found)


def _bench(now: Moment, context: Context) -> Bench:
    return Bench(
        stage=now.stage,
        grind_on=now.grind_on,
        machine_max_g=None if context.kit is None else context.kit.charge_max_g,
        shelf_g=context.shelf_g,
        only_shelf=now.only_shelf,
        tolerance=now.tolerance or usual_tolerance(),
    )


def _rescued(
    recipe: Recipe, bowl_g: Mapping[str, float], context: Context, now: Moment, found: Rescue
) -> Rescued:
    weighed = _on_scale(recipe, bowl_g, context, now)
    labels = tuple(dict.fromkeys((*found.add_g, *weighed)))
    additions = tuple(
        Addition(
            label, found.bowl.part(label).name, found.add_g.get(label, 0.0), weighed.get(label, Decimal(0))
        )
        for label in labels
    )
    after = _after(found, additions, weighed=bool(weighed))
    return Rescued(
        possible=True,
        sentence=_sentence(found.bowl, additions, after, context),
        bowl=found.bowl,
        recipe=after,
        additions=additions,
        shares={part.label: (found.shares[part.label][0], after.share(part.label)) for part in after.parts},
        changes=figure_changes(recipe, after),
        remedy=_remedy(recipe, bowl_g, context, now, found.bowl, after),
        remarks=tuple(_remarks(found, context, now, weighed)),
    )


def _after(found: Rescue, additions: tuple[Addition, ...], *, weighed: bool) -> Recipe:
    """The bowl with what the scale can weigh of each addition, exactly where it is too coarse for that."""
    if not weighed:
        return found.recipe
    masses = {each.label: found.bowl.part(each.label).mass_g + float(each.weigh_g) for each in additions}
    return replace(found.bowl.weighing(masses), name=found.recipe.name)


def _on_scale(
    recipe: Recipe, bowl_g: Mapping[str, float], context: Context, now: Moment
) -> Mapping[str, Decimal]:
    """The additions as the scale shows them, within tolerance still; empty where it is too coarse."""
    limits = rescue_limits(recipe, bowl_g, _bench(now, context), now.foreign)
    usual = now.tolerance or usual_tolerance()
    for factor in TIGHTER_STEPS:
        tolerance = Tolerance(usual.points_percent * factor, usual.of_share_percent * factor)
        found = rescued_by(recipe, bowl_g, _bench(replace(now, tolerance=tolerance), context), now.foreign)
        if isinstance(found, Impossible):
            return {}
        for way in (ROUND_HALF_UP, ROUND_CEILING):
            weighed = {
                label: _to_step(add_g, step_within(add_g, context.scale_g), way)
                for label, add_g in found.add_g.items()
            }
            masses_g = {
                part.label: part.mass_g + float(weighed.get(part.label, 0)) for part in found.bowl.parts
            }
            if all(limit.gap(masses_g) <= KEPT for limit in limits):
                return weighed
    return {}


def _to_step(mass_g: float, step_g: Decimal, way: str) -> Decimal:
    return (Decimal(repr(mass_g)) / step_g).quantize(Decimal(1), rounding=way) * step_g


def _sentence(bowl: Recipe, additions: tuple[Addition, ...], after: Recipe, context: Context) -> str:
    if not additions:
        return "Nothing has to go in: the shares are within tolerance of the recipe."
    step = context.scale_g
    said = [
        f"{weighed_words(float(each.weigh_g), step) if each.weigh_g else grams(each.add_g, step)}"
        f" of {thing(bowl.part(each.label))}"
        for each in additions
    ]
    return f"Add {joined(said)}: {grams(after.total_g, step)} in all."


def _remedy(
    recipe: Recipe, bowl_g: Mapping[str, float], context: Context, now: Moment, bowl: Recipe, after: Recipe
) -> Remedy | None:
    adds = {part.label: part.mass_g - bowl.part(part.label).mass_g for part in after.parts}
    changes = tuple(Change(label, add_g) for label, add_g in adds.items() if add_g > 0)
    if not changes:
        return None
    said = [f"{grams(each.add_g, context.scale_g)} of {thing(bowl.part(each.part))}" for each in changes]
    remedy = Remedy(f"Add {joined(said)}.", changes, after.total_g)
    made = apply_remedy(bowl, remedy)
    masses_g = {part.label: part.mass_g for part in made.parts}
    limits = rescue_limits(recipe, bowl_g, _bench(now, context), now.foreign)
    return replace(remedy, checked=all(limit.gap(masses_g) <= KEPT for limit in limits))


def _remarks(found: Rescue, context: Context, now: Moment, weighed: Mapping[str, Decimal]) -> Iterator[str]:
    added = [found.bowl.part(label) for label in found.add_g]
    if added and not weighed:
        yield "The scale is too coarse to keep the shares within tolerance: take a finer one."
    yield from coarse_words(found.bowl, {label: float(mass_g) for label, mass_g in weighed.items()}, context)
    sugars = [thing(part) for part in added if part.kind is Kind.SUGAR]
    if sugars and now.stage in {Stage.WITH_SUGAR, Stage.LATE}:
        again = f"the largest grains are those of the {joined(sugars)} again"
        yield f"Grind on: {again}, so the size starts from there."
    if sugars and context.kit is not None and not context.kit.grinds_sugar:
        yield f"{capital(the_kit(context.kit))} does not reduce granulated sugar: mill it to powder first."
    if any(part.kind in {Kind.BUTTER, Kind.VEGETABLE_FAT} for part in added):
        yield "Melt the fat before it goes in, and add it to a warm mass."
    if any(isinstance(part.of, Recipe) for part in added) and now.stage is Stage.FOLDED_IN:
        yield "What goes in now must be tempered itself."
    milk = [thing(part) for part in added if part.kind is Kind.MILK]
    if milk:
        yield f"The {joined(milk)} goes in dry and warm."
