"""Whatever recipe a file holds, a command answers or refuses in one line; nothing else ever comes out."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from command_line import nibsmith_here
from nibsmith.answers.recipe_text import write_recipe
from nibsmith.science.kit import kits
from nibsmith.science.legal import jurisdictions
from nibsmith.science.mixture import (
    Form,
    Grind,
    Ingredient,
    Kind,
    Part,
    Recipe,
    Stage,
    ingredients,
    own_ingredient,
    part,
)

percents = st.floats(0.0, 20.0)
columns = ("water_g", "fat_g", "protein_g", "ash_g")
sheets = st.builds(
    lambda name, kind, rows, shell, known: own_ingredient(
        name, kind, rows, shell_percent=shell, allergens_known=known, allergens_eu=("milk",) if known else ()
    ),
    st.sampled_from(["Yard nibs", "Sheet 7", "Café"]),
    st.sampled_from(Kind),
    st.dictionaries(st.sampled_from(columns), percents),
    st.none() | percents,
    st.booleans(),
)
things = st.sampled_from(sorted(ingredients())) | sheets
masses = st.floats(0.001, 9000.0) | st.just(0.0)
facts = st.fixed_dictionaries(
    {},
    optional={
        "kind": st.sampled_from(Kind),
        "stage": st.sampled_from(Stage),
        "grind": st.sampled_from(Grind),
        "price_per_kg": st.decimals(0, 500, places=2),
    },
)


def labelled(rows: list[tuple[Any, float, dict[str, Any]]]) -> tuple[Part, ...]:
    return tuple(part(of, mass, **more, label=f"part {n}") for n, (of, mass, more) in enumerate(rows))


def recipes_of(of: st.SearchStrategy[Any]) -> st.SearchStrategy[Recipe]:
    rows = st.lists(st.tuples(of, masses, facts), min_size=1, max_size=6).map(labelled)
    weighed = rows.filter(lambda parts: any(row.mass_g > 0 for row in parts))
    return st.builds(Recipe, st.just("Any"), st.sampled_from(Form), weighed)


simple = recipes_of(things)
nested = recipes_of(things | simple)
options = st.fixed_dictionaries(
    {},
    optional={
        "--kit": st.sampled_from(sorted(kits())),
        "--mould": st.sampled_from(["5 g", "70 g", "1 kg"]),
        "--scale": st.sampled_from(["0.01 g", "5 g"]),
        "--total": st.sampled_from(["1 g", "250 g", "40 kg"]),
        "--markets": st.lists(st.sampled_from(sorted(jurisdictions())), min_size=1).map(",".join),
    },
)


def run(recipe: Recipe, *words: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "any.toml"
        file.write_text(write_recipe(recipe), encoding="utf-8")
        for more in ((), ("--json",)):
            done = nibsmith_here(words[0], file, *words[1:], *more)
            assert done.returncode in (0, 1, 2)
            if done.returncode == 2:
                assert done.stdout == ""
                assert done.stderr.count("\n") == 1
                continue
            assert done.stderr == ""
            if more:
                json.loads(done.stdout)
            else:
                assert max(len(line) for line in done.stdout.splitlines()) <= 80


def kinds_of_nested_cannot_be_told(recipe: Recipe) -> bool:
    return all(isinstance(row.of, Ingredient) or row.kind is Kind.OTHER_FOOD for row in recipe.parts)


@given(nested.filter(kinds_of_nested_cannot_be_told), options)
@settings(max_examples=150)
def test_any_recipe_is_answered_or_refused(recipe: Recipe, said: dict[str, str]) -> None:
    run(recipe, "recipe", *(word for pair in said.items() for word in pair), "--why")


@given(simple, st.data())
def test_any_bowl_is_rescued_or_refused(recipe: Recipe, data: st.DataObject) -> None:
    labels = st.sampled_from([row.label for row in recipe.parts])
    bowl = data.draw(st.lists(st.tuples(labels, st.integers(1, 5000)), min_size=1, max_size=4))
    stage = data.draw(st.sampled_from(Stage))
    things = [word for label, mass in bowl for word in ("--in-bowl", f"{mass} g {label}")]
    run(recipe, "rescue", *things, "--stage", stage.value)


@given(simple, st.sampled_from(["eu:milk", "us:semisweet", "codex:chocolate", "ca:white"]), st.booleans())
def test_any_recipe_is_balanced_to_a_name_or_it_is_said_why_not(
    recipe: Recipe, name: str, cheap: bool
) -> None:
    run(recipe, "balance", "--called", name, *(["--cheapest"] if cheap else []))
