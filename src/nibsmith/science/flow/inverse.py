"""How much fat a wanted flow needs, and that need as a limit on the parts of a recipe."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.flow.amounts import fats_in_grams, free_and_locked, mixed_surface, water_in_grams
from nibsmith.science.flow.matter import FlowMatter, flow_matter, leaf_matter, total
from nibsmith.science.flow.model import Conditions, flow
from nibsmith.science.flow.parameters import parameters
from nibsmith.science.flow.suspension import liquid_fat_viscosity
from nibsmith.science.flow.uses import UseLimits
from nibsmith.science.mixture import BASIS_WORDS, Basis, Limit, Recipe
from nibsmith.science.numerics import Values


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
    crowded = parameters().crowding_limit * (1 - math.sqrt(liquid / viscosity_pas))
    return _fat_at(_uncrowded(crowded, surface), solids_density)


def crowding_allowed(limits: UseLimits, surface: Values, at: Conditions, *, by_stress: bool = True) -> Values:
    """Return how crowded a mass may be for the limits of a use, in closed form.

    With ``z = sqrt(eta/eta_f)`` and ``u = sqrt(z - 1)`` the Casson law at a rate r is a quadratic in u,
    ``sqrt(C·eta_f·r)·(u² + 1) + sqrt(C'·tau_0·S/S_0)·u = sqrt(stress)``; the smaller of both limits holds.

    Parameters
    ----------
    limits : UseLimits
        The use.
    surface : float or array
        Surface over volume S [1/µm].
    at : Conditions
        Temperature, the kit's factors and the limit of crowding.
    by_stress : bool
        Whether the limit on the stress counts, or that on the viscosity alone.

    Returns
    -------
    float or array
        Crowding phi_e [volume share]; zero where not even liquid butter is thin enough.

    Examples
    --------
    >>> from nibsmith.science.flow.uses import Use, limits_of
    >>> at = Conditions(cocoa_um=22.0, sugar_um=22.0, celsius=31.5)
    >>> round(float(crowding_allowed(limits_of(Use.BARS), 1.24, at)), 3)
    0.574

    References
    ----------
    [maron-pierce-1956]
    """
    p = parameters()
    liquid = liquid_fat_viscosity(at.celsius)
    yields = np.sqrt(np.multiply(at.yield_factor, p.yield_scale / p.surface_reference * surface))
    pairs = [(p.rate_high, limits.viscosity_pas * p.rate_high)]
    pairs += [(p.rate_low, limits.stress_pa)] if by_stress else []
    lifts = []
    for rate, stress in pairs:
        slope = np.sqrt(np.multiply(at.viscosity_factor, liquid) * rate)
        room = math.sqrt(stress) - slope
        root = np.sqrt(yields * yields + 4 * slope * np.maximum(room, 0.0))
        lifts.append(np.maximum((root - yields) / (2 * slope), 0.0))
    lift = lifts[0] if len(lifts) == 1 else np.minimum(*lifts)
    most = p.crowding_limit if at.crowding_limit is None else at.crowding_limit
    return np.asarray(most * (1 - 1 / (1 + lift * lift)))[()]


def butter_needed(matter: FlowMatter, limits: UseLimits, at: Conditions) -> Values:
    """Return the cocoa butter that brings a mass just to the limits of a use.

    The model turned round: the crowding allowed gives the volume share of solids, and both volumes grow
    linearly with the butter.

    Parameters
    ----------
    matter : FlowMatter
        The mass as it stands [g].
    limits : UseLimits
        The use.
    at : Conditions
        Conditions, as numbers or draws.

    Returns
    -------
    float or array
        Butter to add; negative where the mass could do with less [g].

    Notes
    -----
    Exact while the butter neither brings the charge under the kit's end water nor the lecithin under its cap.

    Examples
    --------
    >>> from nibsmith.science.flow.uses import Use, limits_of
    >>> from nibsmith.science.mixture import Span
    >>> lean = FlowMatter(1000.0, free_fat=Span.exactly(290.0), cocoa_solids=260.0, sugar_solids=450.0)
    >>> at = Conditions(cocoa_um=22.0, sugar_um=22.0, celsius=31.5, solid_fat=0.02)
    >>> add_g = float(butter_needed(lean, limits_of(Use.BARS), at))
    >>> round(limits_of(Use.BARS).thickness(flow(lean.with_butter(add_g), at).casson), 6)
    1.0

    References
    ----------
    [maron-pierce-1956]
    """
    p, surface = parameters(), mixed_surface(matter, at)
    allowed = crowding_allowed(limits, surface, at, by_stress=not matter.pgpr)
    solids = allowed / (1 + p.surface_crowding * (surface - p.surface_reference))
    (liquid, more_liquid), (rest, more_rest) = _volumes_with_butter(matter, at)
    return np.asarray(
        ((1 - solids) * rest - solids * liquid) / (solids * more_liquid - (1 - solids) * more_rest)
    )[()]


Line = tuple[Values, Values]


def _volumes_with_butter(matter: FlowMatter, at: Conditions) -> tuple[Line, Line]:
    """Volumes of equivalent fat and of everything else, each as they are and per gram of butter more."""
    p = parameters()
    charged_g = water_in_grams(matter, at)
    charged = charged_g / matter.charge
    wanted = charged if at.end_water is None else at.end_water
    dries, water = np.less(wanted, charged), np.minimum(wanted, charged)
    grows = np.where(dries, 1 / (1 - water), 1.0)  # finished mass per gram of butter
    finished = np.where(dries, (matter.charge - charged_g) * grows, matter.charge)
    over = np.maximum(0.0, water - p.water_free) / p.water_for_fat
    diluted = np.where(over > 0, p.water_free / p.water_for_fat, 0.0)
    more_lost = np.where(dries, over * grows, -diluted)
    free, locked = fats_in_grams(matter, at)
    gained = p.lecithin_as_fat * np.minimum(matter.lecithin, p.lecithin_most * finished)
    fat = free * (1 - at.solid_fat) + gained - over * finished
    more_fat = 1 - at.solid_fat - more_lost
    crystals = free * at.solid_fat
    solid = p.density_liquid_butter / matter.solids_density
    light = p.density_liquid_butter / p.density_solid_butter
    rest = (finished - fat - locked - crystals) * solid + locked + crystals * light
    more_rest = (grows - more_fat - at.solid_fat) * solid + at.solid_fat * light
    return (fat, more_fat), (rest, more_rest)


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
    kept = replace(limits, stress_pa=limits.stress_pa / safety, viscosity_pas=limits.viscosity_pas / safety)
    allowed = float(crowding_allowed(kept, surface, at, by_stress=not matter.pgpr))
    most = _uncrowded(allowed, surface)
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
