"""What fold-ins do to a tempered mass, and how warm they have to be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.answers._setting import setting_of
from nibsmith.answers._widest import widest_sentence
from nibsmith.answers.answer import Answer, Citation, Detail, Remedy, Verdict
from nibsmith.answers.wording import degrees, degrees_span, grams, thing
from nibsmith.science.errors import OutOfRange, UnknownFigure
from nibsmith.science.mixture import Ingredient, Recipe, Span
from nibsmith.science.numerics import (
    Array,
    Distribution,
    LogNormal,
    Triangle,
    alone,
    bracketed_root,
    drawn,
    quantile,
    variance_shares,
)
from nibsmith.science.tables import load
from nibsmith.science.temper import (
    Chocolate,
    FoldIn,
    Program,
    coolest_fold_in,
    heat_capacity,
    mixed_celsius,
    program,
)

QUESTION, TITLE = "fold_in", "Is it warm enough to fold in?"
NARROWED = {
    "mass_celsius": ("the temperature of the mass", "stir before you read it"),
    "from_celsius": ("the temperature of what is folded in", "put the probe among it"),
    "capacity": ("the heat it takes up", "read the bowl after a tenth of it is in"),
}
TOO_WARM = "Too warm to fold in."
_ANEW = "and has to be tempered anew"
_FOUR_IN_FIVE = (10 / 100, 90 / 100)
_TRIES = 4
_PLACES = (("A room", "room"), ("A fridge", "fridge"), ("A freezer", "freezer"))


@dataclass(frozen=True)
class FoldInAsked:
    """What is folded in, and into what; what is ``None`` is taken as usual.

    ``mass_g`` of tempered mass [g] at ``mass_celsius`` [°C]; ``amount_g`` [g] of ``ingredient`` at
    ``celsius`` [°C].
    """

    mass_g: float
    amount_g: float
    ingredient: Ingredient
    celsius: float | None = None
    mass_celsius: float | None = None
    chocolate: Chocolate = Chocolate.DARK
    program: Program | None = None

    @property
    def temper(self) -> Program:
        """The program the mass is worked by."""
        return self.program or program(self.chocolate)

    @property
    def from_celsius(self) -> float:
        """Temperature of what is folded in, that of a room where nothing is said [°C]."""
        return load("temper")["room"].value if self.celsius is None else self.celsius

    @property
    def at_celsius(self) -> float:
        """Temperature of the mass, its working temperature where nothing is said [°C]."""
        return self.temper.work_celsius.value if self.mass_celsius is None else self.mass_celsius


def into(recipe: Recipe, asked: FoldInAsked) -> FoldInAsked:
    """Return the same with the kind and the program of a recipe's mass.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; its fold-ins do not count.
    asked : FoldInAsked
        What is folded in.

    Returns
    -------
    FoldInAsked
        Its program shifted where the mass is dark and holds other fat.

    Raises
    ------
    InputError
        If nothing goes into the machine.
    UnknownFigure
        If the kind of chocolate cannot be told.
    OutOfRange
        If too little of the fat is cocoa butter for a program.
    """
    setting = setting_of(recipe)
    if setting.program is None:
        raise OutOfRange("Too little of the fat is cocoa butter for a temper program", field="fat")
    return replace(asked, chocolate=setting.chocolate, program=setting.program)


def fold_in(asked: FoldInAsked) -> Answer:
    """Answer what a fold-in does to the temperature of a tempered mass.

    Parameters
    ----------
    asked : FoldInAsked
        Mass, fold-in, temperatures.

    Returns
    -------
    Answer
        The figure is the temperature of the whole, with the ends between which four draws in five lie [°C].
        Good: it can still be worked; stop: it falls under the temperature to which a mass is cooled for
        tempering, or gets so warm that its seeds melt. Unknown where it cannot be worked out; what melts the
        seeds around it is told all the same.

    Raises
    ------
    InputError
        For weights that cannot be.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> answer = fold_in(FoldInAsked(1760.0, 240.0, ingredient("hazelnut_dry_roasted")))
    >>> round(answer.figure, 1), answer.verdict.value
    (29.8, 'watch')
    """
    try:
        mixed, span = _mixed(asked), _range(asked)
    except (UnknownFigure, OutOfRange) as error:
        return _untold(asked, str(error))
    how = _judged(asked, mixed)
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=how.verdict,
        word=how.word,
        sentence=f"{_sentence(asked, mixed, span)} {how.why}".rstrip(),
        figure=mixed,
        unit="°C",
        low=span.low,
        high=span.high,
        basis="the whole, stirred in",
        reasons=tuple(_reasons(asked, mixed)),
        remedies=tuple(_remedies(asked, how.verdict)),
        sources=_sources(),
        details=(_places(asked),),
    )


@dataclass(frozen=True, slots=True)
class _Judged:
    """A verdict in the maker's words, and what it does to the mass where it is not good."""

    verdict: Verdict
    word: str
    why: str = ""


