"""How a bar on its way through the cold is said."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import numpy as np

from nibsmith.answers._cooling_after import (
    after_words,
    damp_of_bar,
    ends_of,
    ends_of_bar,
    held_up,
    held_up_words,
    load_of,
)
from nibsmith.answers._cooling_estimate import CooledCase, exchange_of
from nibsmith.answers._widest import widest_detail, widest_sentence
from nibsmith.answers.answer import Citation, Detail, Verdict
from nibsmith.answers.tools.damp import humidity_words
from nibsmith.answers.wording import (
    NO_BREAK,
    RANGE,
    capital,
    degrees,
    degrees_span,
    minutes,
    minutes_span,
    small,
)
from nibsmith.science.cool import Waiting
from nibsmith.science.mixture import Span
from nibsmith.science.quantities.shown import format_number
from nibsmith.science.tables import load
from nibsmith.science.temper import fat_limits

NARROWED = {
    "thickness_mm": ("the thickness of the bar", "measure one with a rule"),
    "air_celsius": ("the temperature around the moulds", "lay a thermometer beside them"),
    "exchange": ("how well the air takes heat away", "time one bar of yours and compare"),
    "wall": ("the wall of the mould", "measure its thickness"),
    "conductivity": ("how well chocolate conducts heat", "nothing but a laboratory narrows it"),
    "density": ("the density of the mass", "weigh a filled cavity of known volume"),
    "growth": ("how fast crystals grow in your mass", "time one bar of yours and compare"),
    "fat_share": ("the fat of your lot", "type it from the supplier's sheet"),
    "seed": ("how many crystals the tempered mass holds", "a smear or a cooling curve tells"),
    "poured_celsius": ("the temperature it is poured at", "measure it in the bowl"),
}
_WINDS = {"still": "still air", "fan": "air moved by a fan", "strong": "strong air, as in a cabinet"}
_WAITING = {
    Waiting.CORE: "its core to cool",
    Waiting.SOLIDS: "its fat to set",
    Waiting.CONTRACTION: "it to shrink off the mould",
}
NOT_CALIBRATED = (
    "An estimate, not calibrated to your kit. The mould tells: seen from below it is clear of the bar "
    "all over."
)
UNTEMPERED = (
    "Left untempered it sets slowly, in low forms: soft, dull, and it blooms. It may stick to the mould."
)


def minutes_words(span: Span) -> str:
    """Return a time with the range of four draws in five; the high end may be endless [min]."""
    middle, ends = minutes(span.value), minutes_span(span.low, span.high)
    return f"about {middle}{NO_BREAK}min" + (f" ({ends})" if ends != middle else "")


def place_words(case: CooledCase) -> str:
    """Return where it cools, in words."""
    thickness = f"{case.thickness_mm.value:g}{NO_BREAK}mm"
    cooling, celsius = case.cooling, degrees(case.air_celsius.value)
    where = f" in “{cooling.place}”," if cooling.place else ""
    if cooling.exchange is not None:  # then it does not matter how the air moves
        whose = "its air" if where else ", the air"
        return f"{thickness} thick, at {celsius}{where}{' ' if where else ''}{whose} by your own figure"
    return f"{thickness} thick, at {celsius}{where or ' in'} {_WINDS[cooling.wind]}"


def air_words(case: CooledCase) -> Iterator[str]:
    """Yield which figure of the air was used, where it is the maker's own or a fridge of theirs is named."""
    cooling, exchange = case.cooling, exchange_of(case.cooling)
    whose = f" of “{cooling.place}”" if cooling.place else ""
    if cooling.exchange is not None:
        yield f"The air{whose} takes up {_spread(exchange)}, your own figure."
    elif cooling.place:
        yield f"The air{whose} takes up {_spread(exchange)}, as is usual for {_WINDS[cooling.wind]}."


def _spread(span: Span) -> str:
    ends = f" ({span.low:g}{RANGE}{span.high:g})" if span.varies else ""
    return f"{span.value:g}{ends}{NO_BREAK}W/(m²{NO_BREAK}K)"


def sentence(case: CooledCase) -> str:
    """Return the answer in a sentence or two."""
    if case.minutes is None:
        lacking = _WAITING[case.central.waiting[0]]
        hours = load("cool")["longest"].value / 60
        return f"{capital(place_words(case))}, it still waits for {lacking} after {hours:.0f} hours."
    found = _comes_off(case)
    low_forms = 100 * float(case.central.unstable[0])
    if not case.comes_off_well:
        share = f"{low_forms:.0f}{NO_BREAK}% of its crystals"
        found = f"{found} By then {share} are low forms, which go dull and bloom."
    return " ".join([found, *after_words(case)])


def _comes_off(case: CooledCase) -> str:
    """When it comes off: as the bar cools, or as the fridge carries off the heat of too many moulds."""
    bar, whole = ends_of_bar(case), ends_of(case)
    if bar is None or whole is None:
        return ""
    if held_up(case) is None:
        return f"It comes off after {minutes_words(bar)}: {place_words(case)}."
    alone = f"By itself it takes {minutes_words(bar)}: {place_words(case)}."
    return f"It comes off after {minutes_words(whole)}: {small(held_up_words(case))} {alone}"


