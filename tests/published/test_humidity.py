"""Dew points and damp faces against three other programs.

psychrolib 2.5, CoolProp 8.0 (HAPropsSI) and pvlib 0.16.1 (tdew_from_rh), values as they printed them on
2026-11-25. The first two use other equations for the pressure of water, so that they differ by some
hundredths of a kelvin; pvlib has the same formula.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.cool import dew_point, safe_surface, surface_humidity, vapour_pressure
from nibsmith.science.errors import InputError, OutOfRange

PSYCHROLIB = {(20, 50): 9.272, (20, 60): 12.007, (25, 50): 13.864}
COOLPROP = {(20, 50): 9.274, (20, 60): 12.009, (25, 50): 13.867}
PVLIB = {
    (18, 50): 7.415,
    (20, 50): 9.255,
    (20, 55): 10.680,
    (20, 60): 11.995,
    (22, 60): 13.875,
    (25, 50): 13.852,
    (25, 60): 16.693,
    (30, 80): 26.169,
}


@pytest.mark.parametrize(("other", "within"), [(PSYCHROLIB, 0.03), (COOLPROP, 0.03), (PVLIB, 0.00051)])
def test_dew_points_are_those_of_other_programs(other: dict[tuple[int, int], float], within: float) -> None:
    for (celsius, humidity), found in other.items():
        assert dew_point(celsius, humidity) == pytest.approx(found, abs=within)


def test_the_pressure_over_water_at_20_degrees_is_that_of_the_tables() -> None:
    # 2.339 kPa in steam tables (from memory); pvlib has 23.3260 hPa with the same formula.
    assert vapour_pressure(20.0) == pytest.approx(23.39, rel=0.003)
    assert vapour_pressure(20.0) == pytest.approx(23.3260, abs=5e-5)


# Air, and how warm a face must be where milk (78 %) and dark chocolate (82 %) begin to take up water.
SAFE = {
    (18, 50): (11.11, 10.36),
    (20, 50): (13.00, 12.24),
    (20, 60): (15.83, 15.05),
    (25, 50): (17.74, 16.95),
    (25, 60): (20.67, 19.86),
}


@pytest.mark.parametrize("air", SAFE)
def test_safe_faces_are_those_of_a_table_worked_out_beforehand(air: tuple[int, int]) -> None:
    assert [safe_surface(*air, limit) for limit in (78, 82)] == pytest.approx(SAFE[air], abs=0.006)


@pytest.mark.parametrize(("face", "humidity"), [(14, 73.1), (12, 83.3), (10, 95.1)])
def test_a_bar_above_the_dew_point_may_still_be_too_damp(face: float, humidity: float) -> None:
    assert face > dew_point(20, 50)
    assert surface_humidity(face, 20, 50) == pytest.approx(humidity, abs=0.05)


def test_a_bar_from_a_home_fridge_gets_wet() -> None:
    assert surface_humidity(4, 20, 50) > 100


@given(st.floats(-5, 50), st.floats(5, 100))
def test_air_at_its_dew_point_is_full(celsius: float, humidity: float) -> None:
    assert surface_humidity(dew_point(celsius, humidity), celsius, humidity) == pytest.approx(100, rel=1e-9)


@given(st.floats(0, 40), st.floats(5, 100), st.floats(5, 100))
def test_a_safe_face_bears_just_its_limit(celsius: float, humidity: float, limit: float) -> None:
    face = safe_surface(celsius, humidity, limit)

    if -45 < face < 60:
        assert surface_humidity(face, celsius, humidity) == pytest.approx(limit, rel=1e-9)


@given(st.floats(-45, 59), st.floats(0.01, 1))
def test_warmer_water_has_the_higher_pressure(celsius: float, warmer: float) -> None:
    assert vapour_pressure(celsius + warmer) > vapour_pressure(celsius)


@pytest.mark.parametrize("humidity", [0, -5, 100.1, math.nan])
def test_a_humidity_that_cannot_be_is_refused(humidity: float) -> None:
    for call in (dew_point, lambda t, rh: surface_humidity(10, t, rh), lambda t, rh: safe_surface(t, rh, 80)):
        with pytest.raises(InputError):
            call(20, humidity)


@pytest.mark.parametrize("celsius", [-46, 61])
def test_outside_its_range_there_is_no_pressure(celsius: float) -> None:
    with pytest.raises(OutOfRange):
        vapour_pressure(celsius)
