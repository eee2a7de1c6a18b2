"""Every string over the grammar: the parser and a reader built in another way agree, or both refuse."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import AmbiguousQuantity, DecimalSign, parse_mass
from second_reader import AMBIGUOUS, REFUSED, UNIT, VULGAR, Outcome, second_reading

SIGNS: tuple[DecimalSign | None, ...] = (None, ".", ",")
# A third of a pound has no end as a decimal number: the parser keeps 40 digits, so it may differ in the 39th.
THIRTY_NINE_DIGITS = Fraction(1, 10**38)

WHOLE = ("0", "7", "12", "500", "1040", "007", "123456789012", "1234567890123")
POINTS = tuple(
    whole + point + decimals
    for whole, point, decimals in product(
        ("", "0", "1", "12", "123", "1234", "01", "000"),
        ".,",
        ("", "5", "05", "50", "500", "000", "1234", "1234567"),
    )
)
GROUPED = tuple(
    first + mark + rest.replace("_", mark) + tail
    for first, mark, rest, tail in product(
        ("1", "12", "123", "1234", "0", ""),
        (" ", "'", ".", ",", "\u00a0", "\u202f", "\u2009", "’"),
        ("040", "40", "500_250", "500_25", "500_250_125", "500_250_125_999"),
        ("", ".5", ",5", ".500", ",500"),
    )
)
FRACTIONS = tuple(
    whole + above + slash + below
    for whole, above, slash, below in product(
        ("", "2 ", "12 ", "1\u00a0", "1.5 ", "1 040 "),
        ("1", "3", "0", "11", "15", "10", "111"),
        ("/", "⁄", " / "),
        ("2", "3", "16", "0", "100"),
    )
)
ONE_SIGN = tuple(
    whole + sign for whole, sign in product(("", "1", "1 ", "12", "1.5", "1/2", "1 040"), VULGAR)
)
NUMBERS = WHOLE + POINTS + GROUPED + FRACTIONS + ONE_SIGN
FEW_NUMBERS = (
    "0", "1", "2", "15", "16", "999", "1000", "1.5", "1,5", ".5", ",5", "1,500", "1.000", "0.500", "1 040",
    "1'040", "1 1/2", "11/2", "13/2", "1/3", "½", "1½", "1,", "1 50", "", "1/0", "15.9999",
)  # fmt: skip
GAPS = ("", " ", "  ", "\t", "\u00a0", "\u202f", "\n")


def first_reading(text: str, sign: DecimalSign | None) -> Outcome:
    try:
        return Fraction(parse_mass(text, decimal_sign=sign))
    except AmbiguousQuantity:
        return AMBIGUOUS
    except InputError:
        return REFUSED


def disagreement(text: str, sign: DecimalSign | None) -> str | None:
    first, second = first_reading(text, sign), second_reading(text, sign)
    if isinstance(first, Fraction) and isinstance(second, Fraction):
        same = abs(first - second) <= THIRTY_NINE_DIGITS * second
    else:
        same = first == second
    return None if same else f"{text!r} under {sign!r}: {first} and {second}"


def check(texts: list[str]) -> dict[str, int]:
    wrong = [found for text in texts for sign in SIGNS if (found := disagreement(text, sign))]
    assert not wrong, wrong[:20]
    outcomes = [second_reading(text, None) for text in texts]
    return {
        "read": sum(isinstance(outcome, Fraction) for outcome in outcomes),
        AMBIGUOUS: outcomes.count(AMBIGUOUS),
        REFUSED: outcomes.count(REFUSED),
    }


def test_every_number_shape_with_every_gap_is_read_alike() -> None:
    counts = check([number + gap + unit for number, gap, unit in product(NUMBERS, GAPS, ("g", "lb"))])
    assert counts["read"] > 9_000
    assert counts[AMBIGUOUS] > 300
    assert counts[REFUSED] > 10_000


def test_every_spelling_of_a_unit_is_read_alike() -> None:
    spellings = [form for word in UNIT for form in (word, word.upper(), word.title(), word + ".", word + "x")]
    counts = check([number + gap + word for number, gap, word in product(FEW_NUMBERS, ("", " "), spellings)])
    assert counts["read"] > 3_000
    assert counts[REFUSED] > 2_000


def test_every_pair_of_units_is_read_alike() -> None:
    units = ("lb", "oz", "kg", "g", "mg")
    shapes = product(FEW_NUMBERS, units, ("", " ", ". "), FEW_NUMBERS, units)
    counts = check([f"{first} {large}{gap}{second}{small}" for first, large, gap, second, small in shapes])
    assert counts["read"] > 500
    assert counts[AMBIGUOUS] > 20
    assert counts[REFUSED] > 20_000


PIECES = (
    "1", "2", "5", "0", "040", "500", ".", ",", "'", "’", " ", "  ", "\u00a0", "/", "½", "⅓", "g", "kg", "lb",
    "oz", "OZ", "x", "-", "\t",
)  # fmt: skip


@pytest.mark.long
@given(text=st.lists(st.sampled_from(PIECES), max_size=9).map("".join), sign=st.sampled_from(SIGNS))
@example(text="1 lb.5oz", sign=None)
@example(text="1 lb. 2 oz.", sign=None)
def test_any_mixture_of_the_pieces_is_read_alike(text: str, sign: DecimalSign | None) -> None:
    assert disagreement(text, sign) is None


@given(
    number=st.decimals(min_value=0, max_value=Decimal(10) ** 11, places=4, allow_nan=False),
    unit=st.sampled_from(sorted(UNIT)),
)
def test_a_plain_decimal_number_is_its_own_value_times_the_unit(number: Decimal, unit: str) -> None:
    assert disagreement(f"{number:f} {unit}", None) is None
    assert isinstance(second_reading(f"{number:f} {unit}", None), Fraction)
