"""How large the grains of a mass are: as typed, by readings, by hours of grinding, or as the kit ends."""

from __future__ import annotations

import math
from dataclasses import dataclass

from nibsmith.answers.context import Context
from nibsmith.answers.process import (
    GRANULATED_UNLESS,
    Process,
    coarse_sugar,
    from_nibs,
    kit_of,
    micrometres,
    process_of,
    span_of,
    sugars_in,
)
from nibsmith.answers.smooth_ready import hours_figure
from nibsmith.answers.wording import NO_BREAK, grams
from nibsmith.science.errors import InputError
from nibsmith.science.grind import (
    GrindFit,
    KitSpeed,
    SizeReading,
    fit_readings,
    usual_speed,
)
from nibsmith.science.kit import Kit
from nibsmith.science.mixture import Recipe, Span, in_machine
from nibsmith.science.numerics import normal_quantile
from nibsmith.science.tables import load


@dataclass(frozen=True)
class GrainSizes:
    """Largest grains of cocoa and of sugar [µm], and where that is from, in a sentence.

    ``same`` says that both are one figure, not two. ``measured`` says that the maker gave or read it. ``fit``
    is the grinding that it is taken from, at ``hours`` since the last coarse addition [h].
    """

    cocoa: Span
    sugar: Span
    same: bool
    measured: bool
    said: str
    fit: GrindFit | None = None
    hours: float | None = None

    @property
    def largest(self) -> Span:
        """The larger of the two [µm]."""
        return max(self.cocoa, self.sugar, key=lambda span: span.value)


