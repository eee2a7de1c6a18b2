"""How grain sizes are said: the word for them, where they are from, when they are reached, what to mind."""

from __future__ import annotations

import math
from collections.abc import Iterator

from nibsmith.answers._kit_words import the_kit
from nibsmith.answers._smooth_grains import Grains
from nibsmith.answers.answer import Citation, Detail
from nibsmith.answers.context import Context
from nibsmith.answers.process import aim_of, kit_of, micrometres, process_of
from nibsmith.answers.smooth_ready import hours_figure, hours_words, more_hours, ready_hours
from nibsmith.answers.wording import NO_BREAK, RANGE, capital, degrees, joined, thing
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.grind import Aim, Feels, GrindFit, WarmUp, feels, told_apart
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Grind, Recipe, Span, in_machine
from nibsmith.science.numerics import widest
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate, chocolate_of

AIM_WORDS = {
    Aim.MELTING: "melting smooth",
    Aim.STONE_GROUND: "stone-ground",
    Aim.RUSTIC: "rustic",
}
_NARROWED_BY = {
    "cocoa_um": "the size of the cocoa: read it with a micrometer",
    "sugar_um": "the size of the sugar: read it with a micrometer",
    "both_um": "what your kit really reaches: read it with a micrometer",
    "speeds": "how fast your kit grinds: one more reading narrows it",
    "starts": "how coarse it was at the start: it matters less with every hour",
    "floors": "where your kit comes to rest: read it again in some hours",
}
_BLADES = frozenset({"blender", "stick_blender"})


def feel_words(grains: Grains, context: Context) -> str:
    """Return what the largest grains feel like, and how far the aim goes."""
    if grains.whole_sugar:
        kind = kit(kit_of(context).key).name.lower()
        crystals = f"its crystals stay at {micrometres(grains.sizes.sugar)} and crunch"
        return f"A {kind} does not grind granulated sugar: {crystals}. Mill it to powder first."
    found, aim = feels(grains.middle), aim_of(context)
    size = f"The largest grains come to about {micrometres(Span.exactly(grains.middle))}"
    ends = f"{size} ({micrometres(grains.span)})" if grains.span.varies else size
    if grains.fit is not None and grains.fit.stalled:
        ends += " and stay there"
    if aim is not Aim.RUSTIC:
        return (
            f"{ends}: {found.value}. {capital(AIM_WORDS[aim])} goes up to {grains.limit_um:.0f}{NO_BREAK}µm."
        )
    if process_of(context).aim is None:
        return f"{ends}: {found.value}. That is what such a kit leaves; finer wants another grinder."
    finer = "as you aim for" if found is Feels.RUSTIC else "finer than you aim for"
    return f"{ends}: {found.value}, {finer}."


def ready_words(grains: Grains, context: Context, *, out_of_reach: bool) -> Iterator[str]:
    """Yield when the size aimed at is reached, or that it is not known."""
    size, fit, whose = f"{grains.limit_um:.0f}{NO_BREAK}µm", grains.fit, _speed_words(context)
    if fit is not None and not out_of_reach and fit.reach_um <= grains.limit_um < fit.floor_um:
        yield f"When it comes to {size} is unknown: {_rest_words(fit)}."
    elif out_of_reach or (fit is not None and grains.limit_um < fit.floor_um):
        yield f"When it comes to {size} is unknown: this kit does not get there."
    elif fit is None:
        low, high = kit_of(context).hours
        usual = f"{low:g}{RANGE}{high:g}{NO_BREAK}h"
        yield f"Such a kit usually takes {usual}; two readings, and the time is forecast."
    elif fit.readings:
        yield _ready_sentence(grains, fit, "by your readings")
    elif not grains.sizes.measured:
        yield _ready_sentence(grains, fit, whose)
    elif grains.middle > grains.limit_um:
        more = hours_words(more_hours(fit, grains.middle, grains.limit_um))
        yield f"From there to {size} it takes {more}, {whose}; readings of this batch bring it nearer."


