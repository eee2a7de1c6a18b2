"""Temperatures as typed, and their differences."""

from __future__ import annotations

from decimal import Context, Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import (
    Temperature,
    TemperatureDifference,
    parse_temperature,
    parse_temperature_difference,
)

FIGURES = st.decimals(min_value=-200, max_value=400, places=3, allow_nan=False)


@pytest.mark.parametrize(
    ("typed", "value", "scale"),
    [
        ("31.5 °C", "31.5", "C"),
        ("31,5C", "31.5", "C"),
        ("31,500 °C", "31.5", "C"),
        ("88F", "88", "F"),
        ("88 °F", "88", "F"),
        ("88 degrees Fahrenheit", "88", "F"),
        ("45 deg C", "45", "C"),
        ("45 celsius", "45", "C"),
        ("31½ °C", "31.5", "C"),
        ("-18 °C", "-18", "C"),
        ("−18 °C", "-18", "C"),
        ("0 °F", "0", "F"),
        ("31.5 ℃", "31.5", "C"),
        ("88 ℉", "88", "F"),
        ("31.5 º C", "31.5", "C"),
    ],
)
def test_a_temperature_keeps_the_figure_and_scale_it_was_typed_in(typed: str, value: str, scale: str) -> None:
    temperature = parse_temperature(typed)
    assert (temperature.value, temperature.scale) == (Decimal(value), scale)


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("31.5", "needs its scale"),
        ("31.5 °", "needs its scale"),
        ("304 K", "Kelvin"),
        ("-300 °C", "absolute zero"),
        ("-460 °F", "absolute zero"),
        ("501 °C", "hotter"),
        ("1 040 °F", "hotter"),
        ("warm", "not a temperature"),
        ("31 °R", "not a temperature"),
        ("--5 °C", "not a temperature"),
        ("5e1 °C", "not a temperature"),
        ("1/2 °C", "not a temperature"),
        ("", "Nothing"),
    ],
)
def test_what_is_no_temperature_is_refused_with_its_reason(typed: str, reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        parse_temperature(typed)


def test_a_number_alone_takes_the_scale_of_its_field() -> None:
    assert parse_temperature("31,5", bare="C") == Temperature(Decimal("31.5"), "C")
    assert parse_temperature("88", bare="F") == Temperature(Decimal(88), "F")
    assert parse_temperature("88 °F", bare="C") == Temperature(Decimal(88), "F")


@given(value=FIGURES)
def test_no_figure_is_lost_on_the_way_to_fahrenheit_and_back(value: Decimal) -> None:
    there = Temperature(Temperature(value, "C").fahrenheit, "F")
    assert there == Temperature(value, "C")
    assert hash(there) == hash(Temperature(value, "C"))
    assert there.celsius == value


@given(value=FIGURES)
def test_a_fahrenheit_figure_survives_celsius_to_forty_digits(value: Decimal) -> None:
    back = Temperature(Temperature(value, "F").celsius, "C").fahrenheit
    assert abs(back - value) <= Decimal("1e-36")


@given(first=FIGURES, second=FIGURES)
def test_the_order_of_two_temperatures_does_not_depend_on_their_scales(
    first: Decimal, second: Decimal
) -> None:
    celsius = Temperature(second, "C")
    assert (Temperature(first, "C") < celsius) == (first < second)
    assert (Temperature(Temperature(first, "C").fahrenheit, "F") < celsius) == (first < second)


@given(value=FIGURES, kelvin=st.decimals(min_value=-50, max_value=50, places=2, allow_nan=False))
def test_adding_a_difference_and_taking_it_away_changes_nothing(value: Decimal, kelvin: Decimal) -> None:
    difference = TemperatureDifference(kelvin)
    for scale in ("C", "F"):
        start = Temperature(value, scale)  # type: ignore[arg-type]
        assert start + difference - difference == start
        assert (start + difference - start).kelvin == kelvin


def test_two_temperatures_do_not_add_and_a_difference_is_no_temperature() -> None:
    warm, two = Temperature(Decimal(31), "C"), TemperatureDifference(Decimal(2))
    with pytest.raises(TypeError):
        warm + warm  # type: ignore[operator]
    with pytest.raises(TypeError):
        two + warm  # type: ignore[operator]
    with pytest.raises(TypeError):
        sorted([warm, two])  # type: ignore[type-var]
    assert two != warm


@pytest.mark.parametrize(
    ("typed", "kelvin"),
    [("1.5 K", "1.5"), ("2 °C", "2"), ("4.5 °F", "2.5"), ("-1 K", "-1"), ("0,5 kelvin", "0.5")],
)
def test_a_difference_is_read_in_kelvin(typed: str, kelvin: str) -> None:
    assert parse_temperature_difference(typed).kelvin == Decimal(kelvin)


@pytest.mark.parametrize("typed", ["2", "600 K", "-600 K", "2 g", ""])
def test_what_is_no_difference_is_refused(typed: str) -> None:
    with pytest.raises(InputError):
        parse_temperature_difference(typed)


def test_a_temperature_is_finite_and_on_a_known_scale() -> None:
    with pytest.raises(InputError):
        Temperature(Decimal("NaN"), "C")
    with pytest.raises(InputError):
        Temperature(Decimal(20), "R")  # type: ignore[arg-type]


def test_the_arithmetic_does_not_follow_the_callers_decimal_context() -> None:
    with localcontext(Context(prec=3)):
        assert parse_temperature("-123.456 °C").value == Decimal("-123.456")
        assert (parse_temperature("31.4567 °C") - parse_temperature("1.2345 °C")).kelvin == Decimal("30.2222")
