"""Shares in percent and bare numbers."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import AmbiguousQuantity, parse_number, parse_percent


@pytest.mark.parametrize(
    ("typed", "percent"),
    [
        ("52 %", "52"),
        ("52%", "52"),
        ("52,5%", "52.5"),
        ("52.5 per cent", "52.5"),
        ("52 percent", "52"),
        ("52 PCT", "52"),
        ("12½ %", "12.5"),
        ("0 %", "0"),
        ("100 %", "100"),
        ("５２％", "52"),
        ("0.350 %", "0.35"),
    ],
)
def test_a_share_is_read(typed: str, percent: str) -> None:
    assert parse_percent(typed) == Decimal(percent)


@pytest.mark.parametrize("sign", [None, ".", ","])
@pytest.mark.parametrize("typed", ["33.333 %", "33,333 %"])
def test_a_third_is_never_taken_for_thirty_three_thousand(typed: str, sign: str | None) -> None:
    assert parse_percent(typed, decimal_sign=sign) == Decimal("33.333")  # type: ignore[arg-type]


def test_a_share_of_a_thousand_and_more_can_be_read_two_ways_where_that_is_possible() -> None:
    most = Decimal(5000)
    assert parse_percent("1,500 %", most=most, decimal_sign=",") == Decimal("1.5")
    assert parse_percent("1,500 %", most=most, decimal_sign=".") == Decimal(1500)
    with pytest.raises(AmbiguousQuantity):
        parse_percent("1,500 %", most=most)


def test_a_number_alone_is_a_share_only_where_the_field_says_percent() -> None:
    assert parse_percent("52,5", bare=True) == Decimal("52.5")
    with pytest.raises(InputError, match="needs its sign"):
        parse_percent("52,5")


@pytest.mark.parametrize("typed", ["100.1 %", "250 %", "1 000 %"])
def test_more_than_everything_is_refused_with_the_limit(typed: str) -> None:
    with pytest.raises(InputError, match=r"limit 100 %"):
        parse_percent(typed)


@pytest.mark.parametrize(
    "typed", ["-5 %", "−5 %", "5 g", "%", "five %", "5 % %", "1e1 %", "nan %", "", "5 per mille"]
)
def test_what_is_no_share_is_refused(typed: str) -> None:
    with pytest.raises(InputError):
        parse_percent(typed)


@pytest.mark.parametrize(
    ("typed", "number"), [("12", "12"), ("1 040", "1040"), ("2½", "2.5"), ("0,75", "0.75")]
)
def test_a_bare_number_is_read(typed: str, number: str) -> None:
    assert parse_number(typed) == Decimal(number)


def test_a_bare_number_that_can_be_read_two_ways_is_refused_with_both() -> None:
    with pytest.raises(AmbiguousQuantity) as refused:
        parse_number("1,500")
    assert [reading.typed for reading in refused.value.readings] == ["1.5", "1500"]
    assert parse_number("1,500", most=Decimal(100)) == Decimal("1.5")


@pytest.mark.parametrize("typed", ["12 g", "-1", "", "x", "nan", "1e5"])
def test_what_is_no_bare_number_is_refused(typed: str) -> None:
    with pytest.raises(InputError):
        parse_number(typed)
