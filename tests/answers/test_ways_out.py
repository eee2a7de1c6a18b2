"""The ways out of a bowl that does not fit."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.context import Context
from nibsmith.answers.ways_out import KEEP_SHARES, KEEP_WEIGHTS, document, ways_out
from nibsmith.science.formulate import in_the_bowl
from nibsmith.science.mixture import Form, Recipe, as_weighed, part

DARK = Recipe(
    "bar",
    Form.BAR,
    (part("cocoa_nibs_roasted", 615.0), part("cocoa_butter", 65.0), part("sugar_granulated", 320.0)),
)
LABELS = tuple(row.label for row in DARK.parts)
REL = 1e-9  # sums and quotients of three floats


@given(st.dictionaries(st.sampled_from(LABELS), st.floats(1.0, 3000.0), min_size=1))
def test_every_way_keeps_what_is_in_the_bowl_and_says_what_it_adds(bowl_g: dict[str, float]) -> None:
    for way in ways_out(in_the_bowl(DARK, bowl_g), Context()):
        for row in way.recipe.parts:
            there = bowl_g.get(row.label, 0.0)
            assert row.mass_g >= there * (1 - REL)
            assert way.add_g.get(row.label, 0.0) == pytest.approx(row.mass_g - there, rel=1e-6, abs=1e-5)
        if way.key == KEEP_SHARES:
            for row in way.recipe.parts:
                assert way.recipe.share(row.label) == pytest.approx(DARK.share(row.label), rel=REL)


def test_a_bowl_that_fits_needs_no_way_out() -> None:
    assert (
        ways_out(in_the_bowl(DARK, {label: DARK.part(label).mass_g * 2 for label in LABELS}), Context()) == ()
    )
    assert ways_out(in_the_bowl(DARK, {"cocoa_butter": 100.0}), Context()) == ()


def test_the_name_that_is_lost_by_keeping_the_weights_is_said() -> None:
    """1.5 kg of sugar on 615 g of nibs leave under 35 % of cocoa: no chocolate in the EU [eu-2000-36]."""
    bowl = in_the_bowl(DARK, {"cocoa_nibs_roasted": 615.0, "cocoa_butter": 65.0, "sugar_granulated": 1500.0})
    keep_shares, keep_weights = ways_out(bowl, Context(markets=("eu",)))
    assert (keep_shares.name_before, keep_shares.name_after) == ("Chocolate", "Chocolate")
    assert (keep_weights.key, keep_weights.name_after) == (KEEP_WEIGHTS, "")
    assert document(keep_weights)["name_after"] is None


def test_the_changes_are_those_of_the_two_recipes() -> None:
    bowl = in_the_bowl(DARK, {"cocoa_nibs_roasted": 1080.0, "sugar_granulated": 610.0})
    _, way = ways_out(bowl, Context())
    for change in way.changes:
        assert change.before_percent == as_weighed(DARK).percent(change.key)
        assert change.after_percent == as_weighed(way.recipe).percent(change.key)


def said(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", "")


def test_a_bowl_that_holds_more_than_the_batch_takes_does_not_fit_it() -> None:
    """1.5 kg of the recipe take 480 g of sugar; with 640 g in the bowl it is 2 kg, or 1.66 kg of another."""
    bowl = in_the_bowl(DARK, {"sugar_granulated": 640.0})
    shares, weights = ways_out(bowl, Context(), DARK.scaled(1500.0))
    assert shares.recipe.total_g == pytest.approx(640 / 0.32)
    assert dict(shares.add_g) == pytest.approx({"cocoa_nibs_roasted": 1230.0, "cocoa_butter": 130.0})
    assert dict(weights.add_g) == pytest.approx({"cocoa_nibs_roasted": 922.5, "cocoa_butter": 97.5})
    assert weights.recipe.total_g == pytest.approx(1500 - 480 + 640)


def test_a_bowl_within_the_batch_fits_it_to_the_step_of_the_scale() -> None:
    bowl = in_the_bowl(DARK, {"sugar_granulated": 480.4})
    assert ways_out(bowl, Context(), DARK.scaled(1500.0)) == ()
    assert ways_out(bowl, Context(), DARK.scaled(2000.0)) == ()


def test_shares_are_kept_in_a_batch_no_smaller_than_the_one_planned() -> None:
    bowl = in_the_bowl(DARK, {"cocoa_nibs_roasted": 1500.0, "cocoa_butter": 130.0, "sugar_granulated": 640.0})
    alone, planned = (ways_out(bowl, Context(), size)[0] for size in (None, DARK.scaled(4000.0)))
    assert alone.recipe.total_g == pytest.approx(1500 / 0.615)
    assert planned.recipe.total_g == pytest.approx(4000.0)
    assert planned.add_g["cocoa_nibs_roasted"] == pytest.approx(2460 - 1500)


@given(st.dictionaries(st.sampled_from(LABELS), st.integers(1, 3000), min_size=1))
def test_the_grams_said_add_to_the_total_said(bowl_g: dict[str, int]) -> None:
    for way in ways_out(in_the_bowl(DARK, {label: float(held) for label, held in bowl_g.items()}), Context()):
        adds, total = said(way.sentence).split(";")
        numbers = [int(word) for word in adds.replace(",", " ").split() if word.isdigit()]
        assert sum(bowl_g.values()) + sum(numbers) == int(total.split()[0])


def test_what_the_shelf_lacks_of_a_way_out_is_said() -> None:
    bowl = in_the_bowl(DARK, {"sugar_granulated": 640.0})
    shares, weights = ways_out(bowl, Context(shelf_g={"cocoa_nibs_roasted": 1200.0}), DARK.scaled(1951.2))
    assert "The shelf is 30 g of roasted nibs short of that." in said(shares.sentence)
    assert "short" not in weights.sentence


def test_an_addition_that_the_scale_cannot_weigh_is_said() -> None:
    """3 g of butter on a scale of 1 g are out by up to a sixth of them."""
    bowl = in_the_bowl(DARK, {"cocoa_nibs_roasted": 615.0, "sugar_granulated": 320.0, "cocoa_butter": 62.0})
    keep, _ = ways_out(bowl, Context())

    assert keep.add_g["cocoa_butter"] == pytest.approx(3.0)
    assert keep.remarks == ("The scale is too coarse for the cocoa butter.",)
    assert document(keep)["remarks"] == list(keep.remarks)
    assert ways_out(bowl, Context(scale_g=Decimal("0.1")))[0].remarks == ()
