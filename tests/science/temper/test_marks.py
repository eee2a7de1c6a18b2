"""Limits for a maker's own cup, from curves that the maker has marked."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.temper import MarkedCurve, Temper, comparable, judged, slope_limits


def marked(*pairs: tuple[float, str]) -> list[MarkedCurve]:
    return [MarkedCurve(slope, 8.0, 31.5, Temper(mark)) for slope, mark in pairs]


THREE = marked((0.2, "well"), (0.9, "under"), (-0.3, "over"))


def test_two_curves_are_not_enough() -> None:
    assert slope_limits(THREE[:2]) is None


def test_limits_lie_midway_between_good_and_other_curves() -> None:
    limits = slope_limits(THREE)

    assert limits is not None
    assert (limits.low, limits.high) == pytest.approx((-0.05, 0.55))


@pytest.mark.parametrize(("slope", "verdict"), [(0.2, "well"), (0.6, "under"), (-0.1, "over"), (0.5, "well")])
def test_a_slope_is_judged_by_the_makers_own_limits(slope: float, verdict: str) -> None:
    limits = slope_limits(THREE)

    assert limits is not None
    assert judged(slope, limits, THREE) is Temper(verdict)


def test_three_good_curves_tell_nothing_of_what_lies_outside_them() -> None:
    curves = marked((0.2, "well"), (0.3, "well"), (0.4, "well"))
    limits = slope_limits(curves)

    assert limits is not None
    assert judged(0.3, limits, curves) is Temper.WELL
    assert judged(0.5, limits, curves) is None
    assert judged(0.1, limits, curves) is None


@pytest.mark.parametrize(
    "curves",
    [
        marked((0.2, "under"), (0.3, "under"), (0.4, "over")),
        marked((0.5, "well"), (0.3, "under"), (-0.4, "over")),
        marked((0.2, "well"), (0.9, "under"), (0.3, "over")),
    ],
)
def test_marks_without_a_good_curve_or_against_each_other_set_no_limits(curves: list[MarkedCurve]) -> None:
    assert slope_limits(curves) is None


def test_only_curves_taken_alike_are_compared() -> None:
    curves = [MarkedCurve(0.1, 8.0, 31.5, Temper.WELL), MarkedCurve(0.2, 8.9, 33.0, Temper.WELL)]

    assert comparable(curves, 8.0, 31.5) == tuple(curves)
    assert comparable(curves, 10.0, 31.5) == ()
    assert comparable(curves, 8.0, 29.0) == ()


@given(st.lists(st.floats(-1, 1), min_size=3, max_size=8))
def test_every_marked_good_curve_is_judged_good(slopes: list[float]) -> None:
    curves = marked(*((slope, "well") for slope in slopes), (1.5, "under"), (-1.5, "over"))
    limits = slope_limits(curves)

    assert limits is not None
    assert all(judged(slope, limits, curves) is Temper.WELL for slope in slopes)
