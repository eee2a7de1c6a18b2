"""Densities on a grid: moments of known densities, and draws that follow the weights."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import posterior


@pytest.mark.parametrize("deviation", [1.0, 0.05, 0.002])
def test_the_moments_are_those_of_the_density_however_narrow(deviation: float) -> None:
    bell = stats.norm(0.31, deviation)

    found = posterior(lambda x, y: bell.logpdf(x) + stats.norm(-0.4, 0.7).logpdf(y), (-9, 9), (-9, 9))

    assert found.means == pytest.approx((0.31, -0.4), abs=2e-3 * max(deviation, 0.1))
    assert found.deviations == pytest.approx((deviation, 0.7), rel=0.01)


def test_draws_follow_the_weights() -> None:
    found = posterior(lambda x, y: -0.5 * (x**2 + ((y - x) / 0.5) ** 2), (-8, 8), (-8, 8))

    first, second = found.drawn(20_000)

    assert np.corrcoef(first, second)[0, 1] == pytest.approx(1 / np.sqrt(1.25), abs=0.02)
    assert first.std() == pytest.approx(1.0, abs=0.03)


def test_a_density_that_is_nowhere_is_refused() -> None:
    with pytest.raises(InputError):
        posterior(lambda x, y: np.full(np.broadcast(x, y).shape, -np.inf), (0, 1), (0, 1))