def _untold(asked: FoldInAsked, why: str) -> Answer:
    """What can be said where the mixture cannot be worked out."""
    if asked.from_celsius <= _seeds_to(asked):
        return Answer(QUESTION, TITLE, Verdict.UNKNOWN, "Cannot tell.", why)
    warm = f"They are at {degrees(asked.from_celsius)}. {_melts(asked)}"
    return Answer(QUESTION, TITLE, Verdict.WATCH, TOO_WARM, f"{warm} How far they warm the whole: {why}")


def _melts(asked: FoldInAsked) -> str:
    return f"What is over {degrees(_seeds_to(asked))} melts the seeds around it."


def _sentence(asked: FoldInAsked, mixed: float, span: Span) -> str:
    start = degrees(asked.at_celsius)
    amount = f"{grams(asked.amount_g)} of {thing(asked.ingredient)} at {degrees(asked.from_celsius)}"
    brought = f"{amount} bring {grams(asked.mass_g)} from {start} to {degrees(mixed)}"
    return f"{brought}; four in five lie within {degrees_span(span)}."


def _mixed(asked: FoldInAsked, celsius: float | None = None) -> float:
    at = asked.from_celsius if celsius is None else celsius
    part = FoldIn(asked.amount_g, at, heat_capacity(asked.ingredient, at))
    return float(mixed_celsius(asked.mass_g, asked.at_celsius, [part]))


def _varies(asked: FoldInAsked) -> dict[str, Distribution]:
    table = load("temper")
    probe, room = table["thermometer"].value, table["room_swing"].value
    at, work, own = asked.from_celsius, asked.temper.work_celsius, asked.at_celsius
    from_ = probe if asked.celsius is not None else room
    return {
        "mass_celsius": Triangle(work.low, work.value, work.high)
        if asked.mass_celsius is None
        else Triangle(own - probe, own, own + probe),
        "from_celsius": Triangle(at - from_, at, at + from_),
        "capacity": LogNormal(1.0, load("heat_capacity")["analysis_factor"].value),
    }


def _drawn(asked: FoldInAsked, values: Mapping[str, Array]) -> Array:
    capacity = values["capacity"] * heat_capacity(asked.ingredient, asked.from_celsius)
    part = FoldIn(asked.amount_g, values["from_celsius"], capacity)
    return np.asarray(mixed_celsius(asked.mass_g, values["mass_celsius"], [part]))


def _range(asked: FoldInAsked) -> Span:
    draws = _drawn(asked, drawn(_varies(asked)))
    low, high = (quantile(draws, share) for share in _FOUR_IN_FIVE)
    middle = _mixed(asked)
    return Span(min(low, middle), middle, max(high, middle))


def _seeds_to(asked: FoldInAsked) -> float:
    """The warmest at which seeds last: as published, else where form V melts [°C]."""
    temper = asked.temper
    melting = load("temper")["form_v_melting"].value - temper.shift_k
    return melting if temper.most_celsius is None else temper.most_celsius


def _warmest(asked: FoldInAsked) -> float:
    """The warmest that the whole may be and still be worked [°C]."""
    return asked.temper.work_celsius.high + load("temper")["fold_in_within"].value