def _ready_sentence(grains: Grains, fit: GrindFit, by: str) -> str:
    ready, size = ready_hours(fit, grains.limit_um), f"{grains.limit_um:.0f}{NO_BREAK}µm"
    if not ready.high:
        return f"It is finer than {size} from the last coarse addition on."
    words = "It came" if grains.hours is not None and ready.value <= grains.hours else "It comes"
    return f"{words} to {size} {_after_words(ready)}, {by}."


def _after_words(ready: Span) -> str:
    """When it is ready, or, where that may never be, the earliest that it can."""
    since = "from the last coarse addition"
    if ready.value == math.inf:
        least = f"{hours_figure(ready.low)}{NO_BREAK}h"
        return f"after {least} {since} at the earliest, if it does not stall before"
    return f"after {hours_words(ready)} {since}"


def _rest_words(fit: GrindFit) -> str:
    """Why a size above what the kit reaches is not to be expected."""
    if fit.stalled:
        return f"it has stalled at about {fit.floor_um:.0f}{NO_BREAK}µm"
    if fit.readings:
        return "it goes far slower than such a kit is known for, or has stalled; read it again in some hours"
    return "not every such kit gets there"


def _speed_words(context: Context) -> str:
    """Whose speed a forecast without readings goes by."""
    known = process_of(context).speed
    if known is None or not known.observations:
        return "as such kits go"
    batches = "batch" if known.observations == 1 else "batches"
    return f"by {known.observations} {batches} of your kit"


def reasons(recipe: Recipe, context: Context, grains: Grains, *, out_of_reach: bool) -> Iterator[str]:
    """Yield where the sizes are from and what bears on them."""
    yield grains.sizes.said
    whole = grains.whole_sugar and not out_of_reach  # neither time nor a reading mends that
    if not whole:
        yield from ready_words(grains, context, out_of_reach=out_of_reach)
    yield from _readings_words(grains, context)
    yield from _coarse_words(recipe, grains, said=whole)
    yield from _fine_words(grains)
    yield from _heat_words(recipe, context)
    if feels(grains.middle) is not Feels.RUSTIC:
        yield f"Here a tongue tells a difference of about {told_apart(grains.middle):.0f}{NO_BREAK}µm."
    if not whole:
        yield from widest_words(grains)


def _readings_words(grains: Grains, context: Context) -> Iterator[str]:
    fit, table = grains.fit, load("grind")
    if fit is None or not fit.readings:
        return
    if any(reading.count < 3 for reading in fit.readings):
        error = f"{table['reading_error'].value:.0f}{NO_BREAK}µm"
        yield f"A single micrometer reading is good to {error} either way: take the median of several."
    if fit.stalled:
        yield _stall_words(fit.floor_um, kit_of(context).size_um)
        return
    begins = table["floor_begins"].value
    if min(one.size_um for one in fit.readings) < begins:
        under = f"Under about {begins:.0f}{NO_BREAK}µm"
        yield f"{under} readings come near to a kit's floor; the last steps take longest."
    elif fit.near_floor:
        yield "This is near to the finest that such a kit reaches; the last steps take longest."


def _stall_words(floor_um: float, reached_um: tuple[float, float]) -> str:
    """What to make of a size that no longer falls: such kits rest there, or something is amiss."""
    if floor_um <= reached_um[1]:
        ends = micrometres(Span(reached_um[0], floor_um, reached_um[1]))
        return f"It no longer falls: such kits come to rest somewhere at {ends}."
    return "It no longer falls as it did: see how the grinder is set, and whether it holds too much."


def _coarse_words(recipe: Recipe, grains: Grains, *, said: bool) -> Iterator[str]:
    if grains.whole_sugar and not said:
        yield "This kit does not grind granulated sugar: its crystals stay the largest grains."
    left = [leaf for leaf in recipe.leaves() if leaf.in_machine and leaf.grind is not Grind.REFINED]
    names = list(dict.fromkeys(thing(leaf.ingredient) for leaf in left if leaf.mass_g > 0))
    if names:
        yield f"{capital(joined(names))} left coarse on purpose is not counted."


