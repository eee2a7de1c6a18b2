"""How a flow is said: in ribbons, in chances, and in what would narrow the estimate."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from nibsmith.answers._pour_estimate import BOTH_SIZES, Case
from nibsmith.answers.answer import Citation, Detail
from nibsmith.answers.context import Context
from nibsmith.answers.process import SeenFlow, process_of
from nibsmith.answers.wording import NO_BREAK, RANGE, capital, degrees, degrees_span, grams, joined
from nibsmith.science.flow import Conditions, Feel, Use, flow, locked_nib_butter
from nibsmith.science.numerics import widest
from nibsmith.science.tables import STATUS_WORDS, Constant, load

USE_WORDS = {
    Use.BARS: "to pour into bar moulds",
    Use.THIN_SHELLS: "for thin shells",
    Use.DIPPING: "for dipping",
    Use.HAND: "to spread by hand",
}
_USE_NOUNS = {
    Use.BARS: "of bar moulds",
    Use.THIN_SHELLS: "of thin shells",
    Use.DIPPING: "of dipping",
    Use.HAND: "of spreading by hand",
}
_SPOON = (
    ("word_cream", "it runs like cream and a ribbon is gone at once"),
    ("word_runs", "it runs off the spoon and a ribbon sinks in within two seconds"),
    ("word_ribbon", "a ribbon holds up to five seconds"),
    ("word_stays", "a ribbon stays, and the mould has to be knocked hard"),
    ("word_drops", "it drops off the spoon in lumps"),
)
_PASTE = "it stands like a paste"
_NARROWED_BY = {
    "kit": ("how your kit compares with the estimate", "tell how one mass poured, and it narrows"),
    "fat_level": ("the fat of your lot", "type it from the supplier's sheet"),
    "cocoa_um": ("the size of the cocoa", "take the median of several micrometer readings"),
    "sugar_um": ("the size of the sugar", "take the median of several micrometer readings"),
    BOTH_SIZES: ("the size of the grains", "take the median of several micrometer readings"),
    "sauter_share": (
        "how many fines there are beside the largest grains",
        "no bench reading narrows it",
    ),
    "end_water": ("the water left in the mass", "dry a weighed sample, or have it measured"),
    "doubt": ("the water that is not given", "ask for it, or type it from the supplier's sheet"),
    "celsius": ("the temperature it is poured at", "measure it in the bowl"),
    "solid_fat": ("how far it has crystallised", "stir, and keep its temperature steady"),
    "milk_fat_free": ("how much of the milk powder's fat is free", "roller-dried powder frees more"),
    "cell_um": ("how much butter coarse cocoa holds back", "grind the cocoa finer"),
    "crowding_limit": ("how closely coarse sugar packs", "use finer sugar"),
}
_KIT = ("viscosity_factor", "yield_factor")


def on_the_spoon(case: Case) -> str:
    """Return how the mass runs off a spoon, by its stress at 5 1/s."""
    stress, table = float(case.central.stress_at_5), load("flow_uses")
    return next((words for key, words in _SPOON if stress <= table[key].value), _PASTE)


def found_word(found: SeenFlow, use: Use) -> str:
    """Return in a word how a mass is for a use, by what the maker found of it for this or another one."""
    if found.feel is Feel.TOO_THICK:
        return "Too thick, as you found."
    thin = found.feel is Feel.TOO_THIN and found.use is use
    return "Pours, thinner than wanted." if thin else "Pours, as you found."


def found_sentence(found: SeenFlow, use: Use) -> str:
    """Return what the maker found of a mass, and what that says of a use it was not found for."""
    told = f"You found it {found.said}, and nothing went in since"
    if found.use is not use:
        how = "too thick" if found.feel is Feel.TOO_THICK else "thin enough"
        return f"{told}: so it is {how} {USE_WORDS[use]}."
    if found.feel is Feel.TOO_THIN:
        return f"{told}: it pours, and runs thinner than you want it."
    return f"{told}."


def chance_words(chance: float) -> str:
    """Return a chance in tenths, rounded down, or in twentieths near certainty.

    Examples
    --------
    >>> chance_words(0.72), chance_words(0.96), chance_words(0.02)
    ('7 chances in 10', '19 chances in 20', 'less than 1 chance in 10')
    """
    percent = round(100 * chance, 6)
    if percent >= 95:
        return "19 chances in 20"
    tenths = int(percent // 10)
    if tenths == 0:
        return "less than 1 chance in 10"
    return "1 chance in 10" if tenths == 1 else f"{tenths} chances in 10"


def widest_words(shares: Mapping[str, float]) -> str:
    """Return the sentence that names what widens the estimate most, ties said.

    Examples
    --------
    >>> widest_words({"end_water": 0.5, "fat_level": 0.45, "celsius": 0.05})
    'The range is widened about equally by the water left in the mass and the fat of your lot.'
    """
    names = widest(_with_kit(shares))
    if not names:
        return ""
    if len(names) == 1:
        what, how = _NARROWED_BY[names[0]]
        return f"What widens the range most is {what}: {how}."
    return f"The range is widened about equally by {joined([_NARROWED_BY[name][0] for name in names])}."


def calibration_words(case: Case) -> str:
    """Return whether the estimate knows this kit, or this very mass."""
    if case.seen:
        return f"Brought to what you saw of this very mass: {joined([one.said for one in case.seen])}."
    count = case.calibration.observations
    if not count:
        return (
            "An estimate, not calibrated to your kit: two masses in three lie within half and twice of it. "
            "Every flow you note brings it nearer."
        )
    factor = case.calibration.eta_factor.value
    so_far = f"{factor:.2g} times as thick as the plain estimate"
    what = "observation" if count == 1 else "observations"
    return f"Calibrated with {count} {what} of this kit, whose masses came out {so_far}."


def reasons(case: Case, context: Context) -> Iterator[str]:
    """Yield what the flow comes from, in the order a maker thinks of it."""
    yield fat_words(case)
    yield case.sizes.said
    yield from _locked_words(case)
    yield from _fine_words(case)
    yield water_words(case, context)
    yield from _temperature_words(case)
    yield from _lecithin_words(case)
    yield from not_given_words(case)
    yield from _milk_words(case)
    yield calibration_words(case)


def fat_words(case: Case) -> str:
    """Return the free fat of the finished mass, with its range over lots."""
    low, high = (float(flow(case.matter, _at_level(case, level)).liquid_fat) for level in (-1.0, 1.0))
    middle = float(case.central.liquid_fat)
    text = f"Free fat is {100 * middle:.1f}{NO_BREAK}% of the finished mass"
    if 100 * (high - low) < 0.1:
        return f"{text}."
    return f"{text}, {100 * low:.1f}{RANGE}{100 * high:.1f}{NO_BREAK}% by lot."


def _temperature_words(case: Case) -> Iterator[str]:
    work = case.program.work_celsius
    if case.temperature.value < work.low:
        yield f"It is cooler than the {degrees_span(work)} it is worked at and will thicken as you pour."
    yield f"A tempered mass is thicker than a warm, melted one on an instrument at 40{NO_BREAK}°C."


def _at_level(case: Case, level: float) -> Conditions:
    return replace(case.at, fat_level=level)


def _locked_words(case: Case) -> Iterator[str]:
    held_g, nib_g = locked_nib_butter(case.matter, case.at), case.matter.nib_butter.value
    if 100 * held_g > 2 * nib_g:
        size = f"{float(case.at.cocoa_um):.0f}{NO_BREAK}µm"
        yield f"Cocoa up to {size} still holds back about {grams(held_g)} of butter in unbroken cells."


def _milk_words(case: Case) -> Iterator[str]:
    if case.matter.milk_fat.value:
        free = 100 * load("flow")["milk_fat_free"].value
        yield f"About {free:.0f}{NO_BREAK}% of the fat in milk powder counts; the rest stays in its grains."


def _fine_words(case: Case) -> Iterator[str]:
    if case.sizes.largest.value < load("flow")["over_ground"].value:
        yield "It is ground finer than a tongue can tell; every finer step costs butter to coat the grains."


def water_words(case: Case, context: Context) -> str:
    """Return the water of the mass and what it costs."""
    water, table = float(case.central.water), load("flow")
    text = f"Water of the finished mass {100 * water:.1f}{NO_BREAK}%"
    if _water_is_usual(context) and case.water is not None:
        ends = f"{100 * case.water.low:.1f}{RANGE}{100 * case.water.high:.1f}{NO_BREAK}%"
        text += f", as is usual, for nobody told it ({ends})"
    elif case.water is None:
        text += ", as it goes in" if context.kit else ", as it goes in, for no kit is chosen"
    over = water - table["water_free"].value
    if over <= 0:
        return f"{text}: dry enough."
    missing = 100 * over / table["water_for_fat"].value
    return f"{text}: it thickens as if {missing:.1f}{NO_BREAK}% of fat were missing."


def _water_is_usual(context: Context) -> bool:
    process, kit = process_of(context), context.kit
    told = process.end_water_percent or (kit.end_water_percent if kit is not None else None)
    return told is None and process.usual_water_percent is not None


def _lecithin_words(case: Case) -> Iterator[str]:
    if case.matter.pgpr:
        yield "PGPR lowers the yield apart from everything else, so only the viscosity is judged here."
    share, most = case.matter.lecithin / case.matter.charge, load("flow")["lecithin_most"].value
    if share > most:
        yield f"Lecithin above {100 * most:.1f}{NO_BREAK}% thins no further; the yield begins to rise again."


def not_given_words(case: Case) -> Iterator[str]:
    """Yield whose figures are not given and what they count for."""
    matter = case.matter
    if matter.unknown:
        yield f"The fat or water of {joined(matter.unknown)} is not given: from none to its whole weight."
    if matter.untold:
        them = "it counts" if len(matter.untold) == 1 else "they count"
        yield (
            f"How {joined(matter.untold)} bears on the flow is not known, for the name says neither lecithin "
            f"nor PGPR: {them} for nothing."
        )


def bears_on_it(case: Case) -> bool:
    """Whether what is not given could show in the figure."""
    wettest = case.at_conditions(doubt=1.0).central
    shown = (_number(float(law.viscosity_at_40)) for law in (case.central, wettest))
    return bool(case.matter.untold) or len(set(shown)) > 1


def over_crystallised_words(case: Case) -> str:
    """Return what warming by a kelvin does to a mass that thickened while it was worked."""
    table, most = load("flow"), case.program.most_celsius
    warmest = float(case.at.celsius) + 1
    if most is not None:
        warmest = min(warmest, most)
    warmer = case.at_conditions(celsius=warmest, solid_fat=table["solid_fat"].low or 0.0)
    thinner = 1 - float(warmer.thickness_of(warmer.central)) / float(case.thickness_of(case.central))
    words = "If it thickens while you work, it has over-crystallised: warm it by half a kelvin to one"
    limit = "" if most is None else f", never above {degrees(most)}"
    return f"{words}{limit}; that thins it by about {100 * thinner:.0f}{NO_BREAK}%."


def details(case: Case) -> tuple[Detail, ...]:
    """Return the two quantities with their ranges and limits, and what widens them."""
    law, draws, limits = case.central, case.draws, case.limits
    thick = _row(
        "Viscosity at 40 1/s, Pa·s",
        float(law.viscosity_at_40),
        case.range_of(draws.viscosity_at_40),
        limits.viscosity_pas,
    )
    stands = _row(
        "Stress at 5 1/s, Pa", float(law.stress_at_5), case.range_of(draws.stress_at_5), limits.stress_pa
    )
    rows = [thick] if case.matter.pgpr else [stands, thick, *_on_an_instrument(case)]
    status = STATUS_WORDS[limits.row.status]
    note = f"Four in five lie in the range. The limits are those {_USE_NOUNS[limits.use]}: {status}."
    head = ("What", "Estimate", "Range", "Limit")
    flows = Detail("Flow when poured", head, tuple(rows), note)
    return (flows, _shares_detail(case.shares)) if any(case.shares.values()) else (flows,)


def _on_an_instrument(case: Case) -> Iterator[tuple[str, str, str, str]]:
    """What a viscometer would read of the liquid mass, to compare with a supplier's figures."""
    liquid = case.at_conditions(celsius=load("flow")["celsius_liquid"].value, solid_fat=0.0).central
    if liquid.flows:
        words = f"{_number(liquid.casson.yield_pa)} Pa and {_number(liquid.casson.viscosity_pas)} Pa·s"
        yield "Casson yield and viscosity, untempered at 40 °C", words, "", ""


