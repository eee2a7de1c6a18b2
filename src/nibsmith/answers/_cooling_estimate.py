"""A recipe's bar on its way through the cold, with its range: what ``demould`` and its remedies stand on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from nibsmith.answers._setting import Setting, setting_of
from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.science.cool import (
    Bar,
    Course,
    Faces,
    Release,
    Slab,
    Wind,
    cool_until,
    released,
    through_wall,
    usual_coefficient,
    vapour_pressure,
)
from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Form, Recipe, Span
from nibsmith.science.numerics import (
    Array,
    Distribution,
    LogNormal,
    Triangle,
    Values,
    alone,
    quantile,
    variance_shares,
)
from nibsmith.science.numerics.quasi import quasi_drawn
from nibsmith.science.quantities.shown import format_plain
from nibsmith.science.tables import Constant, load
from nibsmith.science.temper import Chocolate, Fat, Program, check_fat, fat_limits, fat_notes

FOUR_IN_FIVE = (10 / 100, 90 / 100)
# The draws are followed until this share of them has come off: those later are past the range that is shown.
_ENOUGH = 95 / 100
# Points through each bar of a draw: to 0.05 K, which is nothing beside what varies.
_POINTS = 8
_ALONE = 16
# How far apart settings are that are compared [K].
SETTING_STEP = 0.5
_EVERY_S = 60
_SHELLS = frozenset({Form.FILLED, Form.PRALINE})


@dataclass(frozen=True)
class CooledCase:
    """A bar, how it is cooled, and what varies."""

    setting: Setting
    program: Program
    cooling: Cooling
    thickness_mm: Span
    air_celsius: Span
    poured_celsius: Span
    varies: Mapping[str, Distribution]
    middle: Mapping[str, float]

    @property
    def chocolate(self) -> Chocolate:
        """Dark, milk or white."""
        return self.setting.chocolate

    @property
    def fat_beyond(self) -> bool:
        """Whether lots of it may hold more or less fat than the rates are meant for."""
        low, high = (100 * end for end in fat_limits())
        total = self.setting.fat.total_percent
        return total.low < low or total.high > high

    def bars(self, values: Mapping[str, Values]) -> Bar:
        """Return bars with these values, the others at their middle."""
        at: dict[str, Values] = {**self.middle, **values}
        slab = Slab(at["thickness_mm"] / 1000, at["conductivity"], at["density"], at["heat_capacity"])
        faces = Faces(at["air_celsius"], at["exchange"], through_wall(at["exchange"], at["wall"]))
        lowering = self.setting.lowering_k or 0.0
        fat = Fat(at["fat_share"], lowering, self.setting.fat.cocoa_butter_share, at["growth"])
        return Bar(slab, faces, fat, at["poured_celsius"], at["seed"])

    @cached_property
    def course(self) -> Course:
        """How the middle cools, until it comes off or for as long as is looked at."""
        return cool_until(self.bars({}), load("cool")["longest"].value, _EVERY_S)

    @cached_property
    def central(self) -> Release:
        """How the middle comes off."""
        return released(self.course, self.bars({}))

    @property
    def minutes(self) -> float | None:
        """When the middle comes off [min]; ``None`` if it does not."""
        found = float(self.central.minutes[0])
        return found if np.isfinite(found) else None

    @cached_property
    def draws(self) -> Release:
        """How every draw comes off."""
        return self._released(quasi_drawn(self.varies))

    @property
    def chance(self) -> float:
        """Share of the draws that come off with few low forms [0 to 1]."""
        return float(np.mean(_good(self.draws)))

    @property
    def comes_off_well(self) -> bool:
        """Whether the middle comes off with few low forms."""
        return bool(_good(self.central)[0])

    def range_of(self, values: Array) -> tuple[float, float]:
        """The ends between which four draws in five lie; one that does not come off counts as endless."""
        endless = np.where(np.isnan(values), np.inf, values)
        low, high = (quantile(endless, share) for share in FOUR_IN_FIVE)
        return low, high

    @cached_property
    def shares(self) -> dict[str, float]:
        """What each input adds to the variance of the time [0 to 1]."""
        minutes = self._released(alone(self.varies, _ALONE)).minutes
        late = np.nanmax(minutes, initial=0.0)
        return variance_shares(np.where(np.isnan(minutes), late, minutes), tuple(self.varies))

    def at_air(self, celsius: float) -> CooledCase:
        """The same bar at another setting, as steady as before."""
        swing = load("cool")["air_swing"].value
        air = Span(max(0.0, celsius - swing), celsius, celsius + swing)
        varies = {**self.varies, "air_celsius": _triangle(air)}
        return replace(self, air_celsius=air, varies=varies, middle={**self.middle, "air_celsius": celsius})

    def settings(self, celsius: Array) -> Release:
        """How the middle comes off at each of these settings."""
        return self._released({"air_celsius": celsius})

    @cached_property
    def compared(self) -> tuple[Array, Release]:
        """Settings that are compared [°C], and how the middle comes off at each."""
        table = load("cool")
        low, high = table["setting_low"].value, table["setting_high"].value
        celsius = np.arange(low, high + SETTING_STEP, SETTING_STEP)
        return celsius, self.settings(celsius)

    def _released(self, values: Mapping[str, Array]) -> Release:
        """Follow bars until most of those have come off that can: none in air as warm as its core may be."""
        table = load("cool")
        air = np.asarray(values.get("air_celsius", self.air_celsius.value))
        enough = _ENOUGH * float(np.mean(air < table["release_core"].value))
        bars = self.bars(values)
        return released(cool_until(bars, table["longest"].value, _EVERY_S, _POINTS, enough), bars)


def cooled_case(recipe: Recipe, context: Context) -> CooledCase:
    """Return a recipe's bar on its way through the cold, ready to be estimated.

    Raises
    ------
    InputError
        If nothing goes into the machine, or a word for the air is not known.
    UnknownFigure
        If the kind of chocolate cannot be told.
    OutOfRange
        If too little of the fat is cocoa butter, some is coconut's, or something lies outside the model.
    """
    setting = setting_of(recipe)
    if setting.program is None:
        raise OutOfRange("Too little of the fat is cocoa butter to say how it sets", field="fat")
    cooling = cooling_of(context)
    _check(cooling)
    _check_fat(recipe)
    thickness = cooling.thickness_mm or _usual_thickness(recipe)
    air = cooling.air_celsius or _with_ends(load("temper")["cooling"])
    poured = cooling.poured_celsius or _poured(setting.program)
    varies = _inputs(setting, cooling) | {
        "thickness_mm": _triangle(thickness),
        "air_celsius": _triangle(_swinging(air, "air_swing")),
        "poured_celsius": _triangle(_swinging(poured, "poured_swing", cap=cooling.tempered)),
    }
    fixed = {"heat_capacity": load("cool")["heat_capacity"].value, "seed": 0.0}
    middle = fixed | {name: what.central for name, what in varies.items()}
    return CooledCase(setting, setting.program, cooling, thickness, air, poured, varies, middle)


def cooling_of(context: Context) -> Cooling:
    """Return how moulds are cooled, as far as the maker has said."""
    said = None if context.process is None else context.process.cooling
    return said or Cooling()


def exchange_of(cooling: Cooling) -> Span:
    """Return the heat that the air takes up [W/(m² K)]: as the maker says, else as usual."""
    usual = usual_coefficient(_wind(cooling.wind))
    return cooling.exchange or usual


def _inputs(setting: Setting, cooling: Cooling) -> dict[str, Distribution]:
    table, states = load("cool"), load("temper_states")
    exchange = exchange_of(cooling)
    wall = Span(table["wall_thin"].value, table["wall_resistance"].value, table["wall_thick"].value)
    found: dict[str, Distribution] = {
        "exchange": _triangle(exchange),
        "wall": _triangle(wall),
        "conductivity": _triangle(_with_ends(table["conductivity"])),
        "density": _triangle(_with_ends(table["density"])),
        "growth": LogNormal(1.0, states["growth_factor"].value),
        "fat_share": _triangle(_fat_inside(setting.fat.total_percent.times(1 / 100))),
    }
    if cooling.tempered:
        found["seed"] = _triangle(_with_ends(states["seed"]))
    return found


def _fat_inside(share: Span) -> Span:
    """The fat of a mass that the rates are meant for; lots of it beyond their bounds count as on them."""
    check_fat(share.value)
    low, high = fat_limits()
    return Span(*(min(max(end, low), high) for end in (share.low, share.value, share.high)))


def _check_fat(recipe: Recipe) -> None:
    """Refuse fats that the four states of cocoa butter do not tell of."""
    for note in fat_notes(recipe):
        raise OutOfRange(note.unknown, advice="Try one mould.", field="fat")


def _check(cooling: Cooling) -> None:
    """Refuse figures of moulds, fridge and room that cannot be."""
    humidity, exchange = cooling.room_humidity_percent, cooling.exchange
    takes_up = None if exchange is None else exchange.low
    cannot = (
        ("moulds", "So many moulds", cooling.moulds, cooling.moulds < 1),
        ("chocolate_g", "So much chocolate in a mould", cooling.chocolate_g, _none_of(cooling.chocolate_g)),
        ("mould_g", "Such a weight of a mould", cooling.mould_g, not (cooling.mould_g or 0) >= 0),
        ("exchange", "Such a figure of the heat that the air takes up", takes_up, _none_of(takes_up)),
        ("power_w", "Such a power of the cold machine", cooling.power_w, _none_of(cooling.power_w)),
        ("room_humidity_percent", "Such a humidity", humidity, _none_of(humidity) or (humidity or 0) > 100),
    )
    for field, what, value, bad in cannot:
        if bad:
            raise InputError(f"{what} cannot be", value=format_plain(value or 0), field=field)
    if cooling.room_celsius is not None:
        vapour_pressure(cooling.room_celsius)  # refuses a room outside its range


def _none_of(said: float | None) -> bool:
    """Whether a figure that has to be above nothing is not, where it is said; nor is what is no number."""
    return said is not None and not said > 0


def _wind(word: str) -> Wind:
    try:
        return Wind(word)
    except ValueError:
        there = f"There are: {', '.join(Wind)}."
        raise InputError("No such word for moving air", value=word, advice=there, field="wind") from None


def _usual_thickness(recipe: Recipe) -> Span:
    return _with_ends(load("cool")["thickness_shells" if recipe.form in _SHELLS else "thickness_bars"])


def _poured(program: Program) -> Span:
    return program.work_celsius


def _swinging(said: Span, key: str, *, cap: bool = False) -> Span:
    """A single figure swings by as much as is usual; a range is taken as it is."""
    if said.varies:
        return said
    swing = load("cool")[key].value
    high = said.value + swing
    if cap:  # a tempered mass is never poured so warm that the draws would melt its seeds
        high = max(said.value, min(high, load("temper_states")["valid_high"].value))
    return Span(min(said.value, max(0.0, said.value - swing)), said.value, high)


def _good(release: Release) -> Array:
    few = load("cool")["unstable_watch"].value
    return np.asarray(np.nan_to_num(release.unstable, nan=np.inf) <= few)


def _with_ends(row: Constant) -> Span:
    low = row.value if row.low is None else row.low
    return Span(low, row.value, row.value if row.high is None else row.high)


def _triangle(span: Span) -> Triangle:
    return Triangle(span.low, span.value, span.high)
