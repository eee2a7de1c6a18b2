"""How far did the heat go in the roast: an estimate from measured beans, never a word that it is enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from nibsmith.answers._roast_ahead import ahead
from nibsmith.answers._roast_beside import kind_of_all, probe_of_kind
from nibsmith.answers._roast_heat import Heat, heat_of, longer_remedy
from nibsmith.answers._roast_record import (
    SURVIVORS,
    ProbeFacts,
    RoastRecord,
    core_setup,
    held_longer,
    survivor_line,
    with_facts,
)
from nibsmith.answers._roast_turn import open_questions, turn_to_settle, turn_words
from nibsmith.answers._roast_words import (
    DECIDES,
    cautions,
    core_words,
    details,
    heat_reasons,
    heat_sentence,
    loss_doubts,
    loss_reasons,
    roast_reasons,
    sources,
)
from nibsmith.answers.answer import Answer, Remedy, Verdict
from nibsmith.answers.roast_log import question_words
from nibsmith.answers.wording import ended, joined, small
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.roast import Band, BeanCore, Note, RoastChart, Role, bean_core, roast_chart

__all__ = [
    "DECIDES",
    "SURVIVORS",
    "ProbeFacts",
    "RoastRecord",
    "ahead",
    "chart_of",
    "held_longer",
    "inside",
    "kind_of_all",
    "loss_doubts",
    "open_questions",
    "probe_of_kind",
    "roasted",
    "survivor_line",
    "with_facts",
]
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


def roasted(record: RoastRecord, picture: BeanCore | str | None = None) -> Answer:
    """Answer how far the heat went in a roast.

    Parameters
    ----------
    record : RoastRecord
        What was recorded of it.
    picture : BeanCore or str, optional
        What ``inside`` gives: the inside of a bean, or why there is none; told, and changes no verdict.

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
        verdict, sentence, heat = Verdict.UNKNOWN, f"Unknown, because {ended(found.because)}", None
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
    if (turn := turn_to_settle(record)) is not None:
        return _Unknown(" ".join(["this is to be settled first:", turn_words(turn, record).rstrip(".")]))
    try:
        return heat_of(record)
    except InputError as error:
        return _Unknown(small(error.what))


def _no_beans(record: RoastRecord) -> str:
    if untold := record.roast.of(Role.UNTOLD):
        named = joined([f"“{probe.name}”" for probe in untold], "or")
        return f"you have not told me whether {named} is in the beans"
    if record.roast.of(Role.AIR):
        return "the air alone was measured: what it did inside the beans is a picture and no measurement"
    return "a dial and minutes measure nothing: a probe in the beans would"


def _reasons(record: RoastRecord, heat: Heat | None, picture: BeanCore | str | None) -> Iterator[str]:
    if heat is not None:
        yield from heat_reasons(heat, record)
    yield from roast_reasons(record)
    yield from loss_reasons(record)
    if isinstance(picture, BeanCore):
        yield from core_words(picture)
        return
    lacking = core_setup(record) if picture is None and not record.in_beans else picture
    if isinstance(lacking, str) and lacking:
        yield f"There is no picture of the inside of a bean, because {ended(lacking)}"


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
    if not record.covered_by(air.curve):
        return "the air was not measured from when the beans came in until they came out"
    try:
        return bean_core(record.while_in(air.curve), setup)
    except NibsmithError as error:
        return small(str(error).rstrip("."))


def chart_of(record: RoastRecord, picture: BeanCore | None = None, band: Band | None = None) -> RoastChart:
    """Return what the chart of a roast shows.

    Parameters
    ----------
    record : RoastRecord
        The roast.
    picture : BeanCore, optional
        The inside of a bean, drawn as a band.
    band : Band, optional
        A wanted course with its tolerance.

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
    told = ((record.in_s, "beans in"), (record.out_s, "beans out"))
    notes = tuple(Note(time_s, words) for time_s, words in told if time_s is not None)
    roast = replace(record.roast, notes=(*record.roast.notes, *notes))
    beans = next((record.part(probe) for probe in record.in_beans), None)
    return roast_chart(roast, core=picture, band=band, beans=beans)
