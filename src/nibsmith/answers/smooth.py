"""Will it be smooth: the largest grains against what the maker aims for, and when they are reached."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.answers._smooth_grains import Grains, grains_of
from nibsmith.answers._smooth_words import AIM_WORDS, details, feel_words, reasons, sources
from nibsmith.answers.answer import Answer, Remedy, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.process import (
    aim_of,
    kit_of,
    micrometres,
    process_of,
    span_of,
    whole_sugar,
)
from nibsmith.answers.process_sizes import grinding_fit
from nibsmith.answers.smooth_ready import hours_figure, ready_hours
from nibsmith.answers.wording import NO_BREAK, capital
from nibsmith.science.errors import InputError, OutOfRange, UnknownFigure
from nibsmith.science.flow import flow_matter
from nibsmith.science.grind import feels
from nibsmith.science.mixture import Recipe, Span
from nibsmith.science.numerics import Array
from nibsmith.science.tables import load

QUESTION, TITLE = "smooth", "Will it be smooth?"
CAUTION = "Keep fingers and spoons out of a running grinder, and tie back hair and strings."
_POINTS = 61


def smooth(recipe: Recipe, context: Context) -> Answer:
    """Answer whether a mass is as smooth as its maker wants it.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; what is folded in does not count.
    context : Context
        Kit and process: the aim, readings, and sizes where the maker has typed them.

    Returns
    -------
    Answer
        The figure is the size of the largest grains [µm] with the ends between which four draws in five lie.
        Good: the middle is as fine as the aim wants, and so are seven draws in ten; never where sugar that is
        not left coarse on purpose stays as granules.

    Examples
    --------
    >>> from nibsmith.science.kit import kit
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> answer = smooth(bar, Context(kit=kit("stone")))
    >>> answer.verdict.value, answer.word
    ('good', 'Smooth.')
    """
    try:
        grains = grains_of(recipe, context)
    except InputError as error:
        return Answer(QUESTION, TITLE, Verdict.UNKNOWN, "Cannot tell.", str(error), cautions=(CAUTION,))
    if _without_grains(recipe):
        return Answer(
            QUESTION, TITLE, Verdict.GOOD, "Nothing to grind.", "It is all fat, without grains in it."
        )
    verdict = _judged(grains, context)
    answer = Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=_word(grains, verdict),
        sentence=_sentence(grains, context, verdict),
        figure=grains.middle,
        unit="µm",
        low=grains.span.low,
        high=grains.span.high,
        basis="largest grains",
        reasons=tuple(reasons(recipe, context, grains, out_of_reach=verdict is Verdict.UNKNOWN)),
        sources=sources(context, grains),
        cautions=(CAUTION,),
        details=details(grains),
    )
    return replace(answer, remedies=tuple(_remedies(recipe, context, grains, verdict)))


def _without_grains(recipe: Recipe) -> bool:
    try:
        matter = flow_matter(recipe)
    except (InputError, UnknownFigure):
        return False  # what is in it is not known, so grains may be
    return not (sum(matter.solids_volume) or matter.unknown)


def _judged(grains: Grains, context: Context) -> Verdict:
    enough = load("flow_uses")["chance_good"].value
    if grains.middle <= grains.limit_um and grains.chance >= enough and not grains.whole_sugar:
        return Verdict.GOOD
    return Verdict.UNKNOWN if _out_of_reach(grains, context) else Verdict.WATCH


def _out_of_reach(grains: Grains, context: Context) -> bool:
    """Whether the kit does not come to what is aimed at, as far as is known."""
    return grains.limit_um < min(kit_of(context).size_um[0], grains.sizes.largest.low)


def _word(grains: Grains, verdict: Verdict) -> str:
    if verdict is Verdict.UNKNOWN:
        return "This kit does not get there."
    if grains.whole_sugar:
        return "The sugar stays whole."
    if verdict is Verdict.WATCH and grains.middle <= grains.limit_um:
        return "Not surely."
    return f"{capital(feels(grains.middle).value)}."


def _sentence(grains: Grains, context: Context, verdict: Verdict) -> str:
    if verdict is not Verdict.UNKNOWN:
        return feel_words(grains, context)
    low, high = kit_of(context).size_um
    reached, aim = micrometres(Span(low, low, high)), AIM_WORDS[aim_of(context)]
    wanted, left = f"{grains.limit_um:.0f}{NO_BREAK}µm", feels(grains.middle).value
    return (
        f"Unknown when: such a kit reaches {reached}, and {aim} wants {wanted}. What it leaves feels {left}."
    )


def _remedies(recipe: Recipe, context: Context, grains: Grains, verdict: Verdict) -> Iterator[Remedy]:
    """Grinding on, as long as it takes; and powder instead of granules where a kit does not grind them."""
    if verdict is Verdict.GOOD:
        return
    yield from _grind_on(recipe, context, grains)
    yield from _mill_sugar(recipe, context)


def _grind_on(recipe: Recipe, context: Context, grains: Grains) -> Iterator[Remedy]:
    if grains.fit is None or grains.hours is None:
        return
    try:
        hours = ready_hours(grains.fit, grains.limit_um).value
    except OutOfRange:
        return
    if not grains.hours < hours < math.inf:
        return
    longer = replace(context, process=replace(process_of(context), hours=hours))
    if _good(recipe, longer):
        more = f"Grind on for {hours_figure(hours - grains.hours)}{NO_BREAK}h more"
        whole = f"{hours_figure(hours)}{NO_BREAK}h from the last coarse addition"
        yield Remedy(f"{more}, {whole}, and read it again.", checked=True)


def _mill_sugar(recipe: Recipe, context: Context) -> Iterator[Remedy]:
    if not whole_sugar(recipe, context):
        return
    powder = span_of(load("grind")["home_milled_sugar"])
    milled = replace(context, process=replace(process_of(context), sugar_d90_um=powder))
    if _good(recipe, milled):
        words = f"Mill the sugar to powder at home first, to {micrometres(powder)}"
        yield Remedy(f"{words}; bought icing sugar holds starch.", checked=True)


def _good(recipe: Recipe, context: Context) -> bool:
    return _judged(grains_of(recipe, context), context) is Verdict.GOOD


@dataclass(frozen=True, eq=False)
class GrindCurve:
    """Sizes over hours for a chart: middle and the ends of four draws in five [µm], readings, and two lines.

    Hours count from the last coarse addition [h]. ``target_um`` is what the aim wants, ``floor_um`` the
    finest that it comes to; ``ready`` is when it is fine enough, as ``ready_hours`` says it [h], ``None``
    where it is not.
    """

    hours: Array
    middle: Array
    low: Array
    high: Array
    reading_hours: Array
    reading_um: Array
    target_um: float
    floor_um: float
    ready: Span | None


def grind_curve(recipe: Recipe, context: Context) -> GrindCurve:
    """Return how the largest grains get smaller, with the readings and the band.

    Parameters
    ----------
    recipe : Recipe
        Its charge decides the speed, its sugar the size at the start.
    context : Context
        Kit, its speed, the aim and the readings.

    Returns
    -------
    GrindCurve
        From the last coarse addition to past the time it is ready [h; µm].

    Raises
    ------
    InputError
        If neither readings nor a speed tell how fast it goes.

    Examples
    --------
    >>> from nibsmith.science.kit import kit
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0)))
    >>> curve = grind_curve(bar, Context(kit=kit("stone")))
    >>> bool((curve.low <= curve.middle).all()), 15 < curve.floor_um < 30
    (True, True)
    """
    fit = grinding_fit(recipe, context)
    if fit is None:
        raise InputError(
            "How fast this kit grinds is not known yet", advice="Read the size twice, some hours apart."
        )
    target = grains_of(recipe, context).limit_um
    try:
        ready: Span | None = ready_hours(fit, target)
    except OutOfRange:
        ready = None
    read = [(one.hours, one.size_um) for one in fit.readings]
    ends = [kit_of(context).hours[1], *(hours + hours / 2 for hours, _ in read), _last_hour(ready)]
    hours = np.linspace(0.0, max(ends), _POINTS)
    low, middle, high = fit.band(hours.tolist())
    readings = np.array(read, dtype=float).reshape(-1, 2)
    return GrindCurve(hours, middle, low, high, readings[:, 0], readings[:, 1], target, fit.floor_um, ready)


def _last_hour(ready: Span | None) -> float:
    """The last hour that is known of when it is ready; none counts as the beginning."""
    return max((end for end in (ready.value, ready.high) if end < math.inf), default=0.0) if ready else 0.0
