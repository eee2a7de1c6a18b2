"""For every name that is not earned: the nearest change that earns it, or why amounts alone do not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from nibsmith.answers._kit_words import the_kit
from nibsmith.answers.answer import Detail, Remedy
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.call_it.naming import names
from nibsmith.answers.call_it.nearest import Nearest
from nibsmith.answers.call_it.remedies import THEN, remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import grams
from nibsmith.science.legal import Allowed, NameVerdict
from nibsmith.science.legal.gate import FORM
from nibsmith.science.legal.laws import law
from nibsmith.science.mixture import Recipe

ASKED = (Allowed.NO, Allowed.DEPENDS)


@dataclass(frozen=True)
class Earned:
    """The nearest change that earns a name; or, where there is none, why."""

    remedy: Remedy | None = None
    why_not: str = ""


def nearest_names(
    recipe: Recipe, context: Context, verdicts: Iterable[NameVerdict]
) -> Mapping[tuple[str, str], Earned]:
    """Return what would earn each name that is refused or depends.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    context : Context
        Its scale rounds the weights; its kit says how dry the mass ends.
    verdicts : Iterable[NameVerdict]
        The verdicts of ``names`` on this recipe; those that are allowed or unknown are passed over.

    Returns
    -------
    Mapping[tuple[str, str], Earned]
        By jurisdiction and key. A change was judged again with the change made; half of it may be enough
        only where any amount of an ingredient is.

    Examples
    --------
    >>> from nibsmith.answers.call_it import names
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 34.0), part("sugar_granulated", 66.0)))
    >>> earned = nearest_names(bar, Context(), names(bar, Context()))
    >>> earned["eu", "filled"].why_not
    'Sold as a bar, it does not go by this name: amounts alone do not change that.'
    """
    nearest = Nearest(recipe, context, may_change_kind=True)
    return {
        (each.jurisdiction, each.key): _earned(recipe, nearest, each)
        for each in verdicts
        if each.allowed in ASKED
    }


def _earned(recipe: Recipe, nearest: Nearest, of: NameVerdict) -> Earned:
    found = nearest.one(of)
    if isinstance(found, str):
        return Earned(why_not=found)
    change = remedy(recipe, found, f"{of.spoken} {law(of.jurisdiction).place}")
    return Earned(replace(change, sentence=f"{change.sentence}{_too_much(recipe, nearest.context, change)}"))


def _too_much(recipe: Recipe, context: Context, change: Remedy) -> str:
    """Say that a change makes more than the kit holds."""
    most_g = None if context.kit is None else context.kit.charge_max_g
    ground_g = sum(part.mass_g for part in apply_remedy(recipe, change).parts if part.in_machine)
    if context.kit is None or most_g is None or ground_g <= most_g:
        return ""
    held = f"{the_kit(context.kit)} holds {grams(most_g, context.scale_g)} at most"
    return f" {grams(ground_g, context.scale_g)} of it is ground then, and {held}: make less."


def names_earned(recipe: Recipe, context: Context) -> tuple[tuple[NameVerdict, Earned], ...]:
    """Return the verdict on every name of every jurisdiction with what would earn it.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    context : Context
        Its markets come first.

    Returns
    -------
    tuple[tuple[NameVerdict, Earned], ...]
        An empty ``Earned`` beside a name that is allowed or unknown.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 34.0), part("sugar_granulated", 66.0)))
    >>> earned = {(of.jurisdiction, of.key): earned for of, earned in names_earned(bar, Context())}
    >>> earned["eu", "chocolate"].remedy.checked
    True
    """
    verdicts = names(recipe, context)
    earned = nearest_names(recipe, context, verdicts)
    return tuple((each, earned.get((each.jurisdiction, each.key), Earned())) for each in verdicts)


def nearest_detail(recipe: Recipe, context: Context) -> Detail:
    """Return what would earn each refused name of the chosen markets, as a table.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    context : Context
        Its markets are asked.

    Returns
    -------
    Detail
        Where, name, allowed, what lacks and the nearest change; a name of another form is left out.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 34.0), part("sugar_granulated", 66.0)))
    >>> rows = {row[1]: row for row in nearest_detail(bar, Context()).rows}
    >>> rows["Chocolate"][2], rows["Chocolate"][3][:16]
    ('no', 'dry cocoa solids')
    """
    rows = [
        (
            law(verdict.jurisdiction).name,
            verdict.name,
            verdict.allowed.value,
            _lacks(verdict),
            _change(earned),
        )
        for verdict, earned in names_earned(recipe, context)
        if verdict.jurisdiction in context.markets and verdict.allowed in ASKED and not _is_form(verdict)
    ]
    head = ("Where", "Name", "Allowed", "What lacks", "Nearest change")
    note = "Names that another form of product has are left out: no amounts earn them." if rows else ""
    return Detail("What would earn the other names", head, tuple(rows), note)


def _lacks(of: NameVerdict) -> str:
    return "; ".join([lack.sentence for lack in of.lacking] or [of.depends_on])


def _change(earned: Earned) -> str:
    if earned.remedy is None:
        return earned.why_not.rstrip(".")
    return earned.remedy.sentence.split(THEN)[0]


def _is_form(of: NameVerdict) -> bool:
    return any(lack.figure == FORM for lack in of.lacking)
