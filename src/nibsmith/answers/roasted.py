"""How far did the heat go in the roast: an estimate from measured beans, never a word that it is enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from nibsmith.answers._roast_heat import Heat, heat_of, longer_remedy
from nibsmith.answers._roast_record import ProbeFacts, RoastRecord, core_setup, held_longer, with_facts
from nibsmith.answers._roast_words import (
    DECIDES,
    cautions,
    core_words,
    details,
    heat_reasons,
    heat_sentence,
    loss_reasons,
    roast_reasons,
    sources,
)
from nibsmith.answers.answer import Answer, Remedy, Verdict
from nibsmith.answers.roast_log import question_words
from nibsmith.answers.wording import joined
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.roast import BeanCore, RoastChart, Role, bean_core, roast_chart

__all__ = ["ProbeFacts", "RoastRecord", "chart_of", "held_longer", "inside", "roasted", "with_facts"]
QUESTION, TITLE = "roasted", "How far did the heat go in the roast?"
_WORDS = {
    Verdict.WATCH: "An estimate, no proof.",
    Verdict.STOP: "Too little heat.",
    Verdict.UNKNOWN: "Cannot tell.",
}
_BASIS = "the coldest measured beans, less the uncertainty of their probe"


@dataclass(frozen=True)
class _Unknown:
    """Why nothing can be said of the heat."""

    because: str


def roasted(record: RoastRecord, picture: BeanCore | None = None) -> Answer:
    """Answer how far the heat went in a roast.

    Parameters
    ----------
    record : RoastRecord
        What was recorded of it.
    picture : BeanCore, optional
        The inside of a bean as ``inside`` works it out; it is told, and changes no verdict.

    Returns
    -------
    Answer
        The figure is the estimated tenfold reductions of Salmonella [log10]: stop where it falls short, watch
        where it does not, unknown without a measured bean temperature. Never good.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import typed_roast
    >>> roast = typed_roast("0:00 24 °C; 10:00 105; 20:00 121; 30:00 126")
    >>> answer = roasted(RoastRecord(roast))
    >>> answer.verdict.value, answer.sentence[:60]
    ('unknown', 'Unknown, because you have not told me how far the probe “rea')
    """
    found = _found(record)
    if isinstance(found, _Unknown):
        verdict, sentence, heat = Verdict.UNKNOWN, f"Unknown, because {found.because}.", None
    else:
        heat = found
        verdict = Verdict.STOP if heat.short else Verdict.WATCH
        sentence = heat_sentence(heat, record)
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=_WORDS[verdict],
        sentence=sentence,
        figure=None if heat is None else heat.counted,
        unit="" if heat is None else "log10",
        low=None if heat is None else heat.low,
        high=None if heat is None else heat.high,
        basis="" if heat is None else _BASIS,
        reasons=tuple(_reasons(record, heat, picture)),
        remedies=() if heat is None else tuple(_remedies(record, heat)),
        sources=tuple(sources(record, heat)),
        cautions=(DECIDES, *cautions()),
        details=tuple(details(record, heat)),
    )


def _found(record: RoastRecord) -> Heat | _Unknown:
    """The heat that counts, or the first thing that is not told."""
    beans = record.in_beans
    names = {probe.name for probe in (beans or record.roast.probes)}
    if open_ones := [each for each in record.roast.questions if each.probe in names]:
        return _Unknown(" ".join(["this is to be settled first:", question_words(open_ones[0]).rstrip(".")]))
    if not beans:
        return _Unknown(_no_beans(record))
    if untold := [probe.name for probe in beans if probe.uncertainty_k is None]:
        named = joined([f"“{name}”" for name in untold])
        return _Unknown(f"you have not told me how far the probe {named} can be off")
    try:
        return heat_of(record)
    except InputError as error:
        return _Unknown(error.what[:1].lower() + error.what[1:])


def _no_beans(record: RoastRecord) -> str:
    if untold := record.roast.of(Role.UNTOLD):
        named = joined([f"“{probe.name}”" for probe in untold], "or")
        return f"you have not told me whether {named} is in the beans"
    if record.roast.of(Role.AIR):
        return "the air alone was measured: what it did inside the beans is a picture and no measurement"
    return "a dial and minutes measure nothing: a probe in the beans would"


def _reasons(record: RoastRecord, heat: Heat | None, picture: BeanCore | None) -> Iterator[str]:
    if heat is not None:
        yield from heat_reasons(heat, record)
    yield from roast_reasons(record)
    yield from loss_reasons(record)
    if picture is not None:
        yield from core_words(picture)
    elif not record.in_beans:
        setup = core_setup(record)
        if isinstance(setup, str):
            yield f"There is no picture of the inside of a bean, because {setup}."


def _remedies(record: RoastRecord, heat: Heat) -> Iterator[Remedy]:
    """How much longer the beans would have had to stay, asked again with that time."""
    found = longer_remedy(heat, record)
    if found is None:
        return
    seconds, sentence = found
    again = _found(held_longer(record, seconds))
    if isinstance(again, Heat) and not again.short:
        yield Remedy(sentence, checked=True)


def inside(record: RoastRecord) -> BeanCore | str:
    """Return the picture of the inside of a bean, or why there is none.

    Parameters
    ----------
    record : RoastRecord
        With weights, roaster, how warm the beans went in, and air measured or set.

    Returns
    -------
    BeanCore or str
        The picture [°C], or what is not told or does not fit.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import oven_roast
    >>> inside(RoastRecord(oven_roast(140.0, 30.0)))
    'you have not told me the weights before and after the roast'
    """
    setup, air = core_setup(record), record.air
    if isinstance(setup, str):
        return setup
    if air is None:
        return "the air around the beans was neither measured nor set"
    if open_ones := record.roast.asked_about(air.name):
        return question_words(open_ones[0]).rstrip(".")
    try:
        return bean_core(record.while_in(air.curve), setup)
    except NibsmithError as error:
        return str(error).rstrip(".")


def chart_of(record: RoastRecord, picture: BeanCore | None = None) -> RoastChart:
    """Return what the chart of a roast shows.

    Parameters
    ----------
    record : RoastRecord
        The roast.
    picture : BeanCore, optional
        The inside of a bean, drawn as a band.

    Returns
    -------
    RoastChart
        Lines, bands, the rate of change and words for the margin.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import oven_roast
    >>> [line.name for line in chart_of(RoastRecord(oven_roast(140.0, 30.0))).lines]
    ['oven setting']
    """
    return roast_chart(record.roast, core=picture)
