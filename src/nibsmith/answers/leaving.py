"""How much of the ground part leaves as water, where it can be told."""

from __future__ import annotations

from fractions import Fraction

from nibsmith.science.errors import UnknownFigure
from nibsmith.science.formulate import leaving_share
from nibsmith.science.mixture import Recipe


def leaving_of(recipe: Recipe, end_water_percent: float | None) -> Fraction:
    """Return the share of the ground part that leaves as water, none where that of a part is not known.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    end_water_percent : float, optional
        Water of the finished mass [%]; ``None`` where none leaves.

    Returns
    -------
    Fraction
        What a finished bar and finished chocolate are without [0 to 1].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> leaving_of(Recipe("bar", Form.BAR, (part("cocoa_mass", 100.0),)), None)
    Fraction(0, 1)
    """
    try:
        return Fraction(leaving_share(recipe, end_water_percent))
    except UnknownFigure:
        return Fraction(0)
