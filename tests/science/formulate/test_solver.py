"""The simplex and what it hands over: proofs are checked, and HiGHS takes what is not proved."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given

from balance_problems import Problem, problems, recipe_of
from nibsmith.science.formulate import Balancer, Goal, Impossible, Solution, balance, share_limit
from nibsmith.science.formulate.linear.engine import solve
from nibsmith.science.formulate.linear.model import program_of, values_of
from nibsmith.science.formulate.sheet import Aim, sheet_of
from nibsmith.science.formulate.simplex import Simplex
from nibsmith.science.formulate.solver import PROVEN

SRC = Path(__file__).parents[3] / "src"


def aim_of(problem: Problem) -> Aim:
    return Aim(problem.recipe, Goal(), sheet_of(problem.recipe, problem.limits, Goal()))


@given(problems(honest=True))
def test_the_small_simplex_and_highs_come_to_the_same_least_change(problem: Problem) -> None:
    aim = aim_of(problem)
    simplex = Simplex(aim.sheet.rows, aim.curves())
    assert simplex.solve()
    z = solve(program_of(aim))

    assert z is not None
    size = problem.recipe.total_g
    assert aim.value(simplex.values()) == pytest.approx(
        aim.value(values_of(aim, z)), rel=1e-9, abs=1e-8 * size
    )


@given(problems(honest=True))
def test_a_result_that_is_moved_is_no_longer_proved(problem: Problem) -> None:
    aim = aim_of(problem)
    simplex = Simplex(aim.sheet.rows, aim.curves())
    assert simplex.solve()
    values = simplex.values()
    assert simplex.proves(values, PROVEN)

    values[0] += 1e-4
    assert not simplex.proves(values, PROVEN)


@given(problems(honest=True))
def test_a_feasible_recipe_that_is_not_the_least_change_is_not_proved(problem: Problem) -> None:
    """The hidden recipe keeps every limit; unless it is as near, its slopes are out of order."""
    aim = aim_of(problem)
    simplex = Simplex(aim.sheet.rows, aim.curves())
    assert simplex.solve()
    hidden = [each.mass_g / problem.recipe.total_g for each in problem.hidden.parts]
    if aim.value(hidden) > aim.value(simplex.values()) * 1.01 + 1e-6:
        assert not simplex.proves(hidden, PROVEN)


class Lazy(Simplex):
    """A simplex that never comes to an end."""

    def solve(self) -> bool | None:
        return None


class Wrong(Simplex):
    """A simplex that says it is done at once."""

    def solve(self) -> bool | None:
        return True


class Pessimist(Simplex):
    """A simplex that finds everything impossible."""

    def solve(self) -> bool | None:
        return False


@pytest.mark.parametrize("broken", [Lazy, Wrong, Pessimist])
def test_highs_answers_where_the_simplex_fails(
    broken: type[Simplex], monkeypatch: pytest.MonkeyPatch
) -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 400.0, "cocoa_butter": 100.0})
    limits = [share_limit(recipe, "sugar_granulated", high=0.3), share_limit(recipe, "cocoa_mass", low=0.55)]
    right = balance(recipe, limits)
    monkeypatch.setattr("nibsmith.science.formulate.solver.Simplex", broken)
    found, kept = balance(recipe, limits), Balancer(recipe, limits).solve()

    assert isinstance(right, Solution)
    assert isinstance(found, Solution)
    assert isinstance(kept, Solution)
    assert found.value == pytest.approx(right.value) == kept.value
    assert isinstance(balance(recipe, [share_limit(recipe, "cocoa_mass", low=1.1)]), Impossible)


def loaded_after(lines: str) -> set[str]:
    """Which of the heavy libraries a fresh interpreter has loaded."""
    last = "print(*({'numpy', 'scipy', 'highspy'} & set(sys.modules)))"
    code = "\n".join(("import sys", f"sys.path.insert(0, {str(SRC)!r})", lines, last))
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


SCALING = """
from nibsmith.science.formulate import *
from nibsmith.science.mixture import Form, Recipe, part
bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
"""


def test_scaling_stock_bowl_and_rounding_load_no_numbers_library() -> None:
    work = """
from decimal import Decimal
scale_to_total(bar, 500.0); batch_for_bars(bar, 10, 50.0); largest_batch(bar, {"cocoa_mass": 10.0})
in_the_bowl(bar, {"cocoa_mass": 10.0}); round_to_scale({"a": 1.5}, Decimal(1)); small_doses(bar, Decimal(1))
"""
    assert loaded_after(SCALING + work) == set()


def test_a_balance_that_can_be_loads_numpy_alone() -> None:
    assert loaded_after(SCALING + 'balance(bar, [share_limit(bar, "cocoa_mass", low=0.75)])') == {"numpy"}


def test_only_what_cannot_be_asks_the_solver() -> None:
    assert loaded_after(SCALING + 'balance(bar, [share_limit(bar, "cocoa_mass", low=1.5)])') == {
        "numpy",
        "highspy",
    }