def _row(name: str, value: float, ends: tuple[float, float], limit: float) -> tuple[str, str, str, str]:
    low, high = _number(ends[0]), _number(ends[1])
    return name, _number(value), low if low == high else f"{low}{RANGE}{high}", _number(limit)


def _number(value: float) -> str:
    """Two digits, as many as the estimate bears."""
    if value == float("inf"):
        return "no end"
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}" if value >= 1 else f"{value:.2f}"


def _shares_detail(shares: Mapping[str, float]) -> Detail:
    ordered = sorted(_with_kit(shares).items(), key=lambda item: -item[1])
    rows = tuple(
        (capital(_NARROWED_BY[name][0]), f"{100 * share:.0f} %")
        for name, share in ordered
        if 100 * share >= 1
    )
    return Detail("What widens the range", ("Input", "Share of the variance, one at a time"), rows)


def _with_kit(shares: Mapping[str, float]) -> dict[str, float]:
    """Both factors of the kit as one input."""
    merged = {name: share for name, share in shares.items() if name not in _KIT}
    merged["kit"] = sum(shares.get(name, 0.0) for name in _KIT)
    return merged


def sources(case: Case) -> tuple[Citation, ...]:
    """Return where the limits and the constants that count here are from."""
    table = load("flow")
    keys = ["prior_factor", "rate_low", "fat_viscosity", "surface_crowding", "yield_scale", "solid_fat"]
    if float(case.central.water) > table["water_free"].value:
        keys.append("water_for_fat")
    if case.matter.lecithin:
        keys += ["lecithin_as_fat", "lecithin_most"]
    rows: list[Constant] = [case.limits.row, *(table[key] for key in keys)]
    program = Citation(case.program.source, case.program.place, case.program.status)
    return (*(Citation(row.source, row.place, row.status) for row in rows), program)
