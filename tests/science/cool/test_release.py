"""When bars come off, how much they shrink, and what they bring into a fridge."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.cool import (
    Bar,
    Course,
    Faces,
    Moulds,
    Waiting,
    Wind,
    contraction,
    cool_air,
    cool_many,
    fridge_load,
    plate_coefficient,
    radiation_coefficient,
    released,
    through_wall,
    usual_coefficient,
    usual_slab,
)
from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.temper import Fat


# Worked by hand from the densities 0.89, 0.975 and 1.50: volume 6.63 % and length 2.26 % for butter alone
# with 76 % crystals; 0.93, 1.06, 1.18 % of the length for 30, 35, 40 % fat.
@pytest.mark.parametrize(("fat", "percent"), [(1.0, 2.26), (0.30, 0.93), (0.35, 1.06), (0.40, 1.18)])
def test_contraction_is_that_of_the_densities(fat: float, percent: float) -> None:
    assert contraction(fat, 0.76) == pytest.approx(percent, abs=0.0055)


@given(st.floats(0.2, 1), st.floats(0, 0.9), st.floats(0, 0.1))
def test_more_crystals_and_more_fat_shrink_more(fat: float, solids: float, more: float) -> None:
    assert contraction(fat, solids + more) >= contraction(fat, solids)
    assert contraction(min(1.0, fat + more), solids) >= contraction(fat, solids) - 1e-12


def test_seeds_in_the_mass_have_shrunk_already() -> None:
    assert contraction(0.35, 0.02, start=0.02) == pytest.approx(0)


def made_up(core: list[float], solids: list[float], low: float = 0.0) -> tuple[Course, Bar]:
    """A course with these numbers, minute by minute, of a fat that is four fifths solid at rest."""
    celsius = np.array(core)[:, None, None]
    forms = np.zeros((4, len(core), 1))
    forms[2, :, 0], forms[0, :, 0] = np.array(solids) * (1 - low), np.array(solids) * low
    course = Course(
        np.arange(len(core), dtype=float),
        np.array([0.5]),
        np.array([1.0]),
        celsius,
        celsius[:, 0],
        forms,
        np.full((len(core), 1), 0.8),
    )
    return course, Bar(usual_slab(0.008), Faces(12.0, 20.0, 15.0), Fat(0.40), 31.0, 0.0)


def test_a_bar_waits_for_its_core() -> None:
    found = released(*made_up([31, 20, 17, 15, 14], [0, 0.8, 0.8, 0.8, 0.8]))

    assert found.minutes[0] == pytest.approx(2.5)
    assert found.core[0] == pytest.approx(16)
    assert found.waiting == (Waiting.CORE,)


def test_a_bar_waits_for_its_solids() -> None:
    found = released(*made_up([31, 15, 14, 13, 12], [0, 0.5, 0.7, 0.74, 0.8]))

    assert found.minutes[0] == pytest.approx(2.5)
    assert found.waiting == (Waiting.SOLIDS,)


def test_a_bar_in_low_forms_waits_for_its_contraction() -> None:
    course, bar = made_up([31, 15, 14, 13, 12], [0, 0.75, 0.76, 0.78, 0.79], low=1.0)

    lean = Bar(bar.slab, bar.faces, Fat(0.30), 31.0, 0.0)
    assert released(course, lean).waiting == (Waiting.CONTRACTION,)
    assert np.isnan(released(course, lean).minutes[0])


def test_a_bar_that_never_gets_cool_has_no_time_and_says_what_lacks() -> None:
    bar = Bar(usual_slab(0.008), Faces(18.0, 20.0, 15.0), Fat(0.35), 31.0, 0.02)

    found = released(cool_many(bar, 120), bar)

    assert np.isnan(found.minutes[0])
    assert np.isnan(found.unstable[0])
    assert found.waiting == (Waiting.CORE,)


def test_the_time_hardly_depends_on_how_often_the_course_is_kept() -> None:
    bar = Bar(usual_slab(0.008), Faces(12.0, np.array([8.0, 20.0]), 12.0), Fat(0.35), 31.0, 0.02)

    fine, coarse = (released(cool_many(bar, 120, every_s), bar).minutes for every_s in (10, 120))

    assert coarse == pytest.approx(fine, abs=0.1)


def test_each_bar_has_its_own_time() -> None:
    thickness = np.array([0.004, 0.012])
    bars = Bar(usual_slab(thickness), Faces(12.0, 20.0, 15.0), Fat(0.35), 31.0, 0.02)

    found = released(cool_many(bars, 90), bars)

    for place, one in enumerate(thickness):
        alone = Bar(usual_slab(float(one)), Faces(12.0, 20.0, 15.0), Fat(0.35), 31.0, 0.02)
        assert found.minutes[place] == pytest.approx(released(cool_many(alone, 90), alone).minutes[0])


@given(st.integers(1, 30), st.floats(50, 2000), st.floats(0, 500), st.floats(5, 90))
def test_heat_grows_with_the_moulds_and_power_falls_with_the_time(
    count: int, chocolate_g: float, empty_g: float, minutes: float
) -> None:
    one = fridge_load(Moulds(1, chocolate_g, empty_g, 20.0), 31.0, 14.0, minutes)
    many = fridge_load(Moulds(count, chocolate_g, empty_g, 20.0), 31.0, 14.0, minutes)

    assert many.total == pytest.approx(count * one.total)
    assert many.mean_w * 60 * minutes == pytest.approx(many.total)
    assert many.at_once == one.at_once


def test_as_many_moulds_as_fit_the_power_are_taken_up_and_one_more_is_not() -> None:
    one = fridge_load(Moulds(1, 300.0, 100.0, 20.0), 31.0, 14.0, 40.0, power_w=60.0)

    assert one.at_once * one.mean_w <= 60 < (one.at_once + 1) * one.mean_w


@pytest.mark.parametrize(
    ("count", "grams", "minutes", "to"), [(0, 300, 30, 14), (1, 0, 30, 14), (1, 300, 0, 14), (1, 300, 30, 31)]
)
def test_a_load_that_cannot_be_is_refused(count: int, grams: float, minutes: float, to: float) -> None:
    with pytest.raises(InputError):
        fridge_load(Moulds(count, grams, 0.0, 20.0), 31.0, to, minutes)


# Air at 12 °C along a plate of 10 cm, worked out beforehand with air of a handbook; radiation adds 4.8.
@pytest.mark.parametrize(("speed", "coefficient"), [(0.5, 8.8), (1, 12.4), (2, 17.6), (3, 21.5), (5, 27.8)])
def test_air_along_a_plate_cools_with_the_root_of_its_speed(speed: float, coefficient: float) -> None:
    assert plate_coefficient(speed, 0.1, cool_air()) == pytest.approx(coefficient, rel=0.015)


def test_the_words_for_air_are_what_the_plate_gives() -> None:
    glow = radiation_coefficient(20.0, 12.0)
    assert glow == pytest.approx(4.8, abs=0.15)

    for wind, slow, fast in ((Wind.FAN, 0.5, 1.5), (Wind.STRONG, 2, 5)):
        usual = usual_coefficient(wind)
        along = [plate_coefficient(speed, 0.1, cool_air()) + glow for speed in (slow, fast)]
        assert along[0] - 2 <= usual.low <= usual.value <= usual.high <= along[1] + 1


@pytest.mark.parametrize(("speed", "length"), [(0, 0.1), (1, 0), (-1, 0.1)])
def test_air_that_does_not_flow_is_refused(speed: float, length: float) -> None:
    with pytest.raises(InputError):
        plate_coefficient(speed, length, cool_air())


def test_air_that_swirls_is_out_of_range() -> None:
    with pytest.raises(OutOfRange):
        plate_coefficient(100.0, 1.0, cool_air())


def test_a_wall_is_a_resistance_in_series() -> None:
    assert 1 / through_wall(20.0, 0.01) == pytest.approx(1 / 20 + 0.01)
    assert through_wall(20.0, 0.0) == 20
    with pytest.raises(InputError):
        through_wall(0.0)
