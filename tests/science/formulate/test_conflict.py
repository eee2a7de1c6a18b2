"""When limits cannot all hold: irreducible sets, and how far each must give, against scipy's linprog."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings

from balance_problems import Problem, holds, problems, recipe_of
from nibsmith.science.formulate import (
    Clash,
    Goal,
    Impossible,
    Solution,
    balance,
    lock,
    mass_limit,
    share_limit,
    total_limit,
)
from nibsmith.science.mixture import Limit, Recipe, property_limit

BARELY = 1e-6  # a bound is moved this far past and short of where it works, in shares; linprog stops at 1e-7
impossible_ones = settings(suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])


def one_end(clash: Clash) -> Limit:
    return replace(clash.limit, high=None) if clash.end == "low" else replace(clash.limit, low=None)


def without_total(clashes: list[Clash]) -> tuple[list[Limit], bool]:
    """The ends as limits, and whether the kept total is among them."""
    kept = any(clash.limit.name == "the total" for clash in clashes)
    return [one_end(clash) for clash in clashes if clash.limit.name != "the total"], kept


def can_hold(clashes: list[Clash], recipe: Recipe) -> bool:
    limits, kept = without_total(clashes)
    return holds(limits, recipe, total_g=recipe.total_g if kept else None)


@impossible_ones
@given(problems())
def test_a_conflict_cannot_hold_and_drop_any_one_of_it_and_it_can(problem: Problem) -> None:
    found = balance(problem.recipe, problem.limits)
    assume(isinstance(found, Impossible))
    assert isinstance(found, Impossible)

    for conflict in found.conflicts:
        clashes = list(conflict.clashes)
        assert not can_hold(clashes, problem.recipe)
        for index in range(len(clashes)):
            assert can_hold(clashes[:index] + clashes[index + 1 :], problem.recipe)


@impossible_ones
@given(problems())
def test_a_limit_that_gives_way_as_far_as_said_is_enough_and_a_little_less_is_not(problem: Problem) -> None:
    recipe = problem.recipe
    found = balance(recipe, problem.limits)
    assume(isinstance(found, Impossible))
    assert isinstance(found, Impossible)

    for clash in found.clashes:
        if clash.works_at is None or not clash.enough or clash.limit.name == "the total":
            continue
        step = BARELY if clash.end == "high" else -BARELY
        others = [limit for limit in problem.limits if limit is not clash.limit]
        wide = replace(clash.relaxed(), **{clash.end: clash.works_at + step})  # type: ignore[type-var]
        tight = replace(clash.relaxed(), **{clash.end: clash.works_at - step})  # type: ignore[type-var]
        assert holds([*others, wide], recipe, total_g=recipe.total_g)
        if abs(clash.works_at - clash.bound) > BARELY:
            assert not holds([*others, tight], recipe, total_g=recipe.total_g)


def test_applying_the_least_give_makes_it_possible_at_once() -> None:
    recipe = recipe_of({"cocoa_nibs_roasted": 500.0, "sugar_granulated": 400.0, "cocoa_butter": 100.0})
    limits = [
        property_limit(recipe, "total_fat", low=0.5),
        share_limit(recipe, "cocoa_butter", high=0.1),
        share_limit(recipe, "cocoa_nibs_roasted", high=0.5),
    ]
    found = balance(recipe, limits)
    assert isinstance(found, Impossible)
    assert {clash.limit.name for clash in found.clashes} == {limit.name for limit in limits}

    for clash in found.clashes:
        relaxed = clash.relaxed()
        assert relaxed is not None
        others = [limit for limit in limits if limit.name != clash.limit.name]
        assert isinstance(balance(recipe, [*others, relaxed]), Solution)


def test_how_far_a_limit_must_give_is_hand_arithmetic() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    found = balance(
        recipe, [share_limit(recipe, "cocoa_mass", low=0.7), share_limit(recipe, "sugar_granulated", low=0.4)]
    )

    assert isinstance(found, Impossible)
    gives = {clash.limit.name: clash.gives for clash in found.clashes}
    assert gives == {
        "the share of Cocoa mass": pytest.approx(0.1),
        "the share of Granulated sugar": pytest.approx(0.1),
    }
    assert all(clash.enough for clash in found.clashes)


def test_one_limit_alone_can_be_a_conflict() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    found = balance(recipe, [property_limit(recipe, "total_fat", low=0.8), lock(recipe, "cocoa_mass")])

    assert isinstance(found, Impossible)
    assert [clash.limit.name for clash in found.clashes] == ["total fat without emulsifier"]
    # mass is 52.31 % fat (USDA SR28, NDB 19078); nothing here has more
    (clash,) = found.clashes
    assert clash.works_at == pytest.approx(0.5 * 0.5231)
    assert not clash.enough or clash.works_at == pytest.approx(0.5 * 0.5231)


def test_two_quarrels_are_both_reported() -> None:
    recipe = recipe_of({"cocoa_mass": 400.0, "sugar_granulated": 300.0, "milk_powder_whole": 300.0})
    limits = [
        mass_limit(recipe, "cocoa_mass", low=500.0),
        total_limit(recipe, high=400.0),
        share_limit(recipe, "sugar_granulated", low=0.6),
        share_limit(recipe, "milk_powder_whole", low=0.6),
    ]
    found = balance(recipe, limits, Goal(free_total=True))

    assert isinstance(found, Impossible)
    assert len(found.conflicts) == 2
    assert not any(clash.enough for clash in found.clashes)


def test_the_kept_total_is_named_where_it_is_in_the_way() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    found = balance(
        recipe,
        [mass_limit(recipe, "cocoa_mass", low=700.0), mass_limit(recipe, "sugar_granulated", low=400.0)],
    )

    assert isinstance(found, Impossible)
    total = next(clash for clash in found.clashes if clash.limit.name == "the total")
    assert total.end == "high"
    assert total.works_at == pytest.approx(1100.0)
    assert total.gives == pytest.approx(100.0)


def test_a_batch_of_nothing_is_no_way_out_of_a_conflict() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    found = balance(recipe, [share_limit(recipe, "cocoa_mass", low=1.2)], Goal(free_total=True))

    assert isinstance(found, Impossible)
    assert [clash.limit.name for clash in found.clashes] == ["the share of Cocoa mass"]
    assert found.clashes[0].works_at == pytest.approx(1.0)


def test_strict_limits_that_meet_at_a_point_clash() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    over = replace(share_limit(recipe, "cocoa_mass", low=0.6), strict=True)
    found = balance(recipe, [over, share_limit(recipe, "cocoa_mass", high=0.6)])

    assert isinstance(found, Impossible)
    assert len(found.clashes) == 2


def test_what_was_dropped_or_relaxed_is_the_same_limit_otherwise() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    limit = share_limit(recipe, "cocoa_mass", low=0.7, high=0.8, reason="taste")
    clash = Clash(limit, "low", 0.65, enough=True)

    assert clash.relaxed() == replace(limit, low=0.65)
    assert clash.dropped() == replace(limit, low=None)
    assert Clash(limit, "low", None, enough=False).relaxed() is None
