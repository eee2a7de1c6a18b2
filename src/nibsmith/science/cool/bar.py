"""A bar that cools: a slab with two faces, the fat in it, and where it starts."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TypeVar

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.numerics import Array, Values
from nibsmith.science.quantities.shown import format_celsius, format_plain
from nibsmith.science.tables import load
from nibsmith.science.temper import Fat, fat_limits

_MM = 1000
_PERCENT = 100
# Bounds are said in these units: by name, what is outside, its unit, and how many of it are one of SI.
_SAID = {
    "thickness_m": ("The cooling of a bar so thick or thin is not known", "mm", _MM),
    "air_celsius": ("The cooling of a bar in such air is not known", "°C", 1),
    "start_celsius": ("The cooling of a mass poured at this is not known", "°C", 1),
    "share": ("How a mass with so much or so little fat sets is not known", "%", _PERCENT),
    "butter_share": ("Such a share of cocoa butter cannot be", "% of the fat", _PERCENT),
    "seed": ("So many crystals cannot be", "% of the fat", _PERCENT),
    "top": ("The cooling of a bar in such air is not known", "W/(m² K)", 1),
    "bottom": ("The cooling of a bar in such air is not known", "W/(m² K)", 1),
    "exchange": ("The cooling of a bar in such air is not known", "W/(m² K)", 1),
}
# A bar that gives less heat than this to the air hardly cools [W/(m² K)].
_LEAST_EXCHANGE = 1


@dataclass(frozen=True, slots=True)
class Slab:
    """What the bar is: thickness [m], conductivity [W/(m K)], density [kg/m³], heat capacity [J/(kg K)]."""

    thickness_m: Values
    conductivity: Values
    density: Values
    heat_capacity: Values


@dataclass(frozen=True, slots=True)
class Faces:
    """Air [°C], and the coefficients between it and the top and the bottom of the bar [W/(m² K)]."""

    air_celsius: Values
    top: Values
    bottom: Values


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar, or many: each value is a number or one for each bar.

    ``start_celsius`` is the mass when it is poured [°C], ``seed`` its crystals of form V as a fraction of the
    fat [0 to 1].
    """

    slab: Slab
    faces: Faces
    fat: Fat
    start_celsius: Values
    seed: Values

    @property
    def count(self) -> int:
        """How many bars; one where every value is a number."""
        return int(np.broadcast_shapes(*(np.shape(value) for value in _values(self).values()), (1,))[0])


_Part = TypeVar("_Part", Slab, Faces, Fat)


def usual_slab(thickness_m: Values) -> Slab:
    """Return a slab of chocolate.

    Parameters
    ----------
    thickness_m : float or array
        Thickness [m].

    Returns
    -------
    Slab
        With the usual conductivity, density and heat capacity.

    Examples
    --------
    >>> usual_slab(0.01).conductivity
    0.25

    References
    ----------
    [beckett-2009], [chocolate-constants]
    """
    table = load("cool")
    return Slab(
        thickness_m, table["conductivity"].value, table["density"].value, table["heat_capacity"].value
    )


def each(bars: Bar) -> Bar:
    """Return the bars with every value as one number for each bar.

    Parameters
    ----------
    bars : Bar
        One bar or many.

    Returns
    -------
    Bar
        The same with arrays of one length.

    Raises
    ------
    InputError
        If values of different lengths stand side by side, or one is no number.
    OutOfRange
        Outside what the model is meant for.

    Examples
    --------
    >>> from nibsmith.science.temper import Fat, fat_limits
    >>> bar = Bar(usual_slab(np.array([0.006, 0.01])), Faces(12.0, 20.0, 15.0), Fat(0.35), 31.0, 0.02)
    >>> each(bar).start_celsius.tolist()
    [31.0, 31.0]
    """
    values = _values(bars)
    try:
        spread = dict(zip(values, np.broadcast_arrays(*values.values(), np.zeros(1)), strict=False))
    except ValueError as error:
        raise InputError("Values of different lengths stand side by side", value=str(error)) from error
    full = {key: np.array(value, dtype=float) for key, value in spread.items()}
    _check(full)
    return _filled(full)


