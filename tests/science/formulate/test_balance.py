"""Balance: the optimum against scipy's linprog, built from the limits by themselves in tests/support."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from balance_problems import Arrays, Problem, problems, recipe_of, recipes
from nibsmith.science.errors import InputError, UnknownPrice
from nibsmith.science.formulate import (
    Balancer,
    Goal,
    Impossible,
    Objective,
    Solution,
    balance,
    balance_on_scale,
    broken_limits,
    cost_limit,
    lock,
    mass_limit,
    round_to_scale,
    share_limit,
    total_limit,
)
from nibsmith.science.mixture import STRICT_STEP, Limit, property_limit

SAME_OBJECTIVE = 1e-9  # what is promised, relative
FEASIBLE = 1e-10  # what is promised, in the unit of the limit
NOTHING_G = 1e-6  # linprog stops within 1e-7 relative of zero, so an optimum of nothing is compared in grams
CHEAPEST = Goal(Objective.CHEAPEST)


def same(ours: float, theirs: float, size: float) -> bool:
    return ours == pytest.approx(theirs, rel=SAME_OBJECTIVE, abs=NOTHING_G * max(1.0, size / 1000))


def missed(limits: tuple[Limit, ...], solution: Solution) -> float:
    return max((limit.gap(solution.masses_g) for limit in limits), default=0.0)


@given(problems())
def test_the_least_change_is_that_of_an_independent_linear_program(problem: Problem) -> None:
    recipe = problem.recipe
    ours = balance(recipe, problem.limits)
    theirs = Arrays(recipe, problem.limits, total_g=recipe.total_g).least_change()

    assume(theirs.status in {0, 2})
    assert isinstance(ours, Solution) == (theirs.status == 0)
    if isinstance(ours, Solution):
        assert same(ours.value, theirs.fun, recipe.total_g)
        assert missed(problem.limits, ours) <= FEASIBLE
        assert ours.total_g == pytest.approx(recipe.total_g, rel=FEASIBLE)


@given(problems())
def test_the_cheapest_is_that_of_an_independent_linear_program(problem: Problem) -> None:
    recipe = problem.recipe
    prices = [float(each.price_per_kg or 0) for each in recipe.parts]
    ours = balance(recipe, problem.limits, CHEAPEST)
    theirs = Arrays(recipe, problem.limits, total_g=recipe.total_g).cheapest(prices)

    assume(theirs.status in {0, 2})
    assert isinstance(ours, Solution) == (theirs.status == 0)
    if isinstance(ours, Solution):
        assert same(ours.value, theirs.fun, recipe.total_g)
        assert missed(problem.limits, ours) <= FEASIBLE


@given(problems(honest=True), st.floats(min_value=0.3, max_value=3.0))
def test_another_total_is_met_with_the_least_change(problem: Problem, factor: float) -> None:
    total_g = problem.recipe.total_g * factor
    ours = balance(problem.recipe, problem.limits, Goal(total_g=total_g))
    theirs = Arrays(problem.recipe, problem.limits, total_g=total_g).least_change()

    assert isinstance(ours, Solution)
    assert ours.total_g == pytest.approx(total_g, rel=FEASIBLE)
    assert same(ours.value, theirs.fun, problem.recipe.total_g)


@given(problems(honest=True))
def test_a_free_total_never_moves_more_than_a_kept_one(problem: Problem) -> None:
    kept = balance(problem.recipe, problem.limits)
    free = balance(problem.recipe, problem.limits, Goal(free_total=True))
    theirs = Arrays(problem.recipe, problem.limits, total_g=None).least_change()

    assert isinstance(kept, Solution)
    assert isinstance(free, Solution)
    assert free.value <= kept.value * (1 + SAME_OBJECTIVE) + NOTHING_G
    if theirs.status == 0 and (theirs.x[: len(theirs.x) // 2]).sum() + 1 > 0:
        # scipy may empty the batch, which is no answer here; ours can then only be larger
        assert free.value >= theirs.fun * (1 - SAME_OBJECTIVE) - NOTHING_G


@given(problems(honest=True, most=7))
def test_among_equal_changes_the_fewest_parts_are_touched(problem: Problem) -> None:
    """Against a program with one binary a part, solved by scipy's milp."""
    recipe = problem.recipe
    ours = balance(recipe, problem.limits)
    assert isinstance(ours, Solution)
    touched = [label for label, move in ours.changes_g.items() if abs(move) > 1e-6 * recipe.total_g]

    assert len(touched) <= Arrays(recipe, problem.limits, total_g=recipe.total_g).fewest(ours.value)


