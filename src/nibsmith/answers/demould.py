"""When does it come off the mould: how a bar cools and sets, by an estimate with its range."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from nibsmith.answers._cooling_after import after_remedies, damp_of_bar, ends_of, held_up, minded
from nibsmith.answers._cooling_estimate import SETTING_STEP, CooledCase, cooled_case
from nibsmith.answers._cooling_words import details, reasons, sentence, sources
from nibsmith.answers.answer import Answer, Remedy, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.wording import degrees, minutes
from nibsmith.science.errors import InputError, OutOfRange, UnknownFigure
from nibsmith.science.mixture import Recipe
from nibsmith.science.numerics import Array
from nibsmith.science.tables import load
from nibsmith.science.temper import ALPHA, BETA_PRIME, GROWN, TURNED

QUESTION, TITLE = "demould", "When does it come off the mould?"
_WORDS = {Verdict.GOOD: "Comes off.", Verdict.STOP: "Stays in."}
ON_PURPOSE, DULL, PERHAPS_DULL = "As you choose.", "Comes off dull.", "May come off dull."
_UNTOLD = "When it comes off the mould cannot be told."
# A changed setting is found to this part of the change, so that a tenth less of it is not enough.
_CHANGE_TOLERANCE = 0.1
_TRIES = 8


@dataclass(frozen=True)
class BarPicture:
    """A bar over time, for a chart.

    ``minutes``; ``core``, both faces and the air [°C]; crystals and what is solid at rest as shares of the
    fat [0 to 1]; ``released`` is when it comes off by itself [min], or ``None``; ``held_up`` says
    that the fridge, with so many moulds, takes longer.
    """

    minutes: Array
    core: Array
    top: Array
    bottom: Array
    air_celsius: float
    alpha: Array
    beta_prime: Array
    beta: Array
    at_rest: Array
    released: float | None
    held_up: bool = False


def demould(recipe: Recipe, context: Context) -> Answer:
    """Answer when a bar comes off its mould, and how it is then.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; what is folded in is left out.
    context : Context
        Its process says how the moulds are cooled; what is not said is taken as usual and named.

    Returns
    -------
    Answer
        The figure is the time [min] with the ends between which four draws in five lie. Good: it comes off
        with few low forms, and so do seven draws in ten, the fridge copes with the moulds that are said, and
        the room is dry to it. Stop: it does not come off.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> answer = demould(bar, Context())
    >>> answer.verdict.value, answer.unit
    ('good', 'min')
    """
    try:
        case = cooled_case(recipe, context)
        verdict = verdict_of(case)
    except (UnknownFigure, InputError, OutOfRange) as error:
        return Answer(QUESTION, TITLE, Verdict.UNKNOWN, "No time.", f"{_UNTOLD} {error}")
    span = ends_of(case)
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=_word(case, verdict),
        sentence=sentence(case),
        figure=None if span is None else span.value,
        unit="min",
        low=None if span is None else span.low,
        high=None if span is None or not np.isfinite(span.high) else span.high,
        reasons=tuple(reasons(case)),
        remedies=tuple(remedies(case)),
        sources=sources(case),
        details=details(case),
    )


def _word(case: CooledCase, verdict: Verdict) -> str:
    """The verdict in a maker's words; of several things to mind the one that harms most."""
    if verdict is not Verdict.WATCH:
        return _WORDS[verdict]
    damp = damp_of_bar(case)
    if damp is not None and damp.verdict is not Verdict.GOOD:
        return "Comes off damp."
    if held_up(case) is not None:
        return "Comes off late."
    if not case.cooling.tempered:
        return ON_PURPOSE
    if not case.comes_off_well:
        return DULL
    enough = load("cool")["chance_good"].value
    return PERHAPS_DULL if float(np.mean(np.isfinite(case.draws.minutes))) >= enough else "May stay in."


def verdict_of(case: CooledCase) -> Verdict:
    """Return how a bar comes out that lies inside the model, with all that is said of fridge and room."""
    setting = setting_verdict(case)
    return Verdict.WATCH if setting is Verdict.GOOD and minded(case) else setting


def setting_verdict(case: CooledCase) -> Verdict:
    """Return how a bar comes out at its setting, in a fridge that copes and a room that is dry."""
    if not case.cooling.tempered:  # a choice, and no fault
        return Verdict.WATCH
    if case.minutes is None:
        return Verdict.STOP
    enough = load("cool")["chance_good"].value
    return Verdict.GOOD if case.comes_off_well and case.chance >= enough else Verdict.WATCH


def remedies(case: CooledCase) -> Iterator[Remedy]:
    """Yield the nearest setting at which it comes off well, and what fridge and room want; asked again."""
    if case.cooling.tempered and setting_verdict(case) is not Verdict.GOOD:
        celsius = nearest_good_air(case)
        if celsius is not None:
            other = case.at_air(celsius)
            way, at = "Milder" if celsius > case.air_celsius.value else "Colder", degrees(celsius)
            yield Remedy(
                f"{way}: at {at} it comes off after about {minutes(other.minutes or 0.0)} min with few low "
                "forms.",
                checked=setting_verdict(other) is Verdict.GOOD,
            )
    yield from after_remedies(case)


def nearest_good_air(case: CooledCase) -> float | None:
    """Return the setting nearest to the present one at which the answer is good [°C], if there is one."""
    now, few = case.air_celsius.value, load("cool")["unstable_watch"].value
    candidates, middles = case.compared
    hopeful = candidates[np.nan_to_num(middles.unstable, nan=np.inf) <= few]
    for celsius in sorted(hopeful.tolist(), key=lambda one: abs(one - now))[:_TRIES]:
        if setting_verdict(case.at_air(celsius)) is Verdict.GOOD:
            return _closest(case, celsius)
    return None


def bar_picture(recipe: Recipe, context: Context) -> BarPicture:
    """Return the middle of a bar's course for a chart.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    context : Context
        Its process says how the moulds are cooled.

    Returns
    -------
    BarPicture
        A value each minute.

    Raises
    ------
    NibsmithError
        Where the answer would be unknown.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> picture = bar_picture(bar, Context())
    >>> bool(picture.core[0] > picture.core[-1] > picture.air_celsius)
    True
    """
    case = cooled_case(recipe, context)
    course = case.course
    forms = course.forms[:, :, 0]
    return BarPicture(
        course.minutes,
        course.core[:, 0],
        course.top[:, 0],
        course.bottom[:, 0],
        case.air_celsius.value,
        forms[ALPHA],
        forms[BETA_PRIME],
        forms[GROWN] + forms[TURNED],
        course.at_rest[:, 0],
        case.minutes,
        held_up(case) is not None,
    )


def _closest(case: CooledCase, good: float) -> float:
    """Come back towards the present setting as far as the answer stays good; nearer ones tried are not."""
    now = case.air_celsius.value
    bad = good + np.clip(now - good, -SETTING_STEP, SETTING_STEP)
    while abs(good - bad) > _CHANGE_TOLERANCE * abs(good - now):
        middle = (good + bad) / 2
        if setting_verdict(case.at_air(middle)) is Verdict.GOOD:
            good = middle
        else:
            bad = middle
    return good
