"""How a mass is made, as far as an answer may know: grain sizes, water, temperature, use, aim, history."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.answers.wording import NO_BREAK, RANGE
from nibsmith.science.flow import Calibration, Use
from nibsmith.science.grind import Aim, GrindFit, KitSpeed, SizeReading, fit_readings
from nibsmith.science.kit import Kit, kit
from nibsmith.science.mixture import Form, Grind, Kind, Recipe, Span, in_machine
from nibsmith.science.tables import Constant, load

ASSUMED_KIT = "stone"
_GROUND_HERE = frozenset({Kind.BEAN, Kind.NIB})
_GRANULATED_UNLESS = frozenset({"sugar_powdered"})
_NARROW = frozenset({"ball_mill"})
_SHELLS = frozenset({Form.FILLED, Form.PRALINE})


@dataclass(frozen=True)
class Process:
    """How a mass is made, as far as the maker has said; what is ``None`` is taken from the kit.

    Sizes are D90, or the median of micrometer readings [µm]; ``end_water_percent`` is the water of the
    finished mass [%]; ``temperature_celsius`` is that of the tempered mass when it is poured [°C].
    ``calibration`` and ``speed`` are those of the kit. ``readings`` are of this batch, ``hours`` how long it
    is to be ground; both count from the last coarse addition [h]. ``cooling`` is how the moulds are cooled.
    """

    cocoa_d90_um: Span | None = None
    sugar_d90_um: Span | None = None
    end_water_percent: Span | None = None
    temperature_celsius: Span | None = None
    use: Use | None = None
    aim: Aim | None = None
    calibration: Calibration | None = None
    speed: KitSpeed | None = None
    readings: tuple[SizeReading, ...] = ()
    hours: float | None = None
    cooling: Cooling | None = None


@dataclass(frozen=True)
class GrainSizes:
    """Largest grains of cocoa and of sugar [µm], and where that is from, in a sentence.

    ``same`` says that both are one figure, not two. ``measured`` says that the maker gave or read it.
    """

    cocoa: Span
    sugar: Span
    same: bool
    measured: bool
    said: str

    @property
    def largest(self) -> Span:
        """The larger of the two [µm]."""
        return max(self.cocoa, self.sugar, key=lambda span: span.value)


def process_of(context: Context) -> Process:
    """Return the process of a context, an empty one where there is none."""
    return context.process or Process()


def kit_of(context: Context) -> Kit:
    """Return the kit of a context; a stone grinder where none is chosen."""
    return context.kit or kit(ASSUMED_KIT)


def use_of(recipe: Recipe, context: Context) -> Use:
    """Return what a mass is poured for: as said, else thin shells for filled forms, bars for all others."""
    said = process_of(context).use
    return usual_use(recipe.form) if said is None else said


def usual_use(form: Form) -> Use:
    """Return what a mass is poured for by what it is sold as: thin shells for filled forms, else bars.

    Examples
    --------
    >>> usual_use(Form.PRALINE).value, usual_use(Form.BAR).value
    ('thin_shells', 'bars')
    """
    return Use.THIN_SHELLS if form in _SHELLS else Use.BARS


def aim_of(context: Context) -> Aim:
    """Return what is aimed at: as said, else the smoothest that the kit reaches."""
    said = process_of(context).aim
    if said is not None:
        return said
    finest = kit_of(context).size_um[0]
    table = load("grind")
    reached = (aim for aim in Aim if finest <= table[f"aim_{aim.value}"].value)
    return next(reached, Aim.RUSTIC)


def readings_since(
    readings: Iterable[tuple[float, float, int]], addition_hours: float
) -> tuple[SizeReading, ...]:
    """Return readings counted from the last coarse addition; what was read before it tells nothing of it.

    Parameters
    ----------
    readings : iterable of (float, float, int)
        Hours since the start, median size and how many readings it is of [h; µm].
    addition_hours : float
        When the last coarse addition was made [h since the start].

    Returns
    -------
    tuple of SizeReading
        In order of time.

    Examples
    --------
    >>> [reading.hours for reading in readings_since([(5.0, 90.0, 1), (20.0, 40.0, 3)], 6.0)]
    [14.0]
    """
    later = (
        SizeReading(hours - addition_hours, size_um, count)
        for hours, size_um, count in readings
        if hours >= addition_hours
    )
    return tuple(sorted(later, key=lambda reading: reading.hours))


def sizes_of(recipe: Recipe, context: Context) -> GrainSizes:
    """Return the largest grains: as typed, else from this batch's readings, else what the kit reaches.

    Parameters
    ----------
    recipe : Recipe
        Its sugar and its cocoa decide what a kit leaves coarse.
    context : Context
        Kit and process.

    Returns
    -------
    GrainSizes
        Ranges [µm] and a sentence.

    Raises
    ------
    InputError
        If the readings cannot be those of one grinding.

    Examples
    --------
    >>> from nibsmith.science.mixture import part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> blender = Context(kit=kit("blender"))
    >>> sizes_of(bar, blender).sugar.value, sizes_of(bar, blender).cocoa.value
    (500.0, 30.0)
    """
    process = process_of(context)
    if process.cocoa_d90_um and process.sugar_d90_um:
        same = process.cocoa_d90_um == process.sugar_d90_um
        return GrainSizes(process.cocoa_d90_um, process.sugar_d90_um, same, True, _typed(process))
    base = _from_readings(recipe, context) or _from_kit(recipe, context)
    if process.cocoa_d90_um:
        typed, rest = micrometres(process.cocoa_d90_um), micrometres(base.sugar)
        said = f"Cocoa {typed}, as you say; sugar and the rest {rest}, as such a kit leaves them."
        return GrainSizes(process.cocoa_d90_um, base.sugar, False, True, said)
    if process.sugar_d90_um:
        typed, rest = micrometres(process.sugar_d90_um), micrometres(base.cocoa)
        said = f"Sugar and the rest {typed}, as you say; cocoa {rest}, as such a kit leaves it."
        return GrainSizes(base.cocoa, process.sugar_d90_um, False, True, said)
    return base


def grinding_fit(recipe: Recipe, context: Context) -> GrindFit | None:
    """Return what the readings of a batch, or the known speed of its kit, say of its grinding.

    Parameters
    ----------
    recipe : Recipe
        Its charge decides the speed, its sugar the size at the start.
    context : Context
        Kit, its speed, and the readings.

    Returns
    -------
    GrindFit or None
        ``None`` where neither readings nor a speed tell how fast it goes.

    Raises
    ------
    InputError
        If the size did not fall between the readings.
    """
    process, machine = process_of(context), kit_of(context)
    if process.speed is not None:
        speed: Span | None = process.speed.for_charge(in_machine(recipe).mass_g)
    else:
        row = load("grind").get(f"{machine.key}_speed")
        speed = None if row is None else span_of(row)
    if speed is None and len({reading.hours for reading in process.readings}) < 2:
        return None
    return fit_readings(process.readings, _start(recipe, machine), speed, machine.size_um[0])


def start_size(recipe: Recipe, context: Context) -> Span:
    """Return the size of what went in last: sugar as granules, else nibs just ground to a paste.

    Parameters
    ----------
    recipe : Recipe
        What is in the machine at the time.
    context : Context
        Its kit.

    Returns
    -------
    Span
        Largest grains at the start of the grinding [µm].

    Examples
    --------
    >>> from nibsmith.science.mixture import part
    >>> nibs = Recipe("b", Form.BAR, (part("cocoa_nibs_roasted", 700.0),))
    >>> start_size(nibs, Context()).value
    120.0
    """
    return _start(recipe, kit_of(context))


def sauter_share_of(context: Context) -> Span:
    """Return D[3,2] over D90 for a kit: narrow for a ball mill, wide for all others [1]."""
    narrow = kit_of(context).key in _NARROW
    return span_of(load("flow")["sauter_share_narrow" if narrow else "sauter_share_wide"])


def span_of(row: Constant) -> Span:
    """Return a constant with its ends, in its unit."""
    low = row.value if row.low is None else row.low
    high = row.value if row.high is None else row.high
    return Span(low, row.value, high)


def micrometres(span: Span) -> str:
    """Return a range of sizes in words.

    Examples
    --------
    >>> micrometres(Span(15.0, 21.2, 30.0)).replace(NO_BREAK, " ")
    '15–30 µm'
    """
    low, high = f"{span.low:.0f}", f"{span.high:.0f}"
    return f"{low}{NO_BREAK}µm" if low == high else f"{low}{RANGE}{high}{NO_BREAK}µm"


def coarse_sugar(recipe: Recipe, context: Context) -> bool:
    """Return whether sugar goes in as granules that this kit does not grind."""
    return not kit_of(context).grinds_sugar and bool(_sugars(recipe) - _GRANULATED_UNLESS)


def whole_sugar(recipe: Recipe, context: Context) -> bool:
    """Return whether sugar that is meant to be fine goes in as granules that this kit does not grind."""
    meant_fine = _sugars(recipe, but=Grind.COARSE)
    return not kit_of(context).grinds_sugar and bool(meant_fine - _GRANULATED_UNLESS)


def from_nibs(recipe: Recipe) -> bool:
    """Return whether cocoa is ground here from beans or nibs."""
    return any(leaf.kind in _GROUND_HERE and leaf.mass_g > 0 for leaf in recipe.leaves() if leaf.in_machine)


def _typed(process: Process) -> str:
    cocoa, sugar = process.cocoa_d90_um, process.sugar_d90_um
    assert cocoa is not None  # noqa: S101  asked for by the caller, for the reader of types
    assert sugar is not None  # noqa: S101
    if cocoa == sugar:
        return f"The largest grains are {micrometres(cocoa)}, as you say."
    return (
        f"The largest grains are {micrometres(cocoa)} of cocoa and {micrometres(sugar)} of sugar, as you say."
    )


def _from_readings(recipe: Recipe, context: Context) -> GrainSizes | None:
    process = process_of(context)
    if not process.readings:
        return None
    fit = grinding_fit(recipe, context)
    if fit is None:
        return None
    last = max(reading.hours for reading in process.readings)
    hours = last if process.hours is None else max(process.hours, last)
    size = fit.size_at(hours)
    when = "at the last reading" if hours == last else f"after {hours:.0f}{NO_BREAK}h, by your readings"
    return GrainSizes(size, size, True, True, f"The largest grains are about {micrometres(size)} {when}.")


def _from_kit(recipe: Recipe, context: Context) -> GrainSizes:
    machine = kit_of(context)
    reached = Span(machine.size_um[0], math.sqrt(machine.size_um[0] * machine.size_um[1]), machine.size_um[1])
    table = load("grind")
    bought = span_of(table["bought_mass"])
    cocoa = reached if from_nibs(recipe) or reached.high < bought.high else bought
    sugar = reached
    if not machine.grinds_sugar and _sugars(recipe):
        sugar = span_of(table["granulated_sugar" if coarse_sugar(recipe, context) else "home_milled_sugar"])
    same = cocoa == sugar
    which = micrometres(cocoa) if same else f"cocoa {micrometres(cocoa)}, sugar {micrometres(sugar)}"
    said = f"Largest grains as a kit like yours usually leaves them: {which}."
    if context.kit is None:
        said = f"No kit is chosen; largest grains as a stone grinder leaves them: {which}."
    return GrainSizes(cocoa, sugar, same, False, said)


def _sugars(recipe: Recipe, but: Grind | None = None) -> set[str]:
    return {
        leaf.ingredient.key
        for leaf in recipe.leaves()
        if leaf.in_machine
        and leaf.kind in (Kind.SUGAR, Kind.SWEETENER)
        and leaf.mass_g > 0
        and leaf.grind is not but
    }


def _start(recipe: Recipe, machine: Kit) -> Span:
    """Size of what goes in last: sugar as granules, else nibs just ground to a paste."""
    granules = machine.grinds_sugar and bool(_sugars(recipe) - _GRANULATED_UNLESS)
    return span_of(load("grind")["granulated_sugar" if granules else "nib_paste"])
