"""How much fat a wanted flow needs, and that need as a limit on the parts of a recipe."""

from __future__ import annotations

import math

from nibsmith.science.errors import InputError
from nibsmith.science.flow.casson import Casson
from nibsmith.science.flow.matter import FlowMatter, flow_matter, leaf_matter, total
from nibsmith.science.flow.model import Conditions, flow, free_and_locked, mixed_surface
from nibsmith.science.flow.parameters import parameters
from nibsmith.science.flow.suspension import casson_yield, liquid_fat_viscosity, plastic_viscosity
from nibsmith.science.flow.uses import UseLimits
from nibsmith.science.mixture import BASIS_WORDS, Basis, Limit, Recipe
from nibsmith.science.numerics import bracketed_root
from nibsmith.science.tables import load

# How near to complete jamming the search begins; the flow there is far beyond any limit.
_JAM_MARGIN = 1e-9


def fat_needed(viscosity_pas: float, surface: float, celsius: float, solids_density: float) -> float:
    """Return the equivalent fat at which a mass has a wanted plastic viscosity.

    The inverse of the model: ``phi_e = phi_m (1 - sqrt(eta_f/eta))``,
    ``phi = phi_e / (1 + delta (S - S_0))``, ``F_e = (1 - phi) rho_f / ((1 - phi) rho_f + phi rho_s)``.

    Parameters
    ----------
    viscosity_pas : float
        Wanted Casson plastic viscosity eta, above that of the liquid fat [Pa·s].
    surface : float
        Surface over volume S of the grains [1/µm].
    celsius : float
        Temperature of the liquid mass [°C].
    solids_density : float
        Density rho_s of the fat-free solids [kg/m³].

    Returns
    -------
    float
        Equivalent fat F_e, a share of the mass [0 to 1].

    Raises
    ------
    InputError
        If the wanted viscosity is not above that of liquid cocoa butter.

    Examples
    --------
    >>> round(fat_needed(1.857, 1.3636, 40.0, 1495.92), 4)
    0.3433

    References
    ----------
    [maron-pierce-1956]
    """
    liquid = float(liquid_fat_viscosity(celsius))
    if not viscosity_pas > liquid:
        raise InputError(
            "No mass with grains is as thin as this",
            value=f"{viscosity_pas:g} Pa·s",
            limit=f"{liquid:.3f} Pa·s",
        )
    crowded = load("flow")["crowding_limit"].value * (1 - math.sqrt(liquid / viscosity_pas))
    return _fat_at(_uncrowded(crowded, surface), solids_density)


def crowding_for(limits: UseLimits, surface: float, at: Conditions, safety: float = 1.0) -> float:
    """Return how crowded a mass may be for both limits of a use [volume share].

    ``safety`` is the factor by which the calibrated estimate must stay under the limits [1].
    """
    liquid = float(liquid_fat_viscosity(at.celsius))
    default = load("flow")["crowding_limit"].value
    most = float(default if at.crowding_limit is None else at.crowding_limit)

    def over(crowded: float) -> float:
        viscosity = float(plastic_viscosity(crowded, liquid, most))
        stress = float(casson_yield(surface, viscosity, liquid))
        law = Casson(stress * float(at.yield_factor), viscosity * float(at.viscosity_factor))
        return 1 - limits.thickness(law) * safety

    return bracketed_root(over, most * (1 - _JAM_MARGIN), 0.0)


