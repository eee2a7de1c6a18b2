"""What becomes of a tempered bowl that is held: a verdict, the time with its range, and the words for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.answers._widest import widest_sentence
from nibsmith.answers.answer import Verdict
from nibsmith.answers.wording import NO_BREAK, degrees, degrees_span, minutes, minutes_span
from nibsmith.science.errors import OutOfRange
from nibsmith.science.numerics import (
    Array,
    Distribution,
    LogNormal,
    Triangle,
    alone,
    drawn,
    quantile,
    variance_shares,
)
from nibsmith.science.quantities import round_half_up
from nibsmith.science.tables import load
from nibsmith.science.temper import Fat, Program, check_fat, held_bowl, melts_away, solid_fat, thick_after

NARROWED = {
    "celsius": ("how steady the bowl is", "stir, and read it every few minutes"),
    "seed": ("how many crystals it holds", "a smear or a cooling curve tells"),
    "growth": ("how fast crystals grow in your mass", "note when a bowl of yours thickens"),
}
_FOUR_IN_FIVE = (10 / 100, 90 / 100)


@dataclass(frozen=True, slots=True)
class Held:
    """A held bowl: a verdict, its word where it is not good, a sentence, more to know; and its time [min]."""

    verdict: Verdict
    word: str
    sentence: str
    reasons: tuple[str, ...] = ()
    minutes: float | None = None
    low: float | None = None
    high: float | None = None


def held_words(celsius: float, fat: Fat, program: Program) -> Held:
    """Return what becomes of a bowl held at one temperature.

    Parameters
    ----------
    celsius : float
        Temperature of the bowl [°C].
    fat : Fat
        The fat of the mass.
    program : Program
        Its working range, and the warmest that keeps the seeds.

    Returns
    -------
    Held
        Good: it keeps its seeds, within its working range. Watch: outside of it. Stop: it loses them.
    """
    return _without_time(celsius, fat, program) or _with_time(celsius, fat, program)


def _without_time(celsius: float, fat: Fat, program: Program) -> Held | None:
    """A bowl that loses its seeds, or of which nothing can be told."""
    at, most = f"A bowl held at {degrees(celsius)}", program.most_celsius
    none_last = float(solid_fat(celsius + float(fat.lowering_k))) <= 0
    if none_last or (most is not None and celsius > most):
        lost = f"{at} loses its seeds: it has to be tempered anew."
        return Held(Verdict.STOP, "The bowl loses its seeds.", lost)
    try:
        check_fat(float(fat.share))
    except OutOfRange as error:
        words = f"{at} cannot be told of. {error}"
        return Held(Verdict.UNKNOWN, "Cannot tell of the bowl.", words)
    if melts_away(celsius, fat):
        words = f"{at} slowly loses its seeds; stir some in when it thins."
        return Held(Verdict.WATCH, "The bowl loses seeds.", words)
    try:
        held_bowl(celsius, fat)
    except OutOfRange:
        words = f"{at} grows other crystals too: when it is too thick cannot be told. Warm it."
        return Held(Verdict.WATCH, "The bowl is too cool.", words)
    return None


def _with_time(celsius: float, fat: Fat, program: Program) -> Held:
    bowl, at = held_bowl(celsius, fat), f"A bowl held at {degrees(celsius)}"
    inputs = _varies(celsius)
    draws = _drawn(fat, drawn(inputs))
    low, high = (quantile(draws, share) for share in _FOUR_IN_FIVE)
    reasons = tuple(_reasons(fat, inputs))
    outside = _outside(celsius, program)
    if bowl.minutes is None:
        never = f"{at} does not come to be too thick from its own crystals."
        return replace(outside, sentence=f"{never} {outside.sentence}".rstrip(), reasons=reasons)
    doubles = f"its crystals double in {minutes(bowl.doubling_minutes)}{NO_BREAK}min"
    after = f"{minutes(bowl.minutes)}{NO_BREAK}min ({minutes_span(low, high)})"
    words = f"{at} is too thick after about {after}; {doubles}."
    return replace(
        outside,
        sentence=f"{words} {outside.sentence}".rstrip(),
        reasons=reasons,
        minutes=bowl.minutes,
        low=low,
        high=high if np.isfinite(high) else None,
    )


def _outside(celsius: float, program: Program) -> Held:
    """Judge the temperature alone, by what is shown: outside the working range that is said."""
    work = program.work_celsius
    low, at, high = (round_half_up(one) for one in (work.low, celsius, work.high))
    if low <= at <= high:
        return Held(Verdict.GOOD, "", "")
    how, word = ("warmer", "warm") if at > high else ("cooler", "cool")
    words = f"That is {how} than the {degrees_span(work)} it is worked at."
    return Held(Verdict.WATCH, f"The bowl is too {word}.", words)


def _reasons(fat: Fat, inputs: Mapping[str, Distribution]) -> Iterator[str]:
    yield "That is an estimate, not calibrated to your kit. Warmer, within the program, it lasts longer."
    draws = _drawn(fat, alone(inputs))
    late = draws[np.isfinite(draws)].max(initial=0.0)
    shares = variance_shares(np.where(np.isfinite(draws), draws, late), tuple(inputs))
    yield from filter(None, [widest_sentence(shares, NARROWED)])


def _varies(celsius: float) -> dict[str, Distribution]:
    states, swing = load("temper_states"), load("cool")["poured_swing"].value
    seed = states["seed"]
    return {
        "celsius": Triangle(celsius - swing, celsius, celsius + swing),
        "seed": Triangle(seed.low or seed.value, seed.value, seed.high or seed.value),
        "growth": LogNormal(1.0, states["growth_factor"].value),
    }


def _drawn(fat: Fat, values: Mapping[str, Array]) -> Array:
    return thick_after(values["celsius"], replace(fat, growth=values["growth"]), values["seed"])
