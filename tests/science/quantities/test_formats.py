"""Quantities written to the step of a scale, and read back."""

from __future__ import annotations

from decimal import Context, Decimal, localcontext
from fractions import Fraction
from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import (
    DecimalSign,
    MassForm,
    Temperature,
    TemperatureDifference,
    format_mass,
    format_percent,
    format_temperature,
    format_temperature_difference,
    grams_per,
    parse_mass,
    parse_percent,
    parse_temperature,
    parse_temperature_difference,
    round_half_up,
    scale_digits,
)

STEPS = st.sampled_from(
    [Decimal(step) for step in ("0.001", "0.01", "0.05", "0.1", "0.25", "0.5", "1", "2", "5", "10")]
)
SIGNS: st.SearchStrategy[DecimalSign] = st.sampled_from([".", ","])
GRAMS = st.decimals(min_value=0, max_value=10**7, places=5, allow_nan=False)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", "_")


@pytest.mark.parametrize(
    ("grams", "unit", "step", "sign", "text"),
    [
        ("1040", "g", "1", ".", "1_040 g"),
        ("1040.04", "g", "0.1", ",", "1_040,0 g"),
        ("1040.05", "g", "0.1", ",", "1_040,1 g"),
        ("0.25", "g", "0.1", ".", "0.3 g"),
        ("1234567.8", "g", "1", ".", "1_234_568 g"),
        ("1500", "kg", "0.001", ".", "1.500 kg"),
        ("0.0025", "mg", "1", ".", "3 mg"),
        ("1034.76", "lb oz", "0.1", ".", "2 lb 4.5 oz"),
        ("453.5", "lb oz", "1", ".", "1 lb 0 oz"),
        ("100", "lb oz", "0.5", ",", "3,5 oz"),
        ("453.59237", "lb", "0.01", ".", "1.00 lb"),
        ("28.349523125", "oz", "0.25", ".", "1.00 oz"),
        ("12.4", "g", "5", ".", "10 g"),
        ("-12.45", "g", "0.1", ".", "−12.5 g"),
        ("-0.04", "g", "0.1", ".", "0.0 g"),
        ("-907.18474", "lb oz", "0.1", ".", "−2 lb 0.0 oz"),
    ],
)
def test_a_mass_is_written_to_the_step_of_the_scale(
    grams: str, unit: MassForm, step: str, sign: DecimalSign, text: str
) -> None:
    assert plain(format_mass(Decimal(grams), unit, Decimal(step), sign)) == text


def test_a_float_is_written_as_the_number_it_shows() -> None:
    # 0.25 is exact as a float; 1.005 is not, and its shortest writing is what a person sees.
    assert plain(format_mass(0.25)) == "0.3 g"
    assert plain(format_mass(1.005, resolution=Decimal("0.01"))) == "1.01 g"


@given(grams=GRAMS, unit=st.sampled_from(["g", "kg", "mg", "oz", "lb"]), step=STEPS, sign=SIGNS)
def test_a_written_mass_is_read_back_as_rounded(
    grams: Decimal, unit: MassForm, step: Decimal, sign: DecimalSign
) -> None:
    per = Fraction(grams_per(unit))
    steps = floor(Fraction(grams) / per / Fraction(step) + Fraction(1, 2))
    read = parse_mass(format_mass(grams, unit, step, sign), decimal_sign=sign)
    assert Fraction(read) == steps * Fraction(step) * per


@given(grams=GRAMS, step=STEPS, sign=SIGNS)
def test_written_pounds_and_ounces_are_read_back_as_rounded(
    grams: Decimal, step: Decimal, sign: DecimalSign
) -> None:
    ounce = Fraction(grams_per("oz"))
    steps = floor(Fraction(grams) / ounce / Fraction(step) + Fraction(1, 2))
    read = parse_mass(format_mass(grams, "lb oz", step, sign), decimal_sign=sign)
    assert Fraction(read) == steps * Fraction(step) * ounce


