"""A bowl that does not fit its shares: what is true now, and the ways out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balance_problems import recipe_of, recipes
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import bowl_recipe, figure_changes, in_the_bowl
from nibsmith.science.mixture import Kind, own_ingredient, part

weights = st.floats(0.1, 5000.0)


@given(recipes(), st.data())
def test_keeping_the_shares_is_the_smallest_batch_that_holds_the_bowl(recipe, data) -> None:  # type: ignore[no-untyped-def]
    labels = [each.label for each in recipe.parts]
    held = {
        label: data.draw(weights)
        for label in data.draw(st.lists(st.sampled_from(labels), min_size=1, unique=True))
    }
    bowl = in_the_bowl(recipe, held)
    way = bowl.keep_shares

    assert way is not None
    for label in labels:
        assert way.recipe.share(label) == pytest.approx(recipe.share(label), rel=1e-9)
        assert way.recipe.part(label).mass_g >= held.get(label, 0.0) * (1 - 1e-12)
        assert way.add_g.get(label, 0.0) == pytest.approx(
            way.recipe.part(label).mass_g - held.get(label, 0.0), abs=2e-6
        )
    # one part has nothing added: a smaller batch would not hold it
    assert any(way.add_g.get(label, 0.0) == 0.0 for label in held)


@given(recipes(), st.data())
def test_keeping_the_weights_takes_nothing_out_and_gives_the_rest_its_share(recipe, data) -> None:  # type: ignore[no-untyped-def]
    labels = [each.label for each in recipe.parts]
    held = {
        label: data.draw(weights)
        for label in data.draw(st.lists(st.sampled_from(labels), min_size=1, unique=True))
    }
    kept = in_the_bowl(recipe, held).keep_weights

    for label in labels:
        if label in held:
            assert kept.recipe.part(label).mass_g == held[label]
        else:
            assert kept.recipe.share(label) == pytest.approx(recipe.share(label), rel=1e-9)
    assert set(kept.add_g) <= set(labels) - set(held)


@given(recipes(), st.floats(0.1, 10.0))
def test_a_bowl_that_keeps_the_shares_fits_and_changes_nothing(recipe, factor) -> None:  # type: ignore[no-untyped-def]
    bowl = in_the_bowl(recipe, {each.label: each.mass_g * factor for each in recipe.parts})

    assert bowl.fits
    for change in bowl.changes:
        assert change.after_percent == pytest.approx(change.before_percent, rel=1e-9, abs=1e-9)


def test_too_much_sugar_by_hand() -> None:
    """70 : 30 with 1,400 and 640 g: 93.3 g mass keeps the shares, or it is a 68.6 % chocolate."""
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    bowl = in_the_bowl(recipe, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0})

    assert not bowl.fits
    assert bowl.keep_shares is not None
    assert bowl.keep_shares.add_g == {"cocoa_mass": pytest.approx(280 / 3)}
    assert bowl.keep_weights.add_g == {}
    cocoa = bowl.changes[0]
    assert (cocoa.before_percent, cocoa.after_percent) == (70.0, pytest.approx(140000 / 2040))
    assert bowl.shares["cocoa_mass"] == (0.7, pytest.approx(1400 / 2040))
    assert bowl.now.total_g == 2040.0


def test_something_that_is_not_in_the_recipe_leaves_only_the_weights() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    bowl = in_the_bowl(recipe, {"cocoa_mass": 700.0}, (part("salt", 10.0),))

    assert bowl.keep_shares is None
    assert not bowl.fits
    assert bowl.keep_weights.recipe.part("salt").mass_g == 10.0
    assert bowl.keep_weights.recipe.share("sugar_granulated") == pytest.approx(0.3)
    assert bowl.shares["salt"][0] == 0.0


def test_only_a_strange_thing_in_the_bowl_leaves_the_recipe_as_it_stands() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    bowl = in_the_bowl(recipe, {}, (part("salt", 10.0),))

    assert bowl.keep_weights.recipe.total_g == pytest.approx(110.0)
    assert bowl.keep_weights.add_g == {"cocoa_mass": 70.0, "sugar_granulated": 30.0}


def test_a_part_with_no_share_in_the_recipe_cannot_be_kept_to_it() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0, "salt": 0.0})

    assert in_the_bowl(recipe, {"salt": 5.0, "cocoa_mass": 70.0}).keep_shares is None


def test_a_figure_that_is_not_known_stays_unknown() -> None:
    dull = own_ingredient("Mystery mass", Kind.MASS, {"water_g": 1.5})
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    other = replace(recipe, parts=(*recipe.parts, part(dull, 10.0)))
    changes = {change.key: change for change in figure_changes(recipe, other)}

    assert changes["total_fat"].after_percent is None
    assert changes["total_fat"].before_percent is not None
    assert changes["cocoa_as_weighed"].after_percent is not None


def test_a_bowl_that_cannot_be_is_refused() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    with pytest.raises(InputError, match="empty"):
        in_the_bowl(recipe, {"cocoa_mass": 0.0})
    with pytest.raises(InputError, match="No part has this label"):
        bowl_recipe(recipe, {"honey": 1.0})
    with pytest.raises(InputError, match="not a weight"):
        bowl_recipe(recipe, {"cocoa_mass": -1.0})
