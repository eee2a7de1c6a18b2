"""Currencies against ISO 4217, list one: numeric codes and minor units that are not two.

Read through the restatements in the CLDR data (minor units) and in the pycountry package (numeric codes).
CLDR gives some currencies fewer decimals in use than ISO 4217 does (HUF, IDR, COP ...); ISO's own figure of
2 is kept.
"""

from __future__ import annotations

import pytest

from nibsmith.science.money import currencies

NO_DECIMALS = {"CLP", "ISK", "JPY", "KRW", "PYG", "RWF", "UGX", "VND", "XAF", "XOF", "XPF"}
THREE_DECIMALS = {"BHD", "JOD", "KWD", "OMR", "TND"}
NUMBERS = {"EUR": "978", "USD": "840", "GBP": "826", "CHF": "756", "JPY": "392", "AUD": "036", "GHS": "936"}


def test_only_these_have_no_decimals() -> None:
    assert {code for code, one in currencies().items() if one.minor_digits == 0} == NO_DECIMALS


def test_only_these_have_three_decimals() -> None:
    assert {code for code, one in currencies().items() if one.minor_digits == 3} == THREE_DECIMALS


def test_all_others_have_two() -> None:
    digits = {
        one.minor_digits for code, one in currencies().items() if code not in NO_DECIMALS | THREE_DECIMALS
    }

    assert digits == {2}


@pytest.mark.parametrize("code", NUMBERS)
def test_the_number_is_that_of_the_list(code: str) -> None:
    assert currencies()[code].number == NUMBERS[code]


def test_codes_and_numbers_are_well_formed_and_used_once() -> None:
    found = list(currencies().values())

    assert all(len(one.code) == 3 and one.code.isupper() and len(one.number) == 3 for one in found)
    assert len({one.number for one in found}) == len(found)
