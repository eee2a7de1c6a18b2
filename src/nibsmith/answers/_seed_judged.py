"""How a balanced seeding comes out, and the changes that make it better, each asked again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from nibsmith.answers._seed_asked import SeedAsked, case_of
from nibsmith.answers._weighable import weighable, weighed_words
from nibsmith.answers.answer import BETTER, Remedy, Verdict
from nibsmith.answers.wording import NO_BREAK, degrees, degrees_span, grams
from nibsmith.science.errors import NibsmithError
from nibsmith.science.tables import load
from nibsmith.science.temper import Seeding, Unknown, seeded_for

# A seed on its limit is inside, but for the noise of arithmetic.
_ROUNDING_EPSILON = 1e-9
_PERCENT = 100
_MUCH, _FEW = "Much seed.", "Too few seeds."


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict in the maker's words, and why, in a sentence, where it is not good."""

    verdict: Verdict
    word: str
    why: str = ""


def left_percent(found: Seeding) -> float:
    """Return what stays unmelted of the seed [% of the mass]."""
    return _PERCENT * (1 - float(found.melted_share)) * float(found.share_of_mass)


def judged(asked: SeedAsked, found: Seeding) -> Judged:
    """Return how a balanced seeding comes out: where it ends, how much seed it takes, how much is left.

    Parameters
    ----------
    asked : SeedAsked
        Its program says where a mass is worked, and where its seeds melt.
    found : Seeding
        In balance.

    Returns
    -------
    Judged
        Good: within a kelvin of the working range, with at most a quarter of seed of which a hundredth of the
        mass stays unmelted. Stop: too warm for seeds, over half of seed, or none left.
    """
    faults = [one for one in (_of_target(asked, found), _of_much(found), _of_left(found)) if one]
    return min(faults, key=lambda one: BETTER[one.verdict], default=Judged(Verdict.GOOD, "Seed it."))


def _of_target(asked: SeedAsked, found: Seeding) -> Judged | None:
    work, most, target = asked.temper.work_celsius, asked.temper.most_celsius, float(found.target_celsius)
    if most is not None and target > most:
        return Judged(
            Verdict.STOP,
            "Too warm for seeds.",
            f"Over {degrees(most)} seeds do not last: nothing would be left to seed it.",
        )
    within = load("temper")["fold_in_within"].value
    if target > work.high + within:
        return Judged(Verdict.WATCH, "Too warm.", worked_words(asked))
    if target < work.low - within:
        return Judged(Verdict.WATCH, "Too cool.", worked_words(asked))
    return None


def worked_words(asked: SeedAsked) -> str:
    """Return the sentence that says where the mass is worked."""
    return f"It is worked at {degrees_span(asked.temper.work_celsius)}."


def _of_much(found: Seeding) -> Judged | None:
    table, percent = load("temper_seed"), _PERCENT * float(found.share_of_mass) * (1 - _ROUNDING_EPSILON)
    if percent > table["most"].value or float(found.seed_celsius) < load("temper")["freezer"].value:
        return Judged(Verdict.STOP, "Too warm for seed alone.")
    return Judged(Verdict.WATCH, _MUCH) if percent > table["usual_high"].value else None


def _of_left(found: Seeding) -> Judged | None:
    """The trade seeds with about a hundredth of crystals; melted seed only cools."""
    left, least = left_percent(found), load("temper_seed")["crystals"].value
    wanted = f"about {least:g}{NO_BREAK}% is wanted to seed it"
    if left <= _ROUNDING_EPSILON:
        return Judged(Verdict.STOP, "Nothing left to seed.", f"All of the seed melts; {wanted}.")
    if left < least * (1 - _ROUNDING_EPSILON):
        return Judged(
            Verdict.WATCH, _FEW, f"Only {left:.1f}{NO_BREAK}% of the mass stays unmelted of it; {wanted}."
        )
    return None


def remedies(asked: SeedAsked, found: Seeding) -> Iterator[Remedy]:
    """Yield the changes that make a seeding good, none that was not good when asked again.

    Parameters
    ----------
    asked : SeedAsked
        What is known.
    found : Seeding
        In balance.

    Yields
    ------
    Remedy
        Another end, a bowl that is let cool first, or more seed where it no longer melts.
    """
    if asked.unknown is Unknown.SEED_TEMPERATURE and _of_much(found):
        yield from more_or_cooler(asked)
    if asked.unknown not in (Unknown.SEED, Unknown.TARGET) or judged(asked, found).verdict is Verdict.GOOD:
        return
    lead = ""
    if asked.unknown is Unknown.TARGET or _of_target(asked, found):
        asked = replace(asked, unknown=Unknown.SEED, target_celsius=None)
        lead = f"Bring it to {degrees(asked.temper.work_celsius.value)}"
        again = _solved(asked)
        if again is None:
            return
        found = again
        if judged(asked, found).verdict is Verdict.GOOD:
            yield Remedy(f"{lead}: {grams(float(found.seed_g), asked.scale_g)} of seed does.", checked=True)
            return
    if _of_much(found):
        yield from _cooler_first(asked, found, lead)
    elif _of_left(found):
        yield from _stirred_in_last(asked, found, lead)


