"""Whether the air of a room is damp to a bar that comes out of the cold."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from nibsmith.answers._widest import widest_sentence
from nibsmith.answers.answer import Answer, Citation, Detail, Remedy, Verdict
from nibsmith.answers.tools.outcome import Outcome, constants, given
from nibsmith.answers.wording import NO_BREAK, RANGE, degrees
from nibsmith.science.cool import dew_point, safe_surface, surface_humidity
from nibsmith.science.numerics import Array, Distribution, Triangle, alone, drawn, quantile, variance_shares
from nibsmith.science.quantities import round_half_up
from nibsmith.science.quantities.shown import format_number
from nibsmith.science.tables import load

QUESTION, TITLE = "damp", "Will it sweat?"
FORMULAS = (
    "Pressure of water vapour e(T) = 6.112·exp(17.62·T/(243.12 + T)) hPa.",
    "Humidity at the face RH_s = RH·e(T_room)/e(T_face).",
    "Dew point T_d = 243.12·γ/(17.62 − γ), γ = ln(RH) + 17.62·T_room/(243.12 + T_room).",
    "The face is warm enough where e(T_face) = RH·e(T_room)/limit.",
)
KEYS = ("magnus_es", "magnus_a", "magnus_b")
CAUTION = "Water on a bar is sugar bloom, and mould can begin there. Measure close to the bars."
NARROWED = {
    "bar": ("the temperature of the bar", "hold a probe against it"),
    "room": ("the temperature of the room", "hang a thermometer beside the bars"),
    "humidity": ("the humidity of the room", "let a hygrometer come to rest beside the bars"),
}
_FOUR_IN_FIVE = (10 / 100, 90 / 100)
_WET = 100  # relative humidity at which water settles [%]
_WORDS = {Verdict.STOP: "It sweats.", Verdict.WATCH: "Too damp.", Verdict.GOOD: "Dry."}
_IN_TABLE = {Verdict.STOP: "water settles", Verdict.WATCH: "damp", Verdict.GOOD: "dry"}


@dataclass(frozen=True, slots=True)
class DampAsked:
    """A bar and the room it comes into [°C, %]; ``milk`` says that milk or white chocolate is meant."""

    bar_celsius: float
    room_celsius: float
    humidity_percent: float
    milk: bool = False

    @property
    def limit_key(self) -> str:
        """Row of the humidity that the face bears."""
        return "damp_milk" if self.milk else "damp_dark"


@dataclass(frozen=True, slots=True)
class Damp:
    """What the air does at a face: its humidity there [%], dew point and warm enough [°C], the limit [%]."""

    at_face: float
    dew_celsius: float
    safe_celsius: float
    limit: float

    @property
    def shown_percent(self) -> float:
        """The humidity to a tenth, as it is said and judged; more than all there can be is all [%]."""
        return shown_percent(self.at_face)

    @property
    def verdict(self) -> Verdict:
        """Good under the limit, stop where water settles, watch between: by what is shown."""
        if self.shown_percent >= _WET:
            return Verdict.STOP
        return Verdict.GOOD if self.shown_percent < self.limit else Verdict.WATCH


def shown_percent(humidity_percent: float) -> float:
    """Return a humidity to a tenth, as it is said and judged; more than all there can be is all [%].

    Examples
    --------
    >>> shown_percent(81.96), shown_percent(104.0)
    (82.0, 100.0)
    """
    return float(round_half_up(min(humidity_percent, float(_WET))))


def humidity_words(humidity_percent: float) -> str:
    """Return a humidity in words, to a tenth.

    Examples
    --------
    >>> humidity_words(81.96).replace(NO_BREAK, " ")
    '82 %'
    """
    return f"{_number(humidity_percent)}{NO_BREAK}%"


def warm_enough(asked: DampAsked) -> float:
    """Return the coolest tenth of a degree at which a face is dry in a room [°C].

    Examples
    --------
    >>> warm_enough(DampAsked(12.0, 20.0, 50.0))
    12.3
    """
    coldest = load("cool")["magnus_low"].value
    tenths = math.ceil(10 * max(coldest, damp_of(asked).safe_celsius))
    return next(
        celsius
        for celsius in ((tenths + step) / 10 for step in itertools.count())
        if damp_of(_with(asked, bar=celsius)).verdict is Verdict.GOOD
    )


def wet_up_to(asked: DampAsked) -> float:
    """Return the warmest tenth of a degree at which water settles on a face in a room [°C].

    Examples
    --------
    >>> wet_up_to(DampAsked(12.0, 20.0, 50.0))
    9.2
    """
    tenths = math.ceil(10 * damp_of(asked).dew_celsius)
    return next(
        celsius
        for celsius in ((tenths - step) / 10 for step in itertools.count())
        if damp_of(_with(asked, bar=celsius)).verdict is Verdict.STOP
    )


def damp_of(asked: DampAsked) -> Damp:
    """Return what the air of a room does at a cold face.

    Parameters
    ----------
    asked : DampAsked
        Bar and room.

    Returns
    -------
    Damp
        Humidity, dew point, and how warm the face must be.

    Raises
    ------
    InputError
        For a humidity that cannot be.
    OutOfRange
        Outside -45 to 60 °C.

    Examples
    --------
    >>> found = damp_of(DampAsked(12.0, 20.0, 50.0))
    >>> round(found.at_face, 1), round(found.dew_celsius, 1), round(found.safe_celsius, 1)
    (83.3, 9.3, 12.2)
    """
    limit = load("cool")[asked.limit_key].value
    return Damp(
        float(surface_humidity(asked.bar_celsius, asked.room_celsius, asked.humidity_percent)),
        dew_point(asked.room_celsius, asked.humidity_percent),
        safe_surface(asked.room_celsius, asked.humidity_percent, limit),
        limit,
    )


def damp_by_hand(asked: DampAsked) -> Outcome:
    """Answer whether a bar out of the cold gets damp.

    Parameters
    ----------
    asked : DampAsked
        Bar and room.

    Returns
    -------
    Outcome
        The figure is the relative humidity at the face, with the ends between which four draws in five lie
        [%]. Good: under what the chocolate bears; stop: water
        settles; watch: in between.

    Examples
    --------
    >>> [damp_by_hand(DampAsked(bar, 20.0, 50.0)).answer.verdict.value for bar in (15.0, 12.0, 4.0)]
    ['good', 'watch', 'stop']
    """
    found, (low, high) = damp_of(asked), _range(asked)
    row, swing = load("cool")[asked.limit_key], load("cool")["hygrometer"]
    answer = Answer(
        question=QUESTION,
        title=TITLE,
        verdict=found.verdict,
        word=_WORDS[found.verdict],
        sentence=f"{_sentence(asked, found)} {_at_face(found, (low, high))}",
        figure=found.shown_percent,
        unit="%",
        low=low,
        high=high,
        basis="full dampness, right at the bar's face",
        reasons=(*_reasons(asked, found), *_doubts(asked, found, (low, high))),
        remedies=tuple(_remedies(asked, found)),
        sources=tuple(Citation(one.source, one.place, one.status) for one in (row, swing)),
        cautions=(CAUTION,),
    )
    return Outcome(
        answer,
        (
            given("Bar", asked.bar_celsius, "°C", said=True),
            given("Room", asked.room_celsius, "°C", said=True),
            given("Its humidity", asked.humidity_percent, "%", said=True),
            given("Takes up no water below", found.limit, "%", said=False),
        ),
        FORMULAS,
        constants("cool", (*KEYS, asked.limit_key, "hygrometer")),
        (_bars(asked),),
    )


def _sentence(asked: DampAsked, found: Damp) -> str:
    bar, room = degrees(asked.bar_celsius), degrees(asked.room_celsius)
    if found.verdict is Verdict.STOP:
        wet = degrees(wet_up_to(asked))
        return f"Water settles on a bar of {bar} in this room: everything of {wet} and colder gets wet."
    bears = f"the chocolate takes up water from about {humidity_words(found.limit)} on"
    if found.verdict is Verdict.WATCH:
        return f"No water settles yet, but the air at a bar of {bar} is damp, and {bears}."
    return f"A bar of {bar} can come out into {room}: {bears}."


def _at_face(found: Damp, ends: tuple[float, float]) -> str:
    low, high = (_number(end) for end in ends)
    spread = f" ({low}{RANGE}{high}{NO_BREAK}%)" if low != high else ""
    return f"The air at its face is at {humidity_words(found.at_face)}{spread}."


def _number(humidity_percent: float) -> str:
    """To a tenth, without a zero that says nothing."""
    return format_number(shown_percent(humidity_percent)).removesuffix(".0")


def _varies(asked: DampAsked) -> dict[str, Distribution]:
    probe, swing = load("temper")["thermometer"].value, load("cool")["hygrometer"].value
    bar, room, humidity = asked.bar_celsius, asked.room_celsius, asked.humidity_percent
    return {
        "bar": Triangle(bar - probe, bar, bar + probe),
        "room": Triangle(room - probe, room, room + probe),
        "humidity": Triangle(
            max(humidity / 2, humidity - swing), humidity, min(float(_WET), humidity + swing)
        ),
    }


def _drawn(values: Mapping[str, Array]) -> Array:
    """The humidity at the face for each draw; more than all there can be is all [%]."""
    at_face = surface_humidity(values["bar"], values["room"], values["humidity"])
    return np.asarray(np.minimum(at_face, _WET))


def _range(asked: DampAsked) -> tuple[float, float]:
    draws = _drawn(drawn(_varies(asked)))
    low, high = (quantile(draws, share) for share in _FOUR_IN_FIVE)
    return low, high


def _doubts(asked: DampAsked, found: Damp, ends: tuple[float, float]) -> Iterator[str]:
    """Yield that the limit lies within the range, where it does, and what widens it."""
    if ends[0] < found.limit < ends[1]:
        limit = humidity_words(found.limit)
        yield f"The limit of {limit} lies within the range: what is read decides, so read close to the bars."
    inputs = _varies(asked)
    yield from filter(
        None, [widest_sentence(variance_shares(_drawn(alone(inputs)), tuple(inputs)), NARROWED)]
    )


def _reasons(asked: DampAsked, found: Damp) -> Iterator[str]:
    yield f"Water settles on everything colder than the dew point of this air, {degrees(found.dew_celsius)}."
    yield f"From {degrees(warm_enough(asked))} on, a bar is warm enough for this room."
    if asked.bar_celsius > asked.room_celsius:
        yield "The bar is warmer than the room: the room's air is drier at its face than elsewhere."


def _remedies(asked: DampAsked, found: Damp) -> Iterator[Remedy]:
    """Each change alone makes it dry; both were asked again."""
    if found.verdict is Verdict.GOOD:
        return
    warmer = warm_enough(asked)
    yield Remedy(
        f"Leave the bars wrapped or closed in until they are {degrees(warmer)}, then open them.",
        checked=_is_dry(_with(asked, bar=warmer)),
    )
    humidity = math.ceil(asked.humidity_percent * found.limit / found.at_face) - 1
    if humidity > 0:
        yield Remedy(
            f"Or dry the room to {humidity}{NO_BREAK}% before you take them out.",
            checked=_is_dry(_with(asked, humidity=float(humidity))),
        )


def _is_dry(asked: DampAsked) -> bool:
    return damp_of(asked).verdict is Verdict.GOOD


def _with(asked: DampAsked, bar: float | None = None, humidity: float | None = None) -> DampAsked:
    return DampAsked(
        asked.bar_celsius if bar is None else bar,
        asked.room_celsius,
        asked.humidity_percent if humidity is None else humidity,
        asked.milk,
    )


def _bars(asked: DampAsked) -> Detail:
    """The humidity at faces of other temperatures."""
    steps = sorted({*range(4, int(asked.room_celsius) + 1, 2), round(asked.bar_celsius)})
    rows = []
    for celsius in steps:
        there = damp_of(_with(asked, bar=float(celsius)))
        rows.append((degrees(celsius), humidity_words(there.at_face), _IN_TABLE[there.verdict]))
    return Detail("Bars of other temperatures in this room", ("Bar", "Humidity at its face", ""), tuple(rows))
