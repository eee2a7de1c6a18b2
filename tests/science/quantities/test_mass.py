"""Masses typed by a maker: sixty fixed strings, and what a refusal says."""

from __future__ import annotations

from decimal import Context, Decimal, localcontext

import pytest

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import AmbiguousQuantity, parse_mass

READ = {
    "500 g": "500",
    "500g": "500",
    "0 g": "0",
    "0.5 g": "0.5",
    ".5 kg": "500",
    ",5 kg": "500",
    "1.5 kg": "1500",
    "1,5 kg": "1500",
    "1.50 kg": "1500",
    "0.500 kg": "500",
    "0,125 kg": "125",
    "1234.567 g": "1234.567",
    "1 040 g": "1040",
    "1\u00a0040 g": "1040",
    "1\u202f040\u202fg": "1040",
    "1'000 g": "1000",
    "1’000 g": "1000",
    "1,500,000 g": "1500000",
    "1.500.000 mg": "1500",
    "1,234.5 g": "1234.5",
    "1.234,5 g": "1234.5",
    "12'345.678 g": "12345.678",
    "250 mg": "0.25",
    "2 Kilos": "2000",
    "3 KILOGRAMMES": "3000",
    "8 oz": "226.796185",
    "8 oz.": "226.796185",
    "1 lb": "453.59237",
    "2 lbs": "907.18474",
    "1 pound": "453.59237",
    "1 lb 2 oz": "510.29141625",
    "1lb2oz": "510.29141625",
    "1 lb. 2 oz.": "510.29141625",
    "1 kg 200 g": "1200",
    "2 1/2 oz": "70.8738078125",
    "1½ lb": "680.388555",
    "1 ½ lb": "680.388555",
    "½ lb": "226.796185",
    "3⁄4 oz": "21.26214234375",
    "５００ｇ": "500",
    "2 ㎏": "2000",
}
REFUSED = {
    "500": "needs its unit",
    "": "Nothing",
    "   ": "Nothing",
    "kg": "no number",
    "2 cups": "not a mass",
    "1 tbsp": "not a mass",
    "3 teaspoons": "not a mass",
    "250 ml": "not a mass",
    "1 l": "not a mass",
    "4 fl oz": "not a mass",
    "a pinch": "not a mass",
    "-5 g": "minus sign",
    "−5 g": "minus sign",
    "–5 g": "minus sign",
    "1-2 kg": "range",
    "5 bags": "not a unit",
    "1 gr": "gram or grain",
    "2 oz 1 lb": "cannot follow",
    "1 lb 2 lb": "cannot follow",
    "1 lb 16 oz": "whole lb or more",
    "1.5 lb 2 oz": "must be whole",
    "1 kg 2 oz": "do not go together",
    "1/0 lb": "zero below",
    "1 3/2 lb": "can be read",
    "nan g": "not a number",
    "inf kg": "not a number",
    "1e3 g": "Powers of ten",
    "٥٠٠ g": "digit",
    "1\u200b500 g": "unseen sign",
    "1 50 g": "can be read",
    "1,50,000 g": "can be read",
    "1'000,000,5 g": "can be read",
    "5. g": "can be read",
    "1234567890123 g": "can be read",
    "52 %": "percent",
    "31 °C": "temperature",
    "x" * 81 + " g": "too long",
}
AMBIGUOUS = {
    "1,500 g": ("1500", "1.5"),
    "1.500 kg": ("1500000", "1500"),
    "12,345 g": ("12345", "12.345"),
    "1,000 lb 2 oz": ("453649.069046250", "510.29141625"),
    "11/2 oz": ("155.9223771875", "42.5242846875"),
}


@pytest.mark.parametrize(("typed", "grams"), READ.items())
def test_a_mass_is_read_exactly(typed: str, grams: str) -> None:
    assert parse_mass(typed) == Decimal(grams)


@pytest.mark.parametrize(("typed", "reason"), REFUSED.items())
def test_what_is_no_mass_is_refused_with_its_reason(typed: str, reason: str) -> None:
    with pytest.raises(InputError, match=reason) as refused:
        parse_mass(typed)
    assert not isinstance(refused.value, AmbiguousQuantity)
    assert len(str(refused.value).splitlines()) == 1


@pytest.mark.parametrize(("typed", "both"), AMBIGUOUS.items())
def test_what_can_be_read_two_ways_is_refused_with_both(typed: str, both: tuple[str, str]) -> None:
    with pytest.raises(AmbiguousQuantity) as refused:
        parse_mass(typed)
    assert {reading.value for reading in refused.value.readings} == {Decimal(grams) for grams in both}


@pytest.mark.parametrize("typed", AMBIGUOUS)
def test_each_offered_reading_can_be_typed_back_without_doubt(typed: str) -> None:
    with pytest.raises(AmbiguousQuantity) as refused:
        parse_mass(typed)
    for reading in refused.value.readings:
        assert reading.typed in str(refused.value)
        assert reading.words in str(refused.value)
        assert parse_mass(reading.typed) == reading.value


def test_the_readings_are_given_in_words() -> None:
    with pytest.raises(AmbiguousQuantity, match="one thousand five hundred"):
        parse_mass("1,500 g")
    with pytest.raises(AmbiguousQuantity, match="one point five"):
        parse_mass("1,500 g")


@pytest.mark.parametrize(
    ("typed", "sign", "grams"),
    [
        ("1,500 g", ",", "1.5"),
        ("1,500 g", ".", "1500"),
        ("1.500 g", ".", "1.5"),
        ("1.500 g", ",", "1500"),
        ("1,5 kg", ".", "1500"),  # one reading only, so the setting has nothing to decide
        ("1 lb 1,500 oz", None, "496.11665468750"),  # 1500 oz cannot stand behind 1 lb
    ],
)
def test_the_decimal_sign_decides_only_between_possible_readings(typed: str, sign: str, grams: str) -> None:
    assert parse_mass(typed, decimal_sign=sign) == Decimal(grams)  # type: ignore[arg-type]


def test_a_decimal_sign_does_not_settle_a_lost_space() -> None:
    with pytest.raises(AmbiguousQuantity) as refused:
        parse_mass("11/2 oz", decimal_sign=".")
    assert "settings" not in str(refused.value)


def test_another_decimal_sign_is_refused() -> None:
    with pytest.raises(InputError, match="point or a comma"):
        parse_mass("1 g", decimal_sign="'")  # type: ignore[arg-type]


def test_a_volume_is_refused_with_the_way_out() -> None:
    with pytest.raises(InputError, match="Weigh it once and save it as yours"):
        parse_mass("2 cups")


def test_the_arithmetic_does_not_follow_the_callers_decimal_context() -> None:
    with localcontext(Context(prec=3)):
        assert parse_mass("123456 oz") == Decimal("3499918.726920000")
        assert parse_mass("1 lb 2.125 oz") == Decimal("513.835106640625")


def test_a_third_of_a_pound_is_kept_to_forty_digits() -> None:
    assert parse_mass("1/3 lb") * 3 == pytest.approx(Decimal("453.59237"), rel=Decimal("1e-27"))


def test_there_are_at_least_sixty_fixed_strings() -> None:
    assert len(READ) + len(REFUSED) + len(AMBIGUOUS) >= 60
