"""The flow of a recipe at its working temperature with its range: what ``pour`` and its remedies stand on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from nibsmith.answers._pour_seen import calibration_of, found_for
from nibsmith.answers._setting import setting_of
from nibsmith.answers.context import Context
from nibsmith.answers.process import SeenFlow, process_of, sauter_share_of, span_of, use_of
from nibsmith.answers.process_sizes import GrainSizes, sizes_of
from nibsmith.science.errors import OutOfRange
from nibsmith.science.flow import (
    Calibration,
    Conditions,
    Flow,
    FlowMatter,
    UseLimits,
    butter_needed,
    calibrate,
    check_range,
    flow,
    flow_matter,
    limits_of,
)
from nibsmith.science.mixture import Recipe, Span
from nibsmith.science.numerics import (
    DRAWS,
    Array,
    Distribution,
    LogNormal,
    Triangle,
    alone,
    drawn,
    quantile,
    variance_shares,
)
from nibsmith.science.tables import load
from nibsmith.science.temper import Program

BOTH_SIZES = "both_um"
FOUR_IN_FIVE = (10 / 100, 90 / 100)
# Thicker or thinner than the limit by more than this many e-folds counts as this, so that a mass that does
# not flow in some draws still has a variance.
_FOLDS = 5
# An amount of butter is worked out to this share of it; rounding it up adds more.
AMOUNT_TOLERANCE = 1e-3
_ROUNDS = 8


@dataclass(frozen=True)
class Case:
    """A recipe on a kit, ready to be estimated: what it is, under which conditions, and what varies."""

    matter: FlowMatter
    at: Conditions
    varies: Mapping[str, Distribution]
    limits: UseLimits
    sizes: GrainSizes
    program: Program
    temperature: Span
    water: Span | None
    calibration: Calibration
    seen: tuple[SeenFlow, ...] = ()

    @cached_property
    def central(self) -> Flow:
        """The flow with everything at its middle."""
        return flow(self.matter, self.at)

    @cached_property
    def drawn_conditions(self) -> Conditions:
        """The conditions with one value a draw."""
        return self.at.drawn(_spelt_out(drawn(self.varies)))

    @cached_property
    def thickness(self) -> Array:
        """How thick each draw is, as a multiple of the limit of the use [1]."""
        return self.thickness_of(self.draws)

    @cached_property
    def draws(self) -> Flow:
        """The flow of every draw."""
        return flow(self.matter, self.drawn_conditions)

    @property
    def found(self) -> SeenFlow | None:
        """The maker's own word that settles how this mass is for the use."""
        return found_for(self.seen, self.limits.use)

    @property
    def chance(self) -> float:
        """Share of the draws that stay under the limit of the use [0 to 1]."""
        return float(np.mean(self.thickness <= 1))

    def of(self, matter: FlowMatter) -> Case:
        """The same case with other amounts, sharing the draws of the conditions."""
        other = replace(self, matter=matter)
        if "drawn_conditions" in self.__dict__:
            other.__dict__["drawn_conditions"] = self.__dict__["drawn_conditions"]
        return other

    def at_conditions(self, **changes: float) -> Case:
        """The same case with some conditions known exactly; all others keep their draws."""
        varies = {name: what for name, what in self.varies.items() if name not in changes}
        if BOTH_SIZES in varies and changes.keys() & {"cocoa_um", "sugar_um"}:
            del varies[BOTH_SIZES]
        other = replace(self, at=replace(self.at, **changes), varies=varies)
        if "drawn_conditions" in self.__dict__:
            exactly = replace(self.__dict__["drawn_conditions"], locked=None, **changes)
            other.__dict__["drawn_conditions"] = exactly.drawn({})
        return other

    def thickness_of(self, law: Flow) -> Array:
        """How thick a mass is for the use, as a multiple of its limit [1]."""
        viscosity = np.asarray(law.viscosity_at_40) / self.limits.viscosity_pas
        if self.matter.pgpr:  # its yield cannot be told
            return viscosity
        return np.maximum(viscosity, np.asarray(law.stress_at_5) / self.limits.stress_pa)

    def butter_needed(self, share: float) -> float:
        """Butter with which a share of the draws, and the middle, keep the limits of the use [g].

        Worked out again with it in, as long as it brings the water under what costs nothing, or the lecithin
        under its cap: between these the need is linear, so a few rounds are enough.
        """
        add_g = 0.0
        for _ in range(_ROUNDS):
            more_g = self.butter_missing(share, add_g)
            add_g = max(0.0, add_g + more_g)
            if not add_g or abs(more_g) <= AMOUNT_TOLERANCE * add_g:
                break
        return add_g

    def butter_missing(self, share: float, add_g: float = 0.0) -> float:
        """Butter still missing with some added; negative where there is more than needed [g]."""
        middle, draws = self._missing_with(add_g)
        return max(middle, quantile(draws, share))

    def _missing_with(self, add_g: float) -> tuple[float, Array]:
        """Butter still missing with some added, in the middle and in each draw; kept, for two are asked."""
        if add_g not in self._missing:
            matter = self.matter.with_butter(add_g)
            draws = np.asarray(butter_needed(matter, self.limits, self.drawn_conditions))
            middle = float(butter_needed(matter, self.limits, self.at))
            self._missing[add_g] = middle, np.broadcast_to(draws, (DRAWS,))
        return self._missing[add_g]

    @cached_property
    def _missing(self) -> dict[float, tuple[float, Array]]:
        return {}

    def thickness_likely(self, share: float) -> float:
        """The thickness that a share of the draws does not pass, and the middle neither [1]."""
        middle = float(self.thickness_of(self.central))
        return max(middle, quantile(self.thickness, share))

    def range_of(self, values: Array | float) -> tuple[float, float]:
        """The ends between which four draws in five lie."""
        array = np.broadcast_to(np.asarray(values), self.thickness.shape)
        low, high = (quantile(array, share) for share in FOUR_IN_FIVE)
        return low, high

    @cached_property
    def shares(self) -> dict[str, float]:
        """What each input adds to the variance of the logarithm of the thickness [0 to 1]."""
        conditions = self.at.drawn(_spelt_out(alone(self.varies)))
        with np.errstate(divide="ignore"):
            logs = np.log(self.thickness_of(flow(self.matter, conditions)))
        return variance_shares(np.clip(logs, -_FOLDS, _FOLDS), tuple(self.varies))