@given(percent=st.decimals(min_value=0, max_value=100, places=4, allow_nan=False), sign=SIGNS)
def test_a_written_share_is_read_back_as_rounded(percent: Decimal, sign: DecimalSign) -> None:
    read = parse_percent(format_percent(percent, Decimal("0.01"), sign), decimal_sign=sign)
    assert Fraction(read) == Fraction(floor(Fraction(percent) * 100 + Fraction(1, 2)), 100)


@given(value=st.decimals(min_value=-100, max_value=400, places=3, allow_nan=False), sign=SIGNS)
def test_a_written_temperature_is_read_back_as_rounded(value: Decimal, sign: DecimalSign) -> None:
    for scale in ("C", "F"):
        temperature = Temperature(value, scale)  # type: ignore[arg-type]
        read = parse_temperature(format_temperature(temperature, decimal_sign=sign))
        assert (read.value, read.scale) == (round_half_up(value), scale)


@given(kelvin=st.decimals(min_value=-90, max_value=90, places=3, allow_nan=False))
def test_a_written_difference_is_read_back_as_rounded(kelvin: Decimal) -> None:
    text = format_temperature_difference(TemperatureDifference(kelvin))
    assert parse_temperature_difference(text).kelvin == round_half_up(kelvin)


@given(number=st.decimals(min_value=-(10**6), max_value=10**6, places=6, allow_nan=False), step=STEPS)
def test_rounding_is_half_up_away_from_zero_and_rounding_again_changes_nothing(
    number: Decimal, step: Decimal
) -> None:
    rounded = round_half_up(number, step)
    expected = floor(abs(Fraction(number)) / Fraction(step) + Fraction(1, 2)) * Fraction(step)
    assert Fraction(rounded) == (expected if number >= 0 else -expected)
    assert round_half_up(rounded, step) == rounded


def test_a_scale_shows_as_many_decimals_as_its_step() -> None:
    steps = {
        "0.1": 1,
        "0.10": 1,
        "0.05": 2,
        "0.001": 3,
        "1": 0,
        "1.0": 0,
        "5": 0,
        "10": 0,
        "1E+1": 0,
        "0.25": 2,
    }
    assert {step: scale_digits(Decimal(step)) for step in steps} == steps


@pytest.mark.parametrize("step", ["0", "-1", "NaN", "Infinity", "1e-13", "1e30"])
def test_a_scale_has_a_sensible_step(step: str) -> None:
    with pytest.raises(InputError):
        scale_digits(Decimal(step))
    with pytest.raises(InputError):
        format_mass(1, resolution=Decimal(step))


@pytest.mark.parametrize(
    "grams", [Decimal("NaN"), Decimal("Infinity"), float("nan"), float("inf"), Decimal("1e18")]
)
def test_what_is_no_quantity_is_not_written(grams: Decimal | float) -> None:
    with pytest.raises(InputError):
        format_mass(grams)


def test_unknown_units_scales_and_signs_are_refused() -> None:
    with pytest.raises(InputError):
        format_mass(1, "cup")  # type: ignore[arg-type]
    with pytest.raises(InputError):
        format_mass(1, decimal_sign="'")  # type: ignore[arg-type]
    with pytest.raises(InputError):
        format_temperature(Temperature(Decimal(1), "C"), "K")  # type: ignore[arg-type]


def test_the_arithmetic_does_not_follow_the_callers_decimal_context() -> None:
    with localcontext(Context(prec=3)):
        assert plain(format_mass(Decimal("1234567.85"))) == "1_234_567.9 g"
        assert plain(format_mass(Decimal("123456.789"), "lb oz")) == "272 lb 2.8 oz"
        assert plain(
            format_temperature(Temperature(Decimal("-12.3456"), "C"), resolution=Decimal("0.0001"))
        ) == ("−12.3456 °C")
