"""Fold-ins: the figures of practice, and how warm they have to be."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from nibsmith.answers.answer import Verdict
from nibsmith.answers.fold_in import FoldInAsked, fold_in, into
from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Form, Kind, Recipe, ingredient, own_ingredient, part
from nibsmith.science.temper import Chocolate, FoldIn, coolest_fold_in, mixed_celsius

NUTS = FoldInAsked(1760.0, 240.0, ingredient("hazelnut_dry_roasted"))


# Common practice: 240 g at 20 °C pull 1,760 g from 31.5 to 29.8 °C, from a fridge to 27.6, from a freezer
# to 24.
@pytest.mark.parametrize(("celsius", "to"), [(20.0, 29.8), (5.0, 27.6), (-18.0, 24)])
def test_cold_nuts_do_what_practice_says(celsius: float, to: float) -> None:
    printed = 0.5 if isinstance(to, int) else 0.1

    assert fold_in(replace(NUTS, celsius=celsius)).figure == pytest.approx(to, abs=printed)


@pytest.mark.parametrize(
    ("celsius", "verdict"),
    [
        (30.0, Verdict.GOOD),
        (34.0, Verdict.GOOD),
        (36.0, Verdict.WATCH),
        (20.0, Verdict.WATCH),
        (-18.0, Verdict.STOP),
        (80.0, Verdict.STOP),
    ],
)
def test_the_verdict_is_by_the_program(celsius: float, verdict: Verdict) -> None:
    assert fold_in(replace(NUTS, celsius=celsius)).verdict is verdict


@pytest.mark.parametrize("celsius", [20.0, 5.0, -18.0])
@pytest.mark.parametrize("chocolate", Chocolate)
def test_after_the_remedy_it_is_good_and_with_a_tenth_less_it_is_not(
    celsius: float, chocolate: Chocolate
) -> None:
    asked = replace(NUTS, celsius=celsius, chocolate=chocolate)
    (remedy,) = fold_in(asked).remedies
    assert remedy.checked

    warm = float(re.search(r"Warm them to (-?[\d.]+)", remedy.sentence).group(1))  # type: ignore[union-attr]
    assert fold_in(replace(asked, celsius=warm)).verdict is Verdict.GOOD
    assert fold_in(replace(asked, celsius=warm - 0.1 * (warm - celsius))).verdict is not Verdict.GOOD


def test_the_coolest_fold_in_is_where_the_mixture_is_just_warm_enough() -> None:
    part = FoldIn(240.0, 0.0, 2000.0)

    least = coolest_fold_in(1760.0, 31.5, 31.0, part)

    assert mixed_celsius(1760.0, 31.5, [replace(part, celsius=least)]) == pytest.approx(31.0)


@pytest.mark.parametrize(
    ("mass_g", "celsius", "part"), [(0.0, 31.5, 240.0), (1000.0, 30.0, 240.0), (1000.0, 31.5, 0.0)]
)
def test_a_fold_in_that_cannot_be_is_refused(mass_g: float, celsius: float, part: float) -> None:
    with pytest.raises(InputError):
        coolest_fold_in(mass_g, celsius, 31.0, FoldIn(part, 20.0, 2000.0))


def test_an_incomplete_analysis_is_unknown() -> None:
    mix = own_ingredient("Mix", Kind.OTHER_FOOD, {"water_g": 3.0, "fat_g": 40.0})

    answer = fold_in(replace(NUTS, ingredient=mix))

    assert answer.verdict is Verdict.UNKNOWN
    assert "Mix" in answer.sentence


# The heat capacity of nuts at -4 °C is not that at 31 °C, which alone would leave the remedy short of good.
def test_a_little_from_a_freezer_is_warmed_as_far_as_it_takes() -> None:
    asked = replace(NUTS, amount_g=40.0, celsius=-18.0, mass_celsius=32.0)
    (remedy,) = fold_in(asked).remedies

    warm = float(re.search(r"Warm them to (−[\d.]+)", remedy.sentence).group(1).replace("−", "-"))  # type: ignore[union-attr]
    assert fold_in(replace(asked, celsius=warm)).verdict is Verdict.GOOD
    assert fold_in(replace(asked, celsius=warm - 0.1 * (warm + 18.0))).verdict is not Verdict.GOOD


def test_a_mass_that_is_too_cool_already_has_no_warming_remedy() -> None:
    assert fold_in(replace(NUTS, mass_celsius=30.5)).remedies == ()


# [chocolate-academy-tempering], dark: worked at 31 to 32 °C, never above 34.5 once tempered.
def test_hot_nuts_are_too_warm_and_untemper() -> None:
    answer = fold_in(FoldInAsked(1800.0, 240.0, NUTS.ingredient, celsius=60.0))

    assert answer.figure == pytest.approx(35.7, abs=0.05)
    assert (answer.verdict, answer.word) == (Verdict.STOP, "Far too warm.")
    assert "Over 34.5" in answer.sentence
    assert "untempered" in answer.sentence


@pytest.mark.parametrize("celsius", [36.0, 60.0, 80.0, 140.0])
@pytest.mark.parametrize("chocolate", Chocolate)
@pytest.mark.parametrize("amount_g", [40.0, 240.0, 1500.0])
def test_after_hot_ones_have_cooled_it_is_good_and_with_a_tenth_less_it_is_not(
    celsius: float, chocolate: Chocolate, amount_g: float
) -> None:
    asked = replace(NUTS, celsius=celsius, chocolate=chocolate, amount_g=amount_g)
    (remedy,) = fold_in(asked).remedies
    assert remedy.checked

    cool = float(re.search(r"Let them cool to (-?[\d.]+)", remedy.sentence).group(1))  # type: ignore[union-attr]
    assert fold_in(replace(asked, celsius=cool)).verdict is Verdict.GOOD
    less = cool + max(0.1, 0.1 * (celsius - cool))
    assert fold_in(replace(asked, celsius=less)).verdict is not Verdict.GOOD


def test_a_mass_too_hot_itself_is_not_mended_by_its_fold_ins() -> None:
    answer = fold_in(replace(NUTS, celsius=60.0, mass_celsius=36.0))

    assert answer.verdict is Verdict.STOP
    assert answer.remedies == ()


# [chocolate-academy-tempering], dark: never above 34.5 once tempered.
@pytest.mark.parametrize("celsius", [-18.0, 20.0, 60.0])
def test_a_mass_too_warm_before_anything_goes_in_has_to_be_tempered_anew(celsius: float) -> None:
    answer = fold_in(FoldInAsked(1800.0, 240.0, NUTS.ingredient, celsius=celsius, mass_celsius=40.0))

    assert (answer.verdict, answer.word) == (Verdict.STOP, "The mass is too warm.")
    assert "too warm before anything goes in, and has to be tempered anew first" in answer.sentence
    assert answer.remedies == ()


@pytest.mark.parametrize("mass_celsius", [28.0, 31.2, 32.0, 33.5, 34.2, 34.5, 34.6])
@pytest.mark.parametrize("celsius", [-18.0, 5.0, 20.0, 31.1, 34.0, 34.4, 40.0])
@pytest.mark.parametrize("amount_g", [40.0, 240.0, 1500.0])
def test_they_are_warmed_only_to_more_and_cooled_only_to_less_than_they_are(
    mass_celsius: float, celsius: float, amount_g: float
) -> None:
    answer = fold_in(replace(NUTS, amount_g=amount_g, celsius=celsius, mass_celsius=mass_celsius))

    for remedy in answer.remedies:
        way, to = re.match(r"(Warm them|Let them cool) to ([−\d.]+)", remedy.sentence).groups()  # type: ignore[union-attr]
        assert (float(to.replace("−", "-")) > celsius) == (way == "Warm them")
    assert len(answer.remedies) <= (answer.verdict is not Verdict.GOOD)


@pytest.mark.parametrize(("celsius", "verdict"), [(-60.0, Verdict.UNKNOWN), (300.0, Verdict.WATCH)])
def test_outside_the_equations_of_heat_capacity_no_mixture_is_told(celsius: float, verdict: Verdict) -> None:
    answer = fold_in(replace(NUTS, celsius=celsius))

    assert (answer.verdict, answer.figure) == (verdict, None)
    assert "limit −40 to 150 °C" in answer.sentence


def test_the_range_is_where_a_plain_sample_lies_and_says_what_widens_it() -> None:
    random = np.random.default_rng(11)
    capacity = 2000.0 * np.exp(np.log(1.1) * random.normal(size=6000))
    mass, nuts = random.triangular(31, 31.5, 32, 6000), random.triangular(18, 20, 22, 6000)
    mixed = (1760 * 1590 * mass + 240 * capacity * nuts) / (1760 * 1590 + 240 * capacity)

    answer = fold_in(NUTS)

    assert (answer.low, answer.high) == pytest.approx(tuple(np.quantile(mixed, (0.1, 0.9))), abs=0.03)
    assert "four in five lie within" in answer.sentence
    assert any("What widens the range most is the temperature of the mass" in one for one in answer.reasons)


def test_what_was_measured_widens_it_less_than_what_was_taken_as_usual() -> None:
    said, usual = fold_in(replace(NUTS, celsius=20.0)), fold_in(NUTS)

    assert said.high - said.low < usual.high - usual.low  # type: ignore[operator]


def test_what_is_not_known_and_hot_is_told_to_melt_seeds_all_the_same() -> None:
    own = own_ingredient("Nut brittle", Kind.OTHER_FOOD, {})
    hot, cool = (fold_in(FoldInAsked(1000.0, 100.0, own, celsius=celsius)) for celsius in (60.0, 25.0))

    assert (hot.verdict, hot.word) == (Verdict.WATCH, "Too warm to fold in.")
    assert "melts the seeds around it" in hot.sentence
    assert cool.verdict is Verdict.UNKNOWN
    assert hot.figure is None


def test_the_program_of_a_recipe_is_that_of_its_mass() -> None:
    milk = Recipe(
        "m",
        Form.BAR,
        (
            part("cocoa_butter", 25.0),
            part("cocoa_mass", 15.0),
            part("milk_powder_whole", 20.0),
            part("sugar_granulated", 40.0),
        ),
    )
    asked = into(milk, FoldInAsked(1000.0, 100.0, ingredient("hazelnut_dry_roasted")))

    assert asked.chocolate is Chocolate.MILK
    assert asked.at_celsius == pytest.approx(29.5)
    with pytest.raises(OutOfRange):
        into(Recipe("s", Form.BAR, (part("coconut_oil", 9.0), part("cocoa_butter", 1.0))), asked)
