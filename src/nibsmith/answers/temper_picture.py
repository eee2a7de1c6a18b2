"""A temper program as a picture: what a chart needs and no more."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.science.mixture import Span
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate, Program


@dataclass(frozen=True)
class ProgramStep:
    """One step of a program: its name, when it begins and ends in the picture [min], its temperature [°C]."""

    name: str
    from_minutes: float
    to_minutes: float
    celsius: Span


@dataclass(frozen=True)
class ProgramPicture:
    """A temper program for a chart.

    ``steps`` in their order, with stretches of change between them; ``most_celsius`` is the warmest that
    keeps the seeds, ``scorch_celsius`` the warmest for melting [°C]. ``minutes`` and ``celsius`` are the
    line through the middles. Times are a picture of the order, not a schedule.
    """

    steps: tuple[ProgramStep, ...]
    minutes: tuple[float, ...]
    celsius: tuple[float, ...]
    most_celsius: float | None
    scorch_celsius: float


# Minutes in the picture that a step and the way to the next one take.
_HOLD, _WAY = 10, 15


def program_picture(program: Program) -> ProgramPicture:
    """Return a temper program for a chart.

    Parameters
    ----------
    program : Program
        Melt, cool, work.

    Returns
    -------
    ProgramPicture
        Three steps and the line through them.

    Examples
    --------
    >>> from nibsmith.science.temper import program
    >>> picture = program_picture(program(Chocolate.DARK))
    >>> [step.name for step in picture.steps], picture.celsius
    (['melt', 'cool', 'work'], (47.5, 47.5, 27.0, 27.0, 31.5, 31.5))
    """
    spans = (program.melt_celsius, program.cool_celsius, program.work_celsius)
    steps = tuple(
        ProgramStep(name, place * (_HOLD + _WAY), place * (_HOLD + _WAY) + _HOLD, span)
        for place, (name, span) in enumerate(zip(("melt", "cool", "work"), spans, strict=True))
    )
    kind = "dark" if program.chocolate is Chocolate.DARK else "milk"
    return ProgramPicture(
        steps,
        tuple(minute for step in steps for minute in (step.from_minutes, step.to_minutes)),
        tuple(celsius for step in steps for celsius in (step.celsius.value, step.celsius.value)),
        program.most_celsius,
        load("temper")[f"scorch_{kind}"].value,
    )
