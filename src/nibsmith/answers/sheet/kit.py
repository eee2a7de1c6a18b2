"""The kit card of a batch sheet: the charge against what the kit holds, and what to warm."""

from __future__ import annotations

from collections.abc import Iterator

from nibsmith.answers._out import Out
from nibsmith.answers.answer import Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.sheet.cards import Fact, KitCard
from nibsmith.answers.wording import NO_BREAK, RANGE, degrees, degrees_span, grams, joined
from nibsmith.science.kit import Kit
from nibsmith.science.mixture import Span
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate

MINUTES_PER_HOUR = 60
NO_KIT = "No kit is chosen: hours, sizes and what stays behind are not known."
NO_KIT_BUT_LOSS = "No kit is chosen: hours and sizes are not known."


def kit_card(out: Out, context: Context, chocolate: Chocolate | None, charge: str) -> KitCard:
    """Return the charge of a batch against its kit.

    Parameters
    ----------
    out : Out
        The batch.
    context : Context
        Its kit.
    chocolate : Chocolate or None
        Milk and white have the lower ceiling; ``None`` where it is not known, which takes the lower one too.
    charge : str
        The charge as it is weighed.

    Returns
    -------
    KitCard
        Verdict watch under the minimum, stop over the maximum, unknown without a kit.
    """
    charge_g = out.batch.charge_g
    if context.kit is None:
        lost = tuple(_lost(out, context))
        return KitCard(
            "Kit", Verdict.UNKNOWN, NO_KIT_BUT_LOSS if lost else NO_KIT, (("Charge", charge), *lost), ()
        )
    verdict, sentence = charge_verdict(charge_g, context.kit)
    facts = (("Charge", charge), *_facts(out, context, context.kit, chocolate))
    return KitCard(context.kit.name, verdict, sentence, facts, context.kit.remarks)


def charge_verdict(charge_g: float, kit: Kit) -> tuple[Verdict, str]:
    """Return whether a kit holds a charge [g], in one sentence."""
    least, most = kit.charge_min_g, kit.charge_max_g
    if most is not None and charge_g > most:
        over = grams(charge_g - most)
        return Verdict.STOP, f"{over} more than it holds: make it in two batches, or a smaller one."
    if least is not None and charge_g < least:
        under = grams(least - charge_g)
        return Verdict.WATCH, f"{under} under its minimum: it grinds badly and keeps back a larger share."
    if least is None and most is None:
        return Verdict.UNKNOWN, "What this kit holds is not given: look at its own sheet."
    return Verdict.GOOD, "Within what it holds."


def ceiling_celsius(kit: Kit | None, chocolate: Chocolate | None) -> float:
    """Return the temperature that a mass should not pass [°C]: the kit's, or where milk and cocoa scorch."""
    table, dark = load("temper"), chocolate is Chocolate.DARK
    scorch = table["scorch_dark" if dark else "scorch_milk"].value
    own = None
    if kit is not None:
        own = kit.ceiling_celsius if dark else kit.ceiling_milk_celsius or kit.ceiling_celsius
    return scorch if own is None else min(own, scorch) if not dark else own


def hours_words(hours: tuple[float, float]) -> str:
    """Return a window of time in hours, or in minutes where it ends within the hour."""
    low, high = hours
    if high <= 1:
        return f"{MINUTES_PER_HOUR * low:.0f}{RANGE}{MINUTES_PER_HOUR * high:.0f} minutes"
    return f"{low:g}{RANGE}{high:g} hours"


def size_words(size_um: tuple[float, float]) -> str:
    """Return the window of the largest grains in µm."""
    return f"{size_um[0]:g}{RANGE}{size_um[1]:g}{NO_BREAK}µm"


def warm_words(kit: Kit | None, chocolate: Chocolate | None) -> str:
    """Return what to warm a kit to, never above the ceiling of the mass."""
    if kit is None or kit.warm_celsius is None:
        return "the temperature of melted butter"
    ceiling = ceiling_celsius(kit, chocolate)
    low, high = (min(celsius, ceiling) for celsius in kit.warm_celsius)
    return degrees_span(Span(low, (low + high) / 2, high))


def _facts(out: Out, context: Context, kit: Kit, chocolate: Chocolate | None) -> Iterator[Fact]:
    least, most = kit.charge_min_g, kit.charge_max_g
    if least is not None and most is not None:
        yield "Holds", f"{grams(least)} to {grams(most)}"
    yield "Warm to", warm_words(kit, chocolate)
    yield "Not above", degrees(ceiling_celsius(kit, chocolate))
    yield "Largest grains", size_words(kit.size_um)
    yield "Time", hours_words(kit.hours)
    yield "Stays behind", _kept_words(context.residue_g)
    if context.loss_percent:
        yield "Lost besides", _percent_words(context.loss_percent)
    if out.batch.evaporated_g:
        yield "Leaves as water", f"about {grams(out.batch.evaporated_g)}"
    if out.water_unknown:
        yield "Leaves as water", f"not known: no water is given for {joined(out.water_unknown)}"
    yield "Comes out", f"about {grams(out.batch.poured_g)}"


def _lost(out: Out, context: Context) -> Iterator[Fact]:
    """What is lost by the maker's own figures, where no kit is chosen."""
    if context.residue_g.value:
        yield "Stays behind", _kept_words(context.residue_g)
    if context.loss_percent:
        yield "Lost besides", _percent_words(context.loss_percent)
    if context.residue_g.value or context.loss_percent:
        yield "Comes out", f"about {grams(out.batch.poured_g)}"


def _percent_words(percent: float) -> str:
    return f"{percent:g}{NO_BREAK}% of the finished mass"


def _kept_words(kept: Span) -> str:
    """What stays behind, with its range where it has one."""
    usual, low, high = (grams(mass_g) for mass_g in (kept.value, kept.low, kept.high))
    return f"about {usual}" if low == high else f"about {usual} ({low} to {high})"
