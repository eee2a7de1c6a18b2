"""What cold fold-ins do to a tempered mass: a heat balance without losses and without freezing heat."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange, UnknownFigure
from nibsmith.science.mixture import Composition, Ingredient
from nibsmith.science.numerics import Values
from nibsmith.science.quantities.shown import format_celsius, format_plain
from nibsmith.science.tables import load


@dataclass(frozen=True, slots=True)
class FoldIn:
    """Something stirred into a mass: its mass [g], temperature [°C] and heat capacity [J/(kg K)].

    Temperature and heat capacity are numbers, or one for each draw.
    """

    mass_g: float
    celsius: Values
    heat_capacity: Values


def heat_capacity(ingredient: Ingredient, celsius: Values) -> Values:
    """Return the heat capacity of a food from its analysis.

    ``c = sum(x_i · c_i(t))`` with ``c_i = a + b·t + c·t²`` for protein, fat, carbohydrate, fibre, ash and
    water.

    Parameters
    ----------
    ingredient : Ingredient
        With water, protein, fat, carbohydrate and ash known; fibre counts as carbohydrate where it is not.
    celsius : float or array
        Temperature t [°C].

    Returns
    -------
    float or array
        Heat capacity [J/(kg K)].

    Raises
    ------
    UnknownFigure
        If the analysis is not complete.
    OutOfRange
        Outside -40 to 150 °C.

    Notes
    -----
    Range: -40 to 150 °C, water unfrozen. For chocolate itself it comes out 8 to 13 % above the handbook
    value.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> round(heat_capacity(ingredient("hazelnut_dry_roasted"), 20.0))
    2000

    References
    ----------
    [ashrae-2006-9]
    """
    shares = _shares(ingredient.composition)
    if shares is None:
        raise UnknownFigure("Heat capacity", [ingredient.name])
    _check_range(celsius)
    return sum(share * _of(name, celsius) for name, share in shares.items())


def mixed_celsius(mass_g: float, celsius: Values, fold_ins: Iterable[FoldIn]) -> Values:
    """Return the temperature after fold-ins are stirred into a mass.

    ``t = sum(m · c · t) / sum(m · c)``; the mass has the handbook heat capacity of chocolate.

    Parameters
    ----------
    mass_g : float
        The tempered mass [g].
    celsius : float or array
        Its temperature [°C].
    fold_ins : iterable of FoldIn
        What goes in.

    Returns
    -------
    float or array
        Temperature of the whole [°C].

    Raises
    ------
    InputError
        If a weight is negative or nothing has weight.

    Notes
    -----
    No heat is lost to the bowl or the room, and none is set free by fat that sets: cold fold-ins do a little
    less than this in truth.

    Examples
    --------
    >>> round(mixed_celsius(1760.0, 31.5, [FoldIn(240.0, 20.0, 2000.0)]), 1)
    29.8

    References
    ----------
    [beckett-2009]
    """
    parts = [FoldIn(mass_g, celsius, load("heat_capacity")["chocolate"].value), *fold_ins]
    if any(part.mass_g < 0 for part in parts) or not any(part.mass_g for part in parts):
        raise InputError("A heat balance needs weights of zero and more", value=mass_g)
    heat = sum(part.mass_g * part.heat_capacity for part in parts)
    return sum(part.mass_g * part.heat_capacity * part.celsius for part in parts) / heat


def coolest_fold_in(mass_g: float, celsius: float, lowest_celsius: float, fold_in: FoldIn) -> float:
    """Return how cool something may be so that the whole stays above a temperature.

    ``t = t_low - m·c·(t_m - t_low) / (m_f·c_f)``: the balance of ``mixed_celsius`` solved for the fold-in.

    Parameters
    ----------
    mass_g : float
        The tempered mass [g].
    celsius : float
        Its temperature [°C].
    lowest_celsius : float
        What the whole may fall to [°C].
    fold_in : FoldIn
        What goes in; its own temperature is not read.

    Returns
    -------
    float
        Temperature of the fold-in [°C].

    Raises
    ------
    InputError
        If the mass is cooler than that already, or nothing has weight.

    Examples
    --------
    >>> round(coolest_fold_in(1760.0, 31.5, 31.0, FoldIn(240.0, 20.0, 2000.0)), 1)
    28.1

    References
    ----------
    [beckett-2009]
    """
    capacity = float(fold_in.heat_capacity)
    if not (mass_g > 0 and fold_in.mass_g > 0 and capacity > 0):
        raise InputError("A heat balance needs weights of more than nothing", value=fold_in.mass_g)
    if celsius < lowest_celsius:
        raise InputError("The mass is cooler than it may be already", value=celsius, limit=lowest_celsius)
    heat = mass_g * load("heat_capacity")["chocolate"].value * (celsius - lowest_celsius)
    return lowest_celsius - heat / (fold_in.mass_g * capacity)


def _shares(composition: Composition) -> dict[str, float] | None:
    columns = ("water_g", "protein_g", "fat_g", "carb_g", "ash_g")
    if any(column not in composition for column in columns):
        return None
    water, protein, fat, carbohydrate, ash = (composition[column] / 100 for column in columns)
    fibre = composition.get("fibre_g", 0.0) / 100
    rest = carbohydrate - fibre
    return {
        "water": water,
        "protein": protein,
        "fat": fat,
        "carbohydrate": rest,
        "fibre": fibre,
        "ash": ash,
    }


def _check_range(celsius: Values) -> None:
    table = load("heat_capacity")
    low, high = table["coldest"].value, table["warmest"].value
    outside = np.atleast_1d((np.asarray(celsius) < low) | (np.asarray(celsius) > high))
    if outside.any():
        raise OutOfRange(
            "The heat capacity of a food is not known there",
            value=format_celsius(float(np.atleast_1d(celsius)[outside][0])),
            limit=f"{format_plain(low)} to {high:g} °C",
            field="celsius",
        )


def _of(name: str, celsius: Values) -> Values:
    table = load("heat_capacity")
    a, b, c = (table[f"{name}_{letter}"].value for letter in "abc")
    return a + b * celsius + c * celsius**2
