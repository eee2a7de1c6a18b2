"""The cocoa percentage that belongs on a label."""

from __future__ import annotations

import math

from nibsmith.science.legal.laws import law, name_class
from nibsmith.science.legal.tally import Tallies
from nibsmith.science.mixture import Recipe, Span
from nibsmith.science.tables import Status

# A share that should be whole may come out a hair below; far under the digit that is shown.
WHOLE_TOLERANCE = 1e-8
# What dry cocoa solids are worked out from.
NEEDED = {"fat_g": "fat", "water_g": "water"}


def declared_cocoa(
    recipe: Recipe,
    jurisdiction: str,
    key: str,
    *,
    memory_rules: bool = False,
    end_water_percent: Span | float | None = None,
) -> int | None:
    """Return the cocoa percentage to declare: the least it can be, rounded down.

    ``floor(100 · dry cocoa solids / chocolate part)``, the chocolate part without what the law takes off, as
    heavy as it can be: the mass at its wettest, and water that is not given as none.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    jurisdiction : str
        A key of ``jurisdictions()``.
    key : str
        The name it is sold by; white, filled and praline carry no declaration.
    memory_rules : bool
        Whether rules known from memory only count.
    end_water_percent : Span or float, optional
        Water of the finished mass in the kit used [g/100 g], a number where it is known exactly; ``None``
        leaves the water as charged.

    Returns
    -------
    int or None
        Whole percent, or ``None`` where no declaration is asked or the solids are not known.

    Raises
    ------
    InputError
        If there is no such jurisdiction or name.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> declared_cocoa(bar, "eu", "chocolate"), declared_cocoa(bar, "us", "semisweet")
    (69, None)

    References
    ----------
    [eu-2000-36] [uk-2003-1659] [ch-vlph]
    """
    if not _is_asked(jurisdiction, key, memory_rules=memory_rules):
        return None
    tally = Tallies(recipe, end_water_percent).under(law(jurisdiction))
    cocoa, part = tally.figure("tdcs", "part"), tally.basis("part")
    if part.most <= 0 or cocoa.missing:
        return None
    return math.floor(100 * cocoa.least / part.most + WHOLE_TOLERANCE)


def not_given_for_cocoa(
    recipe: Recipe, jurisdiction: str, key: str, *, memory_rules: bool = False
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what keeps the cocoa percentage of a label from being worked out.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    jurisdiction : str
        A key of ``jurisdictions()``.
    key : str
        The name it is sold by.
    memory_rules : bool
        Whether rules known from memory only count.

    Returns
    -------
    tuple of tuple
        Each cocoa that does not give its dry solids, and the figures its sheet lacks: fat, water or both.
        Empty where no declaration is asked.

    Raises
    ------
    InputError
        If there is no such jurisdiction or name.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Kind, Recipe, own_ingredient, part
    >>> nibs = own_ingredient("Hill nibs", Kind.NIB, {"fat_g": 53.0})
    >>> bar = Recipe("bar", Form.BAR, (part(nibs, 70.0), part("sugar_granulated", 30.0)))
    >>> not_given_for_cocoa(bar, "eu", "chocolate")
    (('Hill nibs', ('water',)),)
    """
    if not _is_asked(jurisdiction, key, memory_rules=memory_rules):
        return ()
    missing = Tallies(recipe).under(law(jurisdiction)).figure("tdcs", "part").missing
    sheets = {leaf.ingredient.name: leaf.ingredient.composition for leaf in recipe.leaves()}
    lacks = {
        name: tuple(words for column, words in NEEDED.items() if column not in sheets[name])
        for name in missing
    }
    return tuple(lacks.items())


def _is_asked(jurisdiction: str, key: str, *, memory_rules: bool) -> bool:
    of, name = law(jurisdiction), name_class(jurisdiction, key)
    from_memory = of.declaration == Status.MEMORY and not memory_rules
    return bool(name.declares and of.declaration and not from_memory)
