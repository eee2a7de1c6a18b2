"""The ways out of a bowl that does not fit its recipe, with what each adds and changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from nibsmith.answers.call_it import names
from nibsmith.answers.context import Context
from nibsmith.answers.report import change_of, weighed
from nibsmith.answers.wording import grams, joined, thing
from nibsmith.science.formulate import Bowl, FigureChange, WayOut, figure_changes
from nibsmith.science.mixture import Recipe

KEEP_SHARES = "keep_shares"
KEEP_WEIGHTS = "keep_weights"


@dataclass(frozen=True)
class Way:
    """One way out.

    ``recipe`` is where it leads [g]; ``add_g`` what is still to be weighed in, by label [g]; ``changes`` the
    watched figures of the recipe and of this way [%]; ``name_before`` and ``name_after`` the best names in
    the first market, empty where none is reserved.
    """

    key: str
    sentence: str
    recipe: Recipe
    add_g: Mapping[str, float]
    changes: tuple[FigureChange, ...]
    name_before: str
    name_after: str


def ways_out(bowl: Bowl, context: Context) -> tuple[Way, ...]:
    """Return the ways out of a bowl: keep the shares, or keep the weights.

    Parameters
    ----------
    bowl : Bowl
        The bowl against its recipe.
    context : Context
        Its first market gives the names.

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
    if bowl.fits:
        return ()
    found = [(KEEP_WEIGHTS, bowl.keep_weights)]
    if bowl.keep_shares is not None:
        found.insert(0, (KEEP_SHARES, bowl.keep_shares))
    before = _name(bowl.recipe, context)
    return tuple(
        Way(
            key=key,
            sentence=_sentence(key, way, context),
            recipe=way.recipe,
            add_g=way.add_g,
            changes=figure_changes(bowl.recipe, way.recipe),
            name_before=before,
            name_after=_name(way.recipe, context),
        )
        for key, way in found
    )


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
    }


def _name(recipe: Recipe, context: Context) -> str:
    market = context.markets[0]
    found = names(recipe, context)
    return next((name.name for name in found if name.best and name.jurisdiction == market), "")


def _sentence(key: str, way: WayOut, context: Context) -> str:
    amounts = {label: grams(amount_g, context.scale_g) for label, amount_g in way.add_g.items()}
    adds = joined([f"{amount} of {thing(way.recipe.part(label))}" for label, amount in amounts.items()])
    head = "Keep the shares" if key == KEEP_SHARES else "Keep the weights"
    tail = f"add {adds}" if adds else "nothing more goes in"
    return f"{head}: {tail}; {grams(way.recipe.total_g, context.scale_g)} in all."