def some(bars: Bar, start: int, stop: int) -> Bar:
    """Return a stretch of many bars, as ``each`` has spread them.

    Parameters
    ----------
    bars : Bar
        Many bars, every value an array with one number for each.
    start, stop : int
        The first of the stretch, and the first behind it, counted from zero.

    Returns
    -------
    Bar
        As many bars as lie between, each value an array of that length; views, nothing is copied.

    Examples
    --------
    >>> from nibsmith.science.temper import Fat
    >>> bars = Bar(usual_slab(np.array([0.006, 0.008, 0.01])), Faces(12.0, 20.0, 15.0), Fat(0.35), 31.0, 0.02)
    >>> some(each(bars), 1, 3).slab.thickness_m.tolist()
    [0.008, 0.01]
    """
    return _filled({key: np.asarray(value)[start:stop] for key, value in _values(bars).items()})


def _values(bars: Bar) -> dict[str, Values]:
    found: dict[str, Values] = {"start_celsius": bars.start_celsius, "seed": bars.seed}
    for part in (bars.slab, bars.faces, bars.fat):
        found |= {field.name: getattr(part, field.name) for field in fields(part)}
    return found


def _filled(values: dict[str, Array]) -> Bar:
    def part(kind: type[_Part]) -> _Part:
        return kind(**{field.name: values[field.name] for field in fields(kind)})

    return Bar(part(Slab), part(Faces), part(Fat), values["start_celsius"], values["seed"])


def _check(values: dict[str, Array]) -> None:
    table, states = load("cool"), load("temper_states")
    for name, value in values.items():
        if not np.isfinite(value).all():
            raise InputError("A value of a bar is no number", field=name)
    for name in ("thickness_m", "conductivity", "density", "heat_capacity", "growth"):
        if not (values[name] > 0).all():
            raise InputError("This must be more than nothing", value=float(values[name].min()), field=name)
    limits = {
        "thickness_m": (table["thinnest"].value / _MM, table["thickest"].value / _MM),
        "air_celsius": (table["air_low"].value, table["air_high"].value),
        "top": (0.0, table["strongest"].value),
        "bottom": (0.0, table["strongest"].value),
        "start_celsius": (states["valid_low"].value, table["start_high"].value),
        "butter_share": (0.0, 1.0),
        "seed": (0.0, 1.0),
        "exchange": (_LEAST_EXCHANGE, 2 * table["strongest"].value),
    }
    values = values | {"exchange": values["top"] + values["bottom"]}
    for name, (low, high) in limits.items():
        _check_ends(name, values[name], low, high)
    fat = values["share"]
    _check_ends("share", fat[fat != 0], *fat_limits())  # a bar without any fat is plain conduction
    _check_seeds(values)


def _check_seeds(values: dict[str, Array]) -> None:
    """Seeds in a warmer mass are about to melt, here and there: no course through points can follow that."""
    warmest = load("temper_states")["valid_high"].value
    warm = (values["seed"] > 0) & (values["start_celsius"] > warmest)
    if warm.any():
        raise OutOfRange(
            "A mass so warm loses its seeds",
            value=format_celsius(float(values["start_celsius"][warm][0])),
            limit=format_celsius(warmest),
            advice="Pour it cooler, or count it as untempered.",
            field="start_celsius",
        )


def _check_ends(name: str, value: Array, low: float, high: float) -> None:
    outside = (value < low) | (value > high)
    if outside.any():
        what, unit, of_si = _SAID[name]
        worst = float(of_si * value[outside][0])
        raise OutOfRange(
            what,
            value=format_celsius(worst) if unit == "°C" else f"{format_plain(worst)} {unit}",
            limit=f"{of_si * low:g} to {of_si * high:g} {unit}",
            field=name,
        )
