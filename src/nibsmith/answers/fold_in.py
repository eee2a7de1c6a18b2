"""What fold-ins do to a tempered mass, and how warm they have to be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from nibsmith.answers.answer import Answer, Citation, Detail, Remedy, Verdict
from nibsmith.answers.wording import degrees, degrees_span, grams, thing
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.mixture import Ingredient, Span
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
_WORDS = {
    Verdict.GOOD: "Warm enough.",
    Verdict.WATCH: "It cools the mass.",
    Verdict.STOP: "Far too cold.",
    Verdict.UNKNOWN: "Cannot tell.",
}
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


def fold_in(asked: FoldInAsked) -> Answer:
    """Answer what a fold-in does to the temperature of a tempered mass.

    Parameters
    ----------
    asked : FoldInAsked
        Mass, fold-in, temperatures.

    Returns
    -------
    Answer
        The figure is the temperature of the whole [°C]. Good: it can still be worked; stop: it falls under
        the temperature to which a mass is cooled for tempering.

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
        mixed = _mixed(asked)
    except UnknownFigure as error:
        return Answer(QUESTION, TITLE, Verdict.UNKNOWN, _WORDS[Verdict.UNKNOWN], str(error))
    verdict = _verdict(asked, mixed)
    start = degrees(asked.at_celsius)
    amount = f"{grams(asked.amount_g)} of {thing(asked.ingredient)} at {degrees(asked.from_celsius)}"
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=_WORDS[verdict],
        sentence=f"{amount} bring {grams(asked.mass_g)} from {start} to {degrees(mixed)}.",
        figure=mixed,
        unit="°C",
        basis="the whole, stirred in",
        reasons=tuple(_reasons(asked, mixed)),
        remedies=tuple(_remedies(asked, verdict)),
        sources=_sources(),
        details=(_places(asked),),
    )


def _mixed(asked: FoldInAsked, celsius: float | None = None) -> float:
    at = asked.from_celsius if celsius is None else celsius
    part = FoldIn(asked.amount_g, at, heat_capacity(asked.ingredient, at))
    return mixed_celsius(asked.mass_g, asked.at_celsius, [part])


def _verdict(asked: FoldInAsked, mixed: float) -> Verdict:
    temper = asked.temper
    if temper.most_celsius is not None and mixed > temper.most_celsius:
        return Verdict.STOP
    if mixed < temper.cool_celsius.low:
        return Verdict.STOP
    return Verdict.GOOD if mixed >= temper.work_celsius.low else Verdict.WATCH


def _reasons(asked: FoldInAsked, mixed: float) -> Iterator[str]:
    temper, within = asked.temper, load("temper")["fold_in_within"].value
    work = temper.work_celsius
    near = degrees_span(Span(work.low - within, work.value, work.high + within))
    yield f"Fold-ins within about {within:g} K of the mass change nothing: {near}, dry."
    if mixed < work.low:
        yield "A mass that cools while it is stirred thickens and sets in the bowl, part of it in low forms."
    if temper.most_celsius is not None and asked.from_celsius > temper.most_celsius:
        yield f"Over {degrees(temper.most_celsius)} they melt the seeds around them."
    yield "Worked out without losses and without freezing heat: cold ones do a little less than this."


def _remedies(asked: FoldInAsked, verdict: Verdict) -> Iterator[Remedy]:
    work = asked.temper.work_celsius
    if verdict is Verdict.GOOD or asked.at_celsius <= work.low or asked.from_celsius > asked.at_celsius:
        return
    part = FoldIn(asked.amount_g, work.low, heat_capacity(asked.ingredient, work.low))
    least = coolest_fold_in(asked.mass_g, asked.at_celsius, work.low, part)
    warm = min(work.low, _tenth_up(least))
    again = fold_in(replace(asked, celsius=warm))
    yield Remedy(f"Warm them to {degrees(warm)} first, dry.", checked=again.verdict is Verdict.GOOD)


def _tenth_up(celsius: float) -> float:
    """The next tenth of a degree, and one more for the heat capacity that changes on the way."""
    return (int(celsius * 10) + 2) / 10


def _places(asked: FoldInAsked) -> Detail:
    rows = []
    for words, key in _PLACES:
        celsius = load("temper")[key].value
        rows.append((f"{words} at {degrees(celsius)}", degrees(_mixed(asked, celsius))))
    return Detail("The same from", ("From", "The whole comes to"), tuple(rows))


def _sources() -> tuple[Citation, ...]:
    rows = [load("heat_capacity")["chocolate"], load("temper")["fold_in_within"]]
    return tuple(Citation(row.source, row.place, row.status) for row in rows)
