"""The flow of a mass under given conditions, and the range in which the estimate holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np

from nibsmith.science.errors import OutOfRange
from nibsmith.science.flow.amounts import (
    at_level,
    fats_in_grams,
    locked_at,
    mixed_surface,
    water_in_grams,
)
from nibsmith.science.flow.casson import Casson
from nibsmith.science.flow.matter import FlowMatter
from nibsmith.science.flow.parameters import parameters, span_of
from nibsmith.science.flow.suspension import (
    casson_yield,
    crowding,
    equivalent_fat,
    liquid_fat_viscosity,
    plastic_viscosity,
)
from nibsmith.science.numerics import Array, Values
from nibsmith.science.tables import load


@dataclass(frozen=True)
class Conditions:
    """What decides the flow besides the recipe; each a number, or an array with one value a draw.

    Sizes [µm]; ``sauter_share`` is D[3,2] over D90; ``end_water`` is the water to which the kit dries the
    mass [0 to 1], ``None`` where it stays as charged; ``solid_fat`` is the share of the liquid fat that has
    crystallised, zero where the mass is not tempered; ``fat_level`` runs from -1, the leanest lot, to 1, the
    fattest; ``locked`` is the share of the butter from nibs that stays in coarse cocoa, worked out from its
    size where it is ``None``; the two factors are those of the kit's calibration; ``doubt`` is how much is
    there of the water that is not given [0 to 1].
    """

    cocoa_um: Values
    sugar_um: Values
    celsius: Values
    end_water: Values | None = None
    solid_fat: Values = 0.0
    sauter_share: Values | None = None
    milk_fat_free: Values | None = None
    cell_um: Values | None = None
    locked: Values | None = None
    crowding_limit: Values | None = None
    fat_level: Values = 0.0
    viscosity_factor: Values = 1.0
    yield_factor: Values = 1.0
    doubt: Values = 0.0

    def drawn(self, values: Mapping[str, Array]) -> Conditions:
        """Return the same with some inputs replaced by draws, the locked share worked out once for all."""
        known = {field.name for field in fields(self)}
        new = replace(self, **{name: value for name, value in values.items() if name in known})
        return replace(new, locked=locked_at(new))


@dataclass(frozen=True)
class Flow:
    """How a mass flows, with what led to it; numbers, or arrays with one value a draw.

    ``viscosity_pas`` and ``yield_pa`` are Casson's, infinite where nothing moves. Shares are of the finished
    mass [0 to 1]; ``surface`` in 1/µm; ``crowded`` is a volume share.
    """

    viscosity_pas: Values
    yield_pa: Values
    liquid_fat: Values
    locked_fat: Values
    water: Values
    surface: Values
    crowded: Values

    @property
    def flows(self) -> bool:
        """Whether there is room between the grains to move; of numbers only."""
        return bool(np.isfinite(self.viscosity_pas))

    @property
    def casson(self) -> Casson:
        """The law as numbers; only where it flows."""
        return Casson(float(self.yield_pa), float(self.viscosity_pas))

    @property
    def stress_at_5(self) -> Values:
        """Stress at 5 1/s [Pa]."""
        rate = parameters().rate_low
        return (np.sqrt(self.yield_pa) + np.sqrt(rate * np.asarray(self.viscosity_pas))) ** 2

    @property
    def viscosity_at_40(self) -> Values:
        """Viscosity at 40 1/s [Pa·s]."""
        rate = parameters().rate_high
        return (np.sqrt(self.yield_pa) + np.sqrt(rate * np.asarray(self.viscosity_pas))) ** 2 / rate


def flow(matter: FlowMatter, at: Conditions) -> Flow:
    """Return how a mass flows.

    Effective-fat Maron-Pierce: free fat, lecithin and water make an equivalent fat; what is not liquid, with
    locked butter and crystals at their own density, crowds it; crowding and surface give viscosity and yield.

    Parameters
    ----------
    matter : FlowMatter
        What of the recipe decides the flow [g].
    at : Conditions
        Sizes, temperature and the rest, as numbers or draws.

    Returns
    -------
    Flow
        Casson viscosity [Pa·s] and yield [Pa], and what led to them.

    Notes
    -----
    An estimate, not compared with a published table: no better than a factor 2 before it is calibrated to the
    kit. ``check_range`` says where it holds; this function does not ask.

    Examples
    --------
    >>> from nibsmith.science.mixture import Span
    >>> dark = FlowMatter(
    ...     100.0, free_fat=Span.exactly(35.0), cocoa_solids=33.8, sugar_solids=30.0, water=Span.exactly(1.2)
    ... )
    >>> law = flow(dark, Conditions(cocoa_um=20.0, sugar_um=20.0, celsius=40.0))
    >>> round(float(law.viscosity_pas), 2), round(float(law.yield_pa), 1)
    (1.87, 13.6)

    References
    ----------
    [maron-pierce-1956], [mcgee-2004], [moisture-trade], [afoakwa-2008]
    """
    p = parameters()
    water, scale = _water(matter, at)
    free, locked = (fat * scale for fat in fats_in_grams(matter, at))
    crystals = free * at.solid_fat
    equivalent = equivalent_fat(free - crystals, matter.lecithin * scale, water)
    solids = (1 - equivalent - locked - crystals) / matter.solids_density
    solids = solids + locked / p.density_liquid_butter + crystals / p.density_solid_butter
    crowded_by = solids / (solids + equivalent / p.density_liquid_butter)
    surface = mixed_surface(matter, at)
    crowded = crowding(np.where(equivalent > 0, crowded_by, 1.0)[()], surface)
    limit = p.crowding_limit if at.crowding_limit is None else at.crowding_limit
    liquid = liquid_fat_viscosity(at.celsius)
    viscosity = plastic_viscosity(crowded, liquid, limit)
    return Flow(
        viscosity_pas=viscosity * at.viscosity_factor,
        yield_pa=casson_yield(surface, viscosity, liquid) * at.yield_factor,
        liquid_fat=free,
        locked_fat=locked,
        water=water,
        surface=surface,
        crowded=crowded,
    )


def _water(matter: FlowMatter, at: Conditions) -> tuple[Values, Values]:
    """Water as a share of the finished mass, and what turns grams of anything else into such shares."""
    charged_g = water_in_grams(matter, at)
    charged = charged_g / matter.charge
    water = charged if at.end_water is None else np.minimum(at.end_water, charged)
    return water, (1 - water) / (matter.charge - charged_g)


def locked_nib_butter(matter: FlowMatter, at: Conditions) -> float:
    """Return the butter from nibs that stays locked in cocoa still coarse.

    Parameters
    ----------
    matter : FlowMatter
        The mass [g].
    at : Conditions
        The conditions, as numbers.

    Returns
    -------
    float
        Locked butter [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Span
    >>> nibs = FlowMatter(1000.0, nib_butter=Span.exactly(520.0), cocoa_solids=450.0)
    >>> round(locked_nib_butter(nibs, Conditions(cocoa_um=100.0, sugar_um=100.0, celsius=40.0)))
    63
    """
    return float(at_level(matter.nib_butter, at.fat_level) * locked_at(at))


def check_range(matter: FlowMatter, at: Conditions, law: Flow) -> None:
    """Refuse what lies outside the range in which the estimate holds.

    Parameters
    ----------
    matter : FlowMatter
        What of the recipe decides the flow [g].
    at : Conditions
        The conditions, as numbers.
    law : Flow
        The flow under them.

    Raises
    ------
    OutOfRange
        With the input, its value and the limit: fat 25 to 42 %, sizes 12 to 60 µm (cocoa ground from nibs to
        500, sugar to 600), water under 2 %, 32 to 50 °C liquid or 27 to 35 °C tempered.

    Examples
    --------
    >>> from nibsmith.science.mixture import Span
    >>> thin = FlowMatter(100.0, free_fat=Span.exactly(45.0), cocoa_solids=25.0, sugar_solids=30.0)
    >>> at = Conditions(cocoa_um=20.0, sugar_um=20.0, celsius=40.0)
    >>> check_range(thin, at, flow(thin, at))
    Traceback (most recent call last):
        ...
    nibsmith.science.errors.OutOfRange: The mass holds more fat than the estimate covers (got 45.0 %, ...).
    """
    for test in (_check_sizes, _check_water, _check_temperature, _check_fat):
        test(matter, at, law)


def _check_sizes(matter: FlowMatter, at: Conditions, law: Flow) -> None:  # noqa: ARG001
    fine = span_of("size_range")
    coarse = "coarse_cocoa" if matter.nib_butter.value else "size_range"
    cocoa, sugar = matter.solids_volume
    for name, size, most, there in (
        ("cocoa", at.cocoa_um, span_of(coarse).high, cocoa),
        ("sugar", at.sugar_um, span_of("coarse_sugar").high, sugar),
    ):
        if there and not fine.low <= size <= most:
            what = "finer" if size < fine.low else "coarser"
            raise OutOfRange(
                f"The {name} is {what} than the estimate covers",
                value=f"{size:.0f} µm",
                limit=f"{fine.low:.0f} to {most:.0f} µm",
                field=f"{name}_d90_um",
            )


def _check_water(matter: FlowMatter, at: Conditions, law: Flow) -> None:  # noqa: ARG001
    most = load("flow")["water_most"].value
    if law.water >= most:
        raise OutOfRange(
            "The mass holds more water than the estimate covers",
            value=f"{100 * float(law.water):.1f} %",
            limit=f"under {100 * most:.0f} %",
            field="end_water_percent",
        )


def _check_temperature(matter: FlowMatter, at: Conditions, law: Flow) -> None:  # noqa: ARG001
    span = span_of("celsius_tempered" if at.solid_fat else "celsius_liquid")
    if not span.low <= at.celsius <= span.high:
        raise OutOfRange(
            "The mass is cooler or warmer than the estimate covers",
            value=f"{at.celsius:.1f} °C",
            limit=f"{span.low:.0f} to {span.high:.0f} °C",
            field="temperature_celsius",
        )


def _check_fat(matter: FlowMatter, at: Conditions, law: Flow) -> None:  # noqa: ARG001
    span = span_of("fat_range")
    if not span.low <= law.liquid_fat <= span.high:
        what = "less free" if law.liquid_fat < span.low else "more"
        raise OutOfRange(
            f"The mass holds {what} fat than the estimate covers",
            value=f"{100 * float(law.liquid_fat):.1f} %",
            limit=f"{100 * span.low:.0f} to {100 * span.high:.0f} %",
            field="fat",
        )
