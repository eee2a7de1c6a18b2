"""A grinder that has stalled: seen from readings that stay alike, and seldom where there is none.

Batches and errors of reading are made up by the law and drawn from a fixed seed.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.grind import GrindFit, Grinding, SizeReading, fit_readings, reading_deviation
from nibsmith.science.mixture import Span

SUGAR = Span(400.0, 500.0, 600.0)
CALIBRATED = Span(0.0006, 0.00078, 0.0010)  # a kit with a batch behind its speed
REPORTED = Span(0.00043, 0.00086, 0.0017)  # one of which only the usual is known
REACHES, COARSEST = 15.0, 30.0  # at the finest, and where such kits rest at the coarsest
EVERY_H = 4.0
# Sugar that was half crushed when the first reading was taken, and four readings alike over twelve hours.
STAYS = [(4.0, 60.0), (8.0, 45.0), (12.0, 38.0), (16.0, 38.0), (20.0, 38.0), (24.0, 38.0)]


def fitted(readings: Sequence[tuple[float, float]], speed: Span | None, count: int = 1) -> GrindFit:
    return fit_readings([SizeReading(*one, count) for one in readings], SUGAR, speed, REACHES, COARSEST)


@pytest.mark.parametrize("speed", [CALIBRATED, REPORTED, None])
@pytest.mark.parametrize("count", [1, 3])
def test_four_readings_alike_are_a_stall_whatever_is_known_of_the_kit(speed: Span | None, count: int) -> None:
    """By the law it goes from 43 to 33 µm in these twelve hours; a single reading is good to 5 µm."""
    fit = fitted(STAYS, speed, count)

    assert fit.stalled
    assert fit.floor_um == pytest.approx(38.0, rel=0.03)
    assert [fit.size_at(hours).value for hours in (24.0, 72.0)] == pytest.approx([38.0, 38.0], rel=0.03)
    with pytest.raises(OutOfRange, match="stalled"):
        fit.hours_to(30.0)
    with pytest.raises(OutOfRange, match="does not get there"):
        fit.hours_to(14.0)


def test_two_readings_alike_are_no_stall_yet() -> None:
    fit = fitted(STAYS[:4], CALIBRATED)

    assert not fit.stalled
    assert fit.floor_um == REACHES
    assert 20.0 < fit.hours_to(30.0).value < 40.0


def test_readings_that_agree_with_the_law_leave_no_room_for_a_stall() -> None:
    law = Grinding(90.0, 0.0009)  # a start and a speed that are not the usual
    fit = fitted([(hours, law.size_at(hours)) for hours in (4.0, 8.0, 12.0, 16.0, 20.0, 24.0)], CALIBRATED, 3)

    assert not fit.stalled
    assert np.mean(fit.floors > COARSEST) < 0.1
    assert fit.hours_to(25.0).value == pytest.approx(law.hours_to(25.0), rel=0.1)


def test_a_kit_that_rests_within_what_such_kits_reach_is_seen_too() -> None:
    """By the law a kit of this speed would go from 28 to 19 µm in these twenty hours."""
    alike = [(hours, 22.0) for hours in (44.0, 48.0, 52.0, 56.0, 60.0, 64.0)]

    fit = fitted(alike, CALIBRATED, 3)
    unknown = fit_readings([SizeReading(*one, 3) for one in alike], SUGAR, CALIBRATED, REACHES)

    assert fit.stalled
    assert fit.floor_um == pytest.approx(22.0, rel=0.05)
    assert not unknown.stalled  # without the coarsest at which such kits rest it would be rare


def test_where_such_kits_rest_is_no_matter_as_long_as_it_is_coarse() -> None:
    readings = [SizeReading(8.0, 110.0, 3), SizeReading(16.0, 62.0, 3)]

    with_it, without = (fit_readings(readings, SUGAR, CALIBRATED, REACHES, rest) for rest in (COARSEST, 0.0))

    assert with_it.floor_um == without.floor_um == REACHES
    assert with_it.hours_to(30.0).value == pytest.approx(without.hours_to(30.0).value, rel=0.01)
    assert with_it.size_at(200.0).high > without.size_at(200.0).high == REACHES
    assert with_it.size_at(200.0).high <= COARSEST


def test_what_is_known_of_no_kit_can_be_gone_against_by_no_batch() -> None:
    """Without a known speed two readings that fall are a speed, however it started: 1/131, then 0.00116."""
    fit = fitted([(3.0, 90.0), (15.0, 40.0)], None, 9)

    assert fit.tells_speed
    assert not fit.stalled


@pytest.mark.parametrize("hours", [16.0, 24.0, 36.0, 60.0])
@pytest.mark.parametrize("readings", [STAYS, STAYS[:4], [(8.0, 90.0), (16.0, 55.0)]])
def test_when_it_is_ready_agrees_with_the_range_of_sizes(
    readings: list[tuple[float, float]], hours: float
) -> None:
    """An aim is reached in time by as many draws as are that fine then."""
    fit = fitted(readings, CALIBRATED)
    low, middle, high = (float(row[0]) for row in fit.band([hours]))

    for size, share in ((low, 0.1), (middle, 0.5), (high, 0.9)):
        in_time = float(np.mean(fit.hours_for(size + 1e-9) <= hours))
        assert in_time == pytest.approx(float(np.mean(fit.sizes_at(hours) <= size + 1e-9)), abs=1e-12)
        assert in_time >= share - 0.001


def batches(count: int, kind: str, rng: np.random.Generator) -> list[Grinding]:
    """Batches by the law, as the kit is known for, or from another start, or at another speed."""
    width, made = np.log(CALIBRATED.high / CALIBRATED.value), []
    for _ in range(count):
        start = 500.0 * np.exp(0.1 * rng.standard_normal())
        speed = CALIBRATED.value * np.exp(width * rng.standard_normal())
        if kind == "start":
            start = np.exp(rng.uniform(np.log(60.0), np.log(250.0)))
        if kind == "speed":
            speed *= np.exp(rng.choice([-1, 1]) * rng.uniform(np.log(2), np.log(4)))
        made.append(Grinding(float(start), float(speed), REACHES))
    return made


def read(sizes: Sequence[float], rng: np.random.Generator, since: float = EVERY_H) -> list[SizeReading]:
    """Single readings four hours apart, to a whole micrometre, with the error that they are said to have."""
    noise = [reading_deviation(1, size) * float(rng.standard_normal()) for size in sizes]
    return [
        SizeReading(since + EVERY_H * place, max(round(size + error), 6.0))
        for place, (size, error) in enumerate(zip(sizes, noise, strict=True))
    ]


def stalled(readings: Sequence[SizeReading]) -> bool:
    """Whether it is said; a last reading that is asked for again says nothing."""
    try:
        return fit_readings(readings, SUGAR, CALIBRATED, REACHES, COARSEST).stalled
    except InputError:
        return False


@pytest.mark.parametrize(("kind", "at_most"), [("usual", 0), ("start", 3), ("speed", 3)])
def test_batches_by_the_law_are_seldom_said_to_stall(kind: str, at_most: int) -> None:
    """Thirty batches without a stall, asked about after each of six readings: one in ten at the most.

    Four hundred of each kind, asked about up to nine times: none of the usual, 4.0 and 4.8 % of the others.
    """
    rng, said = np.random.default_rng(23), 0
    for law in batches(30, kind, rng):
        hours = np.arange(1, 8) * EVERY_H
        readings = read([law.size_at(hour) for hour in hours if law.size_at(hour) > REACHES + 1], rng)
        said += any(stalled(readings[:count]) for count in range(2, len(readings) + 1))

    assert said <= at_most


@pytest.mark.parametrize("kind", ["usual", "start", "speed"])
@pytest.mark.parametrize(("rests_um", "at_least"), [(25.0, 28), (38.0, 32)])
def test_a_grinding_that_rests_is_seen_by_the_sixth_reading_there(
    kind: str, rests_um: float, at_least: int
) -> None:
    """Forty batches each, with two readings on the way there: seven in ten at 25 µm, eight in ten at 38."""
    rng, seen = np.random.default_rng(7), 0
    for law in batches(40, kind, rng):
        comes = np.ceil(max(law.hours_to(rests_um), 0.0) / EVERY_H) * EVERY_H
        hours = [hour for hour in comes + EVERY_H * np.arange(-2, 6) if hour > 0]
        readings = read([max(law.size_at(hour), rests_um) for hour in hours], rng, hours[0])
        seen += stalled(readings)

    assert seen >= at_least