def reasons(case: CooledCase) -> Iterator[str]:
    """Yield what the time comes from, and what else is to be known."""
    yield from _assumed(case)
    yield from air_words(case)
    if not case.cooling.tempered:
        yield UNTEMPERED
    if case.minutes is not None:
        yield f"It waits last for {_WAITING[case.central.waiting[0]]}."
        contraction = float(case.central.contraction[0])
        yield f"It shrinks by about {contraction:.1f}{NO_BREAK}% of its length."
        yield f"Of the draws {100 * case.chance:.0f}{NO_BREAK}% come off with few low forms."
        yield widest_words(case)
    yield from load_words(case)
    yield from damp_words(case)
    yield NOT_CALIBRATED


def widest_words(case: CooledCase) -> str:
    """Return what widens the range most: what the bar stands on, or the machine that holds it up."""
    if held_up(case) is None or case.cooling.power_w is not None:
        return widest_sentence(case.shares, NARROWED)
    return "What widens the range most is how much heat your fridge takes up: time a full load of yours."


def _assumed(case: CooledCase) -> Iterator[str]:
    cooling, taken = case.cooling, []
    if cooling.thickness_mm is None:
        taken.append(f"{case.thickness_mm.low:g}{RANGE}{case.thickness_mm.high:g}{NO_BREAK}mm of thickness")
    if cooling.air_celsius is None:
        taken.append(f"{degrees_span(case.air_celsius)} around the moulds")
    if cooling.poured_celsius is None:
        taken.append(f"{degrees_span(case.poured_celsius)} when poured")
    if taken:
        yield f"Taken as usual, for nothing is said: {', '.join(taken)}."
    if case.fat_beyond:
        low, high = (100 * end for end in fat_limits())
        bounds = f"{low:g}{RANGE}{high:g}{NO_BREAK}%"
        yield f"Lots with fat beyond {bounds} count as at its end: the estimate goes no further."


def load_words(case: CooledCase) -> Iterator[str]:
    """Yield what the moulds ask of the fridge, where their chocolate is known."""
    heat, cooling = load_of(case), case.cooling
    if heat is None:
        return
    whose = "your" if cooling.power_w is not None else "a household"
    power = f"{heat.total / 1000:.0f}{NO_BREAK}kJ, {heat.mean_w:.0f}{NO_BREAK}W over the time of one bar"
    takes = f"{whose} fridge takes up about {heat.at_once} at once before its air warms"
    yield f"{cooling.moulds} of these moulds give {power}; {takes}."
    if held_up(case) is not None:
        yield "Table and picture are for air that stays as cold as told, with no more moulds than that."


def damp_words(case: CooledCase) -> Iterator[str]:
    """Yield whether the bar is dry when it comes out into the room; what is not stands in the sentence."""
    damp = damp_of_bar(case)
    if case.minutes is not None and damp is None:
        yield "Whether water settles on it when it comes out cannot be told without the room's humidity."
    elif damp is not None and damp.verdict is Verdict.GOOD:
        face = degrees(float(case.central.surface[0]))
        air = f"where the room's air is at {humidity_words(damp.figure or 0.0)}"
        yield f"Its face is at {face} then, {air}: dry enough."


def details(case: CooledCase) -> tuple[Detail, ...]:
    """Return how it is when it comes off, the settings side by side, and what widens the range."""
    found = [_settings(case)]
    if case.minutes is not None:
        found = [_release(case), *found, widest_detail(case.shares, NARROWED)]
    return tuple(found)


def _release(case: CooledCase) -> Detail:
    central, draws = case.central, case.draws
    rows = []
    for name, values, middle, step in (
        ("Minutes", draws.minutes, central.minutes, "1"),
        ("Core, °C", draws.core, central.core, "0.1"),
        ("Contraction, % of the length", draws.contraction, central.contraction, "0.01"),
        ("Low forms, % of the crystals", 100 * draws.unstable, 100 * central.unstable, "0.1"),
    ):
        low, high = case.range_of(values)
        end = f"{RANGE}{_to(step, high)}" if np.isfinite(high) else " and more"
        least = low if np.isfinite(low) else float(middle[0])
        rows.append((name, _to(step, float(middle[0])), f"{_to(step, least)}{end}"))
    table = load("cool")
    core, solids, length = (table[f"release_{key}"].value for key in ("core", "solids", "contraction"))
    note = (
        f"Off at a core of {degrees(core)}, with {100 * solids:.0f}{NO_BREAK}% of its fat set and "
        f"{length:g}{NO_BREAK}% of contraction: a judgement."
    )
    return Detail("When it comes off", ("What", "Estimate", "Four in five"), tuple(rows), note)


def _to(step: str, value: float) -> str:
    return format_number(value, Decimal(step))


def _settings(case: CooledCase) -> Detail:
    celsius, found = case.compared
    rows = tuple(
        (
            degrees(float(air)),
            "stays in" if np.isnan(time) else f"{minutes(time)}{NO_BREAK}min",
            "" if np.isnan(time) else f"{100 * low_forms:.0f}{NO_BREAK}%",
        )
        for air, time, low_forms in zip(celsius, found.minutes, found.unstable, strict=True)
        if air % 2 == 0
    )
    head = ("Air", "Comes off after", "Low forms")
    return Detail("Which setting", head, rows, "Middles, without their ranges.")


def sources(case: CooledCase) -> tuple[Citation, ...]:
    """Return where the constants that count here are from."""
    cool, states = load("cool"), load("temper_states")
    rows = [cool[key] for key in ("conductivity", "heat_capacity", "release_core")]
    if case.cooling.exchange is None:
        rows.append(cool[case.cooling.wind])
    rows += [states[key] for key in ("growth", "alpha_life_warm", "seed")]
    return tuple(Citation(row.source, row.place, row.status) for row in rows)