def test_two_sugars_alike_are_not_both_changed() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 250.0, "inulin": 250.0})
    solution = balance(recipe, [share_limit(recipe, "cocoa_mass", low=0.7)])

    assert isinstance(solution, Solution)
    assert solution.value == pytest.approx(400.0)
    assert len(solution.changes_g) == 2


def test_a_part_kept_from_its_start_by_a_bound_counts_as_changed() -> None:
    """Sugar must fall by 100 g; the 100 g go to one of two others alike, not to both."""
    recipe = recipe_of({"cocoa_mass": 400.0, "sugar_granulated": 300.0, "inulin": 200.0, "salt": 100.0})
    limits = [share_limit(recipe, "sugar_granulated", high=0.2), lock(recipe, "cocoa_mass")]
    solution = balance(recipe, limits)

    assert isinstance(solution, Solution)
    assert solution.value == pytest.approx(200.0)
    assert solution.masses_g["sugar_granulated"] == pytest.approx(200.0)
    assert len(solution.changes_g) == 2


def test_a_recipe_that_keeps_its_limits_is_left_alone_to_the_last_bit() -> None:
    recipe = recipe_of({"cocoa_mass": 333.3, "sugar_granulated": 66.6, "cocoa_butter": 0.1})
    solution = balance(recipe, [property_limit(recipe, "total_fat", low=0.1, high=0.9)])

    assert isinstance(solution, Solution)
    assert solution.masses_g == {each.label: each.mass_g for each in recipe.parts}
    assert solution.changes_g == {}


def test_a_part_of_no_weight_comes_in_where_it_helps() -> None:
    recipe = recipe_of({"cocoa_mass": 600.0, "sugar_granulated": 400.0, "cocoa_butter": 0.0})
    limits = [property_limit(recipe, "cocoa_butter", low=0.4), lock(recipe, "cocoa_mass")]
    solution = balance(recipe, limits)

    assert isinstance(solution, Solution)
    # mass brings 52.31 g of fat per 100 g (USDA SR28, NDB 19078), so 40 % needs 86.14 g of butter in 1 kg
    assert solution.masses_g["cocoa_butter"] == pytest.approx(400.0 - 600.0 * 0.5231)


@given(recipes(), st.floats(min_value=0.0, max_value=1.0))
def test_a_locked_share_does_not_move(recipe, high) -> None:  # type: ignore[no-untyped-def]
    first, second = recipe.parts[0].label, recipe.parts[1].label
    solution = balance(recipe, [lock(recipe, first), share_limit(recipe, second, high=high)])

    if isinstance(solution, Solution):
        assert solution.recipe.share(first) == pytest.approx(recipe.share(first), abs=FEASIBLE)


def test_a_strict_limit_is_passed_by_its_step() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    strict = replace(share_limit(recipe, "cocoa_mass", low=0.6), strict=True)
    solution = balance(recipe, [strict])

    assert isinstance(solution, Solution)
    assert solution.recipe.share("cocoa_mass") == pytest.approx(0.6 + STRICT_STEP, abs=FEASIBLE)


def test_a_limit_on_cost_holds_in_money_per_kilogram() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0}, [10.0, 2.0])
    solution = balance(recipe, [cost_limit(recipe, high=5.0, currency="EUR")])

    assert isinstance(solution, Solution)
    assert solution.masses_g["cocoa_mass"] == pytest.approx(375.0)


