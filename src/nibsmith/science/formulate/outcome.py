"""What comes out of a machine as linear rows over what is weighed: for limits on it."""

from __future__ import annotations

from typing import NamedTuple

from nibsmith.science.formulate.batch import NO_LOSS, MachineLoss
from nibsmith.science.mixture import Recipe, Row, finished, row_of


class ComingOut(NamedTuple):
    """``product = sum(row·m) - stays_g``: what a gram weighed brings [g/g], and what stays anyway [g]."""

    row: Row
    stays_g: float


def finished_row(recipe: Recipe, end_water_percent: float | None) -> Row:
    """Return what a gram of each part brings to the finished mass.

    ``(1 - w_i) / (1 - w)`` of what is ground, with w_i its water and w that of the finished mass; one where
    none leaves, nought for what is not ground.

    Parameters
    ----------
    recipe : Recipe
        The recipe; whether any water leaves is told by its weights [g].
    end_water_percent : float, optional
        Water of the finished mass [%]; ``None`` where none leaves.

    Returns
    -------
    Mapping[str, float]
        Part label to finished mass per gram [g/g].

    Raises
    ------
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_nibs_roasted", 70.0), part("sugar_granulated", 30.0)))
    >>> finished_row(bar, None)["cocoa_nibs_roasted"], finished_row(bar, 0.5)["cocoa_nibs_roasted"] < 1
    (1.0, True)
    """
    inside = row_of(recipe, "mass", which=lambda leaf: leaf.in_machine)
    if end_water_percent is None or not finished(recipe, end_water_percent).evaporated_g:
        return inside
    water = row_of(recipe, "water", which=lambda leaf: leaf.in_machine)
    return {label: (inside[label] - water[label]) / (1 - end_water_percent / 100) for label in inside}


def coming_out(recipe: Recipe, loss: MachineLoss = NO_LOSS) -> ComingOut:
    """Return what comes out of a machine, linear in what is weighed.

    ``P = sum c_i m_i - R`` with ``c_i = f_i (1 - p/100)`` of what is ground and 1 of what is added later, f_i
    as in ``finished_row``, p and R what the machine keeps back.

    Parameters
    ----------
    recipe : Recipe
        The recipe [g].
    loss : MachineLoss
        What the machine keeps back.

    Returns
    -------
    ComingOut
        The row and what stays on the machine whatever the charge [g].

    Raises
    ------
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("almond", 30.0)))
    >>> coming_out(bar, MachineLoss(fixed_g=150.0, percent=2.0))
    ComingOut(row={'cocoa_mass': 0.98, 'almond': 1.0}, stays_g=150.0)
    """
    ground = {part.label for part in recipe.parts if part.in_machine}
    if not any(recipe.part(label).mass_g for label in ground):
        return ComingOut(row_of(recipe, "mass"), 0.0)
    ends = finished_row(recipe, loss.end_water_percent)
    kept = 1 - loss.percent / 100
    row = {part.label: ends[part.label] * kept if part.label in ground else 1.0 for part in recipe.parts}
    return ComingOut(row, loss.fixed_g)
