"""Bare numbers and temperatures as they are shown."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.shown import format_celsius, format_number, tenths_of


@pytest.mark.parametrize(
    ("number", "step", "sign", "text"),
    [
        (-5.0, "0.1", ".", "−5.0"),
        (-0.04, "0.1", ".", "0.0"),
        (0.25, "0.1", ",", "0,3"),
        (-1234.5, "1", ".", "−1\u202f235"),
    ],
)
def test_a_number_has_one_rounding_and_a_true_minus_sign(
    number: float, step: str, sign: str, text: str
) -> None:
    assert format_number(number, Decimal(step), sign) == text  # type: ignore[arg-type]


@given(st.integers(-400, 600))
def test_what_was_typed_in_whole_fahrenheit_is_shown_so(fahrenheit: int) -> None:
    shown = tenths_of((fahrenheit - 32) / 1.8, "F")
    assert shown == str(fahrenheit).replace("-", "−")


@given(st.floats(-200, 500))
def test_both_scales_are_the_temperature_to_a_tenth(celsius: float) -> None:
    plain = format_celsius(celsius).replace("−", "-").replace("\u00a0", " ")
    low, high = plain.removesuffix(" °F)").split(" °C (")
    assert float(low) == pytest.approx(celsius, abs=0.0501)
    assert float(high) == pytest.approx(1.8 * celsius + 32, abs=0.0501)


@pytest.mark.parametrize("celsius", [-300.0, float("nan"), float("inf")])
def test_what_is_no_temperature_is_refused(celsius: float) -> None:
    with pytest.raises(InputError):
        format_celsius(celsius)