def test_a_batch_of_free_size_is_never_emptied() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    only_cocoa = [share_limit(recipe, "cocoa_mass", low=0.99), mass_limit(recipe, "cocoa_mass", high=1.0)]
    solution = balance(recipe, only_cocoa, Goal(free_total=True))

    assert isinstance(solution, Solution)
    assert solution.total_g >= 0.001 * recipe.total_g * (1 - FEASIBLE)


def test_what_cannot_be_taken_out_stays() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    goal = Goal(free_total=True, floor_g={"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    solution = balance(recipe, [share_limit(recipe, "sugar_granulated", high=0.4)], goal)

    assert isinstance(solution, Solution)
    assert solution.changes_g == {"cocoa_mass": pytest.approx(250.0)}


def test_the_cheapest_of_any_size_is_refused() -> None:
    with pytest.raises(InputError, match="any size"):
        Goal(Objective.CHEAPEST, free_total=True)


def test_the_cheapest_needs_every_price() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    with pytest.raises(UnknownPrice, match="no price is given for Cocoa mass, Granulated sugar") as refused:
        balance(recipe, [], CHEAPEST)
    assert refused.value.missing == ("Cocoa mass", "Granulated sugar")


def test_a_limit_on_a_part_that_is_not_there_is_refused_by_name() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    with pytest.raises(InputError, match="honey"):
        balance(recipe, [Limit("sweet", "yours", {"honey": 1.0}, high=1.0)])


@pytest.mark.parametrize("total_g", [0.0, -1.0, float("nan"), float("inf")])
def test_a_total_that_is_no_weight_is_refused(total_g: float) -> None:
    with pytest.raises(InputError, match="not a weight"):
        Goal(total_g=total_g)


@given(problems(honest=True), st.data())
def test_a_kept_balance_gives_what_a_fresh_one_gives(problem: Problem, data: st.DataObject) -> None:
    """Bounds move several times; each time the kept simplex must come to the fresh answer."""
    kept = Balancer(problem.recipe, problem.limits)
    for _ in range(4):
        index = data.draw(st.integers(0, len(problem.limits) - 1))
        limit = kept.limits[index]
        shift = data.draw(st.sampled_from([-0.03, -0.004, 0.004, 0.03]))
        low = None if limit.low is None else limit.low + shift
        kept.move({index: (low, None if limit.high is None else limit.high + shift)})
        ours, fresh = kept.solve(), balance(problem.recipe, kept.limits)
        assert type(ours) is type(fresh)
        if isinstance(ours, Solution) and isinstance(fresh, Solution):
            assert ours.value == pytest.approx(fresh.value, rel=SAME_OBJECTIVE, abs=1e-9)
            assert missed(kept.limits, ours) <= FEASIBLE


def test_an_open_end_can_be_closed_later() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 450.0, "almond": 50.0})
    kept = Balancer(recipe, [property_limit(recipe, "total_fat", low=0.1)])
    assert kept.solve().changes_g == {}  # type: ignore[union-attr]
    kept.move({0: (0.4, 0.41)})
    solution = kept.solve()

    assert isinstance(solution, Solution)
    assert missed(kept.limits, solution) <= FEASIBLE
    assert kept.limits[0].high == 0.41


def test_a_kept_balance_recovers_from_bounds_that_cannot_hold() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    kept = Balancer(
        recipe, [share_limit(recipe, "cocoa_mass", low=0.6), share_limit(recipe, "sugar_granulated")]
    )
    kept.move({1: (0.5, None)})
    assert isinstance(kept.solve(), Impossible)
    kept.move({1: (0.3, None)})

    solution = kept.solve()
    assert isinstance(solution, Solution)
    assert solution.value == pytest.approx(200.0)


def test_bounds_that_cross_and_places_that_are_not_are_refused() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    kept = Balancer(recipe, [share_limit(recipe, "cocoa_mass", low=0.6)])
    with pytest.raises(InputError, match="cross"):
        kept.move({0: (0.6, 0.5)})
    with pytest.raises(InputError, match="no limit at this place"):
        kept.move({1: (0.6, 0.7)})


