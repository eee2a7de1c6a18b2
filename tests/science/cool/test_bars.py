"""Bars that cool and set: two programs of this house against each other, another one, and energy."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nibsmith.science.cool import (
    Bar,
    Course,
    Faces,
    Slab,
    cool_bar,
    cool_many,
    cool_until,
    each,
    released,
    through_wall,
    usual_slab,
)
from nibsmith.science.cool.lobatto import between, lobatto
from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.temper import Fat, heats


def bar(mm: float, coefficient: float, air: float = 12.0, seed: float = 0.02) -> Bar:
    """A bar of the table below: 0.24 W/(m K), 1250 kg/m³, 1600 J/(kg K), 35 % fat, poured at 31 °C."""
    slab = Slab(mm / 1000, 0.24, 1250.0, 1600.0)
    return Bar(slab, Faces(air, coefficient, through_wall(coefficient, 0.01)), Fat(0.35), 31.0, seed)


def mixed(count: int, seed: int = 3) -> Bar:
    """Bars as makers pour them, drawn: thin shells to thick slabs, cold fridges to warm cabinets."""
    random = np.random.default_rng(seed)

    def draw(low: float, high: float) -> np.ndarray:
        return random.uniform(low, high, count)

    coefficient, butter = draw(6, 40), draw(0.7, 1)
    return Bar(
        Slab(draw(2, 15) / 1000, draw(0.22, 0.28), draw(1200, 1300), draw(1590, 1670)),
        Faces(draw(3, 17), coefficient, through_wall(coefficient, draw(0, 0.02))),
        Fat(draw(0.28, 0.42), -6.643 * np.log(butter), butter, draw(0.7, 1.4)),
        draw(28, 33),
        draw(0.005, 0.05),
    )


def lane(bars: Bar, place: int) -> Bar:
    spread = each(bars)
    parts = {
        name: type(part)(**{key: float(getattr(part, key)[place]) for key in part.__slots__})
        for name, part in (("slab", spread.slab), ("faces", spread.faces), ("fat", spread.fat))
    }
    return replace(
        spread, **parts, start_celsius=float(spread.start_celsius[place]), seed=float(spread.seed[place])
    )  # type: ignore[index]


# Minutes to a core of 16 °C, to nine tenths of the solids at rest, and low forms among all crystals then;
# worked out beforehand by another program in coarser layers and steps: times agree to 4 %.
TABLE = {
    (3, 8): (24.7, 15.3, 0.014),
    (3, 20): (11.9, 9.3, 0.086),
    (3, 40): (7.5, 6.7, 0.180),
    (6, 8): (46.9, 24.1, 0.003),
    (6, 20): (22.9, 14.0, 0.019),
    (6, 40): (14.1, 10.3, 0.065),
    (8, 20): (29.9, 17.3, 0.010),
    (10, 8): (77.4, 35.9, 0.0),
    (10, 20): (37.7, 20.5, 0.006),
    (10, 40): (24.1, 14.7, 0.020),
    (15, 20): (57.9, 28.8, 0.002),
    (15, 40): (38.2, 20.8, 0.007),
}


@pytest.mark.parametrize(("mm", "coefficient"), TABLE)
def test_bars_set_as_another_program_found(mm: float, coefficient: float) -> None:
    course = cool_many(bar(mm, coefficient), 100, every_s=10)
    cold, set_through, low = TABLE[mm, coefficient]

    at_16 = course.minutes[(course.core[:, 0] <= 16).argmax()]
    at_rest = course.minutes[(course.solids[:, 0] >= 0.9 * course.at_rest[:, 0]).argmax()]
    assert at_16 == pytest.approx(cold, rel=0.04, abs=0.2)
    assert at_rest == pytest.approx(set_through, rel=0.04, abs=0.2)
    assert released(course, bar(mm, coefficient)).unstable[0] == pytest.approx(low, abs=0.004)


def worst(found: Course, wanted: Course) -> float:
    """Largest difference of temperature over all times, between places of the other's layers."""
    inner = wanted.celsius[:, 1:-1]
    return float(np.abs(between(found.celsius, wanted.places[1:-1]) - inner).max())


def test_points_and_layers_agree_to_a_thirtieth_of_a_kelvin() -> None:
    bars = mixed(12)
    together = cool_many(bars, 30)

    for place in range(12):
        alone = cool_bar(lane(bars, place), 30, every_s=60, rtol=1e-6)
        mine = replace(together, celsius=together.celsius[:, :, place : place + 1])
        assert worst(mine, alone) < 0.03
        for name in ("forms", "at_rest"):
            assert getattr(together, name)[..., place] == pytest.approx(
                getattr(alone, name)[..., 0], abs=0.003
            )
        assert together.core[:, place] == pytest.approx(alone.core[:, 0], abs=0.03)


