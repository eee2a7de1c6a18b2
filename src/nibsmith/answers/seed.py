"""How much seed: the heat balance of a bowl, solved for whatever is not known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from nibsmith.answers._seed_asked import BOWLS, SeedAsked, case_of, melted_of
from nibsmith.answers._seed_judged import judged, more_or_cooler, remedies, worked_words
from nibsmith.answers._seed_words import (
    defaults_detail,
    heat_detail,
    reasons,
    sources,
    without_detail,
)
from nibsmith.answers.answer import Answer, Detail, Verdict
from nibsmith.answers.wording import NO_BREAK, RANGE, degrees, degrees_span, grams
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Span
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
from nibsmith.science.temper import Chocolate, Seeding, Unknown, balanced, seeded_for

__all__ = ["BOWLS", "SeedAsked", "seed", "seed_for"]

QUESTION = "seed"
_TITLES = {
    Unknown.SEED: "How much seed?",
    Unknown.TARGET: "What does it come to?",
    Unknown.MASS_TEMPERATURE: "How warm may the mass be?",
    Unknown.MASS: "For how much mass is the seed enough?",
    Unknown.SEED_TEMPERATURE: "How cold must the seed be?",
}
_FOUR_IN_FIVE = (10 / 100, 90 / 100)
_UNITS = {Unknown.MASS: "g", Unknown.SEED: "g"}


def seed_for(mass_g: float, mass_celsius: float, chocolate: Chocolate = Chocolate.DARK) -> Answer:
    """Answer how much seed a melted mass wants, from two fields.

    Parameters
    ----------
    mass_g : float
        The melted mass [g].
    mass_celsius : float
        Its temperature [°C].
    chocolate : Chocolate
        Dark, milk or white.

    Returns
    -------
    Answer
        Seed [g] with its range; the details show what was taken for the rest.

    Examples
    --------
    >>> answer = seed_for(1200.0, 46.0)
    >>> round(answer.figure), answer.unit
    (494, 'g')
    """
    return seed(SeedAsked(mass_g=mass_g, mass_celsius=mass_celsius, chocolate=chocolate))


def seed(asked: SeedAsked) -> Answer:
    """Answer the one thing that is not known of a seeding.

    Parameters
    ----------
    asked : SeedAsked
        What is known.

    Returns
    -------
    Answer
        The figure is the unknown [g] or [°C], with the ends between which four draws in five lie. Good only
        where enough of the seed stays unmelted.

    Raises
    ------
    InputError
        If something that has no usual value is missing, or a bowl has no such name.

    Examples
    --------
    >>> asked = SeedAsked(mass_g=1000.0, seed_g=200.0, mass_celsius=38.0, unknown=Unknown.TARGET)
    >>> seed(asked).unit
    '°C'
    """
    case = case_of(asked)
    try:
        found = seeded_for(case, asked.unknown)
    except NibsmithError as error:
        return replace(
            _untold(asked, str(error)), details=(defaults_detail(asked, case), without_detail(asked))
        )
    if float(found.seed_celsius) < load("temper_seed")["coldest"].value:
        return _too_little(asked, found)
    span = _range(asked, found)
    how = judged(asked, found)
    return Answer(
        question=QUESTION,
        title=_TITLES[asked.unknown],
        verdict=how.verdict,
        word=how.word,
        sentence=" ".join(dict.fromkeys(filter(None, (*_sentences(asked, found, span), how.why)))),
        figure=float(getattr(found, asked.unknown.value)),
        unit=_UNITS.get(asked.unknown, "°C"),
        low=span.low,
        high=span.high if np.isfinite(span.high) else None,
        reasons=tuple(reasons(found, _shares(asked, found))),
        remedies=tuple(remedies(asked, found)),
        sources=sources(asked.chocolate),
        cautions=tuple(_cautions(asked, found)),
        details=_details(asked, found),
    )


def _varies(asked: SeedAsked, found: Seeding) -> dict[str, Distribution]:
    melted, bowl_g = melted_of(asked), float(found.around.bowl_g)
    inputs: dict[str, Distribution] = {
        "melted_share": Triangle(melted.low, melted.value, melted.high),
        "to_room": LogNormal(1.0, load("temper_seed")["surface_factor"].value),
    }
    if asked.unknown is not Unknown.MASS_TEMPERATURE:
        celsius = float(found.mass_celsius)
        inputs["mass_celsius"] = Triangle(celsius - 1, celsius, celsius + 1)
    if asked.bowl_g is None and asked.bowl != "none":
        inputs["bowl_g"] = Triangle(bowl_g / 2, bowl_g, 2 * bowl_g)
    return inputs


def _drawn(asked: SeedAsked, found: Seeding, values: dict[str, Array]) -> Array:
    """The unknown for each draw; a weight that would be less than nothing is none.

    Seed that would have to be colder than any freezer counts as just that cold, and it is never the warmer.
    """
    around = replace(
        found.around,
        bowl_g=values.get("bowl_g", found.around.bowl_g),
        minutes=found.around.minutes * values["to_room"],
    )
    celsius = values.get("mass_celsius", found.mass_celsius)
    case = replace(found, melted_share=values["melted_share"], mass_celsius=celsius, around=around)
    draws = np.asarray(balanced(case, asked.unknown))
    if asked.unknown is Unknown.SEED_TEMPERATURE:
        draws = np.clip(draws, load("temper_seed")["coldest"].value, float(found.target_celsius))
    return np.maximum(0.0, draws) if asked.unknown in _UNITS else draws


def _range(asked: SeedAsked, found: Seeding) -> Span:
    draws = _drawn(asked, found, drawn(_varies(asked, found), DRAWS))
    low, high = (quantile(draws, share) for share in _FOUR_IN_FIVE)
    return Span(low, float(getattr(found, asked.unknown.value)), high)


def _shares(asked: SeedAsked, found: Seeding) -> dict[str, float]:
    inputs = _varies(asked, found)
    draws = _drawn(asked, found, alone(inputs))
    most = draws[np.isfinite(draws)].max(initial=0.0)
    return variance_shares(np.where(np.isfinite(draws), draws, most), tuple(inputs))


def _sentences(asked: SeedAsked, found: Seeding, span: Span) -> Iterator[str]:
    mass = f"{grams(float(found.mass_g), asked.scale_g)} at {degrees(float(found.mass_celsius))}"
    seeds = f"{grams(float(found.seed_g), asked.scale_g)} at {degrees(float(found.seed_celsius))}"
    target = degrees(float(found.target_celsius))
    percent = f"{100 * float(found.share_of_mass):.0f}{NO_BREAK}% of the mass"
    if asked.unknown is Unknown.SEED:
        amount = grams(float(found.seed_g), asked.scale_g)
        spread = _spread(asked, span)
        yield f"Seed for {mass}: about {amount} ({spread}), {percent}, brings it to {target}."
        return
    told = {
        Unknown.TARGET: f"{seeds} in {mass} comes to about {target}",
        Unknown.MASS: f"{seeds} is enough for about {mass}, to {target}",
        Unknown.MASS_TEMPERATURE: f"{seeds} brings {mass} to {target}: let it cool so far first",
        Unknown.SEED_TEMPERATURE: f"{mass} comes to {target} if the seed is {seeds}",
    }
    yield f"{told[asked.unknown]}; four in five lie within {_spread(asked, span)}."
    yield worked_words(asked)


def _spread(asked: SeedAsked, span: Span) -> str:
    """The ends between which four draws in five lie."""
    if asked.unknown not in _UNITS:
        return degrees_span(span)
    low = grams(span.low, asked.scale_g).partition(NO_BREAK + "g")[0]
    return f"{low}{RANGE}{grams(span.high, asked.scale_g)}" if np.isfinite(span.high) else f"{low} g and more"


def _cautions(asked: SeedAsked, found: Seeding) -> Iterator[str]:
    kind = "dark" if asked.chocolate is Chocolate.DARK else "milk"
    scorch = load("temper")[f"scorch_{kind}"].value
    if float(found.mass_celsius) > scorch:
        yield f"Over {degrees(scorch)} {asked.chocolate.value} chocolate scorches."
    yield "Melted mass and the metal around it burn. No water, no steam."


def _details(asked: SeedAsked, found: Seeding) -> tuple[Detail, ...]:
    return defaults_detail(asked, found), heat_detail(found), without_detail(asked)


def _too_little(asked: SeedAsked, found: Seeding) -> Answer:
    seeds = grams(float(found.seed_g), asked.scale_g)
    why = f"{seeds} would have to be colder than any freezer: it takes more seed."
    details, ways = (defaults_detail(asked, found), without_detail(asked)), tuple(more_or_cooler(asked))
    return Answer(
        QUESTION,
        _TITLES[asked.unknown],
        Verdict.STOP,
        "Too little seed.",
        why,
        remedies=ways,
        details=details,
    )


def _untold(asked: SeedAsked, why: str) -> Answer:
    return Answer(QUESTION, _TITLES[asked.unknown], Verdict.UNKNOWN, "No balance.", why)
