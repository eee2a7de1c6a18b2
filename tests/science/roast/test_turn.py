"""Where a course turned, and what is counted after it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.roast import Curve, log_reduction, turn_of
from roast_courses import curves


def course(minutes: list[float], celsius: list[float]) -> Curve:
    return Curve(60 * np.array(minutes), np.array(celsius, dtype=float), 4000.0)


def test_a_probe_left_in_the_hot_drum_goes_on_after_the_turn() -> None:
    """By hand: from 135 °C at 20.9 min to the end at 80 min it is 136 °C but for six seconds."""
    found = turn_of(course([0, 20, 21, 80], [24, 120, 136, 136]))
    held = log_reduction(course([0, 59], [136, 136]))

    assert (found.celsius, found.end_s) == (135.0, 4800.0)
    assert found.time_s == pytest.approx(60 * (20 + 15 / 16))
    assert found.after == pytest.approx(held, rel=0.01)


def test_a_course_that_rises_to_its_end_has_little_after_the_turn() -> None:
    """One kelvin at two kelvins a minute is half a minute; at 130 °C that is an eighth of a reduction."""
    found = turn_of(course([0, 30, 35], [24, 120, 130]))

    assert found.time_s == pytest.approx(60 * 34.5)
    assert found.after == pytest.approx(0.5 / 4.2, rel=0.05)


def test_what_comes_after_a_fall_lies_after_the_turn_however_hot() -> None:
    found = turn_of(course([0, 25, 26, 40, 60], [24, 125, 80, 140, 140]))

    assert found.time_s < 60 * 25
    assert found.after > log_reduction(course([0, 20], [140, 140]))


@given(curves(), st.floats(0.0, 30.0))
def test_the_heat_after_the_turn_is_no_more_than_all_of_it(curve: Curve, warmer: float) -> None:
    found = turn_of(curve.shifted(warmer))

    assert curve.start_s <= found.time_s <= curve.end_s == found.end_s
    assert 0 <= found.after <= log_reduction(curve.shifted(warmer)) * (1 + 1e-9) + 1e-12
