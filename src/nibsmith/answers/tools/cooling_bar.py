"""When a bar comes off its mould, of a mass of which only figures are known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from nibsmith.answers._cooling_estimate import cooled_case
from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.answers.demould import BarPicture, bar_picture, demould
from nibsmith.answers.process import Process
from nibsmith.answers.tools.known_mass import KnownMass, known_mass
from nibsmith.answers.tools.outcome import USUAL, Given, Outcome, constants, given
from nibsmith.answers.tools.pouring import span_words
from nibsmith.answers.wording import degrees_span
from nibsmith.science.errors import NibsmithError
from nibsmith.science.numerics import Array
from nibsmith.science.temper import Chocolate

USUAL_FAT_PERCENT = 35
FORMULAS = (
    "Heat through the bar: ρ·c·dT/dt = k·d²T/dx² + ρ·w·(sum of ΔH·ds/dt over the forms of the crystals).",
    "At the top k·dT/dx = h·(T_air − T); at the bottom through the wall of the mould, u = 1/(1/h + R).",
    "Crystals: soft forms grow fast in the cold and turn; form V grows on its seeds, b' = K·B·(h − h³).",
    "It comes off with a core of at most 16 °C, nine tenths of what is solid at rest, and 0.7 % shorter.",
)
KEYS = ("conductivity", "density", "heat_capacity", "wall_resistance", "still", "fan", "strong")
RELEASE = ("release_core", "release_solids", "release_contraction")
_COLDEST, _WARMEST = 2, 20  # settings that are compared [°C]


@dataclass(frozen=True, slots=True)
class CoolAsked:
    """The mass and how its moulds are cooled."""

    chocolate: Chocolate = Chocolate.DARK
    fat_percent: float = USUAL_FAT_PERCENT
    cooling: Cooling = field(default_factory=Cooling)

    @property
    def mass(self) -> KnownMass:
        """The mass."""
        return KnownMass(self.chocolate, self.fat_percent)

    @property
    def context(self) -> Context:
        """A workshop that cools so."""
        return Context(process=Process(cooling=self.cooling))


@dataclass(frozen=True, eq=False)
class Settings:
    """The middle of the estimate at settings of a fridge: air [°C], minutes, low forms [% of the crystals].

    Not a number where a bar stays in.
    """

    celsius: Array
    minutes: Array
    low_forms: Array


def cool_by_hand(asked: CoolAsked) -> Outcome:
    """Answer when a bar comes off its mould.

    Parameters
    ----------
    asked : CoolAsked
        Mass and cooling as far as they are known.

    Returns
    -------
    Outcome
        The answer of ``demould``, its table of settings in front.

    Examples
    --------
    >>> cool_by_hand(CoolAsked()).answer.unit
    'min'
    """
    answer = demould(known_mass(asked.mass), asked.context)
    first = tuple(detail for detail in answer.details if detail.title == "Which setting")
    rest = tuple(detail for detail in answer.details if detail not in first)
    rows = (*constants("cool", (*KEYS, *RELEASE)), *constants("temper_states", ("growth", "seed")))
    return Outcome(replace(answer, details=rest), tuple(_given(asked)), FORMULAS, rows, first)


def picture_by_hand(asked: CoolAsked) -> BarPicture | None:
    """Return the course of the bar; none where the answer cannot tell."""
    try:
        return bar_picture(known_mass(asked.mass), asked.context)
    except NibsmithError:
        return None


def settings_by_hand(asked: CoolAsked) -> Settings | None:
    """Return how the bar does at other settings; none where the answer cannot tell."""
    celsius = np.arange(_COLDEST, _WARMEST + 1, dtype=float)
    try:
        release = cooled_case(known_mass(asked.mass), asked.context).settings(celsius)
    except NibsmithError:
        return None
    return Settings(celsius, release.minutes, 100 * release.unstable)


def _given(asked: CoolAsked) -> Iterator[Given]:
    cooling = asked.cooling
    yield given("Kind", asked.chocolate.value, "", said=True)
    yield given("Fat", asked.fat_percent, "%", said=asked.fat_percent != USUAL_FAT_PERCENT)
    for name, span, unit in (
        ("Thickness", cooling.thickness_mm, "mm"),
        ("Air around the moulds", cooling.air_celsius, "°C"),
        ("Poured at", cooling.poured_celsius, "°C"),
    ):
        if span is not None:
            yield Given(name, degrees_span(span) if unit == "°C" else span_words(span, unit))
    if cooling.place:
        yield given("Cooled in", cooling.place, "", said=True)
    if cooling.exchange is None:
        yield given("Air", cooling.wind, "", said=True)
    else:
        yield Given("Heat the air takes up", span_words(cooling.exchange, "W/(m² K)"))
    yield given("Tempered", "yes" if cooling.tempered else "no, on purpose", "", said=True)
    if cooling.moulds > 1 or cooling.chocolate_g:
        yield given("Moulds at once", cooling.moulds, "", said=True)
    if cooling.chocolate_g and cooling.mould_g is None:
        yield Given("Empty mould", "counts as weightless", USUAL)
    for name, value, unit in (
        ("Chocolate in one", cooling.chocolate_g, "g"),
        ("Empty mould", cooling.mould_g, "g"),
        ("Room", cooling.room_celsius, "°C"),
        ("Its humidity", cooling.room_humidity_percent, "%"),
    ):
        if value is not None:
            yield given(name, value, unit, said=True)