def case_of(recipe: Recipe, context: Context) -> Case:
    """Return a recipe on its kit, ready to be estimated.

    Raises
    ------
    InputError
        If nothing goes into the machine.
    UnknownFigure
        If more than a pinch does not give its fat or water, or the kind of chocolate cannot be told.
    OutOfRange
        If too little of the fat is cocoa butter for a temper program.
    """
    process, program = process_of(context), setting_of(recipe).program
    if program is None:
        flow_matter(recipe)  # where figures are not given, that is why, and it says whose
        raise OutOfRange(
            "Too little of the fat is cocoa butter to say how it is tempered",
            value="less than half",
            limit="half of the fat at least",
            field="fat",
        )
    sizes, water = sizes_of(recipe, context), _water(context)
    temperature = process.temperature_celsius or program.work_celsius
    at = Conditions(
        cocoa_um=sizes.cocoa.value,
        sugar_um=sizes.sugar.value,
        celsius=temperature.value,
        end_water=None if water is None else water.value,
        solid_fat=load("flow")["solid_fat"].value,
        sauter_share=sauter_share_of(context).value,
    )
    matter, calibration = (
        flow_matter(recipe),
        calibration_of(process.seen, process.calibration or calibrate([])),
    )
    told = process.end_water_percent or process.usual_water_percent
    if told is not None:  # it may be more than what was weighed in
        matter = matter.holding(told.high / 100)
    at = replace(at, viscosity_factor=calibration.eta_factor.value, yield_factor=calibration.tau_factor.value)
    varies = dict(_inputs(matter, sizes, sauter_share_of(context)))
    varies |= {"celsius": _triangle(temperature)}
    varies |= {} if water is None else {"end_water": _triangle(water)}
    varies |= {
        "viscosity_factor": LogNormal(calibration.eta_factor.value, calibration.eta_spread),
        "yield_factor": LogNormal(calibration.tau_factor.value, calibration.tau_spread),
    }
    limits = limits_of(use_of(recipe, context))
    return Case(matter, at, varies, limits, sizes, program, temperature, water, calibration, process.seen)


def check(case: Case) -> None:
    """Refuse what lies outside the estimate; a mass that does not flow may have as little fat as it likes.

    Raises
    ------
    OutOfRange
        With the input, its value and the limit.
    """
    try:
        check_range(case.matter, case.at, case.central)
    except OutOfRange as error:
        if error.field != "fat" or case.central.flows:
            raise


def _water(context: Context) -> Span | None:
    """Water of the finished mass as a share; ``None`` where it stays as charged."""
    process = process_of(context)
    said = process.end_water_percent
    if said is None and context.kit is not None:
        said = context.kit.end_water_percent
    said = said or process.usual_water_percent
    return None if said is None else said.times(1 / 100)


def _inputs(matter: FlowMatter, sizes: GrainSizes, sauter: Span) -> Mapping[str, Distribution]:
    """What varies of the mass and its grains, only where it matters to this recipe."""
    table = load("flow")
    cocoa, sugar = matter.solids_volume
    found: dict[str, Distribution] = {}
    if matter.unknown_water:
        found["doubt"] = Triangle(0.0, 0.0, 1.0)
    if matter.fat.varies:
        found["fat_level"] = Triangle(-1.0, 0.0, 1.0)
    if sizes.same:
        found[BOTH_SIZES] = _triangle(sizes.cocoa)
    else:
        found |= {"cocoa_um": _triangle(sizes.cocoa)} if cocoa or matter.nib_butter.value else {}
        found |= {"sugar_um": _triangle(sizes.sugar)} if sugar else {}
    found["sauter_share"] = _triangle(sauter)
    found["solid_fat"] = _triangle(span_of(table["solid_fat"]))
    if matter.milk_fat.value:
        found["milk_fat_free"] = _triangle(span_of(table["milk_fat_free"]))
    if matter.nib_butter.value:
        found["cell_um"] = _triangle(span_of(table["cell_size"]))
    if sugar and sizes.sugar.value > span_of(table["size_range"]).high:
        found["crowding_limit"] = _triangle(span_of(table["crowding_limit_coarse"]))
    return found


def _triangle(span: Span) -> Triangle:
    return Triangle(span.low, span.value, span.high)


def _spelt_out(values: dict[str, Array]) -> dict[str, Array]:
    """One size for both, where the two are one reading."""
    if BOTH_SIZES in values:
        values["cocoa_um"] = values["sugar_um"] = values.pop(BOTH_SIZES)
    return values