@given(problems(honest=True), st.sampled_from(["1", "0.1", "5"]))
@example(
    Problem(
        recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0}),
        (share_limit(recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0}), "cocoa_mass", low=0.6004),),
        recipe_of({"cocoa_mass": 700.0, "sugar_granulated": 300.0}),
        True,
    ),
    "1",
)
def test_on_the_scale_every_limit_is_kept_or_named(problem: Problem, step: str) -> None:
    found = balance_on_scale(problem.recipe, problem.limits, Decimal(step))

    assert not isinstance(found, Impossible)
    rounded, still_missed = found
    off_g = abs(float(rounded.total_g) - problem.recipe.total_g)
    assert off_g <= float(step) / 2 * (1 + FEASIBLE)
    assert still_missed == broken_limits(problem.limits, rounded)


def test_a_limit_that_rounding_would_break_is_kept_by_a_margin() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    limits = [share_limit(recipe, "cocoa_mass", low=0.6004)]
    exact = balance(recipe, limits)
    assert isinstance(exact, Solution)
    found = balance_on_scale(recipe, limits, Decimal(1))
    assert not isinstance(found, Impossible)
    rounded, still_missed = found

    assert broken_limits(limits, round_to_scale(exact.masses_g, Decimal(1))) == tuple(limits)
    assert still_missed == ()
    assert rounded.masses_g["cocoa_mass"] == 601


def test_a_scale_too_coarse_for_a_limit_is_said() -> None:
    recipe = recipe_of({"cocoa_mass": 5.0, "sugar_granulated": 5.0})
    limits = [share_limit(recipe, "cocoa_mass", low=0.61, high=0.615)]
    found = balance_on_scale(recipe, limits, Decimal(1))

    assert not isinstance(found, Impossible)
    assert found[1] == tuple(limits)


def test_a_total_and_a_charge_are_limits_too() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 300.0, "almond": 200.0})
    limits = [total_limit(recipe, high=600.0, only_machine=True), total_limit(recipe, low=900.0)]
    solution = balance(recipe, limits, Goal(free_total=True))

    assert isinstance(solution, Solution)
    ground = sum(solution.masses_g[label] for label in ("cocoa_mass", "sugar_granulated"))
    assert ground == pytest.approx(600.0)
    assert solution.total_g == pytest.approx(900.0)


def test_nothing_is_printed_by_the_solver(capfd: pytest.CaptureFixture[str]) -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0})
    found = balance(recipe, [share_limit(recipe, "cocoa_mass", low=1.2)])

    assert isinstance(found, Impossible)
    assert capfd.readouterr().out == ""


def test_many_parts_and_limits_are_solved_too() -> None:
    """Sixty parts and fifteen rows, once against linprog."""
    rng = np.random.default_rng(7)
    base = recipe_of({"cocoa_mass": 1.0}).parts[0]
    masses = rng.dirichlet(np.ones(60)) * 5000
    recipe = replace(
        recipe_of({"cocoa_mass": 1.0}),
        parts=tuple(replace(base, label=f"p{i}", mass_g=float(mass)) for i, mass in enumerate(masses)),
    )
    labels = [each.label for each in recipe.parts]
    other = rng.dirichlet(np.ones(60))
    rows = rng.uniform(0, 1, (15, 60))
    limits = [
        Limit(
            f"row {j}",
            "yours",
            dict(zip(labels, row, strict=True)),
            dict.fromkeys(labels, 1.0),
            v - 0.003,
            v + 0.003,
        )
        for j, (row, v) in enumerate(zip(rows, rows @ other, strict=True))
    ]
    ours = balance(recipe, limits)
    theirs = Arrays(recipe, limits, total_g=recipe.total_g).least_change()

    assert isinstance(ours, Solution)
    assert ours.value == pytest.approx(theirs.fun, rel=1e-8)  # linprog's own tolerance, over sixty columns
    assert missed(tuple(limits), ours) <= FEASIBLE