def _judged(asked: FoldInAsked, mixed: float) -> _Judged:
    temper, most = asked.temper, _seeds_to(asked)
    work = degrees_span(temper.work_celsius)
    if asked.at_celsius > most:
        why = f"Over {degrees(most)} its seeds melt: it is too warm before anything goes in, {_ANEW} first."
        return _Judged(Verdict.STOP, "The mass is too warm.", why)
    if mixed > most:
        why = f"Over {degrees(most)} its seeds melt: it is untempered then, {_ANEW}."
        return _Judged(Verdict.STOP, "Far too warm.", why)
    if mixed < temper.cool_celsius.low:
        why = f"Under {degrees(temper.cool_celsius.low)} it sets around them, part of it in low forms."
        return _Judged(Verdict.STOP, "Far too cold.", why)
    warmed = f"It is worked at {work}." if mixed > _warmest(asked) else ""
    if asked.from_celsius > most:
        return _Judged(Verdict.WATCH, TOO_WARM, f"{warmed} {_melts(asked)}".lstrip())
    if warmed:
        return _Judged(Verdict.WATCH, "Warmer than it is worked.", warmed)
    if mixed < temper.work_celsius.low:
        return _Judged(Verdict.WATCH, "It cools the mass.", f"It is worked at {work}.")
    return _Judged(Verdict.GOOD, "Warm enough.")


def _reasons(asked: FoldInAsked, mixed: float) -> Iterator[str]:
    temper, within = asked.temper, load("temper")["fold_in_within"].value
    work = temper.work_celsius
    near = degrees_span(Span(work.low - within, work.value, work.high + within))
    yield f"Fold-ins within about {within:g} K of the mass change nothing: {near}, dry."
    if mixed < work.low:
        yield "A mass that cools while it is stirred thickens and sets in the bowl, part of it in low forms."
    if asked.from_celsius > _seeds_to(asked):
        yield f"Over {degrees(_seeds_to(asked))} they melt the seeds around them."
    yield widest_sentence(_shares(asked), NARROWED)
    yield "Worked out without losses and without freezing heat: cold ones do a little less than this."


def _shares(asked: FoldInAsked) -> dict[str, float]:
    inputs = _varies(asked)
    return variance_shares(_drawn(asked, alone(inputs)), tuple(inputs))


def _remedies(asked: FoldInAsked, verdict: Verdict) -> Iterator[Remedy]:
    """Yield how warm they have to be, if they alone can mend it; asked again.

    They are warmed only from colder than they have to be, and cooled only from warmer.
    """
    if verdict is Verdict.GOOD:
        return
    cools = asked.from_celsius > asked.at_celsius
    celsius = _cool_enough(asked) if cools else _warm_enough(asked)
    if celsius is None or cools != (celsius < asked.from_celsius):
        return
    words = "Let them cool to {} first." if cools else "Warm them to {} first, dry."
    other = replace(asked, celsius=celsius)
    if _judged(other, _mixed(other)).verdict is Verdict.GOOD:
        yield Remedy(words.format(degrees(celsius)), checked=True)


def _warm_enough(asked: FoldInAsked) -> float | None:
    work = asked.temper.work_celsius
    if asked.at_celsius <= work.low or _mixed(asked) >= work.low:
        return None
    least = work.low
    for _ in range(_TRIES):  # their heat capacity changes with their temperature
        part = FoldIn(asked.amount_g, least, heat_capacity(asked.ingredient, least))
        found = coolest_fold_in(asked.mass_g, asked.at_celsius, work.low, part)
        least = min(work.low, max(asked.from_celsius, found))
    return min(work.low, _tenth_up(least))


def _cool_enough(asked: FoldInAsked) -> float | None:
    """The warmest tenth of a degree at which they neither melt seeds nor warm the whole too far."""
    most, warmest = min(_seeds_to(asked), asked.from_celsius), _warmest(asked)
    if asked.at_celsius >= min(warmest, most):
        return None
    if _mixed(asked, most) > warmest:
        most = bracketed_root(lambda celsius: _mixed(asked, celsius) - warmest, asked.at_celsius, most)
    return math.floor(10 * most) / 10


def _tenth_up(celsius: float) -> float:
    """The next tenth of a degree, and one more for the heat capacity that changes on the way."""
    return (math.floor(celsius * 10) + 2) / 10


def _places(asked: FoldInAsked) -> Detail:
    rows = []
    for words, key in _PLACES:
        celsius = load("temper")[key].value
        rows.append((f"{words} at {degrees(celsius)}", degrees(_mixed(asked, celsius))))
    return Detail("The same from", ("From", "The whole comes to"), tuple(rows))


def _sources() -> tuple[Citation, ...]:
    rows = [load("heat_capacity")["chocolate"], load("heat_capacity")["analysis_factor"]]
    rows += [load("temper")[key] for key in ("fold_in_within", "thermometer")]
    return tuple(Citation(row.source, row.place, row.status) for row in rows)
