"""The ways out of a bowl that does not fit."""

from __future__ import annotations

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
