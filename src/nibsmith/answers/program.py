"""The temper program of a recipe."""

from __future__ import annotations

from nibsmith.answers._setting import setting_of
from nibsmith.science.mixture import Recipe
from nibsmith.science.temper import Program


def program_of(recipe: Recipe) -> Program | None:
    """Return the program a mass is tempered by, shifted where it is dark.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; fold-ins do not count.

    Returns
    -------
    Program or None
        Temperatures of the mass [°C]; ``None`` where too little of the fat is cocoa butter to say anything.

    Raises
    ------
    InputError
        If nothing goes into the machine.
    UnknownFigure
        If milk solids or cocoa solids are not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> program_of(bar).chocolate.value
    'dark'
    """
    return setting_of(recipe).program
