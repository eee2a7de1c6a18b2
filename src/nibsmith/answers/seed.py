"""How much seed: the heat balance of a bowl, solved for whatever is not known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import numpy as np

from nibsmith.answers._seed_words import (
    defaults_detail,
    heat_detail,
    reasons,
    sources,
    without_detail,
)
from nibsmith.answers.answer import Answer, Detail, Remedy, Verdict
from nibsmith.answers.wording import NO_BREAK, RANGE, degrees, degrees_span, grams
from nibsmith.science.errors import InputError, NibsmithError
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
from nibsmith.science.temper import (
    Around,
    Chocolate,
    Program,
    Seeding,
    Unknown,
    program,
    seed_needed,
    seeded_for,
)

QUESTION, TITLE = "seed", "How much seed?"
BOWLS = ("steel", "aluminium", "glass", "ceramic", "plastic", "none")
_FOUR_IN_FIVE = (10 / 100, 90 / 100)
_WORDS = {Verdict.GOOD: "Seed it.", Verdict.WATCH: "Much seed.", Verdict.STOP: "Too warm for seed alone."}
_UNITS = {Unknown.MASS: "g", Unknown.SEED: "g"}
# A seed on its limit is inside, but for the noise of arithmetic.
_ROUNDING_EPSILON = 1e-9


@dataclass(frozen=True)
class SeedAsked:
    """What is known of mass, seed and bowl; what is ``None`` is taken as usual, and the answer says so.

    ``mass_g`` [g] at ``mass_celsius`` [°C]; ``seed_g`` [g] at ``seed_celsius`` [°C]; ``target_celsius`` is
    what the whole is to be [°C]; ``melted_share`` is the part of the seed that melts [0 to 1]. ``bowl_g``
    [g] of ``bowl`` (steel, aluminium, glass, ceramic, plastic, none); ``room_celsius`` [°C]; ``minutes`` of
    stirring. ``program`` overrules the published one of the kind. ``unknown`` is what is asked for.
    """

    mass_g: float | None = None
    mass_celsius: float | None = None
    seed_g: float | None = None
    seed_celsius: float | None = None
    target_celsius: float | None = None
    melted_share: Span | None = None
    bowl_g: float | None = None
    bowl: str = "steel"
    room_celsius: float | None = None
    minutes: float | None = None
    chocolate: Chocolate = Chocolate.DARK
    program: Program | None = None
    unknown: Unknown = Unknown.SEED
    scale_g: Decimal = Decimal(1)

    @property
    def temper(self) -> Program:
        """The program the mass is worked by."""
        return self.program or program(self.chocolate)


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
        The figure is the unknown [g] or [°C], with the ends between which four draws in five lie where it
        is the seed.

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
    case = _case(asked)
    try:
        found = seeded_for(case, asked.unknown)
    except NibsmithError as error:
        return replace(_untold(str(error)), details=(defaults_detail(asked, case), without_detail(asked)))
    if float(found.seed_celsius) < load("temper_seed")["coldest"].value:
        return _too_little(asked, found)
    ends = _range(asked, found)
    verdict = verdict_of(asked, found)
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=_word(asked, verdict, found),
        sentence=_sentence(asked, found, ends),
        figure=float(getattr(found, asked.unknown.value)),
        unit=_UNITS.get(asked.unknown, "°C"),
        low=None if ends is None else ends[0],
        high=None if ends is None else ends[1],
        reasons=tuple(reasons(asked, found, _shares(asked, found))),
        remedies=tuple(_remedies(asked, found, verdict)),
        sources=sources(),
        cautions=tuple(_cautions(asked, found)),
        details=_details(asked, found),
    )


def verdict_of(asked: SeedAsked, found: Seeding) -> Verdict:
    """Return how a balanced seeding comes out: by how much seed it takes, and where it ends."""
    table, target = load("temper_seed"), float(found.target_celsius)
    work, most = asked.temper.work_celsius, asked.temper.most_celsius
    if most is not None and target > most:
        return Verdict.STOP
    percent = 100 * float(found.share_of_mass) * (1 - _ROUNDING_EPSILON)
    if percent > table["most"].value or float(found.seed_celsius) < load("temper")["freezer"].value:
        return Verdict.STOP
    near = work.low - _beside() <= target <= work.high + _beside()
    return Verdict.GOOD if near and percent <= table["usual_high"].value else Verdict.WATCH


def _beside() -> float:
    """How far beside its working range a bowl may be and still be worked [K]."""
    return load("temper")["fold_in_within"].value


def _case(asked: SeedAsked) -> Seeding:
    table = load("temper_seed")
    if asked.bowl not in BOWLS:
        raise InputError(
            "No such bowl", value=asked.bowl, advice=f"There are: {', '.join(BOWLS)}.", field="bowl"
        )
    bowl_g = asked.bowl_g if asked.bowl_g is not None else table["bowl"].value
    room = load("temper")["room"].value if asked.room_celsius is None else asked.room_celsius
    minutes = table["stirring"].value if asked.minutes is None else asked.minutes
    dark = asked.chocolate is Chocolate.DARK
    known = {
        "mass_g": asked.mass_g,
        "mass_celsius": asked.mass_celsius,
        "seed_g": asked.seed_g,
        "seed_celsius": table["seed_from"].value if asked.seed_celsius is None else asked.seed_celsius,
        "target_celsius": asked.temper.work_celsius.value
        if asked.target_celsius is None
        else asked.target_celsius,
    }
    _check_hot(known["mass_celsius"])
    missing = [name for name, value in known.items() if value is None and name != asked.unknown.value]
    if missing:
        raise InputError("This is needed and has no usual value", value=missing[0], field=missing[0])
    filled: dict[str, Any] = {name: 0.0 if value is None else value for name, value in known.items()}
    return Seeding(
        **filled,
        melted_share=_melted(asked).value,
        latent=table["latent_dark" if dark else "latent_milk"].value,
        around=Around(bowl_g, table[asked.bowl].value, room, minutes),
    )


def _check_hot(celsius: float | None) -> None:
    hottest = load("temper_curve")["hottest"].value
    if celsius is not None and celsius > hottest:
        raise InputError(
            "No chocolate is melted so hot",
            value=f"{celsius:g} °C",
            limit=f"{hottest:g} °C",
            advice="If this is °F, say so.",
            field="mass_celsius",
        )


def _melted(asked: SeedAsked) -> Span:
    row = load("temper_seed")["melted_share"]
    return asked.melted_share or Span(row.low or row.value, row.value, row.high or row.value)


def _varies(asked: SeedAsked, found: Seeding) -> dict[str, Distribution]:
    melted, bowl_g = _melted(asked), float(found.around.bowl_g)
    inputs: dict[str, Distribution] = {
        "melted_share": Triangle(melted.low, melted.value, melted.high),
        "mass_celsius": Triangle(
            float(found.mass_celsius) - 1, float(found.mass_celsius), float(found.mass_celsius) + 1
        ),
        "to_room": LogNormal(1.0, load("temper_seed")["surface_factor"].value),
    }
    if asked.bowl_g is None and asked.bowl != "none":
        inputs["bowl_g"] = Triangle(bowl_g / 2, bowl_g, 2 * bowl_g)
    return inputs


def _drawn(found: Seeding, values: dict[str, Array]) -> Array:
    around = replace(
        found.around,
        bowl_g=values.get("bowl_g", found.around.bowl_g),
        minutes=found.around.minutes * values["to_room"],
    )
    case = replace(
        found, melted_share=values["melted_share"], mass_celsius=values["mass_celsius"], around=around
    )
    return np.asarray(seed_needed(case))


def _range(asked: SeedAsked, found: Seeding) -> tuple[float, float] | None:
    if asked.unknown is not Unknown.SEED:
        return None
    draws = np.maximum(0.0, _drawn(found, drawn(_varies(asked, found), DRAWS)))
    low, high = (quantile(draws, share) for share in _FOUR_IN_FIVE)
    return low, high


def _shares(asked: SeedAsked, found: Seeding) -> dict[str, float]:
    inputs = _varies(asked, found)
    return variance_shares(_drawn(found, alone(inputs)), tuple(inputs))


def _remedies(asked: SeedAsked, found: Seeding, verdict: Verdict) -> Iterator[Remedy]:
    """Let the bowl cool first, as far as the usual seed then does it; asked again."""
    if asked.unknown is not Unknown.SEED or verdict is Verdict.GOOD:
        return
    usual = load("temper_seed")["usual_high"].value / 100 * float(found.mass_g)
    try:
        cooler = seeded_for(replace(found, seed_g=usual), Unknown.MASS_TEMPERATURE)
    except NibsmithError:
        return
    celsius = float(cooler.mass_celsius)
    again = seeded_for(replace(found, mass_celsius=celsius), Unknown.SEED)
    does = f"then {grams(usual, asked.scale_g)} of seed does{_cooler_yet(asked, found)}"
    yield Remedy(
        f"Let it cool to {degrees(celsius)} first, stirring: {does}.",
        checked=verdict_of(replace(asked, mass_celsius=celsius), again) is Verdict.GOOD,
    )


def _cooler_yet(asked: SeedAsked, found: Seeding) -> str:
    """What is enough where the bowl is stirred down as far as is usual."""
    celsius = load("temper_seed")["first_cool_to"].value - asked.temper.shift_k
    needed = float(seed_needed(replace(found, mass_celsius=celsius)))
    return f"; from {degrees(celsius)}, {grams(needed, asked.scale_g)}" if needed > 0 else ""


def _word(asked: SeedAsked, verdict: Verdict, found: Seeding) -> str:
    if asked.unknown is Unknown.SEED or verdict is Verdict.GOOD:
        return _WORDS[verdict]
    work = asked.temper.work_celsius
    if float(found.target_celsius) > work.high:
        return "Too warm."
    return "Too cool." if float(found.target_celsius) < work.low else _WORDS[verdict]


def _sentence(asked: SeedAsked, found: Seeding, ends: tuple[float, float] | None) -> str:
    mass = f"{grams(float(found.mass_g), asked.scale_g)} at {degrees(float(found.mass_celsius))}"
    seeds = f"{grams(float(found.seed_g), asked.scale_g)} at {degrees(float(found.seed_celsius))}"
    target = degrees(float(found.target_celsius))
    percent = f"{100 * float(found.share_of_mass):.0f}{NO_BREAK}% of the mass"
    if ends is not None:
        amount = grams(float(found.seed_g), asked.scale_g)
        low = grams(ends[0], asked.scale_g).partition(NO_BREAK + "g")[0]
        spread = f"{low}{RANGE}{grams(ends[1], asked.scale_g)}"
        return f"Seed for {mass}: about {amount} ({spread}), {percent}, brings it to {target}."
    told = {
        Unknown.TARGET: f"{seeds} in {mass} comes to about {target}.",
        Unknown.MASS: f"{seeds} is enough for about {mass}, to {target}.",
        Unknown.MASS_TEMPERATURE: f"{seeds} brings {mass} to {target}: let it cool so far first.",
        Unknown.SEED_TEMPERATURE: f"{mass} comes to {target} if the seed is {seeds}.",
    }
    work = degrees_span(asked.temper.work_celsius)
    return f"{told[asked.unknown]} It is worked at {work}."


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
    why = f"{seeds} would have to be colder than any freezer: take more seed, or let the mass cool first."
    details = (defaults_detail(asked, found), without_detail(asked))
    return Answer(QUESTION, TITLE, Verdict.STOP, "Too little seed.", why, details=details)


def _untold(why: str) -> Answer:
    return Answer(QUESTION, TITLE, Verdict.UNKNOWN, "No balance.", why)
