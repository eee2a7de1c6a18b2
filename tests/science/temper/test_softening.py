"""Softening by ideal dilution, against a root found independently."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from nibsmith.science.errors import OutOfRange
from nibsmith.science.temper import cocoa_butter_share_at, softening

SHARES = st.floats(0.5, 1.0)


def by_root_finding(share: float) -> float:
    """Solve ln x + (dHm / R)(1/T - 1/T0) = 0 for T, typed out again from the same two figures."""
    molar_heat, gas_constant, pure_k = 136.9 * 861.4, 8.314462618, 306.95

    def off(kelvin: float) -> float:
        return math.log(share) + molar_heat / gas_constant * (1 / kelvin - 1 / pure_k)

    return pure_k - float(brentq(off, 250.0, 310.0, xtol=1e-12))


@pytest.mark.parametrize("share", [0.95, 0.90, 0.85, 0.82, 0.80, 0.75, 0.576, 0.5])
def test_the_closed_form_is_the_root(share: float) -> None:
    assert softening(share) == pytest.approx(by_root_finding(share), rel=1e-6)


def test_pure_cocoa_butter_is_not_softened() -> None:
    assert softening(1.0) == 0


@given(SHARES, SHARES)
def test_more_foreign_fat_softens_more(one: float, other: float) -> None:
    low, high = sorted((one, other))

    assert softening(low) >= softening(high)


@given(SHARES)
def test_the_inverse_undoes_it(share: float) -> None:
    assert cocoa_butter_share_at(softening(share)) == pytest.approx(share, rel=1e-9)


@pytest.mark.parametrize("share", [0.49, 0.0, 1.01, -1.0, math.nan])
def test_out_of_range_is_refused(share: float) -> None:
    with pytest.raises(OutOfRange):
        softening(share)


@pytest.mark.parametrize("kelvin", [-0.1, 10.0])
def test_a_lowering_that_cannot_be_is_refused(kelvin: float) -> None:
    with pytest.raises(OutOfRange):
        cocoa_butter_share_at(kelvin)
