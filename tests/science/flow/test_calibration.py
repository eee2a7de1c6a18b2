"""Calibration: readings move and narrow the factors, one wild reading does not, and batches always differ."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from nibsmith.science.errors import InputError
from nibsmith.science.flow import (
    Casson,
    CupReading,
    Feel,
    RingReading,
    Use,
    ViscometerReading,
    WordReading,
    calibrate,
    of_one_mass,
    ring_yield,
)

SAID = Casson(12.0, 2.2)
THICK = Casson(24.0, 4.4)
KIT = np.sqrt(np.log(2) ** 2 - np.log(1.3) ** 2)


def test_with_no_reading_two_in_three_lie_within_a_factor_two() -> None:
    prior = calibrate([])

    assert (prior.eta_factor.low, prior.eta_factor.value, prior.eta_factor.high) == (0.5, 1.0, 2.0)
    assert prior.tau_factor == prior.eta_factor
    assert prior.observations == 0
    assert prior.eta_spread == pytest.approx(2.0)


def test_one_ring_is_weighed_as_an_independent_integral_weighs_it() -> None:
    """A ring says nothing of the viscosity; its posterior on the yield is one integral."""
    reading = RingReading(SAID, diameter_mm=90.0, volume_cm3=25.0, density=1220.0)
    seen = np.log(ring_yield(90.0, 25.0, 1220.0) / SAID.yield_pa)
    scale = np.hypot(np.log(1.3), np.log(1.5))

    def density(x: float) -> float:
        return float(np.exp(-0.5 * (x / KIT) ** 2) * (1 + ((seen - x) / scale) ** 2 / 4) ** -2.5)

    total = quad(density, -4, 4)[0]
    mean = quad(lambda x: x * density(x), -4, 4)[0] / total
    variance = quad(lambda x: (x - mean) ** 2 * density(x), -4, 4)[0] / total

    found = calibrate([reading])

    assert found.tau_factor.value == pytest.approx(np.exp(mean), rel=2e-3)
    both = np.exp(np.hypot(np.sqrt(variance), np.log(1.3)))
    assert found.tau_spread == pytest.approx(both, rel=2e-3)
    assert found.eta_factor.value == pytest.approx(1.0, abs=2e-3)
    assert found.eta_spread == pytest.approx(2.0, rel=2e-3)


@settings(max_examples=20)
@given(st.floats(0.4, 2.5), st.floats(0.4, 2.5))
def test_many_readings_find_the_factors_of_the_kit(viscosity: float, stress: float) -> None:
    reading = ViscometerReading.of(SAID, SAID.times(viscosity, stress))

    found = calibrate([reading] * 40)

    assert found.eta_factor.value == pytest.approx(viscosity, rel=0.1)
    assert found.tau_factor.value == pytest.approx(stress, rel=0.15)
    assert found.observations == 40


def test_each_reading_narrows_and_never_below_what_batches_differ() -> None:
    reading = ViscometerReading.of(SAID, SAID)

    spreads = [calibrate([reading] * count).eta_spread for count in (0, 1, 3, 10, 40, 200)]

    assert spreads == sorted(spreads, reverse=True)
    assert len(set(spreads)) == len(spreads)
    assert spreads[-1] > 1.3


def test_one_wild_reading_does_not_carry_the_others_away() -> None:
    good = [ViscometerReading.of(SAID, SAID.times(1.2 + 0.05 * step, 1.2)) for step in range(5)]
    wild = ViscometerReading.of(SAID, SAID.times(40.0, 40.0))

    without, with_it = calibrate(good), calibrate([*good, wild])

    assert with_it.eta_factor.value / without.eta_factor.value < 1.15


@pytest.mark.parametrize(
    "reading", [WordReading(Casson(8.0, 2.0), Feel.TOO_THICK), ViscometerReading.of(SAID, THICK)]
)
def test_readings_of_one_batch_tell_no_more_of_the_kit_than_the_batch_does(reading) -> None:
    one, together, apart = (
        calibrate(readings, batches)
        for readings, batches in (([reading], None), ([reading] * 10, ["a"] * 10), ([reading] * 10, None))
    )

    assert one.eta_factor.value < together.eta_factor.value < apart.eta_factor.value
    assert apart.eta_spread < together.eta_spread < one.eta_spread
    more = calibrate([reading] * 100, ["a"] * 100)
    assert more.eta_factor.value / together.eta_factor.value < 1.1
    assert together.observations == 10


def test_four_rings_of_one_batch_are_weighed_as_an_independent_integral_weighs_them() -> None:
    """Four normal readings of the variance O about one batch of the variance B weigh 4/(O + 4·B) in all."""
    seen = np.log(ring_yield(90.0, 25.0, 1220.0) / SAID.yield_pa)
    batch, own = np.log(1.3) ** 2, np.log(1.5) ** 2
    weight = 4 / (own + 4 * batch) * (batch + own)

    def density(x: float) -> float:
        tails = 1 + (seen - x) ** 2 / (batch + own) / 4
        return float(np.exp(-0.5 * (x / KIT) ** 2) * tails ** (-2.5 * weight))

    total = quad(density, -4, 4)[0]
    mean = quad(lambda x: x * density(x), -4, 4)[0] / total

    found = calibrate([RingReading(SAID, 90.0, 25.0, 1220.0)] * 4, ["a"] * 4)

    assert found.tau_factor.value == pytest.approx(np.exp(mean), rel=2e-3)


def test_a_mass_that_was_read_is_known_better_than_the_next_of_its_kit() -> None:
    read = ViscometerReading.of(SAID, THICK)
    kit, mass = calibrate([read]), of_one_mass([read], calibrate([]))

    assert kit.eta_factor.value < mass.eta_factor.value == pytest.approx(2.0, rel=0.1)
    assert mass.eta_spread < 1.3 < kit.eta_spread
    assert of_one_mass([], kit) == kit


def test_each_reading_is_of_a_batch() -> None:
    with pytest.raises(InputError):
        calibrate([WordReading(SAID, Feel.RIGHT)] * 2, ["one"])


def test_the_order_of_readings_does_not_matter() -> None:
    readings = [
        ViscometerReading.of(SAID, THICK),
        WordReading(SAID, Feel.RIGHT),
        CupReading(SAID, 150.0, "zahn5", 1200.0),
    ]

    assert calibrate(readings).eta_factor.value == pytest.approx(calibrate(readings[::-1]).eta_factor.value)


@pytest.mark.parametrize("use", Use)
def test_words_move_the_factors_the_way_they_say(use: Use) -> None:
    factors = {feel: calibrate([WordReading(SAID, feel, use)]) for feel in Feel}

    assert factors[Feel.TOO_THICK].eta_factor.value > factors[Feel.RIGHT].eta_factor.value
    assert factors[Feel.RIGHT].eta_factor.value > factors[Feel.TOO_THIN].eta_factor.value
    assert factors[Feel.TOO_THICK].tau_factor.value > 1 > factors[Feel.TOO_THIN].tau_factor.value


def test_a_word_says_less_than_a_viscometer() -> None:
    word = calibrate([WordReading(SAID, Feel.RIGHT)])
    instrument = calibrate([ViscometerReading.of(SAID, SAID)])

    assert instrument.eta_spread < word.eta_spread < 2.0


def test_a_slower_cup_means_a_thicker_mass() -> None:
    quick, slow = (calibrate([CupReading(SAID, seconds, "zahn5", 1200.0)]) for seconds in (60.0, 240.0))

    assert slow.eta_factor.value > quick.eta_factor.value


def test_one_of_the_two_viscometer_values_is_enough() -> None:
    found = calibrate([ViscometerReading(SAID, viscosity_at_40=2 * SAID.viscosity_at_40)])

    assert found.eta_factor.value > 1.2


def test_a_reading_of_nothing_is_refused() -> None:
    with pytest.raises(InputError):
        calibrate([ViscometerReading(SAID, stress_at_5=0.0)])
