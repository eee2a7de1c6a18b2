"""Speed of grinding: the law by hand, ranges that hold what made the readings, and floors that refuse."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.grind import (
    Aim,
    Feels,
    Grinding,
    KitSpeed,
    Leaving,
    SizeReading,
    WarmUp,
    bond,
    calibrate_speed,
    feels,
    fit_readings,
    grinding_from_two_readings,
    kick,
    largest_for,
    leaving_from_two_readings,
    reading_deviation,
    rittinger,
)
from nibsmith.science.mixture import Span

START = Span(100.0, 500.0, 2000.0)
SUGAR = Span(400.0, 500.0, 600.0)
STONE = Span(0.0007, 0.0014, 0.0028)


@pytest.mark.parametrize(
    ("first", "second", "speed", "target", "hours"),
    [((9, 100), (24, 40), 0.0010, 25, 39.0), ((12, 60), (24, 35), 9.92063e-4, 20, 45.6)],
)
def test_two_readings_by_hand(first, second, speed: float, target: float, hours: float) -> None:
    law = grinding_from_two_readings(first, second)

    assert law.speed == pytest.approx(speed, rel=1e-5)
    assert law.hours_to(target) == pytest.approx(hours, abs=0.05)


@given(st.floats(50, 900), st.floats(1e-4, 0.05), st.floats(0, 100), st.floats(0.1, 50))
def test_the_law_is_rittinger_at_constant_power(
    start: float, speed: float, hours: float, more: float
) -> None:
    law = Grinding(start, speed)
    early, late = law.size_at(hours), law.size_at(hours + more)

    assert rittinger(1.0, early, late) == pytest.approx(speed * more, rel=1e-6)
    assert law.hours_to(late) == pytest.approx(hours + more, rel=1e-9)


def test_no_forecast_goes_below_the_floor() -> None:
    law = Grinding(500.0, 0.001, floor_um=15.0)

    assert law.size_at(1000.0) == 15.0
    with pytest.raises(OutOfRange, match="does not get there"):
        law.hours_to(14.0)


def test_twice_the_charge_takes_twice_as_long() -> None:
    law = Grinding(500.0, 0.001)

    assert law.for_charge(3000.0, 1500.0).hours_to(25.0) == pytest.approx(2 * law.hours_to(25.0))


@pytest.mark.parametrize(
    ("first", "second"), [((9, 40), (24, 40)), ((9, 40), (24, 60)), ((24, 40), (9, 100)), ((9, 40), (9, 30))]
)
def test_readings_that_tell_no_speed_are_refused(first, second) -> None:
    with pytest.raises(InputError):
        grinding_from_two_readings(first, second)
    with pytest.raises(InputError):
        fit_readings([SizeReading(*first), SizeReading(*second)][:1], START)


def test_precise_readings_bring_the_fit_to_the_law_through_them() -> None:
    fit = fit_readings([SizeReading(9.0, 100.0, 400), SizeReading(24.0, 40.0, 400)], START)

    ready = fit.hours_to(25.0)
    assert ready.value == pytest.approx(39.0, rel=0.03)
    assert ready.high - ready.low < 6
    assert fit.speed.value == pytest.approx(0.001, rel=0.05)


def test_the_range_holds_the_true_time_about_as_often_as_it_says() -> None:
    """Four in five of the ranges hold the truth: 200 grindings by a known law, read with the usual error."""
    rng = np.random.default_rng(11)
    held = refused = 0

    def read(size: float) -> float:
        return max(size + reading_deviation(5, size) * float(rng.standard_normal()), 1.0)

    for _ in range(200):
        law = Grinding(500.0, float(np.exp(rng.normal(np.log(0.0014), np.log(2)))))
        readings = [SizeReading(hours, read(law.size_at(hours)), 5) for hours in (6.0, 12.0, 18.0)]
        try:
            ready = fit_readings(readings, SUGAR, STONE).hours_to(20.0)
        except InputError:  # a last reading by chance so far off that it is asked for again
            refused += 1
            continue
        held += ready.low <= law.hours_to(20.0) <= ready.high
    assert refused <= 4
    assert 0.70 <= held / 200 <= 0.90


def test_more_readings_narrow_the_range() -> None:
    law = Grinding(500.0, 0.001)
    widths = []
    for count in (1, 4, 16):
        readings = [SizeReading(hours, law.size_at(hours), count) for hours in (6.0, 14.0, 22.0)]
        ready = fit_readings(readings, START, Span(0.0007, 0.0014, 0.0028)).hours_to(25.0)
        widths.append(ready.high - ready.low)

    assert widths == sorted(widths, reverse=True)


def test_one_wild_reading_does_not_carry_the_others_away() -> None:
    law = Grinding(500.0, 0.001)
    good = [SizeReading(hours, law.size_at(hours), 3) for hours in (5.0, 10.0, 15.0, 20.0)]

    without = fit_readings(good, START, Span(0.0007, 0.0014, 0.0028)).hours_to(25.0).value
    with_it = fit_readings([*good, SizeReading(18.0, 130.0, 3)], START, Span(0.0007, 0.0014, 0.0028))

    assert with_it.hours_to(25.0).value == pytest.approx(without, rel=0.1)


def test_a_last_reading_coarser_than_one_before_is_questioned() -> None:
    rising = [SizeReading(6.0, 40.0, 3), SizeReading(14.0, 52.0, 3)]

    with pytest.raises(InputError, match="coarser than one before") as refusal:
        fit_readings(rising, START, Span(0.0007, 0.0014, 0.0028))
    assert "count from there" in str(refusal.value)
    # within what single readings are good for, it is taken as noise
    fit_readings([SizeReading(14.0, 42.0), SizeReading(15.0, 45.0)], START, Span(0.0007, 0.0014, 0.0028))


@pytest.mark.parametrize(
    ("readings", "rests_at"),
    [
        ([(24.0, 40.0, 5), (48.0, 38.0, 5), (72.0, 37.0, 5)], 38.0),
        ([(24.0, 40.0, 1), (48.0, 38.0, 1), (72.0, 37.0, 1)], 38.0),
        ([(10.0, 80.0, 3), (20.0, 80.0, 3), (30.0, 80.0, 3)], 80.0),
    ],
)
def test_a_grinding_that_no_longer_falls_has_stalled_where_it_is_read(readings, rests_at: float) -> None:
    """Readings that stay are not thrown out for the law: its floor is where they are."""
    fit = fit_readings([SizeReading(*one) for one in readings], SUGAR, STONE, 15.0)

    assert fit.stalled
    assert fit.floor_um == pytest.approx(rests_at, rel=0.03)
    now = fit.size_at(readings[-1][0])
    assert now.low <= readings[-1][1] <= now.high
    assert now.value == pytest.approx(rests_at, rel=0.03)
    assert not fit.tells_speed
    with pytest.raises(OutOfRange, match="stalled"):
        fit.hours_to(30.0)


def test_a_size_that_rose_within_what_single_readings_are_good_for_is_between_the_two() -> None:
    fit = fit_readings([SizeReading(10.0, 80.0), SizeReading(20.0, 90.0)], SUGAR, STONE, 15.0)

    now = fit.size_at(20.0)
    assert fit.stalled
    assert 75.0 < now.low < now.value < 90.0 <= now.high


def test_coarse_readings_are_good_to_a_tenth_of_them() -> None:
    assert reading_deviation(1, 40.0) == reading_deviation(1)
    assert reading_deviation(1, 200.0) == pytest.approx(20.0 / 1.645)


def test_a_grinding_that_falls_as_the_law_says_has_not_stalled() -> None:
    law = Grinding(500.0, 0.0014)
    fit = fit_readings(
        [SizeReading(hours, law.size_at(hours), 5) for hours in (6.0, 12.0)], SUGAR, STONE, 15.0
    )

    assert not fit.stalled
    assert fit.tells_speed
    assert fit.floor_um == 15.0


@pytest.mark.parametrize(
    "readings",
    [
        [(9.0, 100.0, 9), (24.0, 40.0, 9), (26.0, 15.0, 9)],
        [(24.0, 40.0, 5), (48.0, 38.0, 5), (72.0, 20.0, 5)],
    ],
)
def test_a_last_reading_that_no_law_holds_is_asked_for_again(readings) -> None:
    with pytest.raises(InputError, match="no longer falls as the law"):
        fit_readings([SizeReading(*one) for one in readings], SUGAR, STONE, 15.0)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(1, 80), st.floats(12, 150), st.integers(1, 9)), min_size=1, max_size=5))
def test_whatever_is_read_the_last_of_it_lies_in_the_range_or_is_refused(readings) -> None:
    last = max(readings)[0]
    try:
        fit = fit_readings([SizeReading(*one) for one in readings], SUGAR, STONE, 15.0)
    except InputError:
        return
    now = fit.size_at(last)
    for hours, size, count in readings:
        if hours == last:
            assert now.low <= size <= now.high
            reach = 2.5 * reading_deviation(count, size)
            assert size - reach <= now.low <= now.high <= max(size + reach, *(one[1] for one in readings))


def test_readings_outweigh_what_a_kit_was_known_for() -> None:
    """A batch that grinds at half the speed of the ones before is read, not talked down to them."""
    law = Grinding(500.0, 0.0010)
    known = Span(0.0020 / 1.2, 0.0020, 0.0020 * 1.2)
    fit = fit_readings(
        [SizeReading(hours, law.size_at(hours), 5) for hours in (8.0, 14.0)], SUGAR, known, 15.0
    )

    assert fit.speed.value == pytest.approx(0.0010, rel=0.1)
    assert not fit.stalled


def test_a_start_finer_than_usual_is_read_and_is_no_stall() -> None:
    """Sugar crushed at once: the line through 1/90 and 1/40 begins at 131 µm and has 0.00116 an hour."""
    fit = fit_readings([SizeReading(3.0, 90.0, 9), SizeReading(15.0, 40.0, 9)], SUGAR, STONE, 15.0)

    assert not fit.stalled
    assert fit.size_at(15.0).value == pytest.approx(40.0, rel=0.05)
    assert fit.speed.low < 0.00116 < fit.speed.high


def test_a_kit_of_which_only_its_range_is_known_rests_anywhere_in_it() -> None:
    fit = fit_readings([], SUGAR, STONE, 15.0).resting(15.0, 30.0)

    end = fit.size_at(1000.0)
    assert end.low == pytest.approx(15.0 * 2**0.1, rel=0.01)
    assert end.value == pytest.approx(15.0 * 2**0.5, rel=0.01)


def test_with_no_reading_the_speed_of_the_kit_is_all_there_is() -> None:
    fit = fit_readings([], Span(400.0, 500.0, 600.0), Span(0.0007, 0.0014, 0.0028), floor_um=15.0)

    ready = fit.hours_to(25.0)
    assert ready.value == pytest.approx((1 / 25 - 1 / 500) / 0.0014, rel=0.03)
    assert ready.low < ready.value / 2 < ready.value * 2 < ready.high


def test_the_band_falls_and_stops_at_the_floor() -> None:
    fit = fit_readings([SizeReading(10.0, 60.0)], START, Span(0.0007, 0.0014, 0.0028), floor_um=15.0)

    low, middle, high = fit.band([0.0, 5.0, 10.0, 20.0, 500.0])
    assert (low <= middle).all()
    assert (middle <= high).all()
    assert (np.diff(middle) < 0).all()
    assert high[-1] == 15.0
    assert not fit.near_floor
    assert fit.size_at(10.0).value == pytest.approx(60.0, rel=0.1)


def test_a_reading_below_the_floor_lowers_it() -> None:
    fit = fit_readings([SizeReading(60.0, 11.0)], START, Span(0.0007, 0.0014, 0.0028), floor_um=15.0)

    assert fit.floor_um == 11.0
    assert fit.near_floor


def test_below_the_floor_there_is_no_time() -> None:
    fit = fit_readings([SizeReading(10.0, 60.0)], START, Span(0.0007, 0.0014, 0.0028), floor_um=15.0)

    with pytest.raises(OutOfRange, match="does not get there"):
        fit.hours_to(10.0)


def test_the_speed_of_a_kit_comes_from_its_batches_and_their_charges() -> None:
    law = Grinding(500.0, 0.0020)
    readings = [SizeReading(hours, law.size_at(hours), 9) for hours in (5.0, 10.0, 15.0)]
    fit = fit_readings(readings, Span(400.0, 500.0, 600.0))
    reported = KitSpeed(Span(0.0007, 0.0014, 0.0028), 1500.0, 0)

    known = calibrate_speed([(fit, 1500.0)] * 4, reported)

    assert known.observations == 4
    assert known.speed.value == pytest.approx(0.0020, rel=0.1)
    assert known.speed.high / known.speed.low < 4
    assert calibrate_speed([(fit, 3000.0)]).for_charge(1500.0).value == pytest.approx(
        2 * fit.speed.value, rel=1e-6
    )
    with pytest.raises(InputError):
        calibrate_speed([])


@pytest.mark.parametrize(
    ("size", "word"), [(20.0, Feels.VERY_SMOOTH), (20.1, Feels.SMOOTH), (60.0, Feels.GRAINY)]
)
def test_a_word_ends_with_its_value(size: float, word: Feels) -> None:
    assert feels(size) is word


def test_each_aim_allows_more_than_the_one_before() -> None:
    assert [largest_for(aim) for aim in Aim] == sorted(largest_for(aim) for aim in Aim)
    with pytest.raises(InputError):
        feels(0.0)


def test_drying_by_hand() -> None:
    """1.6 % at the start, 0.8 % after 6 h, 0.4 % in the end: k = ln(1.2/0.4)/6, and 0.6 % after ln 6 / k."""
    drying = leaving_from_two_readings((0.0, 1.6), (6.0, 0.8), 0.4)

    assert drying.rate == pytest.approx(0.18310, abs=5e-6)
    assert drying.hours_to(0.6) == pytest.approx(9.79, abs=0.005)
    assert drying.at(6.0) == pytest.approx(0.8)
    with pytest.raises(OutOfRange):
        drying.hours_to(0.4)
    for wrong in (((0, 1.6), (0, 0.8)), ((0, 0.8), (6, 1.6)), ((0, 1.6), (6, 0.3))):
        with pytest.raises(InputError):
            leaving_from_two_readings(*wrong, 0.4)  # type: ignore[arg-type]
    with pytest.raises(InputError):
        Leaving(1.0, 2.0, 0.1)


@given(st.floats(100, 5000), st.floats(10, 800), st.floats(0.1, 20), st.floats(1, 60))
def test_warming_up_follows_its_balance_and_turns_back(
    mass: float, power: float, loss: float, minutes: float
) -> None:
    warm = WarmUp(mass, power, 40.0, 20.0, loss)
    then = warm.celsius_at(minutes)

    step = 1e-4
    slope = (warm.celsius_at(minutes + step) - warm.celsius_at(minutes - step)) / (2 * step * 60)
    balance = (power - loss * (then - 20.0)) / (mass / 1000 * 1670)
    assert slope == pytest.approx(balance, abs=2e-5 + 1e-4 * abs(balance))
    if then > 40.01 and warm.steady_celsius - then > 1e-3:
        assert warm.minutes_to(then) == pytest.approx(minutes, rel=1e-4)


def test_warming_without_loss_never_ends_and_cooling_never_gets_there() -> None:
    warm = WarmUp(1000.0, 400.0, 45.0, 20.0)

    assert warm.minutes_to(50.0) == pytest.approx(5 * 1670 / 400 / 60)
    assert warm.celsius_at(warm.minutes_to(50.0)) == pytest.approx(50.0)
    assert warm.steady_celsius == float("inf")
    assert WarmUp(1000.0, 0.0, 45.0, 20.0).minutes_to(50.0) == float("inf")
    assert WarmUp(1000.0, 5.0, 45.0, 20.0, 1.0).minutes_to(50.0) == float("inf")
    assert warm.minutes_to(40.0) == 0.0
    with pytest.raises(InputError):
        WarmUp(0.0, 400.0, 45.0, 20.0)


def test_the_laws_of_energy_refuse_growing_grains() -> None:
    for law in (rittinger, bond, kick):
        with pytest.raises(InputError):
            law(1.0, 20.0, 30.0)


def test_bond_lies_between_rittinger_and_kick_in_the_textbook_example() -> None:
    def scaled(law) -> float:
        return 13.0 * law(1.0, 75_000, 25_000) / law(1.0, 50_000, 10_000)

    assert scaled(rittinger) < scaled(bond) < scaled(kick)
    assert scaled(bond) == pytest.approx(6.286, abs=5e-4)
