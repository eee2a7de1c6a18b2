"""What the buttons do to shares: what is worked out is as exact as what was typed beside it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nibsmith.shop.recipes import changes
from nibsmith.shop.recipes.drafts import Draft
from nibsmith.shop.recipes.opening import open_draft
from recipes_typed import draft, row

pytestmark = pytest.mark.django_db

TENTHS = (row("cocoa_butter", "34.5"), row("milk_powder_whole", "24.5"), row("sugar_granulated"))


def digits_of(changed: Draft) -> dict[str, str]:
    return {each.label: each.digits for each in changed.rows}


def test_a_rest_that_is_typed_instead_has_the_digits_of_the_others() -> None:
    changed = digits_of(changes.fix(open_draft(draft(*TENTHS)), "sugar_granulated"))
    assert changed["sugar_granulated"] == "41.0"


def test_a_part_that_was_the_rest_has_the_digits_of_the_others() -> None:
    changed = digits_of(changes.rest(open_draft(draft(*TENTHS)), "cocoa_butter"))
    assert changed == {"cocoa_butter": "", "milk_powder_whole": "24.5", "sugar_granulated": "41.0"}


def test_a_ratio_gives_shares_with_the_digits_of_what_was_typed() -> None:
    parts = (row("cocoa_butter", "36.0"), row("milk_powder_whole", "24.0"), row("sugar_granulated", "40.0"))
    amounts = {"cocoa_butter": Decimal(2), "milk_powder_whole": Decimal(1)}
    changed = digits_of(changes.by_ratio(open_draft(draft(*parts)), amounts))
    assert changed == {"cocoa_butter": "40.0", "milk_powder_whole": "20.0", "sugar_granulated": "40.0"}


def test_weights_give_shares_with_the_digits_of_what_was_typed() -> None:
    masses_g = {"cocoa_butter": 700.0, "milk_powder_whole": 500.0, "sugar_granulated": 800.0}
    changed = digits_of(changes.from_masses(open_draft(draft(*TENTHS)), masses_g))
    assert changed == {"cocoa_butter": "35.0", "milk_powder_whole": "25.0", "sugar_granulated": ""}


def test_a_part_of_which_all_is_taken_out_goes_and_one_without_weight_yet_stays() -> None:
    whole = (
        row("cocoa_butter", "36"),
        row("sugar_granulated", "60"),
        row("lecithin_soy", "4"),
        row("hazelnut", "0"),
    )
    masses_g = {"cocoa_butter": 700.0, "sugar_granulated": 1300.0, "lecithin_soy": 0.0, "hazelnut": 0.0}
    changed = digits_of(changes.from_masses(open_draft(draft(*whole)), masses_g))
    assert changed == {"cocoa_butter": "35", "sugar_granulated": "65", "hazelnut": "0"}


def test_where_the_rest_is_taken_out_the_others_still_make_up_the_whole() -> None:
    parts = (row("cocoa_butter", "35"), row("sugar_granulated", "45"), row("lecithin_soy"))
    masses_g = {"cocoa_butter": 800.0, "sugar_granulated": 1200.0, "lecithin_soy": 0.0}
    changed = changes.from_masses(open_draft(draft(*parts)), masses_g)
    assert digits_of(changed) == {"cocoa_butter": "40", "sugar_granulated": "60"}
    assert open_draft(changed).recipe.total_g == 2000.0


def test_a_share_with_more_digits_than_were_typed_keeps_them_all() -> None:
    whole = (row("cocoa_butter", "50.0"), row("sugar_granulated", "50.0"))
    amounts = {"cocoa_butter": Decimal(2), "sugar_granulated": Decimal(1)}
    changed = digits_of(changes.by_ratio(open_draft(draft(*whole)), amounts))
    assert changed == {"cocoa_butter": "66.666667", "sugar_granulated": "33.333333"}
