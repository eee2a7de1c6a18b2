"""Units against what the bodies that define them have published."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from nibsmith.science.quantities import (
    Temperature,
    grams_per,
    parse_mass,
    parse_temperature,
)


def test_the_pound_is_the_one_of_the_1959_agreement() -> None:
    # International yard and pound agreement, 1 July 1959: 1 lb = 0.453 592 37 kg exactly.
    assert parse_mass("1 lb") == grams_per("lb") == Decimal("0.45359237") * 1000


def test_the_ounce_is_a_sixteenth_of_the_pound() -> None:
    # NIST Handbook 44, Appendix C, section 4: 1 oz avdp = 28.349 523 125 g, 16 oz = 1 lb, both exact.
    assert grams_per("oz") == Decimal("28.349523125")
    assert Fraction(grams_per("oz")) * 16 == Fraction(grams_per("lb"))


def test_the_pound_is_seven_thousand_grains() -> None:
    # NIST Handbook 44, Appendix C: 7 000 grains to the pound, 1 grain = 64.798 91 mg exactly.
    assert 7000 * Decimal("64.79891") / 1000 == grams_per("lb")


@pytest.mark.parametrize(("unit", "grams"), [("kg", "1000"), ("mg", "0.001"), ("g", "1")])
def test_the_metric_prefixes_are_powers_of_ten(unit: str, grams: str) -> None:
    # NIST Handbook 44, Appendix C, section 1.
    assert grams_per(unit) == Decimal(grams)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    # NIST SP 811, Appendix B.8: t/°C = (t/°F - 32)/1.8, the factors exact. The fixed points: the scales meet
    # at -40, ice at 32 °F, steam at 212 °F, absolute zero at -459.67 °F.
    [("-40", "-40"), ("32", "0"), ("212", "100"), ("-459.67", "-273.15"), ("88.7", "31.5")],
)
def test_fahrenheit_and_celsius_meet_where_they_are_defined_to(fahrenheit: str, celsius: str) -> None:
    typed = Temperature(Decimal(fahrenheit), "F")
    assert typed.celsius == Decimal(celsius)
    assert typed == Temperature(Decimal(celsius), "C")
    assert Temperature(Decimal(celsius), "C").fahrenheit == Decimal(fahrenheit)


def test_zero_celsius_is_273_15_kelvin() -> None:
    # NIST SP 811, Appendix B.8: T/K = t/°C + 273.15, exact.
    assert parse_temperature("0 °C").kelvin == Decimal("273.15")
