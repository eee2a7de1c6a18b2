"""What can still be done about a bowl: the minimum against scipy, the stages, the machine and the shelf."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balance_problems import Arrays, holds, recipe_of, recipes
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import (
    Bench,
    Impossible,
    Rescue,
    Tolerance,
    can_go_in,
    rescue,
    rescue_limits,
    usual_tolerance,
    what_stays,
)
from nibsmith.science.mixture import Form, Recipe, Stage, part

factors = st.floats(0.5, 2.0)
DARK = recipe_of({"cocoa_mass": 65.0, "cocoa_butter": 5.0, "sugar_granulated": 29.7, "lecithin_soy": 0.3})


def drawn_bowl(recipe: Recipe, data: st.DataObject) -> dict[str, float]:
    held = {each.label: each.mass_g * data.draw(factors) for each in recipe.parts}
    left_out = data.draw(st.lists(st.sampled_from(sorted(held)), max_size=len(held) - 1, unique=True))
    return {label: mass for label, mass in held.items() if label not in left_out}


@given(recipes(most=6), st.data(), st.sampled_from([None, 1.1, 2.0, 10.0]))
def test_the_smallest_additions_are_those_of_an_independent_linear_program(recipe, data, room) -> None:  # type: ignore[no-untyped-def]
    held = drawn_bowl(recipe, data)
    most = None if room is None else sum(held.values()) * room
    bench = Bench(machine_max_g=most)
    ours = rescue(recipe, held, bench)
    limits = rescue_limits(recipe, held, bench)
    bowl = recipe.weighing({each.label: held.get(each.label, 0.0) for each in recipe.parts})
    floor = np.array([each.mass_g for each in bowl.parts])
    theirs = Arrays(bowl, limits, total_g=None).least_change(floor)

    assert isinstance(ours, Rescue) == holds(limits, bowl, total_g=None, floor=floor)
    if isinstance(ours, Rescue):
        assert ours.added_g == pytest.approx(theirs.fun, rel=1e-8, abs=1e-6)
        assert (
            max(limit.gap({each.label: each.mass_g for each in ours.recipe.parts}) for limit in limits)
            <= 1e-10
        )


@given(recipes(most=6), st.data())
def test_what_goes_in_brings_every_share_within_tolerance_and_half_of_it_does_not(recipe, data) -> None:  # type: ignore[no-untyped-def]
    held = drawn_bowl(recipe, data)
    found = rescue(recipe, held)

    assert isinstance(
        found, Rescue
    )  # with everything to be had and no machine to fill, it can always be done
    tolerance = usual_tolerance()
    for wanted, got in found.shares.values():
        assert abs(got - wanted) <= tolerance.around(wanted) + 1e-10
    if found.added_g > 1e-6 * found.recipe.total_g:
        half = {label: held.get(label, 0.0) + add_g / 2 for label, add_g in found.add_g.items()}
        masses = {each.label: half.get(each.label, each.mass_g) for each in found.bowl.parts}
        assert max(limit.gap(masses) for limit in rescue_limits(recipe, held, Bench())) > 0


def test_too_much_sugar_by_hand() -> None:
    """640 g may be 30.5 % of everything at most, so 2,098.4 g in all: 58.4 g more mass."""
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    found = rescue(recipe, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0})

    assert isinstance(found, Rescue)
    assert found.add_g == {"cocoa_mass": pytest.approx(640 / 0.305 - 2040)}


def test_a_bowl_within_tolerance_needs_nothing() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    found = rescue(recipe, {"cocoa_mass": 697.0, "sugar_granulated": 303.0})

    assert isinstance(found, Rescue)
    assert (found.add_g, found.added_g) == ({}, 0)


def test_a_small_share_has_a_tolerance_of_its_own_size() -> None:
    assert usual_tolerance().around(0.3) == pytest.approx(0.005)
    assert usual_tolerance().around(0.003) == pytest.approx(0.0003)
    found = rescue(
        DARK, {"cocoa_mass": 650.0, "cocoa_butter": 50.0, "sugar_granulated": 297.0, "lecithin_soy": 1.0}
    )
    assert isinstance(found, Rescue)
    assert found.add_g["lecithin_soy"] > 1.5


STAGES = [Stage.START, Stage.WITH_SUGAR, Stage.LATE, Stage.FOLDED_IN, Stage.ON_BACK, Stage.FILLING]


@pytest.mark.parametrize(
    ("key", "last", "grinding_on"),
    [
        ("cocoa_nibs_roasted", Stage.WITH_SUGAR, Stage.LATE),
        ("cocoa_mass", Stage.LATE, Stage.LATE),
        ("cocoa_butter", Stage.LATE, Stage.LATE),
        ("sugar_granulated", Stage.WITH_SUGAR, Stage.LATE),
        ("milk_powder_whole", Stage.WITH_SUGAR, Stage.LATE),
        ("lecithin_soy", Stage.LATE, Stage.LATE),
        ("almond", Stage.FOLDED_IN, Stage.FOLDED_IN),
    ],
)
def test_a_part_can_go_in_until_its_last_stage(key: str, last: Stage, grinding_on: Stage) -> None:
    of = part(key, 1.0)
    for stage in STAGES:
        assert can_go_in(of, stage) == (STAGES.index(stage) <= STAGES.index(last))
        assert can_go_in(of, stage, grind_on=True) == (STAGES.index(stage) <= STAGES.index(grinding_on))


def test_a_mass_made_beforehand_goes_in_until_folding() -> None:
    own = Recipe("own mass", Form.BAR, (part("cocoa_mass", 60.0), part("sugar_granulated", 40.0)))

    assert can_go_in(part(own, 1.0), Stage.FOLDED_IN)
    assert not can_go_in(part(own, 1.0), Stage.ON_BACK)


def test_on_the_back_and_filling_are_one_stage() -> None:
    assert can_go_in(part("almond", 1.0, stage=Stage.ON_BACK), Stage.FILLING)
    assert can_go_in(part("almond", 1.0, stage=Stage.FILLING), Stage.ON_BACK)


def test_late_only_butter_mass_and_lecithin_can_mend_it_and_grinding_on_opens_the_rest() -> None:
    held = {"cocoa_mass": 650.0, "cocoa_butter": 50.0, "sugar_granulated": 250.0, "lecithin_soy": 3.0}
    late = rescue(DARK, held, Bench(stage=Stage.LATE))
    on = rescue(DARK, held, Bench(stage=Stage.LATE, grind_on=True))

    assert isinstance(late, Impossible)
    said = {(clash.limit.name, clash.limit.reason) for clash in late.clashes}
    assert ("the weight of Granulated sugar", "it cannot go in any more at this stage") in said
    assert isinstance(on, Rescue)
    assert set(on.add_g) == {"sugar_granulated"}


def test_how_far_the_machine_would_have_to_give_is_said() -> None:
    """2,098.4 g are needed and it holds 2,050: 48.4 g."""
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    found = rescue(recipe, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0}, Bench(machine_max_g=2050.0))

    assert isinstance(found, Impossible)
    machine = next(clash for clash in found.clashes if clash.limit.name == "the charge of the machine")
    assert machine.works_at == pytest.approx(640 / 0.305)
    assert machine.gives == pytest.approx(640 / 0.305 - 2050)


def test_the_shelf_bounds_what_goes_in_by_label_or_ingredient() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    held = {"cocoa_mass": 1400.0, "sugar_granulated": 640.0}
    short = rescue(recipe, held, Bench(shelf_g={"cocoa_mass": 50.0}))

    assert isinstance(short, Impossible)
    assert any(clash.limit.reason == "there is no more on the shelf" for clash in short.clashes)
    assert isinstance(rescue(recipe, held, Bench(shelf_g={"cocoa_mass": 60.0})), Rescue)
    assert isinstance(
        rescue(recipe, held, Bench(shelf_g={"sugar_granulated": 5.0}, only_shelf=True)), Impossible
    )


def test_a_strange_thing_in_the_bowl_cannot_be_mended() -> None:
    found = rescue(DARK, {"cocoa_mass": 650.0, "sugar_granulated": 297.0}, foreign=(part("salt", 5.0),))

    assert isinstance(found, Impossible)
    salt = next(clash for clash in found.clashes if clash.limit.reason == "it is not in the recipe")
    assert salt.limit.name == "the share of Table salt"


def test_a_wider_tolerance_needs_less() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    held = {"cocoa_mass": 1400.0, "sugar_granulated": 640.0}
    narrow = rescue(recipe, held, Bench(tolerance=Tolerance(0.2, 10.0)))
    wide = rescue(recipe, held, Bench(tolerance=Tolerance(1.0, 10.0)))

    assert isinstance(narrow, Rescue)
    assert isinstance(wide, Rescue)
    assert wide.added_g < narrow.added_g


def test_a_bench_that_cannot_be_is_refused() -> None:
    for bench in (Bench(machine_max_g=-1.0), Bench(shelf_g={"cocoa_mass": float("nan")})):
        with pytest.raises(InputError, match="not a weight"):
            rescue(DARK, {"cocoa_mass": 650.0}, bench)
    with pytest.raises(InputError, match="empty"):
        rescue(DARK, {})


STRANGE = {"cocoa_mass": 650.0, "cocoa_butter": 50.0, "sugar_granulated": 297.0, "lecithin_soy": 3.0}


def test_what_only_an_endless_batch_reaches_is_not_said_to_work() -> None:
    found = rescue(DARK, STRANGE, foreign=(part("salt", 5.0),))

    assert isinstance(found, Impossible)
    assert [clash.endless for clash in found.clashes] == [True]
    assert found.clashes[0].works_at is None
    assert found.clashes[0].relaxed() is None


def test_what_stays_is_as_little_as_the_machine_allows() -> None:
    """5 g of 2 kg, everything else in its shares."""
    stays = what_stays(DARK, STRANGE, Bench(machine_max_g=2000.0), (part("salt", 5.0), part("cinnamon", 2.0)))

    assert [each.part.label for each in stays] == ["salt", "cinnamon"]
    assert [each.least for each in stays] == pytest.approx([0.0025, 0.001])
    assert stays[0].now == pytest.approx(5.0 / 1007.0)


def test_without_an_end_to_the_batch_there_is_no_least() -> None:
    assert [each.least for each in what_stays(DARK, STRANGE, Bench(), (part("salt", 5.0),))] == [None]


def test_nothing_is_said_to_stay_where_the_rest_does_not_come_back() -> None:
    late = Bench(stage=Stage.FOLDED_IN)

    assert what_stays(DARK, {**STRANGE, "sugar_granulated": 600.0}, late, (part("salt", 5.0),)) == ()


def test_no_more_goes_in_of_what_is_not_in_the_recipe() -> None:
    held = {**STRANGE, "cocoa_mass": 700.0}
    found = rescue(DARK, held, Bench(left_in=frozenset({"salt"})), (part("salt", 5.0),))

    assert isinstance(found, Rescue)
    assert "salt" not in found.add_g


def test_two_additions_of_one_ingredient_share_what_is_on_the_shelf() -> None:
    recipe = Recipe(
        "twice",
        Form.BAR,
        (
            part("cocoa_mass", 60.0),
            part("sugar_granulated", 25.0, label="first"),
            part("sugar_granulated", 15.0, label="last"),
        ),
    )
    held = {"cocoa_mass": 600.0}
    enough, short = (
        rescue(recipe, held, Bench(shelf_g={"sugar_granulated": grams})) for grams in (400.0, 300.0)
    )

    assert isinstance(enough, Rescue)
    assert sum(enough.add_g[label] for label in ("first", "last")) <= 400.0
    assert isinstance(short, Impossible)
    assert any(
        clash.limit.name == "the weight of Granulated sugar in all additions" for clash in short.clashes
    )
