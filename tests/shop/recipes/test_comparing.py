"""Two versions side by side: what stands as the change is the difference of what stands beside it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.comparing import MINUS, compare_versions
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_draft
from recipes_typed import draft, row

pytestmark = pytest.mark.django_db


def number(text: str) -> Decimal:
    return Decimal(text.replace(MINUS, "-").replace("+", "") or "0")


@pytest.mark.parametrize("butter", ["0.14", "2.36", "4.004", "7.77", "11.95", "33.333333"])
def test_every_change_is_the_difference_of_the_two_figures_shown(dark: RecipeVersion, butter: str) -> None:
    changed = draft(
        row("cocoa_nibs_roasted", "59.876543"), row("cocoa_butter", butter), row("sugar_granulated")
    )
    newer = services.step_on(services.freeze(dark), open_draft(changed), why="another butter")
    comparison = compare_versions(dark, newer, workshop())
    assert comparison.figures
    for part in comparison.parts:
        assert number(part.change) == number(part.new_share) - number(part.old_share), part.name
    for figure in comparison.figures:
        assert number(figure.change) == number(figure.new) - number(figure.old), figure.words