def more_or_cooler(asked: SeedAsked) -> Iterator[Remedy]:
    """Yield what helps where no freezer makes a seed cold enough: more of it, or a cooler mass; asked again.

    Parameters
    ----------
    asked : SeedAsked
        What is known; how cold the seed must be is asked for.

    Yields
    ------
    Remedy
        With seed as warm as is usual.
    """
    more = replace(asked, unknown=Unknown.SEED, seed_g=None, seed_celsius=None)
    found, begin = _solved(more), "Let"
    if found is not None and judged(more, found).verdict is Verdict.GOOD:
        begin = "Or let"
        amount, at = grams(float(found.seed_g), asked.scale_g), degrees(float(found.seed_celsius))
        yield Remedy(f"Take {amount} of seed at {at}.", checked=True)
    cooler = replace(asked, unknown=Unknown.MASS_TEMPERATURE, mass_celsius=None, seed_celsius=None)
    found = _solved(cooler)
    if found is not None and judged(cooler, found).verdict is Verdict.GOOD:
        to, at = degrees(float(found.mass_celsius)), degrees(float(found.seed_celsius))
        yield Remedy(f"{begin} the mass cool to {to} first: the same seed then does at {at}.", checked=True)


def _solved(asked: SeedAsked) -> Seeding | None:
    try:
        return seeded_for(case_of(asked), asked.unknown)
    except NibsmithError:
        return None


def _cooler_first(asked: SeedAsked, found: Seeding, lead: str) -> Iterator[Remedy]:
    """Let the bowl cool as far as the usual seed then does it; and how far it may before too few last."""
    warmest = _start_for(asked, found, load("temper_seed")["usual_high"].value, up=False)
    if warmest is None:
        return
    celsius, seed_g = warmest
    then = f"then {grams(seed_g, asked.scale_g)} of seed does"
    melted = float(found.melted_share)
    if melted < 1:
        least = load("temper_seed")["crystals"].value / (1 - melted)
        coolest = _start_for(asked, found, least, up=True)
        if coolest is not None and coolest[0] < celsius:
            then += f"; from {degrees(coolest[0])}, {grams(coolest[1], asked.scale_g)}"
    begin = f"{lead}, and let" if lead else "Let"
    yield Remedy(f"{begin} it cool to {degrees(celsius)} first, stirring: {then}.", checked=True)


def _start_for(asked: SeedAsked, found: Seeding, percent: float, *, up: bool) -> tuple[float, float] | None:
    """From which tenth of a degree such a share of seed does it [°C], and how much [g], if it is good."""
    try:
        case = replace(found, seed_g=percent / _PERCENT * float(found.mass_g))
        exact = float(seeded_for(case, Unknown.MASS_TEMPERATURE).mass_celsius)
        celsius = _tenth(exact, up=up)
        again = seeded_for(replace(found, mass_celsius=celsius), Unknown.SEED)
    except NibsmithError:
        return None
    return (celsius, float(again.seed_g)) if judged(asked, again).verdict is Verdict.GOOD else None


def _tenth(celsius: float, *, up: bool) -> float:
    """The tenth of a degree on this side, so that what is said was asked."""
    tenths = Decimal(celsius).quantize(Decimal("0.1"), "ROUND_CEILING" if up else "ROUND_FLOOR")
    return float(tenths)


def _stirred_in_last(asked: SeedAsked, found: Seeding, lead: str) -> Iterator[Remedy]:
    """Once it is at its end, seed melts no longer: what is stirred in then is left whole."""
    whole_g = float(found.mass_g) + float(found.seed_g)
    more_g = weighable(load("temper_seed")["crystals"].value / _PERCENT * whole_g, asked.scale_g)
    after = replace(found, mass_g=whole_g, mass_celsius=found.target_celsius, seed_g=more_g, melted_share=0.0)
    try:
        again = seeded_for(after, Unknown.TARGET)
    except NibsmithError:
        return
    if judged(asked, again).verdict is not Verdict.GOOD:
        return
    more = weighed_words(more_g, asked.scale_g)
    at = degrees(float(found.target_celsius))
    begin = (
        f"{lead} with {grams(float(found.seed_g), asked.scale_g)} of seed. Then" if lead else f"Once at {at},"
    )
    yield Remedy(f"{begin} stir in another {more}, grated: it does not melt there.", checked=True)