def test_steps_close_in_with_the_square_of_their_length() -> None:
    bars = mixed(40)
    courses = [cool_many(bars, 20, finer=finer) for finer in (1, 2, 4, 16)]

    errors = [np.abs(course.celsius - courses[-1].celsius).mean() for course in courses[:-1]]
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    # Second order but for the bends where a form begins to grow or to melt.
    assert (orders > 1.7).all()


def test_more_points_come_closer() -> None:
    bars = mixed(40)
    courses = [cool_many(bars, 20, points=points) for points in (5, 7, 10, 20)]

    errors = [np.abs(course.core - courses[-1].core).max() for course in courses[:-1]]
    assert errors[0] > 3 * errors[1]
    assert errors[1] > 2 * errors[2]


def test_many_bars_are_the_same_bars_one_by_one() -> None:
    bars = mixed(5)
    together = cool_many(bars, 10)

    for place in range(5):
        alone = cool_many(lane(bars, place), 10)
        assert together.celsius[:, :, place] == pytest.approx(alone.celsius[:, :, 0], abs=1e-9)
        assert together.forms[:, :, place] == pytest.approx(alone.forms[:, :, 0], abs=1e-12)


def test_more_bars_than_a_block_holds_are_joined_in_their_order(monkeypatch: pytest.MonkeyPatch) -> None:
    bars = mixed(7)
    whole = cool_many(bars, 5)
    monkeypatch.setattr("nibsmith.science.cool.many.BLOCK", 3)

    assert cool_many(bars, 5).celsius == pytest.approx(whole.celsius, abs=1e-12)


@given(st.integers(0, 30))
@settings(max_examples=8)
def test_heat_that_leaves_through_the_faces_is_what_the_bar_has_lost(seed: int) -> None:
    bars = mixed(6, seed)
    course = cool_many(bars, 20, every_s=10, finer=2)
    spread = each(bars)

    per_area = np.asarray(spread.slab.thickness_m) * spread.slab.density
    sensible = spread.slab.heat_capacity * (course.mean[0] - course.mean[-1])
    latent = spread.fat.share * ((course.forms[:, -1] - course.forms[:, 0]).T @ heats())
    flow = spread.faces.top * (course.top - spread.faces.air_celsius)
    flow = flow + spread.faces.bottom * (course.bottom - spread.faces.air_celsius)

    # The flow is summed by trapezoids of 10 s, which the first seconds of a thin bar bend most.
    assert np.trapezoid(flow, 60 * course.minutes, axis=0) == pytest.approx(
        per_area * (sensible + latent), rel=2e-3
    )


@given(st.integers(0, 30))
@settings(max_examples=8)
def test_crystals_stay_between_none_and_all_and_bars_between_air_and_start(seed: int) -> None:
    bars = mixed(20, seed)
    course = cool_many(bars, 60, every_s=30)
    spread = each(bars)

    assert (course.forms >= -1e-6).all()
    assert (course.solids <= 1).all()
    assert (course.celsius >= np.minimum(spread.faces.air_celsius, spread.start_celsius) - 0.01).all()
    # Crystals give heat, but a bar in colder air never gets warmer than it was.
    assert (course.celsius <= np.asarray(spread.start_celsius) + 0.3).all()


def test_a_thicker_bar_a_warmer_fridge_and_stiller_air_take_longer() -> None:
    slow = [bar(12, 20), bar(8, 20, air=14.0), bar(8, 10)]
    usual = released(cool_many(bar(8, 20), 120), bar(8, 20)).minutes[0]

    for one in slow:
        assert released(cool_many(one, 120), one).minutes[0] > usual


def test_thin_shells_in_strong_air_hold_more_low_forms() -> None:
    found = [released(cool_many(bar(3, h), 40, every_s=10), bar(3, h)).unstable[0] for h in (8, 20, 40)]

    assert found == sorted(found)
    assert found[0] < 0.02 < 0.1 < found[2]


def test_a_bar_without_seed_sets_late_and_in_low_forms() -> None:
    tempered, plain = (cool_many(bar(8, 20, seed=seed), 60) for seed in (0.02, 0.0))

    assert plain.solids[18, 0] < 0.7 * tempered.solids[18, 0]
    assert plain.unstable[-1, 0] > 0.8


