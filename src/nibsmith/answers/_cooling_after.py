"""What a maker says besides the bar: how many moulds go into the fridge, and the room they come out into."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from nibsmith.answers._cooling_estimate import CooledCase
from nibsmith.answers.answer import Answer, Remedy, Verdict
from nibsmith.answers.tools.damp import DampAsked, damp_by_hand, humidity_words
from nibsmith.answers.wording import NO_BREAK, degrees, minutes
from nibsmith.science.cool import FridgeLoad, Moulds, fridge_load
from nibsmith.science.mixture import Span
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate, latent_heat

_SECONDS = 60


def load_of(case: CooledCase) -> FridgeLoad | None:
    """Return what the moulds ask of the fridge; none where their chocolate is not known."""
    cooling = case.cooling
    if cooling.chocolate_g is None or case.minutes is None:
        return None
    mould_celsius = load("cool")["mould_at"].value
    latent = latent_heat(case.chocolate).value
    moulds = Moulds(cooling.moulds, cooling.chocolate_g, cooling.mould_g or 0.0, mould_celsius, latent)
    core = float(case.central.core[0])
    return fridge_load(moulds, case.poured_celsius.value, core, case.minutes, cooling.power_w)


def held_up(case: CooledCase) -> Span | None:
    """Return how long the machine alone takes to carry off the heat of too many moulds [min].

    None where it does so while the bars cool, or nothing is said of them.
    """
    heat = load_of(case)
    if heat is None or heat.at_once >= case.cooling.moulds:
        return None
    row, said = load("cool")["fridge_power"], case.cooling.power_w
    power = Span(row.low or row.value, row.value, row.high or row.value)
    if said is not None:
        power = Span.exactly(said)
    return Span(*(heat.total / watts / _SECONDS for watts in (power.high, power.value, power.low)))


def ends_of_bar(case: CooledCase) -> Span | None:
    """Return when the bar itself is ready, with the ends of four in five, maybe without a high one [min]."""
    if case.minutes is None:
        return None
    low, high = case.range_of(case.draws.minutes)
    return Span(min(low, case.minutes), case.minutes, max(high, case.minutes))


def ends_of(case: CooledCase) -> Span | None:
    """Return when it comes off: when the bar is ready, or the fridge that holds it up [min]."""
    bar, late = ends_of_bar(case), held_up(case)
    if bar is None or late is None:
        return bar
    return Span(max(bar.low, late.low), max(bar.value, late.value), max(bar.high, late.high))


def damp_of_bar(case: CooledCase) -> Answer | None:
    """Return whether it gets damp in the room it comes out into; none where that is not said."""
    room, humidity = case.cooling.room_celsius, case.cooling.room_humidity_percent
    if case.minutes is None or room is None or humidity is None:
        return None
    face = float(case.central.surface[0])
    milk = case.chocolate is not Chocolate.DARK
    return damp_by_hand(DampAsked(face, room, humidity, milk)).answer


def minded(case: CooledCase) -> bool:
    """Whether fridge or room want minding although the setting is good."""
    damp = damp_of_bar(case)
    return held_up(case) is not None or (damp is not None and damp.verdict is not Verdict.GOOD)


def after_words(case: CooledCase) -> Iterator[str]:
    """Yield what is asked of fridge and room and does not go well, or cannot be told."""
    cooling, damp = case.cooling, damp_of_bar(case)
    if cooling.chocolate_g is None and (cooling.moulds > 1 or cooling.mould_g is not None):
        yield (
            "What the moulds ask of the fridge is not counted: that needs the chocolate in one and the "
            "weight of an empty one."
        )
    elif cooling.chocolate_g is not None and cooling.mould_g is None and case.minutes is not None:
        yield "The moulds themselves count as weightless, for what an empty one weighs is not said."
    if damp is not None and damp.verdict is not Verdict.GOOD:
        face = degrees(float(case.central.surface[0]))
        if damp.verdict is Verdict.STOP:
            yield f"Its face is at {face} then, under the dew point of the room: water settles on it."
        else:
            air = f"{humidity_words(damp.figure or 0.0)} humidity"
            yield f"Its face is at {face} then, where the room's air is at {air}: damp."


def held_up_words(case: CooledCase) -> str:
    """Return what holds so many moulds up, or nothing."""
    heat, cooling = load_of(case), case.cooling
    if heat is None or held_up(case) is None:
        return ""
    count = f"{cooling.moulds} moulds at once give" if cooling.moulds > 1 else "The mould gives"
    whose = "your" if cooling.power_w is not None else "a household"
    return f"{count} {heat.total / 1000:.0f}{NO_BREAK}kJ, more than {whose} fridge takes up so fast."


def after_remedies(case: CooledCase) -> Iterator[Remedy]:
    """Yield how many moulds go in at once, and what keeps the bar dry; each asked again."""
    heat = load_of(case)
    if heat is not None and held_up(case) is not None and heat.at_once > 0:
        fewer = replace(case, cooling=replace(case.cooling, moulds=heat.at_once))
        if held_up(fewer) is None:
            yield Remedy(
                f"Put them in by turns, {heat.at_once} at a time: each turn is off after about "
                f"{minutes(case.minutes or 0.0)}{NO_BREAK}min.",
                checked=True,
            )
    damp = damp_of_bar(case)
    if damp is not None:
        yield from (remedy for remedy in damp.remedies if remedy.checked)
