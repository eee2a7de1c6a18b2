"""Whether the air of a room is damp to a bar that comes out of the cold."""

from __future__ import annotations

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
        verdict=_verdict(found),
        word=_word(found),
        sentence=f"{_sentence(asked, found)} {_at_face(found, (low, high))}",
        figure=min(found.at_face, float(_WET)),
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
        (_bars(asked, found),),
    )


def _verdict(found: Damp) -> Verdict:
    if found.at_face >= _WET:
        return Verdict.STOP
    return Verdict.GOOD if found.at_face < found.limit else Verdict.WATCH


def _word(found: Damp) -> str:
    return {Verdict.STOP: "It sweats.", Verdict.WATCH: "Too damp.", Verdict.GOOD: "Dry."}[_verdict(found)]


def _sentence(asked: DampAsked, found: Damp) -> str:
    bar, room = degrees(asked.bar_celsius), degrees(asked.room_celsius)
    if found.at_face >= _WET:
        wet = degrees(found.dew_celsius)
        return f"Water settles on a bar of {bar} in this room: everything colder than {wet} gets wet."
    bears = f"the chocolate takes up water from about {found.limit:.0f}{NO_BREAK}%"
    if found.at_face >= found.limit:
        return f"No water settles yet, but the air at a bar of {bar} is damp, and {bears}."
    return f"A bar of {bar} can come out into {room}: {bears}."


def _at_face(found: Damp, ends: tuple[float, float]) -> str:
    at_face, (low, high) = min(found.at_face, _WET), ends
    spread = f" ({low:.0f}{RANGE}{high:.0f}{NO_BREAK}%)" if f"{low:.0f}" != f"{high:.0f}" else ""
    return f"The air at its face is at {at_face:.0f}{NO_BREAK}%{spread}."


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
        limit = f"{found.limit:.0f}{NO_BREAK}%"
        yield f"The limit of {limit} lies within the range: what is read decides, so read close to the bars."
    inputs = _varies(asked)
    yield from filter(
        None, [widest_sentence(variance_shares(_drawn(alone(inputs)), tuple(inputs)), NARROWED)]
    )


def _reasons(asked: DampAsked, found: Damp) -> Iterator[str]:
    yield f"Water settles on everything colder than the dew point of this air, {degrees(found.dew_celsius)}."
    yield f"From {degrees(found.safe_celsius)} on, a bar is warm enough for this room."
    if asked.bar_celsius > asked.room_celsius:
        yield "The bar is warmer than the room: the room's air is drier at its face than elsewhere."


def _remedies(asked: DampAsked, found: Damp) -> Iterator[Remedy]:
    """Each change alone makes it dry; both were asked again."""
    if _verdict(found) is Verdict.GOOD:
        return
    warmer = f"{_up(found.safe_celsius):.1f}"
    yield Remedy(
        f"Leave the bars wrapped or closed in until they are {warmer}{NO_BREAK}°C, then open them.",
        checked=damp_of(_with(asked, bar=float(warmer))).at_face < found.limit,
    )
    humidity = math.ceil(asked.humidity_percent * found.limit / found.at_face) - 1
    if humidity > 0:
        yield Remedy(
            f"Or dry the room to {humidity}{NO_BREAK}% before you take them out.",
            checked=damp_of(_with(asked, humidity=float(humidity))).at_face < found.limit,
        )


def _with(asked: DampAsked, bar: float | None = None, humidity: float | None = None) -> DampAsked:
    return DampAsked(
        asked.bar_celsius if bar is None else bar,
        asked.room_celsius,
        asked.humidity_percent if humidity is None else humidity,
        asked.milk,
    )


def _up(celsius: float) -> float:
    """The next tenth of a degree that is warmer."""
    return (int(celsius * 10) + 1) / 10


def _bars(asked: DampAsked, found: Damp) -> Detail:
    """The humidity at faces of other temperatures."""
    steps = sorted({*range(4, int(asked.room_celsius) + 1, 2), round(asked.bar_celsius)})
    rows = []
    for celsius in steps:
        at_face = damp_of(_with(asked, bar=float(celsius))).at_face
        wet = "water settles" if at_face >= _WET else "damp" if at_face >= found.limit else "dry"
        rows.append((f"{celsius}{NO_BREAK}°C", f"{min(at_face, _WET):.0f}{NO_BREAK}%", wet))
    return Detail("Bars of other temperatures in this room", ("Bar", "Humidity at its face", ""), tuple(rows))
