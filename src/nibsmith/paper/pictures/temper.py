"""The steps of a temper program, and what becomes of a bowl that is held."""

from __future__ import annotations

import numpy as np

from nibsmith.answers.wording import degrees
from nibsmith.answers.wording import minutes as whole
from nibsmith.paper.chart import Axis, Box, Chart, Count, Ink, Line, Mark, Rule, Strip
from nibsmith.science.mixture import Span
from nibsmith.science.tables import load
from nibsmith.science.temper import HeldBowl, Program

ROOM_K = 4  # above and below the program, for the figures of its boxes
POINTS = 61


def program_chart(program: Program, decimal_sign: str = ".") -> Chart:
    """Return the steps of a program as boxes over their order; there is no time in it.

    Parameters
    ----------
    program : Program
        As published, or shifted.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        One strip.
    """
    steps = [
        ("melt", program.melt_celsius),
        ("cool", program.cool_celsius),
        ("work", program.work_celsius),
    ]
    boxes = [_box(at, span, decimal_sign) for at, (_, span) in enumerate(steps)]
    names = [(at + 1 / 2, words) for at, (words, _) in enumerate(steps)]
    if program.most_celsius is not None:
        boxes.append(_box(len(steps), Span.exactly(program.most_celsius), decimal_sign))
        names.append((len(steps) + 1 / 2, "at most"))
    way = Line("", [at for at, _ in names[:3]], [span.value for _, span in steps], Ink.SECOND)
    ends = [span for _, span in steps]
    lowest = min(span.low for span in ends) - ROOM_K
    highest = max(span.high for span in ends) + ROOM_K
    axis = Axis("", low=0, high=len(names), names=tuple(names))
    strip = Strip("Temperature of the mass, °C", (way, *boxes), low=lowest, high=highest)
    words = ", ".join(f"{name} {_words(span, decimal_sign)}" for name, span in steps)
    title = f"Temper program, {program.chocolate.value}"
    return Chart(title, f"{words} °C.", axis, (strip,), decimal_sign=decimal_sign)


def held_chart(bowl: HeldBowl, decimal_sign: str = ".") -> Chart | None:
    """Return how the crystals of a held bowl grow; none where they do not.

    Parameters
    ----------
    bowl : HeldBowl
        The bowl.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart or None
        One strip over minutes.
    """
    if bowl.minutes is None:
        return None
    minutes = np.linspace(0.0, 2 * bowl.minutes, POINTS)
    percent = (100 * bowl.solids(minutes)).tolist()
    limit = 100 * load("temper_states")["held_limit"].value
    layers = (
        Line("crystals", minutes.tolist(), percent),
        Rule(limit, "too thick"),
        Mark(bowl.minutes, limit, f"after {whole(bowl.minutes)} min"),
    )
    after = f"after {whole(bowl.minutes)} minutes"
    says = f"At {degrees(bowl.celsius)} it passes {limit:g} % of the fat {after}."
    strip = Strip("Crystals, % of the fat", layers, low=0)
    axis = Axis("minutes", count=Count.MINUTES)
    return Chart("A bowl that is held", says, axis, (strip,), decimal_sign=decimal_sign)


def _box(at: int, span: Span, sign: str) -> Box:
    return Box(at + 1 / 4, at + 3 / 4, span.low, span.high, _words(span, sign))


def _words(span: Span, sign: str) -> str:
    ends = [f"{end:.1f}".removesuffix(".0").replace(".", sign) for end in (span.low, span.high)]
    return ends[0] if ends[0] == ends[1] else "–".join(ends)
