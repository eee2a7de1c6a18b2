"""Money is exact until it is written, and never a float."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.money import Money, cost_of, currency, sum_money

AMOUNTS = st.decimals(min_value=0, max_value=100_000, places=4)
MASSES = st.floats(0.01, 1e6)


@pytest.mark.parametrize(
    ("amount", "code", "written"),
    [
        ("1.005", "EUR", "1.01"),
        ("1.004999", "EUR", "1.00"),
        ("2.5", "JPY", "3"),
        ("0.0005", "KWD", "0.001"),
        ("0.125", "USD", "0.13"),
        ("-0.125", "USD", "-0.13"),
    ],
)
def test_it_is_rounded_half_up_to_the_smallest_unit(amount: str, code: str, written: str) -> None:
    assert Money(Decimal(amount), code).rounded == Decimal(written)


def test_it_is_rounded_once_at_the_end() -> None:
    third = Money(Decimal("0.004"), "EUR")

    assert sum_money([third, third, third], "EUR").rounded == Decimal("0.01")


def test_it_is_written_with_its_code_and_thousands_set_off() -> None:
    assert str(Money(Decimal("1234567.5"), "EUR")).split() == ["1", "234", "567.50", "EUR"]


@pytest.mark.parametrize("amount", [0.1, 1, "1.0", Decimal("NaN"), Decimal("Infinity")])
def test_what_is_no_finite_decimal_is_refused(amount: object) -> None:
    with pytest.raises(InputError):
        Money(amount, "EUR")  # type: ignore[arg-type]


@pytest.mark.parametrize("factor", [0.5, True, "2"])
def test_it_is_multiplied_by_exact_numbers_only(factor: object) -> None:
    with pytest.raises(InputError):
        Money(Decimal(1), "EUR").times(factor)  # type: ignore[arg-type]


def test_two_currencies_are_not_added() -> None:
    with pytest.raises(InputError, match="EUR and USD"):
        _ = Money(Decimal(1), "EUR") + Money(Decimal(1), "USD")


def test_an_unknown_currency_is_refused() -> None:
    with pytest.raises(InputError, match="XYZ"):
        currency("XYZ")


@pytest.mark.parametrize("divisor", [0, -1, Decimal(0)])
def test_it_is_not_shared_out_over_nothing(divisor: Decimal | int) -> None:
    with pytest.raises(InputError):
        Money(Decimal(1), "EUR").over(divisor)


@pytest.mark.parametrize("price", ["-0.01", "NaN", "Infinity"])
def test_a_price_that_is_none_is_refused(price: str) -> None:
    with pytest.raises(InputError):
        cost_of(Decimal(price), 100.0, "EUR")


@given(AMOUNTS, MASSES)
def test_a_cost_is_price_times_mass_exactly(price: Decimal, mass_g: float) -> None:
    exact = Fraction(price) * Fraction(Decimal(repr(mass_g))) / 1000

    assert Fraction(cost_of(price, mass_g, "EUR").amount) == pytest.approx(exact, rel=1e-30)


@given(st.lists(AMOUNTS, max_size=20))
def test_a_sum_is_exact(amounts: list[Decimal]) -> None:
    total = sum_money((Money(amount, "EUR") for amount in amounts), "EUR")

    assert Fraction(total.amount) == sum(Fraction(amount) for amount in amounts)


@given(AMOUNTS)
def test_rounding_moves_by_at_most_half_a_smallest_unit(amount: Decimal) -> None:
    for code in ("EUR", "JPY", "KWD"):
        money = Money(amount, code)

        assert abs(money.rounded - amount) <= currency(code).smallest / 2
