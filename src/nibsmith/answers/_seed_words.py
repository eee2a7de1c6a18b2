"""What was taken for a seeding, where its heat goes, and what to do without seed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from nibsmith.answers._seed_judged import left_percent
from nibsmith.answers._widest import widest_sentence
from nibsmith.answers.answer import Citation, Detail
from nibsmith.answers.process import span_of
from nibsmith.answers.wording import NO_BREAK, RANGE, degrees, degrees_span, grams
from nibsmith.science.tables import STATUS_WORDS, load
from nibsmith.science.temper import (
    Chocolate,
    Seeding,
    Unknown,
    latent_heat,
    mixed_with_butter,
    tabling_share,
)

if TYPE_CHECKING:
    from nibsmith.answers._seed_asked import SeedAsked

NARROWED = {
    "melted_share": ("how much of the seed melts", "stop adding when the last pieces melt slowly"),
    "bowl_g": ("the weight of the bowl", "weigh it empty"),
    "mass_celsius": ("the temperature of the mass", "stir before you read it"),
    "to_room": ("what the room takes up", "stir for a shorter time, or read the temperature again"),
}
UNTEMPERED = "drinking tablets and rustic bars: soft, dull, bloomed within days, and sound"


def reasons(found: Seeding, shares: Mapping[str, float]) -> Iterator[str]:
    """Yield what has to be known beside the figure."""
    left, wanted = left_percent(found), load("temper_seed")["crystals"].value
    melts = f"{100 * float(found.melted_share):.0f}{NO_BREAK}% of the seed melts"
    seeds = f"that is what seeds, and about {wanted:g}{NO_BREAK}% is wanted"
    yield f"If {melts}, {left:.1f}{NO_BREAK}% of the mass is left of it: {seeds}."
    bowl = 100 * float(found.from_bowl) / float(found.from_mass) if float(found.from_mass) else 0.0
    if bowl:
        yield f"The bowl gives another {bowl:.0f}{NO_BREAK}% of the heat of the mass."
    yield widest_sentence(shares, NARROWED)
    table = load("temper_seed")
    usual = f"{table['usual_low'].value:.0f}{RANGE}{table['usual_high'].value:.0f}{NO_BREAK}%"
    cool = table["first_cool_to"]
    first = degrees_span(span_of(cool))
    yield f"The usual {usual} of seed works because the bowl is first stirred down to {first}."
    yield (
        "Seed is tempered chocolate of the same recipe, grated; of another one, its cocoa, milk and "
        "allergens count. Untempered or bloomed chocolate is no seed."
    )
    yield "An estimate. Try a smear: firm and silky within 3 to 5 min means that it is tempered."


def defaults_detail(asked: SeedAsked, case: Seeding) -> Detail:
    """Return what went into the balance and whose it is."""
    around, temper = case.around, asked.temper
    rows = [
        ("Melts of the seed", f"{100 * float(case.melted_share):.0f}{NO_BREAK}%", _whose(asked.melted_share)),
        ("Bowl", f"{float(around.bowl_g):.0f}{NO_BREAK}g of {asked.bowl}", _whose(asked.bowl_g)),
        ("Room", degrees(float(around.room_celsius)), _whose(asked.room_celsius)),
        ("Stirred in", f"{float(around.minutes):g}{NO_BREAK}min", _whose(asked.minutes)),
        ("Heat to melt the seed", f"{float(case.latent):g}{NO_BREAK}J/g", "usual"),
    ]
    if asked.unknown is not Unknown.SEED_TEMPERATURE:
        rows.insert(0, ("Seed at", degrees(float(case.seed_celsius)), _whose(asked.seed_celsius)))
    if asked.unknown is not Unknown.TARGET:
        rows.insert(0, ("To come to", degrees(float(case.target_celsius)), _whose(asked.target_celsius)))
    note = f"Worked at {degrees_span(temper.work_celsius)} ({STATUS_WORDS[temper.status]})."
    return Detail("Taken for it", ("What", "Value", "Whose"), tuple(rows), note)


def heat_detail(found: Seeding) -> Detail:
    """Return where the heat comes from and goes to."""
    rows = (
        ("From the mass", _kilojoules(found.from_mass)),
        ("From the bowl", _kilojoules(found.from_bowl)),
        ("To the room", _kilojoules(found.to_room)),
        ("Into the seed, warming and melting", _kilojoules(found.to_seed)),
    )
    note = "What the mass and the bowl give is what the room and the seed take."
    return Detail("Where the heat goes", ("", "Heat"), rows, note)


def without_detail(asked: SeedAsked) -> Detail:
    """Return what to do where there is no seed yet."""
    table, temper = load("temper_seed"), asked.temper
    crystals, at = table["crystals"].value, table["crystals_at"]
    celsius = at.value - temper.shift_k
    rows = []
    if asked.mass_g:
        butter_g = asked.mass_g * crystals / 100
        cools = [celsius - mixed_with_butter(asked.mass_g, celsius, butter_g, share) for share in (0.0, 1.0)]
        amount = f"{grams(butter_g, asked.scale_g)} grated, stirred in at {degrees(celsius)}"
        rows.append(
            ("Cocoa butter seed", f"{amount}; it cools by {cools[0]:.1f}{RANGE}{cools[1]:.1f}{NO_BREAK}K")
        )
    melt, cool, work = (
        temper.melt_celsius.value,
        table["table_to"].value - temper.shift_k,
        temper.work_celsius.value,
    )
    share = tabling_share(melt, cool, work)
    rows += [
        ("On the table", f"{100 * share:.0f}{NO_BREAK}% of it to {degrees(cool)}, then back; try a smear"),
        ("Bought", f"tempered {_kind(asked.chocolate)}; its cocoa, milk and allergens count"),
        ("On purpose not", UNTEMPERED),
    ]
    return Detail("Without any seed", ("Way", "How"), tuple(rows))


def sources(chocolate: Chocolate) -> tuple[Citation, ...]:
    """Return where the constants that count here are from."""
    table = load("temper_seed")
    keys = ("liquid_heat", "solid_heat", "melted_share", "steel", "usual_high", "crystals", "crystals_at")
    rows = (*(table[key] for key in keys), latent_heat(chocolate))
    return tuple(Citation(row.source, row.place, row.status) for row in rows)


def _kind(chocolate: Chocolate) -> str:
    return f"{chocolate.value} chocolate, in pieces or grated"


def _kilojoules(joules: object) -> str:
    return f"{float(joules) / 1000:.1f}{NO_BREAK}kJ"  # type: ignore[arg-type]


def _whose(given: object) -> str:
    return "usual" if given is None else "yours"
