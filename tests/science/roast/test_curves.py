"""A temperature over time: time above, the coldest of several probes, gaps."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.roast import Curve, Probe, Role, coldest, from_the_charge, time_above
from roast_courses import GAP, curves


def probe(curve: Curve, **facts: float) -> Probe:
    return Probe("beans", Role.BEAN, curve, **facts)


@given(curves(), st.integers(0, 180))
def test_time_above_is_that_of_a_fine_count(curve: Curve, limit: int) -> None:
    """Ten thousand midpoints: off by no more than a few of their steps."""
    steps = np.linspace(0, curve.duration_s, 10_001)
    middles = (steps[:-1] + steps[1:]) / 2
    share = (np.interp(middles, curve.times_s, curve.celsius) > limit).mean()

    assert time_above(curve, limit) / curve.duration_s == pytest.approx(share, abs=curve.times_s.size * 1e-4)


@given(curves(), st.integers(0, 180))
def test_time_above_and_below_make_the_whole(curve: Curve, limit: int) -> None:
    below = time_above(Curve(curve.times_s, -curve.celsius, GAP), -limit)
    level = sum(
        last - first
        for first, last, one, two in zip(
            curve.times_s[:-1], curve.times_s[1:], curve.celsius[:-1], curve.celsius[1:], strict=True
        )
        if one == two == limit
    )

    assert time_above(curve, limit) + below + level == pytest.approx(curve.duration_s, rel=1e-12)


@given(curves(), curves())
def test_the_coldest_is_the_lower_of_both_everywhere(one: Curve, two: Curve) -> None:
    found = coldest((probe(one), probe(two)))
    at = np.linspace(found.start_s, found.end_s, 400)

    lower = np.minimum(one.at(at), two.at(at))
    assert np.interp(at, found.times_s, found.celsius) == pytest.approx(lower, abs=1e-6)


def test_the_coldest_lies_below_by_each_probes_own_uncertainty_and_offset() -> None:
    level = Curve(np.array([0.0, 60.0]), np.array([120.0, 120.0]), GAP)

    found = coldest((probe(level, uncertainty_k=1.0), probe(level, offset_k=-2.0, uncertainty_k=0.5)))

    assert found.celsius.tolist() == [117.5, 117.5]


def test_a_gap_of_one_probe_stays_a_gap_of_the_coldest() -> None:
    torn = Curve(np.array([0.0, 10.0, 500.0, 510.0]), np.array([100.0, 100.0, 120.0, 120.0]), 30.0)
    whole = Curve(np.arange(0.0, 511.0, 10.0), np.full(52, 130.0), 30.0)

    found = coldest((probe(torn), probe(whole)))

    assert time_above(found, 0.0) == 20.0


def test_probes_without_a_common_time_are_refused() -> None:
    early = Curve(np.array([0.0, 10.0]), np.array([20.0, 30.0]), GAP)
    late = Curve(np.array([20.0, 30.0]), np.array([20.0, 30.0]), GAP)

    with pytest.raises(InputError, match="share no time"):
        coldest((probe(early), probe(late)))
    with pytest.raises(InputError, match="no probe"):
        coldest(())


def test_no_value_is_given_outside_or_inside_a_gap() -> None:
    torn = Curve(np.array([0.0, 10.0, 500.0]), np.array([100.0, 101.0, 120.0]), 30.0)

    found = torn.at(np.array([-1.0, 5.0, 10.0, 250.0, 500.0, 501.0]))

    assert np.isnan(found).tolist() == [True, False, False, True, False, True]
    assert found[[1, 2, 4]].tolist() == [100.5, 101.0, 120.0]


def test_one_reading_is_a_curve_of_no_length() -> None:
    alone = Curve(np.array([30.0]), np.array([100.0]), GAP)

    assert (alone.duration_s, alone.constant, alone.at(30.0).tolist()) == (0.0, True, [100.0])
    assert time_above(alone, 20.0) == 0.0


@pytest.mark.parametrize(
    ("times", "celsius", "gap", "words"),
    [
        ([0.0, 1.0], [20.0], 30.0, "one temperature for each time"),
        ([], [], 30.0, "one temperature for each time"),
        ([0.0, 0.0], [20.0, 21.0], 30.0, "times of a curve rise"),
        ([0.0, 1.0], [20.0, np.nan], 30.0, "finite numbers"),
        ([0.0, 1.0], [20.0, 21.0], 0.0, "longest pause"),
    ],
)
def test_what_is_no_curve_is_refused(
    times: list[float], celsius: list[float], gap: float, words: str
) -> None:
    with pytest.raises(InputError, match=words):
        Curve(np.array(times), np.array(celsius), gap)


def test_an_uncertainty_below_zero_is_refused() -> None:
    with pytest.raises(InputError, match="zero or more"):
        probe(Curve(np.array([0.0]), np.array([20.0]), GAP), uncertainty_k=-1.0)


@given(curves(), st.floats(0.0, 0.9), st.floats(0.05, 1.0))
def test_a_part_of_a_curve_lies_on_it(curve: Curve, start: float, share: float) -> None:
    first = curve.start_s + start * curve.duration_s
    last = first + share * (curve.end_s - first)
    if last - first < 1e-6:
        return
    part = curve.between(first, last)

    assert (part.start_s, part.end_s) == (first, last)
    assert part.celsius == pytest.approx(curve.at(part.times_s), abs=1e-9)
    assert time_above(part, 100.0) <= time_above(curve, 100.0) + 1e-6


def test_a_part_that_ends_in_a_gap_ends_at_its_last_reading() -> None:
    torn = Curve(np.array([0.0, 10.0, 500.0, 510.0]), np.array([20.0, 30.0, 90.0, 95.0]), 30.0)

    assert torn.between(0.0, 300.0).times_s.tolist() == [0.0, 10.0]
    with pytest.raises(InputError, match="no readings"):
        torn.between(100.0, 300.0)
    with pytest.raises(InputError, match="at no time"):
        torn.between(600.0, 700.0)


def test_a_door_opened_on_the_way_is_no_charge() -> None:
    opened = Curve(np.array([0.0, 600.0, 700.0, 1200.0]), np.array([22.0, 120.0, 98.0, 125.0]), 700.0)

    assert from_the_charge(opened) is opened


def test_a_probe_that_never_gets_hot_has_no_charge_to_look_for() -> None:
    cool = Curve(np.array([0.0, 600.0]), np.array([80.0, 40.0]), 700.0)

    assert from_the_charge(cool) is cool


def test_beans_that_cool_after_the_roast_do_not_move_the_charge() -> None:
    whole = Curve(np.array([0.0, 120.0, 900.0, 1500.0]), np.array([150.0, 90.0, 125.0, 30.0]), 900.0)

    assert from_the_charge(whole).times_s.tolist() == [120.0, 900.0, 1500.0]
