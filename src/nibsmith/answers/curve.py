"""What a cooling curve says of the temper: the figure always, a verdict after three marked curves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from nibsmith.answers.answer import Answer, Citation, Detail, Verdict
from nibsmith.answers.wording import NO_BREAK, degrees, joined
from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.tables import Status, load
from nibsmith.science.temper import (
    Arrest,
    CurveReading,
    MarkedCurve,
    SlopeLimits,
    Temper,
    comparable,
    judged,
    read_curve,
    slope_limits,
)

QUESTION, TITLE = "curve", "What does the cooling curve say?"
_TEMPER_WORDS = {
    Temper.UNDER: "Under-tempered.",
    Temper.WELL: "Well tempered.",
    Temper.OVER: "Over-tempered.",
}
_ADVICE = {
    Temper.UNDER: "Cool it by half a kelvin to one, stirring, add 1 % of seed, and take another curve.",
    Temper.WELL: "Pour it.",
    Temper.OVER: "Warm it by half a kelvin to one, never past its warmest point, or stir in melted mass.",
}
MARK_WORDS = {
    Temper.UNDER: "under-tempered",
    Temper.WELL: "well tempered",
    Temper.OVER: "over-tempered",
}
CONTRADICT = "Your marked curves have no good one among them, or contradict each other: mark another."
# A rise counts as one where it is so many times the noise of the probe.
_CLEAR_NOISE = 3
_EYES = "Three of your own curves, marked by how the bars came out, make a verdict possible."


@dataclass(frozen=True)
class CurveAsked:
    """A cooling curve and what is known of the cup.

    ``seconds`` [s] and ``celsius`` [°C] of the readings; ``coolant_celsius`` of the cold body [°C];
    ``marked`` are the maker's own curves of this cup; ``lowering_k`` is how much other fats lower the
    melting of the mass [K]. ``mark`` is how the maker has marked this very curve, where they have.
    """

    seconds: Sequence[float]
    celsius: Sequence[float]
    coolant_celsius: float
    marked: tuple[MarkedCurve, ...] = ()
    lowering_k: float = 0.0
    mark: Temper | None = None


@dataclass(frozen=True)
class CurvePicture:
    """A cooling curve for a chart: smooth course and its slope, and the inflection where there is one.

    ``minutes``, ``celsius`` [°C] and ``slopes`` [K/min]; ``inflection`` is its time and temperature;
    ``tangent`` are two points of the line of the reading.
    """

    minutes: Array
    celsius: Array
    slopes: Array
    coolant_celsius: float
    inflection: tuple[float, float] | None
    tangent: tuple[tuple[float, float], tuple[float, float]] | None


def curve(asked: CurveAsked) -> Answer:
    """Answer what a cooling curve says of the temper of a mass.

    Parameters
    ----------
    asked : CurveAsked
        The readings, and what the maker has marked before.

    Returns
    -------
    Answer
        The figure is the slope at the inflection with its error [K/min]. A verdict is given where nothing
        holds the curve up to its end, or where three comparable curves are marked; a record that ends before
        its bend gives none.

    Examples
    --------
    >>> from nibsmith.science.temper import Fat, cup_curve, usual_cup
    >>> cup = cup_curve(0.02, Fat(0.32), usual_cup(), 15.0)
    >>> answer = curve(CurveAsked(60 * cup.minutes, cup.celsius, 8.0))
    >>> answer.verdict.value, round(answer.figure, 1)
    ('unknown', 0.4)
    """
    try:
        reading = reading_of(asked)
    except InputError as error:
        return Answer(QUESTION, TITLE, Verdict.UNKNOWN, "No reading.", str(error))
    if reading.arrest in (Arrest.ENDS, Arrest.LOW):
        return _untold(asked, reading)
    if reading.arrest is Arrest.NONE:
        return _untempered(asked, reading)
    return _read(asked, reading)


def reading_of(asked: CurveAsked) -> CurveReading:
    """Return the reading alone, for a maker to mark and keep.

    Raises
    ------
    InputError
        With what is wrong with the record.
    """
    seconds, celsius = np.asarray(asked.seconds, dtype=float), np.asarray(asked.celsius, dtype=float)
    return read_curve(seconds, celsius, asked.coolant_celsius, asked.lowering_k)


def curve_picture(asked: CurveAsked) -> CurvePicture:
    """Return a cooling curve with its reading for a chart.

    Parameters
    ----------
    asked : CurveAsked
        The readings.

    Returns
    -------
    CurvePicture
        A value each second.

    Raises
    ------
    InputError
        With what is wrong with the record.

    Examples
    --------
    >>> from nibsmith.science.temper import Fat, cup_curve, usual_cup
    >>> cup = cup_curve(0.02, Fat(0.32), usual_cup(), 15.0)
    >>> picture = curve_picture(CurveAsked(60 * cup.minutes, cup.celsius, 8.0))
    >>> round(picture.inflection[0]), round(picture.inflection[1])
    (5, 21)
    """
    found = reading_of(asked)
    point = _point(found)
    tangent = None
    if point is not None and found.slope is not None:
        reach = load("temper_curve")["tangent"].value
        minutes, celsius = point
        tangent = (
            (minutes - reach, celsius - reach * found.slope),
            (minutes + reach, celsius + reach * found.slope),
        )
    return CurvePicture(found.minutes, found.celsius, found.slopes, found.coolant_celsius, point, tangent)


def _point(found: CurveReading) -> tuple[float, float] | None:
    if found.inflection_minutes is None or found.inflection_celsius is None:
        return None
    return found.inflection_minutes, found.inflection_celsius


def _untempered(asked: CurveAsked, found: CurveReading) -> Answer:
    """Nothing holds it up; where its bars came out well, curve and bars are told to disagree."""
    nothing = "Nothing holds the curve up where tempered fat sets"
    against = asked.mark is not None and asked.mark is not Temper.UNDER
    advice = (
        f"{nothing}, but you marked it {MARK_WORDS[asked.mark]} by its bars. Believe the bars, and "
        "look at the cup: its cold body, its probe, and when it was taken."
        if asked.mark is not None and against
        else f"{nothing}: there is no seed in it, or hardly any. Seed it, or begin again from the melt."
    )
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=Verdict.WATCH if against else Verdict.STOP,
        word="Curve and bars disagree." if against else "Untempered.",
        sentence=advice,
        reasons=(*_own_mark(asked, None), _circumstances(found)),
        sources=_sources(),
        details=(_figures(found),),
    )


def _untold(asked: CurveAsked, found: CurveReading) -> Answer:
    """The record ends before its bend, or the cup is so fast that its bend tells nothing."""
    ended = found.arrest is Arrest.ENDS
    reasons = [
        *(_rising_words(asked, found) if ended else ()),
        *_own_mark(asked, None),
        _circumstances(found),
    ]
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=Verdict.UNKNOWN,
        word="It ends too soon." if ended else "Too fast a cup.",
        sentence=_ended_words(found) if ended else _fast_words(asked, found),
        reasons=tuple(reasons),
        sources=_sources(),
        details=(_figures(found),),
    )


def _ended_words(found: CurveReading) -> str:
    last, after = degrees(float(found.celsius[-1])), f"{found.minutes[-1]:.1f}{NO_BREAK}min"
    until = degrees(found.coolant_celsius + load("temper_curve")["near_coolant"].value)
    return (
        f"The record ends at {last} after {after}, before its bend can be read. Leave the probe in until the "
        f"fall is under way again, or down to {until}."
    )


def _fast_words(asked: CurveAsked, found: CurveReading) -> str:
    fall = float(-found.slopes.min())
    latest = degrees(load("temper_curve")["least_inflection"].value - asked.lowering_k)
    return (
        f"It falls by {fall:.1f}{NO_BREAK}K/min and is held up under {latest} only: in so fast a cup "
        "seeds and unstable crystals both do that. Take more of the mass, or a warmer cold body."
    )


def _rising_words(asked: CurveAsked, found: CurveReading) -> Iterator[str]:
    """Yield that it holds seed where it has come back up warmer than without."""
    seeded = float(found.celsius.min()) > load("temper_curve")["least_inflection"].value - asked.lowering_k
    if seeded and found.rise_k > _CLEAR_NOISE * found.noise_k:
        rise = f"{found.rise_k:.1f}{NO_BREAK}K"
        yield f"It has come back up by {rise}, warmer than a mass without seed does: it holds seed."


def _own_mark(asked: CurveAsked, temper: Temper | None) -> Iterator[str]:
    """Yield how the maker's own mark of this curve stands to what it says."""
    if asked.mark is None:
        return
    mine = f"You marked this curve {MARK_WORDS[asked.mark]}"
    if temper is None:
        yield f"{mine}; that is your word of the bars, and no finding of the curve."
    elif temper is asked.mark:
        yield f"{mine}: your other curves say the same."
    else:
        yield f"{mine}; by your other curves it is {MARK_WORDS[temper]}. The bars decide."