def test_a_home_fridge_is_inside_the_range() -> None:
    found = released(cool_many(bar(8, 8, air=4.0), 60), bar(8, 8, air=4.0))

    assert 15 < found.minutes[0] < 60


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"thickness_m": 0.0005}, "thickness_m"),
        ({"thickness_m": 0.05}, "thickness_m"),
        ({"thickness_m": -0.01}, "thickness_m"),
        ({"conductivity": 0.0}, "conductivity"),
        ({"density": float("nan")}, "density"),
    ],
)
def test_slabs_outside_the_range_are_refused(change: dict[str, float], field: str) -> None:
    whole = bar(8, 20)
    with pytest.raises((InputError, OutOfRange)) as caught:
        each(replace(whole, slab=replace(whole.slab, **change)))

    assert caught.value.field == field


@pytest.mark.parametrize(
    ("faces", "field"),
    [
        (Faces(-18.0, 20.0, 15.0), "air_celsius"),
        (Faces(26.0, 20.0, 15.0), "air_celsius"),
        (Faces(12.0, -1.0, 15.0), "top"),
        (Faces(12.0, 20.0, 500.0), "bottom"),
        (Faces(12.0, 0.0, 0.0), "exchange"),
    ],
)
def test_air_outside_the_range_is_refused(faces: Faces, field: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        each(replace(bar(8, 20), faces=faces))

    assert caught.value.field == field


@pytest.mark.parametrize(("share", "known"), [(0.27, False), (0.28, True), (0.45, True), (0.46, False)])
def test_fat_outside_what_the_rates_are_meant_for_is_refused(share: float, *, known: bool) -> None:
    whole = replace(bar(8, 20), fat=Fat(share))
    if known:
        assert each(whole).count == 1
        return
    with pytest.raises(OutOfRange, match="limit 28 to 45 %") as caught:
        each(whole)
    assert caught.value.field == "share"


def test_bounds_are_said_in_the_units_of_the_bench() -> None:
    whole = bar(8, 20)
    with pytest.raises(OutOfRange, match=r"got 0\.5 mm, limit 1 to 30 mm"):
        each(replace(whole, slab=replace(whole.slab, thickness_m=0.0005)))


def test_seeds_in_a_mass_that_would_melt_them_are_refused_but_plain_mass_is_not() -> None:
    warm = replace(bar(8, 20), start_celsius=40.0)

    with pytest.raises(OutOfRange):
        each(warm)
    assert each(replace(warm, seed=0.0)).count == 1


def test_values_of_different_lengths_are_refused() -> None:
    faces = Faces(np.array([10.0, 12.0]), np.array([20.0, 20.0, 20.0]), 15.0)

    with pytest.raises(InputError, match="different lengths"):
        cool_many(Bar(usual_slab(0.01), faces, Fat(0.35), 31.0, 0.02), 10)


@pytest.mark.parametrize(
    ("minutes", "every_s", "finer"),
    [(0, 60, 1), (-5, 60, 1), (30, 7, 1), (1.5, 60, 1), (2000, 60, 1), (30, 0, 1), (30, 60, 0)],
)
def test_times_that_do_not_fit_are_refused(minutes: float, every_s: int, finer: int) -> None:
    with pytest.raises(InputError):
        cool_many(bar(8, 20), minutes, every_s, finer=finer)


def test_one_bar_is_one_bar() -> None:
    with pytest.raises(InputError):
        cool_bar(mixed(2), 10)
    with pytest.raises(InputError):
        cool_bar(bar(8, 20), 0)


@pytest.mark.parametrize("count", [3, 6, 10])
def test_the_points_integrate_and_differentiate_polynomials(count: int) -> None:
    points, weights, slopes = lobatto(count)

    for power in range(2 * count - 2):
        whole = 0 if power % 2 else 2 / (power + 1)
        assert weights @ points**power == pytest.approx(whole, abs=1e-13)
    for power in range(1, count):
        assert slopes @ points**power == pytest.approx(power * points ** (power - 1), abs=1e-11)


def test_bars_followed_until_they_come_off_take_the_same_course() -> None:
    bars = mixed(9)
    spread = each(bars)
    until = cool_until(bars, 300, enough=0.5)
    whole = cool_many(bars, float(until.minutes[-1]))

    assert until.celsius == pytest.approx(whole.celsius, abs=1e-9)
    assert until.forms == pytest.approx(whole.forms, abs=1e-12)
    assert until.minutes == pytest.approx(whole.minutes)
    assert np.isfinite(released(until, spread).minutes).mean() >= 0.5


def test_bars_are_followed_no_longer_than_is_asked() -> None:
    course = cool_until(bar(8, 8, air=17.0), 40)

    assert course.minutes[-1] == 40
    assert np.isnan(released(course, bar(8, 8, air=17.0)).minutes[0])
