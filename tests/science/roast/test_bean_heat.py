"""A bean as a body, and the heat that reaches it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import dblquad

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.roast import (
    BeanSize,
    Roaster,
    bean_heat,
    dry_air,
    moving_air_transfer,
    radiation,
    sphere_convection,
    usual_shares,
    usual_transfer,
)

MM = st.floats(1.0, 30.0)


@given(MM)
def test_a_round_bean_is_a_sphere(size: float) -> None:
    ball = BeanSize(size, size, size)

    assert ball.sphericity == pytest.approx(1)
    assert ball.volume_mm3 == pytest.approx(math.pi / 6 * size**3)
    assert ball.surface_mm2 == pytest.approx(math.pi * size**2)
    assert ball.equivalent_radius_mm == pytest.approx(size / 2)


def test_the_surface_of_a_bean_is_that_of_the_ellipsoid_within_its_error() -> None:
    """scipy.integrate over the ellipsoid itself; the short formula is good to 1.1 %."""
    a, b, c = 22.41 / 2, 12.20 / 2, 7.36 / 2

    def element(v: float, u: float) -> float:
        x, y, z = math.sin(u) * math.cos(v), math.sin(u) * math.sin(v), math.cos(u)
        return math.sin(u) * math.sqrt((b * c * x) ** 2 + (a * c * y) ** 2 + (a * b * z) ** 2)

    exact = dblquad(element, 0, math.pi, 0, 2 * math.pi)[0]

    assert BeanSize(22.41, 12.20, 7.36).surface_mm2 == pytest.approx(exact, rel=0.011)


@given(st.permutations(["water", "fat", "protein", "carbohydrate", "fibre", "ash"]), st.floats(-40, 150))
def test_a_mix_of_two_constituents_lies_between_them(names: list[str], celsius: float) -> None:
    one, two = (bean_heat({name: 1.0}, celsius) for name in names[:2])
    mixed = bean_heat(dict.fromkeys(names[:2], 0.5), celsius)

    for figure in ("heat_capacity", "density", "conductivity"):
        low, high = sorted(getattr(each, figure) for each in (one, two))
        assert low - 1e-9 <= getattr(mixed, figure) <= high + 1e-9


@pytest.mark.parametrize(
    ("shares", "celsius", "error"),
    [
        ({"water": 0.5}, 20.0, InputError),
        ({"water": 1.5, "fat": -0.5}, 20.0, InputError),
        ({"sand": 1.0}, 20.0, InputError),
        (usual_shares(), 151.0, OutOfRange),
    ],
)
def test_what_the_laws_do_not_reach_is_refused(shares: dict[str, float], celsius: float, error: type) -> None:
    with pytest.raises(error):
        bean_heat(shares, celsius)


def test_a_bean_has_sizes_above_zero() -> None:
    with pytest.raises(InputError):
        BeanSize(20.0, 0.0, 8.0)


@given(st.floats(0.0, 10.0), MM, st.floats(20, 250))
def test_faster_air_gives_more_heat_and_still_air_that_of_conduction(
    speed: float, size: float, celsius: float
) -> None:
    still = sphere_convection(0.0, size, celsius)

    assert still == pytest.approx(2 * dry_air(celsius).conductivity / (size / 1000))
    assert sphere_convection(speed + 0.5, size, celsius) > sphere_convection(speed, size, celsius) >= still


@given(st.floats(20, 200), st.floats(20, 250))
def test_radiation_is_the_difference_of_fourth_powers(bean: float, wall: float) -> None:
    one, two = bean + 273.15, wall + 273.15
    flow = 0.9 * 5.670374e-8 * (two**4 - one**4)

    assert radiation(bean, wall) * (wall - bean) == pytest.approx(flow, rel=1e-9, abs=1e-6)


def test_moving_air_gives_what_it_brings_and_what_the_walls_send() -> None:
    found = moving_air_transfer(2.0, 12.6, 140.0, 100.0)

    assert found == sphere_convection(2.0, 12.6, 140.0) + radiation(100.0, 140.0)
    assert usual_transfer(Roaster.DRUM).low < found < usual_transfer(Roaster.DRUM).high + 10


def test_heat_that_cannot_be_is_refused() -> None:
    for wrong in ((-1.0, 12.0, 140.0), (1.0, 0.0, 140.0)):
        with pytest.raises(InputError):
            sphere_convection(*wrong)
    with pytest.raises(InputError):
        radiation(100.0, 150.0, 1.1)
    with pytest.raises(OutOfRange):
        dry_air(501.0)


def test_every_roaster_has_a_range_around_its_usual_heat() -> None:
    spans = [usual_transfer(roaster) for roaster in Roaster]

    assert all(span.low < span.value < span.high for span in spans)
    assert [span.value for span in spans] == sorted(span.value for span in spans)
