"""The ways out of a bowl that does not fit its recipe, with what each adds and changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from nibsmith.answers._stock_words import stock_words
from nibsmith.answers.call_it import names
from nibsmith.answers.context import Context
from nibsmith.answers.report import change_of, weighed
from nibsmith.answers.weigh_out import coarse_words
from nibsmith.answers.who_must_not import brought_words
from nibsmith.answers.wording import grams, joined, thing
from nibsmith.science.formulate import Bowl, FigureChange, WayOut, figure_changes, round_to_scale, stock_of
from nibsmith.science.mixture import Recipe

KEEP_SHARES = "keep_shares"
KEEP_WEIGHTS = "keep_weights"


@dataclass(frozen=True)
class Way:
    """One way out.

    ``recipe`` is where it leads [g]; ``add_g`` what is still to be weighed in, by label [g]; ``changes`` the
    watched figures of the recipe and of this way [%]; ``name_before`` and ``name_after`` the best names in
    the first market, empty where none is reserved; ``remarks`` say which additions the scale cannot weigh.
    """

    key: str
    sentence: str
    recipe: Recipe
    add_g: Mapping[str, float]
    changes: tuple[FigureChange, ...]
    name_before: str
    name_after: str
    remarks: tuple[str, ...] = ()


def ways_out(bowl: Bowl, context: Context, planned: Recipe | None = None) -> tuple[Way, ...]:
    """Return the ways out of a bowl: keep the shares, or keep the weights.

    Parameters
    ----------
    bowl : Bowl
        The bowl against its recipe.
    context : Context
        Its first market gives the names, its scale the weights.
    planned : Recipe, optional
        The batch that was to be made [g], where its size is said: a bowl that holds more of a part than that
        does not fit it either, and shares are kept in a batch no smaller.

    Returns
    -------
    tuple of Way
        None where the bowl fits; the shares cannot be kept where something else is in it.

    Examples
    --------
    >>> from nibsmith.science.formulate import in_the_bowl
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> bowl = in_the_bowl(bar, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0})
    >>> [way.key for way in ways_out(bowl, Context())]
    ['keep_shares', 'keep_weights']
    """
    over = planned is not None and bool(over_g(bowl, planned, context))
    if bowl.fits and not over:
        return ()
    found = [(KEEP_WEIGHTS, _let_stand(bowl, planned) if bowl.fits and planned else bowl.keep_weights)]
    if bowl.keep_shares is not None:
        found.insert(0, (KEEP_SHARES, _made_up(bowl, planned) if planned and not over else bowl.keep_shares))
    before = _name(bowl.recipe, context)
    return tuple(
        Way(
            key=key,
            sentence=_sentence(key, way, bowl, context),
            recipe=way.recipe,
            add_g=way.add_g,
            changes=figure_changes(bowl.recipe, way.recipe),
            name_before=before,
            name_after=_name(way.recipe, context),
            remarks=(
                *brought_words(bowl.recipe, way.recipe),
                *coarse_words(way.recipe, way.add_g, context),
            ),
        )
        for key, way in found
    )


def over_g(bowl: Bowl, planned: Recipe, context: Context) -> Mapping[str, float]:
    """Return how much more of a part is in the bowl than a batch takes.

    Parameters
    ----------
    bowl : Bowl
        The bowl.
    planned : Recipe
        The batch that was to be made [g].
    context : Context
        Its scale: less than a step is not more.

    Returns
    -------
    Mapping[str, float]
        Part label to what is too much [g].

    Examples
    --------
    >>> from nibsmith.science.formulate import in_the_bowl
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> dict(over_g(in_the_bowl(bar, {"sugar_granulated": 40.0}), bar, Context()))
    {'sugar_granulated': 10.0}
    """
    more = {label: held_g - planned.part(label).mass_g for label, held_g in bowl.bowl_g.items()}
    return {label: more_g for label, more_g in more.items() if more_g >= float(context.scale_g)}


def _let_stand(bowl: Bowl, planned: Recipe) -> WayOut:
    """The batch that was planned, with what is too much of a part left in."""
    masses_g = {label: max(held_g, planned.part(label).mass_g) for label, held_g in bowl.bowl_g.items()}
    return _from_bowl(bowl, planned.weighing(masses_g))


def _made_up(bowl: Bowl, planned: Recipe) -> WayOut:
    """The batch that was planned, which holds everything in the bowl."""
    return _from_bowl(bowl, planned)


def _from_bowl(bowl: Bowl, whole: Recipe) -> WayOut:
    adds = {part.label: part.mass_g - bowl.bowl_g.get(part.label, 0.0) for part in whole.parts}
    return WayOut(whole, {label: add_g for label, add_g in adds.items() if add_g > 0})


def document(way: Way) -> dict[str, object]:
    """Return a way out as plain values for a document."""
    return {
        "way": way.key,
        "sentence": way.sentence,
        "add": [
            {"part": label, "name": way.recipe.part(label).name, "add_g": add_g}
            for label, add_g in way.add_g.items()
        ],
        "parts": weighed(way.recipe)["parts"],
        "new_total_g": way.recipe.total_g,
        "changes": [change_of(change) for change in way.changes],
        "name_before": way.name_before or None,
        "name_after": way.name_after or None,
        "remarks": list(way.remarks),
    }


def _name(recipe: Recipe, context: Context) -> str:
    market = context.markets[0]
    found = names(recipe, context)
    return next((name.name for name in found if name.best and name.jurisdiction == market), "")


def _sentence(key: str, way: WayOut, bowl: Bowl, context: Context) -> str:
    weigh = round_to_scale(way.add_g, context.scale_g)
    adds = joined(
        [
            f"{grams(amount_g, context.scale_g)} of {thing(way.recipe.part(label))}"
            for label, amount_g in weigh.masses_g.items()
            if amount_g
        ]
    )
    head = "Keep the shares" if key == KEEP_SHARES else "Keep the weights"
    tail = f"add {adds}" if adds else "nothing more goes in"
    total_g = bowl.now.total_g + float(weigh.total_g)
    return f"{head}: {tail}; {grams(total_g, context.scale_g)} in all.{_shelf_words(way, context)}"


def _shelf_words(way: WayOut, context: Context) -> str:
    """Say what the shelf lacks of a way out; of what is not on it nothing is known."""
    step_g = context.scale_g
    adds: dict[str, float] = {}
    for label, add_g in way.add_g.items():
        stock = stock_of(way.recipe.part(label), context.shelf_g)
        if stock is not None:
            adds[stock] = adds.get(stock, 0.0) + add_g
    short = {
        stock: add_g - context.shelf_g[stock]
        for stock, add_g in adds.items()
        if add_g - context.shelf_g[stock] >= float(step_g)
    }
    said = joined(
        [f"{grams(more, step_g)} of {stock_words(stock, way.recipe)}" for stock, more in short.items()]
    )
    return f" The shelf is {said} short of that." if said else ""