def _read(asked: CurveAsked, found: CurveReading) -> Answer:
    alike = comparable(asked.marked, found.coolant_celsius, found.start_celsius)
    limits = slope_limits(alike)
    slope, error = float(found.slope or 0.0), float(found.slope_error or 0.0)
    temper = None if limits is None else judged(slope, limits, alike)
    advice = _no_verdict(slope, limits, alike) if temper is None else _ADVICE[temper]
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=_verdict(temper, limits, (slope, error)),
        word="No verdict yet." if temper is None else _TEMPER_WORDS[temper],
        sentence=f"{_slope_words(found)} {advice}",
        figure=slope,
        unit="K/min",
        low=slope - error,
        high=slope + error,
        basis="slope at the inflection",
        reasons=(*_reasons(asked, found, alike, limits), *_own_mark(asked, temper), _circumstances(found)),
        sources=_sources(),
        details=(_figures(found),),
    )


def _verdict(temper: Temper | None, limits: SlopeLimits | None, read: tuple[float, float]) -> Verdict:
    """Good only if the whole range of the slope lies inside the maker's limits."""
    if temper is None or limits is None:
        return Verdict.UNKNOWN
    slope, error = read
    inside = (limits.low is None or slope - error >= limits.low) and (
        limits.high is None or slope + error <= limits.high
    )
    return Verdict.GOOD if temper is Temper.WELL and inside else Verdict.WATCH