def sizes_of(recipe: Recipe, context: Context) -> GrainSizes:
    """Return the largest grains: as typed, by this batch's readings or hours, else what the kit reaches.

    Parameters
    ----------
    recipe : Recipe
        Its sugar and its cocoa decide what a kit leaves coarse, its charge how fast that goes.
    context : Context
        Kit and process.

    Returns
    -------
    GrainSizes
        Ranges [µm] and a sentence.

    Raises
    ------
    InputError
        If the readings cannot be those of one grinding, or it is asked of hours and nothing tells how fast
        this kit grinds such a charge.

    Examples
    --------
    >>> from nibsmith.science.kit import kit
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> blender = Context(kit=kit("blender"))
    >>> sizes_of(bar, blender).sugar.value, sizes_of(bar, blender).cocoa.value
    (500.0, 30.0)
    """
    process = process_of(context)
    if process.cocoa_d90_um and process.sugar_d90_um:
        same = process.cocoa_d90_um == process.sugar_d90_um
        return GrainSizes(process.cocoa_d90_um, process.sugar_d90_um, same, True, _typed(process))
    base = _from_readings(recipe, context) or _from_hours(recipe, context) or _from_kit(recipe, context)
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
        ``None`` where neither readings nor a speed for such a charge tell how fast it goes.

    Raises
    ------
    InputError
        If the size did not fall between the readings, or the last does not follow from the others.
    """
    process = process_of(context)
    speed = speed_for(in_machine(recipe).mass_g, context)
    if speed is None and len({reading.hours for reading in process.readings}) < 2:
        return None
    if speed is not None and not process.readings:
        return _unread(start_size(recipe, context), speed, context)
    return fit_readings(process.readings, start_size(recipe, context), speed, *kit_of(context).size_um)


def speed_for(charge_g: float, context: Context) -> Span | None:
    """Return how fast a kit grinds a charge [1/(µm h)]; none outside what it takes, or where nothing tells.

    Examples
    --------
    >>> from nibsmith.science.kit import kit
    >>> stone = Context(kit=kit("stone"))
    >>> small, large = speed_for(1000.0, stone), speed_for(2000.0, stone)
    >>> round(small.value / large.value, 6), speed_for(100_000.0, stone) is None
    (2.0, True)
    """
    machine, known = kit_of(context), process_of(context).speed
    known = known or usual_speed_of(machine, charge_g)
    return known.for_charge(charge_g) if known is not None and _takes(machine, charge_g) else None


def usual_speed_of(machine: Kit, charge_g: float) -> KitSpeed | None:
    """Return what is reported of such kits, for the charge halfway between the least and the most they take.

    Where a kit does not say what it takes, it is for the charge that is asked about [g].
    """
    least, most = machine.charge_min_g, machine.charge_max_g
    usual_g = charge_g if least is None or most is None else math.sqrt(least * most)
    return usual_speed(machine.key, usual_g)


def start_size(recipe: Recipe, context: Context) -> Span:
    """Return the size of the coarsest that went in: sugar as granules, else nibs just ground to a paste.

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
    >>> from nibsmith.science.mixture import Form, part
    >>> nibs = Recipe("b", Form.BAR, (part("cocoa_nibs_roasted", 700.0),))
    >>> start_size(nibs, Context()).value
    120.0
    """
    sugar = _sugar_start(recipe, context)
    cocoa = _cocoa_start(recipe)
    return cocoa if sugar is None else max(cocoa, sugar, key=lambda span: span.value)


def _cocoa_start(recipe: Recipe) -> Span:
    return span_of(load("grind")["nib_paste" if from_nibs(recipe) else "bought_mass"])


def _sugar_start(recipe: Recipe, context: Context) -> Span | None:
    """Size of the sugar that the kit grinds; none where there is none, or the kit leaves it."""
    sugars = sugars_in(recipe)
    if not sugars or not kit_of(context).grinds_sugar:
        return None
    return span_of(load("grind")["granulated_sugar" if sugars - GRANULATED_UNLESS else "home_milled_sugar"])


def _takes(machine: Kit, charge_g: float) -> bool:
    return (machine.charge_min_g or 0.0) <= charge_g <= (machine.charge_max_g or math.inf)


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
    last = max(process.readings, key=lambda reading: reading.hours)
    hours = max(process.hours or 0.0, last.hours)
    fit = grinding_fit(recipe, context)
    if fit is None:
        if hours > last.hours:
            raise _not_known(recipe, context, hours)
        return _as_read(last)
    size = fit.size_at(hours)
    when = (
        "at the last reading"
        if hours == last.hours
        else f"after {hours_figure(hours)}{NO_BREAK}h, by your readings"
    )
    said = f"The largest grains are about {micrometres(size)} {when}."
    return GrainSizes(size, size, True, True, said, fit, hours)


def _as_read(last: SizeReading) -> GrainSizes:
    """The only reading, where nothing else tells how fast it goes; four in five lie within the ends."""
    reach = normal_quantile(90 / 100) * last.deviation
    size = Span(max(last.size_um - reach, 0.0), last.size_um, last.size_um + reach)
    return GrainSizes(
        size, size, True, True, f"The largest grains are about {micrometres(size)}, as you read."
    )


def _from_hours(recipe: Recipe, context: Context) -> GrainSizes | None:
    """After hours of grinding of which nothing was read; none where nothing tells it and they may be over."""
    hours = process_of(context).hours
    if hours is None:
        return None
    if not hours:
        raise InputError(
            "Nothing was ground or read since the last coarse addition",
            advice="Say how long it is ground, or read its size.",
        )
    speed = speed_for(in_machine(recipe).mass_g, context)
    if speed is None:
        if not _takes(kit_of(context), in_machine(recipe).mass_g) or hours < kit_of(context).hours[0]:
            raise _not_known(recipe, context, hours)
        return None
    fit = _unread(start_size(recipe, context), speed, context)
    size, cocoa = fit.size_at(hours), _unread(_cocoa_start(recipe), speed, context).size_at(hours)
    same = _cocoa_start(recipe) == start_size(recipe, context)
    which = micrometres(size) if same else f"{micrometres(size)}, of cocoa {micrometres(cocoa)}"
    said = f"After {hours_figure(hours)}{NO_BREAK}h the largest grains are about {which}, by the usual speed."
    if process_of(context).speed is not None:
        said = said.replace("the usual speed", "the speed of your kit")
    return GrainSizes(cocoa, size, same, False, said, fit, hours)


def _unread(start: Span, speed: Span, context: Context) -> GrindFit:
    """A grinding of which nothing was read: by its speed, to where such kits come to rest."""
    reached = kit_of(context).size_um
    return fit_readings((), start, speed, reached[0]).resting(*reached)


def _not_known(recipe: Recipe, context: Context, hours: float) -> InputError:
    machine, charge_g = kit_of(context), in_machine(recipe).mass_g
    advice = "Read the size twice, some hours apart."
    if not _takes(machine, charge_g):
        least, most = (
            "any" if end is None else grams(end) for end in (machine.charge_min_g, machine.charge_max_g)
        )
        what = "How fast this kit grinds such a charge is not known"
        return InputError(what, value=grams(charge_g), limit=f"{least} to {most}", advice=advice)
    low, high = machine.hours
    return InputError(
        "How fast this kit grinds is not known yet",
        value=f"{hours:g} h",
        limit=f"{low:g} to {high:g} h as such kits go",
        advice=advice,
    )


def _from_kit(recipe: Recipe, context: Context) -> GrainSizes:
    machine = kit_of(context)
    reached = Span(machine.size_um[0], math.sqrt(machine.size_um[0] * machine.size_um[1]), machine.size_um[1])
    table = load("grind")
    bought = span_of(table["bought_mass"])
    cocoa = reached if from_nibs(recipe) or reached.high < bought.high else bought
    sugar = reached
    if not machine.grinds_sugar and sugars_in(recipe):
        sugar = span_of(table["granulated_sugar" if coarse_sugar(recipe, context) else "home_milled_sugar"])
    same = cocoa == sugar
    which = micrometres(cocoa) if same else f"cocoa {micrometres(cocoa)}, sugar {micrometres(sugar)}"
    said = f"Largest grains as a kit like yours usually leaves them: {which}."
    if context.kit is None:
        said = f"No kit is chosen; largest grains as a stone grinder leaves them: {which}."
    return GrainSizes(cocoa, sugar, same, False, said)
