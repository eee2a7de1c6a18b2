"""Reading cooling curves: curves of the model cup, noise, and records that cannot be read."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from nibsmith.science.errors import InputError
from nibsmith.science.temper import Arrest, Cup, CupCurve, Fat, cup_curve, read_curve

CUP = Cup(coolant_celsius=8.0, start_celsius=31.5, constant_minutes=5.0, heat_capacity=1600.0)
SEEDS = (0.002, 0.005, 0.01, 0.02, 0.03, 0.05, 0.08)


@cache
def curve(seed: float) -> CupCurve:
    return cup_curve(seed, Fat(0.32), CUP, 25.0)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_reading_is_the_steepest_slope_after_the_fall(seed: float) -> None:
    reading = read_curve(60 * curve(seed).minutes, curve(seed).celsius, 8.0)

    slopes = np.gradient(curve(seed).celsius, curve(seed).minutes)[: 10 * 60]
    bend = int(np.argmax(slopes))
    assert reading.slope == pytest.approx(slopes[bend], abs=0.02)
    assert reading.inflection_celsius == pytest.approx(curve(seed).celsius[bend], abs=0.1)
    assert reading.inflection_minutes == pytest.approx(curve(seed).minutes[bend], abs=0.2)


def test_the_rise_is_from_the_lowest_to_the_highest_point_of_the_arrest() -> None:
    reading = read_curve(60 * curve(0.005).minutes, curve(0.005).celsius, 8.0)

    bottom = int(np.argmin(curve(0.005).celsius[:400]))
    assert reading.rise_k == pytest.approx(
        curve(0.005).celsius[bottom:].max() - curve(0.005).celsius[bottom], abs=0.01
    )


def test_more_seed_gives_a_lower_slope_at_a_higher_temperature() -> None:
    # As read in the manual of a temper meter: the more negative the slope, the more it is over-tempered.
    readings = [read_curve(60 * curve(seed).minutes, curve(seed).celsius, 8.0) for seed in SEEDS]

    slopes = [reading.slope for reading in readings]
    points = [reading.inflection_celsius for reading in readings]
    assert slopes == sorted(slopes, reverse=True)  # type: ignore[type-var]
    assert points == sorted(points)  # type: ignore[type-var]


def test_a_mass_without_seed_has_no_arrest() -> None:
    assert read_curve(60 * curve(0.0).minutes, curve(0.0).celsius, 8.0).arrest is Arrest.NONE


def test_plain_cooling_has_no_arrest() -> None:
    seconds = np.arange(0, 1500.0)

    reading = read_curve(seconds, 8 + 24 * np.exp(-seconds / 300), 8.0)

    assert reading.arrest is Arrest.NONE
    assert reading.slope is None


@pytest.mark.parametrize("coolant", [4.0, 8.0, 12.0])
@pytest.mark.parametrize("constant", [2.0, 3.0, 5.0, 8.0])
@pytest.mark.parametrize("soft", [Fat(0.32), Fat(0.32, lowering_k=3.0, butter_share=0.64)])
def test_no_record_of_a_seeded_cup_that_ends_early_is_called_unseeded(
    coolant: float, constant: float, soft: Fat
) -> None:
    lowering = float(soft.lowering_k)
    cup = replace(
        CUP, coolant_celsius=coolant, constant_minutes=constant, start_celsius=CUP.start_celsius - lowering
    )
    whole = cup_curve(0.005, soft, cup, 25.0)

    for end in range(210, whole.minutes.size, 45):
        reading = read_curve(60 * whole.minutes[:end], whole.celsius[:end], coolant, lowering)
        assert reading.arrest is not Arrest.NONE


def test_a_record_that_ends_before_its_bend_says_so_and_how_far_it_is_back() -> None:
    seconds, celsius = 60 * curve(0.005).minutes, curve(0.005).celsius
    bend = read_curve(seconds, celsius, 8.0).inflection_minutes
    assert bend is not None
    before = seconds < 60 * bend

    reading = read_curve(seconds[before], celsius[before], 8.0)

    assert reading.arrest is Arrest.ENDS
    assert reading.slope is None
    assert reading.rise_k == pytest.approx(celsius[before][-1] - celsius[before].min(), abs=0.02)


def test_a_cup_too_fast_for_the_limit_is_not_called_unseeded() -> None:
    fast = cup_curve(0.02, Fat(0.32), replace(CUP, constant_minutes=2.0), 25.0)

    reading = read_curve(60 * fast.minutes, fast.celsius, 8.0)

    assert reading.arrest is Arrest.LOW


@pytest.mark.parametrize(("coolant", "readable"), [(14.0, True), (15.9, True), (16.3, False), (20.0, False)])
def test_a_cup_does_not_get_colder_than_its_coolant_but_for_two_thermometers(
    coolant: float, *, readable: bool
) -> None:
    seconds = np.arange(0, 1500.0, 5)
    celsius = 15 + 16.5 * np.exp(-seconds / 200)
    if readable:
        assert read_curve(seconds, celsius, coolant).coolant_celsius == coolant
        return
    with pytest.raises(InputError, match="colder than its cold body"):
        read_curve(seconds, celsius, coolant)


@pytest.mark.parametrize(("noise", "every"), [(0.02, 1), (0.05, 2), (0.05, 5), (0.1, 1)])
@pytest.mark.parametrize("seed", [0.005, 0.02, 0.05])
def test_noise_moves_the_slope_no_more_than_the_error_says(seed: float, noise: float, every: int) -> None:
    random = np.random.default_rng(5)
    true = read_curve(60 * curve(seed).minutes, curve(seed).celsius, 8.0).slope
    seconds, celsius = 60 * curve(seed).minutes[::every], curve(seed).celsius[::every]

    readings = [read_curve(seconds, celsius + random.normal(0, noise, seconds.size), 8.0) for _ in range(20)]

    inside = [abs(reading.slope - true) <= reading.slope_error for reading in readings]  # type: ignore[operator]
    assert sum(inside) >= 19


def test_milk_chocolate_is_held_up_at_lower_temperatures() -> None:
    soft = cup_curve(0.02, Fat(0.32, lowering_k=3.0, butter_share=0.64), CUP, 25.0)

    reading = read_curve(60 * soft.minutes, soft.celsius, 8.0, lowering_k=3.0)

    assert reading.arrest is Arrest.FOUND
    assert reading.inflection_celsius < 20  # type: ignore[operator]


SECONDS = np.arange(0.0, 600.0, 5.0)
FALLING = 31.5 - SECONDS / 40


@pytest.mark.parametrize(
    ("seconds", "celsius", "words"),
    [
        (SECONDS[:2], FALLING[:2], "Too few"),
        (SECONDS[::-1], FALLING, "do not rise"),
        (np.where(SECONDS == 100, 95, SECONDS), FALLING, "row 21"),
        (SECONDS, np.full_like(SECONDS, 31.5), "does not fall"),
        (SECONDS, FALLING * 1.8 + 32, "°F"),
        (SECONDS, np.where(SECONDS == 50, np.nan, FALLING), "row 11"),
        (SECONDS / 10, FALLING, "too short"),
        (np.where(SECONDS > 200, SECONDS + 60, SECONDS), FALLING, "gap"),
        (SECONDS[1:], FALLING, "needs a temperature"),
        (SECONDS, FALLING - 30, "warmer than its cold body"),
        (np.array([]), np.array([]), "Too few"),
    ],
)
def test_a_record_that_cannot_be_read_says_why(seconds: np.ndarray, celsius: np.ndarray, words: str) -> None:
    with pytest.raises(InputError, match=words):
        read_curve(seconds, celsius, 8.0)
