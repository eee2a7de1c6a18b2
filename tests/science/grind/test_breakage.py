"""The population balance: exact against two independent solutions, mass kept, a guard where rates meet."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm
from scipy.optimize import least_squares

from nibsmith.science.errors import InputError
from nibsmith.science.grind import Breakage, FinerReading, fit_breakage, grind, oversize
from nibsmith.science.grind.breakage import breakage_matrix, cancels, modes

EDGES = np.geomspace(1.0, 500.0, 41)
COARSE = np.zeros(40)
COARSE[-1] = 1.0
EVEN = np.full(40, 1 / 40)
TIMES = np.linspace(0.0, 24.0, 200)


def in_long_doubles(matrix: np.ndarray, hours: float, start: np.ndarray) -> np.ndarray:
    """The matrix exponential by Taylor terms and squaring, in numbers of 18 digits.

    scipy's own is not used where rates are equal: for triangular matrices with an equal diagonal it was found
    to be 4e-5 off.
    """
    largest = float(np.abs(matrix).max()) * hours
    halvings = max(0, int(np.ceil(np.log2(max(largest, 1e-9)))) + 12)
    small = matrix.astype(np.longdouble) * hours / 2**halvings
    result = term = np.eye(matrix.shape[0], dtype=np.longdouble)
    for power in range(1, 14):
        term = term @ small / power
        result = result + term
    for _ in range(halvings):
        result = result @ result
    return result @ start


@pytest.mark.parametrize("exponent", [0.3, 0.6, 0.8, 1.1, 1.5, 2.0])
@pytest.mark.parametrize("start", [COARSE, EVEN], ids=["coarse", "even"])
def test_forty_classes_at_two_hundred_times_are_the_matrix_exponential(exponent: float, start) -> None:
    how = Breakage(0.2, exponent, 0.9)

    rows = grind(EDGES, start, how, TIMES)

    matrix = breakage_matrix(EDGES, how)
    exact = np.array([expm(matrix * hours) @ start for hours in TIMES])
    assert rows.shape == (200, 40)
    assert np.abs(rows - exact).max() < 1e-10


@pytest.mark.parametrize("exponent", [0.0, 1e-8, 1e-4, 0.01, 0.1, 0.2, 0.25, 0.29, 0.31, 0.45, 0.65])
@pytest.mark.parametrize("share", [1.0, 0.4])
def test_it_is_exact_where_rates_lie_close_together_too(exponent: float, share: float) -> None:
    for speed in (0.02, 0.2, 3.0):
        how = Breakage(speed, exponent, 0.9, fine_share=share)
        matrix = breakage_matrix(EDGES, how)
        for start in (COARSE, EVEN):
            rows = grind(EDGES, start, how, [3.0, 24.0])
            exact = [in_long_doubles(matrix, hours, start) for hours in (3.0, 24.0)]
            assert np.abs(rows - exact).max() < 1e-10


def test_the_guard_falls_back_where_terms_cancel_and_nowhere_else() -> None:
    def falls_back(exponent: float) -> bool:
        vectors, weights, _ = modes(breakage_matrix(EDGES, Breakage(0.2, exponent, 0.9)), COARSE)
        return weights is None or cancels(vectors, weights)

    assert falls_back(0.0)
    assert falls_back(0.1)
    assert not falls_back(0.8)
    assert not falls_back(1.1)


def test_without_the_guard_the_closed_solution_would_be_worthless_there() -> None:
    matrix = breakage_matrix(EDGES, Breakage(0.2, 0.01, 0.9))
    vectors, weights, rates = modes(matrix, COARSE)
    assert weights is not None

    unguarded = vectors @ (weights * np.exp(rates * 24.0))

    assert np.abs(unguarded - in_long_doubles(matrix, 24.0, COARSE)).max() > 1


@pytest.mark.parametrize("classes", [5, 20, 80])
@pytest.mark.parametrize("exponent", [0.7, 1.0, 1.6])
def test_the_special_case_has_its_closed_form_at_every_edge_however_wide_the_classes(
    classes: int, exponent: float
) -> None:
    """S = k x^alpha and B = (x/y)^alpha: R(x, t) = R(x, 0)·exp(-k x^alpha t)."""
    edges = np.geomspace(0.5, 800.0, classes + 1)
    sums = 1 - np.exp(-((edges / 100) ** exponent))
    shares = np.diff(np.concatenate([[0.0], sums[1:-1], [1.0]]))
    how = Breakage(0.1, exponent, exponent, reference_um=100.0)

    for hours, row in zip((5.0, 20.0), grind(edges, shares, how, [5.0, 20.0]), strict=True):
        for place in range(1, classes):
            before, after = float(shares[place:].sum()), float(row[place:].sum())
            k = 0.1 / 100**exponent
            assert after == pytest.approx(
                oversize(before, float(edges[place]), hours, k, exponent), abs=1e-12
            )


def test_the_closed_form_by_hand() -> None:
    """k 0.001 per µm and hour, d' 100 µm, 20 h: d' becomes 33.333 and R(25) = exp(-0.75)."""
    assert oversize(np.exp(-25 / 100), 25.0, 20.0, 0.001) == pytest.approx(np.exp(-0.75))
    assert pytest.approx(33.333, abs=5e-4) == 1 / (1 / 100 + 0.001 * 20)


@settings(max_examples=60)
@given(
    st.floats(0.01, 3),
    st.floats(0, 2),
    st.floats(0.2, 3),
    st.floats(0, 1),
    st.lists(st.floats(0, 60), min_size=1),
)
def test_mass_is_kept_and_grains_only_get_finer(
    speed: float, exponent: float, fine: float, share: float, hours: list[float]
) -> None:
    rows = grind(EDGES, EVEN, Breakage(speed, exponent, fine, fine_share=share), sorted(hours))

    assert rows.sum(axis=1) == pytest.approx(1.0, abs=1e-10)
    assert rows.min() > -1e-10
    finer = np.cumsum(rows, axis=1)
    assert (np.diff(finer, axis=0) > -1e-10).all()


def test_the_order_of_the_times_does_not_matter() -> None:
    how = Breakage(0.2, 0.0, 0.9)  # the guarded way, which steps from time to time

    forward, backward = grind(EDGES, COARSE, how, [1.0, 5.0, 9.0]), grind(EDGES, COARSE, how, [9.0, 5.0, 1.0])

    assert forward == pytest.approx(backward[::-1], abs=1e-12)


@pytest.mark.parametrize(
    ("edges", "shares", "hours"),
    [
        ([1, 2, 3], [1.0], [1.0]),
        ([1, 3, 2], [0.5, 0.5], [1.0]),
        ([0, 1, 2], [0.5, 0.5], [1.0]),
        ([1, 2, 3], [0.5, 0.4], [1.0]),
        ([1, 2, 3], [1.5, -0.5], [1.0]),
        ([1, 2, 3], [0.5, 0.5], [-1.0]),
        ([1, 2, 3], [0.5, 0.5], [np.nan]),
    ],
)
def test_what_is_no_grinding_is_refused(edges, shares, hours) -> None:
    with pytest.raises(InputError):
        grind(edges, shares, Breakage(0.1, 1.0, 1.0), hours)


def test_constants_that_describe_no_breakage_are_refused() -> None:
    for wrong in ((0.0, 1.0, 1.0), (0.1, -1.0, 1.0), (0.1, 1.0, 0.0)):
        with pytest.raises(InputError):
            Breakage(*wrong)


TRUE = Breakage(0.15, 1.1, 0.8)
FIRST = Breakage(0.08, 0.8, 1.2)


def readings(noise: float) -> list[FinerReading]:
    rng = np.random.default_rng(5)
    made = []
    for hours, largest in ((4.0, 150.0), (12.0, 80.0), (24.0, 50.0), (48.0, 30.0)):
        sums = np.concatenate([[0.0], np.cumsum(grind(EDGES, COARSE, TRUE, [hours])[0])])
        for size in np.geomspace(8, largest, 5):
            finer = float(np.interp(np.log(size), np.log(EDGES), sums)) + noise * float(rng.standard_normal())
            made.append(FinerReading(hours, float(size), min(max(finer, 0.005), 0.995)))
    return made


def test_the_fit_finds_the_constants_that_made_the_readings() -> None:
    fit = fit_breakage(EDGES, COARSE, readings(0.0), FIRST)

    found = fit.breakage
    assert (found.speed, found.exponent, found.fine) == pytest.approx((0.15, 1.1, 0.8), rel=2e-4)
    assert fit.left_over < 1e-6


def test_the_fit_is_that_of_an_independent_least_squares_over_the_matrix_exponential() -> None:
    seen = readings(0.01)

    fit = fit_breakage(EDGES, COARSE, seen, FIRST)

    def miss(constants: np.ndarray) -> np.ndarray:
        how = Breakage(float(np.exp(constants[0])), float(constants[1]), float(np.exp(constants[2])))
        matrix = breakage_matrix(EDGES, how)
        rows = {hours: expm(matrix * hours) @ COARSE for hours in {one.hours for one in seen}}
        sums = {hours: np.concatenate([[0.0], np.cumsum(row)]) for hours, row in rows.items()}
        logs = np.log(EDGES)
        return np.array([np.interp(np.log(one.size_um), logs, sums[one.hours]) - one.finer for one in seen])

    other = least_squares(miss, [np.log(0.08), 0.8, np.log(1.2)], xtol=1e-12, ftol=1e-12)
    found = fit.breakage
    ours = (np.log(found.speed), found.exponent, np.log(found.fine))
    assert ours == pytest.approx(tuple(other.x), rel=1e-4)
    assert fit.left_over**2 * len(seen) <= 2 * other.cost * (1 + 1e-6)

    covariance = np.linalg.inv(other.jac.T @ other.jac) * 2 * other.cost / (len(seen) - 3)
    errors = (fit.speed_error, fit.exponent_error, fit.fine_error)
    assert errors == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-2)


def test_the_fit_works_where_rates_are_equal() -> None:
    """An exponent of zero: every trial takes the guarded way."""
    made = Breakage(0.05, 0.0, 0.8)
    seen = []
    for hours in (5.0, 15.0, 40.0):
        sums = np.concatenate([[0.0], np.cumsum(grind(EDGES, COARSE, made, [hours])[0])])
        seen += [
            FinerReading(hours, size, float(np.interp(np.log(size), np.log(EDGES), sums)))
            for size in (20.0, 90.0)
        ]

    fit = fit_breakage(EDGES, COARSE, seen, Breakage(0.03, 0.05, 1.0))

    assert fit.left_over < 1e-4


def test_readings_that_no_distribution_has_are_refused() -> None:
    good = readings(0.0)
    for wrong in (FinerReading(1.0, 5.0, 1.0), FinerReading(1.0, 0.5, 0.1), FinerReading(-1.0, 5.0, 0.1)):
        with pytest.raises(InputError):
            fit_breakage(EDGES, COARSE, [*good, wrong], FIRST)
    with pytest.raises(InputError, match="three readings"):
        fit_breakage(EDGES, COARSE, good[:2], FIRST)