def _slope_words(found: CurveReading) -> str:
    at = degrees(float(found.inflection_celsius or 0.0))
    when = f"{found.inflection_minutes:.1f}{NO_BREAK}min"
    slope = f"{_signed(found.slope or 0.0)}{NO_BREAK}K/min"
    return f"The slope is {slope} at the inflection, {at} after {when}."


def _no_verdict(slope: float, limits: SlopeLimits | None, alike: Sequence[MarkedCurve]) -> str:
    """Say what is lacking: curves, agreement among them, or one that marks where good ends."""
    if limits is not None:
        low, high = _good_ends(alike)
        where = "steeper up" if slope > high else "lower"
        return (
            f"That is {where} than all your good curves, {_between(low, high)}, and none "
            "of yours marks where good ends there: mark this one by how its bars come out."
        )
    if len(alike) >= load("temper_curve")["marked_curves"].value:
        return CONTRADICT
    return _EYES


def _good_ends(alike: Sequence[MarkedCurve]) -> tuple[float, float]:
    """The lowest and the highest slope that is marked good [K/min]; the limits stand on at least one."""
    good = [curve.slope for curve in alike if curve.mark is Temper.WELL]
    return min(good), max(good)


def _reasons(
    asked: CurveAsked, found: CurveReading, alike: Sequence[MarkedCurve], limits: SlopeLimits | None
) -> Iterator[str]:
    rise = f"{found.rise_k:.1f}{NO_BREAK}K"
    yield f"Steeper up means less seed, flat or down means more; it came back up by {rise}."
    if limits is not None:
        yield _limit_words(limits, alike)
    elif asked.marked:
        yield f"{len(alike)} of your {len(asked.marked)} marked curves were taken like this one."
    guide = load("temper_curve")["slope_limit"].value
    between = _between(-guide, guide, 1)
    yield f"A guide for no cup in particular is {between}; the model's well-tempered cup has +0.3 to +0.4."


def _limit_words(limits: SlopeLimits, alike: Sequence[MarkedCurve]) -> str:
    """Say where good lies by the maker's own curves, and which end none of them marks."""
    low, high = _good_ends(alike)
    from_, to = (known if end is None else end for end, known in ((limits.low, low), (limits.high, high)))
    good = f"By your {limits.count} marked curves, good lies from {_between(from_, to)}"
    unmarked = [word for word, end in (("below", limits.low), ("above", limits.high)) if end is None]
    return f"{good}; none marks where it ends {joined(unmarked)}." if unmarked else f"{good}."


def _circumstances(found: CurveReading) -> str:
    start, coolant = degrees(found.start_celsius), degrees(found.coolant_celsius)
    same = "only curves of the same cup, cold body and start compare"
    return f"Started at {start} with a cold body at {coolant}: {same}."


def _signed(slope: float, decimals: int = 2) -> str:
    """Write a slope with its sign, and a true minus."""
    return f"{slope:+.{decimals}f}".replace("-", "\u2212")


def _between(low: float, high: float, decimals: int = 2) -> str:
    return f"{_signed(low, decimals)} to {_signed(high, decimals)}{NO_BREAK}K/min"


def _figures(found: CurveReading) -> Detail:
    rows = [
        ("Start", degrees(found.start_celsius)),
        ("Cold body", degrees(found.coolant_celsius)),
        ("Noise of the probe", f"{found.noise_k:.2f}{NO_BREAK}K"),
    ]
    if found.slope is not None and found.inflection_celsius is not None:
        rows = [
            ("Slope at the inflection", f"{_signed(found.slope)}{NO_BREAK}K/min"),
            ("Give or take", f"{found.slope_error:.2f}{NO_BREAK}K/min"),
            ("Inflection", degrees(found.inflection_celsius)),
            ("After", f"{found.inflection_minutes:.1f}{NO_BREAK}min"),
            ("Rise", f"{found.rise_k:.1f}{NO_BREAK}K"),
            *rows,
        ]
    return Detail("The reading", ("What", "Value"), tuple(rows))


def _sources() -> tuple[Citation, ...]:
    rows = [load("temper_curve")[key] for key in ("window", "near_coolant", "slope_limit", "marked_curves")]
    manual = Citation("temper-meter-manual", "slope and shape; limits are the user's", Status.READ)
    return (manual, *(Citation(row.source, row.place, row.status) for row in rows))
