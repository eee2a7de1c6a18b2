"""Draws that fill a space evenly, against integrals known in closed form and against random draws."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import qmc

from nibsmith.science.errors import OutOfRange
from nibsmith.science.numerics import LogNormal, Triangle
from nibsmith.science.numerics.quasi import quasi_drawn, quasi_uniform


@pytest.mark.parametrize("columns", [1, 3, 8])
def test_points_fill_the_cube_so_that_means_come_out(columns: int) -> None:
    points = quasi_uniform(256, columns)

    assert points.shape == (256, columns)
    assert ((points > 0) & (points < 1)).all()
    assert points.mean(axis=0) == pytest.approx(np.full(columns, 0.5), abs=0.01)
    assert (points**2).mean(axis=0) == pytest.approx(np.full(columns, 1 / 3), abs=0.01)


@pytest.mark.parametrize("columns", [1, 2, 7, 12])
def test_points_are_those_of_scipys_sobol_sequence_moved_by_half_a_cell(columns: int) -> None:
    # scipy takes the same direction numbers (Joe and Kuo).
    wanted = qmc.Sobol(columns, scramble=False).random(256)

    assert quasi_uniform(256, columns) == pytest.approx(wanted + 1 / 512, abs=1e-9)


def test_more_directions_than_are_tabled_are_refused() -> None:
    with pytest.raises(OutOfRange):
        quasi_uniform(4, 13)


def test_pairs_of_columns_do_not_go_together() -> None:
    points = quasi_uniform(256, 8)

    off_diagonal = np.corrcoef(points.T) - np.eye(8)
    assert np.abs(off_diagonal).max() < 0.1


def test_they_integrate_better_than_random_draws() -> None:
    def integral(points: np.ndarray) -> float:
        return float(np.prod(1 + 0.5 * (points - 0.5), axis=1).mean())  # one, exactly

    random = np.random.default_rng(4)
    errors = [abs(integral(random.uniform(size=(256, 6))) - 1) for _ in range(50)]
    assert abs(integral(quasi_uniform(256, 6)) - 1) < np.median(errors) / 5


def test_draws_have_the_middle_and_spread_of_their_distribution() -> None:
    found = quasi_drawn({"size": Triangle(0.0, 3.0, 6.0), "kit": LogNormal(2.0, 1.4)})

    assert found["size"].mean() == pytest.approx(3, abs=0.02)
    assert found["size"].std() == pytest.approx(6 / np.sqrt(24), rel=0.02)
    assert np.exp(np.log(found["kit"]).mean()) == pytest.approx(2, rel=0.01)
    assert np.exp(np.log(found["kit"]).std()) == pytest.approx(1.4, rel=0.02)


def test_the_same_question_gets_the_same_draws() -> None:
    inputs = {"a": Triangle(0.0, 1.0, 2.0), "b": Triangle(0.0, 1.0, 2.0)}

    assert (quasi_drawn(inputs)["b"] == quasi_drawn(inputs)["b"]).all()
    assert not (quasi_drawn(inputs)["a"] == quasi_drawn(inputs)["b"]).all()


def test_nothing_that_varies_is_drawn_as_nothing() -> None:
    assert quasi_drawn({}) == {}
