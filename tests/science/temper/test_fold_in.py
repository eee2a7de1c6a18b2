"""What cold fold-ins do to a tempered mass, against an enthalpy balance solved independently."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.mixture import Kind, ingredient, own_ingredient
from nibsmith.science.temper import FoldIn, heat_capacity, mixed_celsius

CHOCOLATE = 1590.0  # J/(kg K), handbook value between 15 and 40 °C
# Roasted hazelnuts (USDA NDB 12122): shares of protein, fat, carbohydrate without fibre, fibre, ash, water.
HAZELNUT = (0.1503, 0.624, 0.082, 0.094, 0.0245, 0.0252)
CORRELATIONS = (
    (2008.2, 1.2089, -1.3129e-3),
    (1984.2, 1.4733, -4.8008e-3),
    (1548.8, 1.9625, -5.9399e-3),
    (1845.9, 1.8306, -4.6509e-3),
    (1092.6, 1.8896, -3.6817e-3),
    (4176.2, -0.0909, 5.4731e-3),
)


def enthalpy(celsius: float) -> float:
    """Integral of the hazelnuts' heat capacity from 0 °C [J/kg]."""
    terms = (
        share * (a * celsius + b * celsius**2 / 2 + c * celsius**3 / 3)
        for share, (a, b, c) in zip(HAZELNUT, CORRELATIONS, strict=True)
    )
    return sum(terms)


def by_enthalpy(mass_g: float, celsius: float, nuts_g: float, nuts_celsius: float) -> float:
    """Solve for the temperature at which the heat lost by the mass is the heat taken up by the nuts."""

    def off(mixed: float) -> float:
        return mass_g * CHOCOLATE * (celsius - mixed) - nuts_g * (enthalpy(mixed) - enthalpy(nuts_celsius))

    return float(brentq(off, nuts_celsius, celsius, xtol=1e-10))


@pytest.mark.parametrize("source", [20.0, 5.0, -18.0])
def test_cold_nuts_pull_a_mass_down_as_the_enthalpy_balance_says(source: float) -> None:
    nuts = ingredient("hazelnut_dry_roasted")
    mixed = mixed_celsius(1760.0, 31.5, [FoldIn(240.0, source, heat_capacity(nuts, source))])

    # The bench formula takes the heat capacity at the start, the integral its whole course: the fall differs
    # by at most 1.4 %, from the freezer.
    assert 31.5 - mixed == pytest.approx(31.5 - by_enthalpy(1760.0, 31.5, 240.0, source), rel=0.015)


@given(st.floats(1, 5000), st.floats(26, 34), st.floats(1, 3000), st.floats(-20, 26), st.floats(1000, 4200))
def test_the_mixture_lies_between_its_parts(
    mass_g: float, celsius: float, cold_g: float, cold_celsius: float, capacity: float
) -> None:
    mixed = mixed_celsius(mass_g, celsius, [FoldIn(cold_g, cold_celsius, capacity)])

    assert cold_celsius - 1e-9 <= mixed <= celsius + 1e-9


@given(st.floats(1, 5000), st.floats(26, 34), st.floats(1, 3000), st.floats(-20, 26))
def test_heat_is_neither_made_nor_lost(
    mass_g: float, celsius: float, cold_g: float, cold_celsius: float
) -> None:
    capacity = 2000.0
    mixed = mixed_celsius(mass_g, celsius, [FoldIn(cold_g, cold_celsius, capacity)])

    given_off = mass_g * CHOCOLATE * (celsius - mixed)
    assert given_off == pytest.approx(cold_g * capacity * (mixed - cold_celsius), rel=1e-9, abs=1e-6)


def test_nothing_folded_in_changes_nothing() -> None:
    assert mixed_celsius(1000.0, 31.5, []) == pytest.approx(31.5)


@pytest.mark.parametrize(("mass_g", "cold_g"), [(-1.0, 1.0), (0.0, 0.0), (1.0, -1.0)])
def test_weights_that_cannot_be_are_refused(mass_g: float, cold_g: float) -> None:
    with pytest.raises(InputError):
        mixed_celsius(mass_g, 31.5, [FoldIn(cold_g, 20.0, 2000.0)])


def test_an_incomplete_analysis_has_no_heat_capacity() -> None:
    with pytest.raises(UnknownFigure, match="Mix"):
        heat_capacity(own_ingredient("Mix", Kind.OTHER_FOOD, {"water_g": 3.0, "fat_g": 40.0}), 20.0)


def test_fibre_that_is_not_given_counts_as_carbohydrate() -> None:
    analysis = {"water_g": 0.0, "protein_g": 0.0, "fat_g": 0.0, "carb_g": 100.0, "ash_g": 0.0}

    assert heat_capacity(own_ingredient("Starch", Kind.FLOUR, analysis), 0.0) == 1548.8