def _fine_words(grains: Grains) -> Iterator[str]:
    if grains.middle < load("flow")["over_ground"].value:
        yield "It is ground finer than a tongue can tell. That thickens it: see whether it pours."


def _heat_words(recipe: Recipe, context: Context) -> Iterator[str]:
    """The ceiling of the kit for this kind of mass, and how soon a blade motor is there."""
    machine, mass = context.kit, in_machine(recipe)
    if machine is None or machine.ceiling_celsius is None:
        return
    ceiling = machine.ceiling_celsius
    try:
        if chocolate_of(mass) is not Chocolate.DARK and machine.ceiling_milk_celsius is not None:
            ceiling = machine.ceiling_milk_celsius
    except UnknownFigure:
        ceiling = min(ceiling, machine.ceiling_milk_celsius or ceiling)
    words = f"Keep the mass under {degrees(ceiling)}"
    if machine.key not in _BLADES:
        yield f"{words}."
        return
    row = load("grind")["blade_power"]
    powers = (row.low or row.value, row.high or row.value)
    rises = [WarmUp(mass.mass_g, power, ceiling, ceiling).kelvin_a_minute for power in powers]
    rise = f"{rises[0]:.0f}{RANGE}{rises[1]:.0f}{NO_BREAK}K"
    yield f"{words}: the motor warms this charge by {rise} a minute, so pulse and rest."


def widest_words(grains: Grains) -> Iterator[str]:
    """Yield what widens the range of the size most, ties said."""
    names = widest(grains.shares)
    if len(names) == 1 and grains.sizes.measured and grains.hours is None:
        yield "What widens the range most is the size itself: take the median of several readings."
    elif len(names) == 1:
        yield f"What widens the range most is {_NARROWED_BY[names[0]]}."
    elif names:
        both = joined([_NARROWED_BY[name].partition(":")[0] for name in names])
        yield f"The range is widened about equally by {both}."


def details(grains: Grains) -> tuple[Detail, ...]:
    """Return the sizes, and the readings with what the forecast makes of them."""
    sizes = grains.sizes
    rows = [("Cocoa", micrometres(sizes.cocoa)), ("Sugar and the rest", micrometres(sizes.sugar))]
    if sizes.same:
        rows = [("All", micrometres(sizes.cocoa))]
    found = [Detail("Largest grains", ("Of", "Size"), tuple(rows), "D90, about what a micrometer reads.")]
    if grains.fit is not None and grains.fit.readings:
        found.append(_readings_detail(grains))
    return tuple(found)


def _readings_detail(grains: Grains) -> Detail:
    assert grains.fit is not None  # noqa: S101  asked by the caller, for the reader of types
    rows = tuple(
        (f"{hours_figure(one.hours)} h", f"{one.size_um:.0f} µm", micrometres(grains.fit.size_at(one.hours)))
        for one in grains.fit.readings
    )
    head = ("After the last coarse addition", "Read", "Forecast, four in five")
    speed = grains.fit.speed
    ends = f"{speed.low:.2g} to {speed.high:.2g}"
    note = f"One over the size grows evenly, by {speed.value:.2g} ({ends}) per µm and hour."
    return Detail("Readings", head, rows, note)


def sources(context: Context, grains: Grains) -> tuple[Citation, ...]:
    """Return where the words, the sizes and the speed are from."""
    table, machine = load("grind"), kit_of(context)
    keys = ["smooth", "grainy", "least_difference"]
    if grains.fit is not None:
        keys.append("reading_error")
        if process_of(context).speed is None and f"{machine.key}_speed" in table:
            keys.append(f"{machine.key}_speed")
    if grains.whole_sugar:
        keys.append("granulated_sugar")
    rows = [Citation(table[key].source, table[key].place, table[key].status) for key in keys]
    if not grains.sizes.measured:
        rows.append(
            Citation(
                machine.source or "common-practice",
                f"sizes reached by {the_kit(machine)}",
                machine.status,
            )
        )
    return tuple(rows)
