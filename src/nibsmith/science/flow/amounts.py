"""What of a mass counts under given conditions: its water, its fats, the surface of its grains."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from nibsmith.science.flow.matter import FlowMatter
from nibsmith.science.flow.parameters import parameters
from nibsmith.science.flow.suspension import locked_in_mass, specific_surface
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Values

if TYPE_CHECKING:
    from nibsmith.science.flow.model import Conditions


def water_in_grams(matter: FlowMatter, at: Conditions) -> Values:
    """Return the water that goes in, with what there may be of water that is not given.

    Parameters
    ----------
    matter : FlowMatter
        The mass [g].
    at : Conditions
        Its ``doubt``, as a number or draws, says how much of the water not given is there [0 to 1].

    Returns
    -------
    float or array
        Water as charged [g].

    Examples
    --------
    >>> from nibsmith.science.flow.model import Conditions
    >>> from nibsmith.science.mixture import Span
    >>> mass = FlowMatter(1000.0, water=Span.exactly(9.0), unknown_water=4.0)
    >>> water_in_grams(mass, Conditions(cocoa_um=20.0, sugar_um=20.0, celsius=40.0, doubt=0.5))
    11.0
    """
    return matter.water.value + at.doubt * matter.unknown_water


def fats_in_grams(matter: FlowMatter, at: Conditions) -> tuple[Values, Values]:
    """Return the free and the locked fat of a mass.

    ``free = nib·(1 - k) + milk·f + rest``: of butter from nibs the share k stays in coarse cocoa, of the fat
    in milk powder the share f comes free.

    Parameters
    ----------
    matter : FlowMatter
        The mass [g].
    at : Conditions
        Size of the cocoa, level of the fat and free milk fat count, as numbers or draws.

    Returns
    -------
    tuple of float or array
        Free and locked fat, which add up to all fat but lecithin [g].

    Examples
    --------
    >>> from nibsmith.science.flow.model import Conditions
    >>> from nibsmith.science.mixture import Span
    >>> mass = FlowMatter(1000.0, nib_butter=Span.exactly(300.0), free_fat=Span.exactly(80.0))
    >>> free, locked = fats_in_grams(mass, Conditions(cocoa_um=20.0, sugar_um=20.0, celsius=40.0))
    >>> round(float(locked), 2), round(float(free + locked), 2)
    (1.13, 380.0)

    References
    ----------
    [afoakwa-2008]
    """
    nib, milk, other = (
        at_level(span, at.fat_level) for span in (matter.nib_butter, matter.milk_fat, matter.free_fat)
    )
    kept = locked_at(at) if matter.nib_butter.high else 0.0
    locked = nib * kept + milk * (1 - _milk_fat_free(at))
    return nib + milk + other - locked, locked


def free_and_locked(matter: FlowMatter, at: Conditions) -> tuple[float, float]:
    """Return the free and the locked fat of a mass as plain numbers.

    Parameters
    ----------
    matter : FlowMatter
        The mass [g].
    at : Conditions
        The conditions, as numbers and not as draws.

    Returns
    -------
    tuple of float
        Free and locked fat [g].

    Examples
    --------
    >>> from nibsmith.science.flow.model import Conditions
    >>> from nibsmith.science.mixture import Span
    >>> mass = FlowMatter(1000.0, free_fat=Span.exactly(350.0))
    >>> free_and_locked(mass, Conditions(cocoa_um=20.0, sugar_um=20.0, celsius=40.0))
    (350.0, 0.0)
    """
    free, locked = fats_in_grams(matter, at)
    return float(free), float(locked)


def at_level(span: Span, level: Values) -> Values:
    """Return an amount between its lean and its fat end.

    Parameters
    ----------
    span : Span
        The amount with its ends [g].
    level : float or array
        -1 for the leanest lot, 0 for the usual one, 1 for the fattest [1].

    Returns
    -------
    float or array
        The amount, linear on either side of the usual one [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Span
    >>> float(at_level(Span(50.0, 54.0, 56.0), -0.5)), float(at_level(Span(50.0, 54.0, 56.0), 1.0))
    (52.0, 56.0)
    """
    if not span.varies:
        return span.value
    return np.asarray(
        span.value + np.where(np.greater(level, 0), span.high - span.value, span.value - span.low) * level
    )[()]


def locked_at(at: Conditions) -> Values:
    """Return the share of the butter from nibs that stays in coarse cocoa.

    Parameters
    ----------
    at : Conditions
        Size of the cocoa and of its cells, or the share itself, as numbers or draws.

    Returns
    -------
    float or array
        Locked share [0 to 1].

    Examples
    --------
    >>> from nibsmith.science.flow.model import Conditions
    >>> at = Conditions(cocoa_um=100.0, sugar_um=100.0, celsius=40.0)
    >>> 0 < float(locked_at(at)) < 1, locked_at(Conditions(20.0, 20.0, 40.0, locked=0.25))
    (True, 0.25)
    """
    if at.locked is not None:
        return at.locked
    cell = parameters().cell_size if at.cell_um is None else at.cell_um
    return locked_in_mass(at.cocoa_um, cell)


def _milk_fat_free(at: Conditions) -> Values:
    return parameters().milk_fat_free if at.milk_fat_free is None else at.milk_fat_free


def mixed_surface(matter: FlowMatter, at: Conditions) -> Values:
    """Return the surface over volume of all solids together, each at its own size.

    ``S = (V_c S_c + V_s S_s) / (V_c + V_s)``, cocoa and what has the size of the sugar.

    Parameters
    ----------
    matter : FlowMatter
        The mass, whose solids weigh the two sizes [g].
    at : Conditions
        Sizes and the share of fines, as numbers or draws.

    Returns
    -------
    float or array
        Surface over volume [1/µm]; that of the cocoa where there are no solids.

    Examples
    --------
    >>> from nibsmith.science.flow.model import Conditions
    >>> mass = FlowMatter(100.0, cocoa_solids=30.0, sugar_solids=30.0)
    >>> at = Conditions(cocoa_um=20.0, sugar_um=20.0, celsius=40.0, sauter_share=0.22)
    >>> round(float(mixed_surface(mass, at)), 4)
    1.3636

    References
    ----------
    [hatch-choate]
    """
    share = parameters().sauter_share_wide if at.sauter_share is None else at.sauter_share
    cocoa, sugar = matter.solids_volume
    if not cocoa + sugar:
        return specific_surface(at.cocoa_um, share)
    both = cocoa * specific_surface(at.cocoa_um, share) + sugar * specific_surface(at.sugar_um, share)
    return both / (cocoa + sugar)