def flow_limit(recipe: Recipe, limits: UseLimits, at: Conditions, safety: float = 1.0) -> Limit:
    """Return the need for liquid fat of a use as a limit on the parts of a recipe.

    Crowding phi_e at the limits of the use is taken back to a volume share; the share of liquid fat by
    volume, ``sum(a·m) / sum((a + b)·m)``, must reach what is left of it. a and b are the volumes of
    equivalent fat and of everything else that a gram of a part brings.

    Parameters
    ----------
    recipe : Recipe
        The recipe; the surface of its grains, the density of its solids and whether water counts are taken as
        they are now.
    limits : UseLimits
        The use.
    at : Conditions
        The conditions, as numbers.
    safety : float
        The factor by which the estimate must stay under the limits of the use [1].

    Returns
    -------
    Limit
        Low bound on liquid fat as a share of the volume [0 to 1].

    Raises
    ------
    UnknownFigure
        If more than a pinch does not give its fat or water.

    Notes
    -----
    Exact for changes that leave the solids in proportion, such as adding butter; after large other changes it
    is worked out again.

    Examples
    --------
    >>> from nibsmith.science.flow.uses import Use, limits_of
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 60.0), part("sugar_granulated", 40.0)))
    >>> at = Conditions(cocoa_um=22.0, sugar_um=22.0, celsius=31.5, solid_fat=0.02)
    >>> limit = flow_limit(bar, limits_of(Use.BARS), at)
    >>> masses = {"cocoa_mass": 60.0, "sugar_granulated": 40.0}
    >>> limit.gap(masses) > 0, limit.gap({**masses, "cocoa_mass": 68.0})
    (True, 0.0)

    References
    ----------
    [maron-pierce-1956]
    """
    matter = flow_matter(recipe)
    surface = float(mixed_surface(matter, at))
    most = _uncrowded(crowding_for(limits, surface, at, safety), surface)
    fat, rest = _volumes(recipe, matter, at)
    return Limit(
        name="liquid fat by volume",
        reason=f"so that it flows well enough for {limits.use.value.replace('_', ' ')}, by estimate",
        numerator=fat,
        denominator={label: fat[label] + rest[label] for label in fat},
        low=1 - most,
        basis=BASIS_WORDS[Basis.FINISHED],
    )


def _volumes(recipe: Recipe, now: FlowMatter, at: Conditions) -> tuple[dict[str, float], dict[str, float]]:
    """Equivalent fat and everything else that a gram of each part brings, in volumes of a gram of butter."""
    p, law = parameters(), flow(now, at)
    water = float(law.water)
    dries = water < now.water.value / now.charge
    finished_g = (now.charge - now.water.value) / (1 - water)
    lecithin = p.lecithin_as_fat
    if now.lecithin > p.lecithin_most * finished_g:
        lecithin *= p.lecithin_most * finished_g / now.lecithin
    solid_density = now.solids_density / p.density_liquid_butter
    fat: dict[str, float] = {}
    rest: dict[str, float] = {}
    for label, part in _each(recipe).items():
        finished = (part.charge - part.water.value) / (1 - water) if dries else part.charge
        held = finished * water if dries else part.water.value
        free, locked = free_and_locked(part, at)
        crystals = free * float(at.solid_fat)
        lost = (held - p.water_free * finished) / p.water_for_fat if water > p.water_free else 0.0
        fat[label] = free - crystals + lecithin * part.lecithin - lost
        solid = (finished - fat[label] - locked - crystals) / solid_density
        rest[label] = solid + locked + crystals * p.density_liquid_butter / p.density_solid_butter
    return fat, rest


def _each(recipe: Recipe) -> dict[str, FlowMatter]:
    """What a gram of each part brings; a part outside the machine brings nothing."""
    unit = recipe.weighing({part.label: 1.0 for part in recipe.parts})
    leaves = [leaf for leaf in unit.leaves() if leaf.in_machine]
    return {
        part.label: total(leaf_matter(leaf) for leaf in leaves if leaf.part.label == part.label)
        for part in recipe.parts
    }


def _uncrowded(crowded: float, surface: float) -> float:
    p = parameters()
    return crowded / (1 + p.surface_crowding * (surface - p.surface_reference))


def _fat_at(solids: float, solids_density: float) -> float:
    liquid = (1 - solids) * parameters().density_liquid_butter
    return liquid / (liquid + solids * solids_density)
