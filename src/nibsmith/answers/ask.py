"""Every question about a recipe, asked in the order a maker asks them."""

from __future__ import annotations

from nibsmith.answers.answer import Answer
from nibsmith.answers.call_it import call_it
from nibsmith.answers.context import Context
from nibsmith.answers.cost import cost
from nibsmith.answers.keep import keep
from nibsmith.answers.pour import pour
from nibsmith.answers.sizing import weighed_for
from nibsmith.answers.smooth import smooth
from nibsmith.answers.snap import snap
from nibsmith.answers.weigh_out import weigh_out
from nibsmith.answers.who_must_not import who_must_not
from nibsmith.science.mixture import Recipe

ORDER = ("weigh_out", "call_it", "pour", "snap", "smooth", "keep", "who_must_not", "cost")
# These draw ten thousand times; a page that is being typed into can ask them after the others.
ESTIMATED = {"pour": "Will it pour?", "smooth": "Will it be smooth?"}


def ask_all(recipe: Recipe, context: Context) -> tuple[Answer, ...]:
    """Answer every question about a recipe.

    Parameters
    ----------
    recipe : Recipe
        The recipe at its size; its shares are those of the product.
    context : Context
        The workshop around it; with a mould and a number of bars the batch is weighed for these.

    Returns
    -------
    tuple of Answer
        How much to weigh, the name, whether it pours, the set, how smooth it is, the keeping, the allergens,
        the cost.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> [answer.question for answer in ask_all(bar, Context())]
    ['weigh_out', 'call_it', 'pour', 'snap', 'smooth', 'keep', 'who_must_not', 'cost']
    """
    found = {
        answer.question: answer for answer in (*ask_at_once(recipe, context), *ask_estimates(recipe, context))
    }
    return tuple(found[question] for question in ORDER)


def ask_at_once(recipe: Recipe, context: Context) -> tuple[Answer, ...]:
    """Answer what needs no draws.

    Parameters
    ----------
    recipe : Recipe
        The recipe at its size.
    context : Context
        The workshop around it.

    Returns
    -------
    tuple of Answer
        In their order, without those of ``ask_estimates``.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> ESTIMATED.keys() & {answer.question for answer in ask_at_once(bar, Context())}
    set()
    """
    for_bars = context.bars is not None and context.mould is not None
    weighed = weighed_for(recipe, context.bars, context) if for_bars and context.bars else recipe
    return (
        weigh_out(weighed, context),
        call_it(recipe, context),
        snap(recipe, context),
        keep(recipe, context),
        who_must_not(recipe, context),
        cost(weighed, context),
    )


def ask_estimates(recipe: Recipe, context: Context) -> tuple[Answer, ...]:
    """Answer what is estimated with draws.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    context : Context
        The workshop around it; its kit and process say what is not typed.

    Returns
    -------
    tuple of Answer
        Whether it pours, and how smooth it is.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> [answer.title for answer in ask_estimates(bar, Context())] == list(ESTIMATED.values())
    True
    """
    return pour(recipe, context), smooth(recipe, context)
