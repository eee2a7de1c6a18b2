"""Every page: readable, reachable, nothing off its edge, numbers large enough, one primary button."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from nibsmith.shop import demo
from nibsmith.shop.kit.models import Mould, OwnKit
from nibsmith.shop.recipes.selectors import listed
from nibsmith.shop.stock.models import OwnIngredient

Check = Callable[[Page], None]

LOOKS = (Path(__file__).parent / "looks.js").read_text(encoding="utf-8")
NOTHING = {"smallNumbers": [], "clipped": [], "overlapping": []}


def looks(page: Page) -> dict[str, Any]:
    """Return what is wrong with how a page is laid out, by kind of fault."""
    found: dict[str, Any] = page.evaluate(f"{LOOKS}; looks()")
    return found


@pytest.fixture
def addresses(transactional_db: None) -> dict[str, str]:
    """The pages of the demo workshop by name."""
    demo.load()
    by_name = {found.recipe.name: found for found in listed()}
    most = max(by_name.values(), key=lambda found: found.version.number).recipe.public_id
    nutty = next(found for found in by_name.values() if found.recipe.name == "Hazel Gate").recipe.public_id
    own = OwnIngredient.objects.earliest("pk").key
    return {
        "start": "/",
        "start with amounts": "/?have=1200+g+roasted+nibs%2C+700+g+cane+sugar",
        "start with a question": "/?have=1200+g+roasted+nibs%2C+10+g+lecithin",
        "recipes": "/recipes/",
        "a new recipe": "/recipes/new/",
        "a recipe": f"/recipes/{most}/",
        "a recipe with inclusions": f"/recipes/{nutty}/",
        "name, form and note": f"/recipes/{most}/name/",
        "begin another": f"/recipes/{most}/copy/",
        "versions": f"/recipes/{most}/compare/",
        "an older version": f"/recipes/{most}/versions/1/",
        "in the bowl": f"/recipes/{most}/bowl/",
        "in the bowl, looked at": f"/recipes/{most}/bowl/?bowl=1200+g+nibs%2C+900+g+sugar%2C+20+g+salt",
        "all figures": f"/recipes/{nutty}/figures/",
        "a figure": f"/recipes/{nutty}/figures/cocoa_butter/",
        "the sheet": f"/recipes/{nutty}/sheet/",
        "ingredients": "/stock/",
        "an ingredient": f"/stock/{own}/",
        "kit": "/kit/",
        "a machine": f"/kit/{OwnKit.objects.earliest('pk').ref}/",
        "a mould": f"/kit/moulds/{Mould.objects.earliest('pk').ref}/",
        "settings": "/settings/",
        "history": "/history/",
    }


NAMES = (
    "start",
    "start with amounts",
    "start with a question",
    "recipes",
    "a new recipe",
    "a recipe",
    "a recipe with inclusions",
    "name, form and note",
    "begin another",
    "versions",
    "an older version",
    "in the bowl",
    "in the bowl, looked at",
    "all figures",
    "a figure",
    "the sheet",
    "ingredients",
    "an ingredient",
    "kit",
    "a machine",
    "a mould",
    "settings",
    "history",
)


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", NAMES)
def test_a_page_can_be_read_and_reached(
    page: Page, width: int, name: str, addresses: dict[str, str], assert_accessible: Check, assert_fits: Check
) -> None:
    page.goto(addresses[name])
    found = looks(page)
    assert found.pop("primary") <= 1
    low = found.pop("lowTargets")
    assert found == NOTHING
    assert width > 390 or low == []
    assert_fits(page)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        assert_accessible(page)


def test_everything_that_opens_can_be_read_when_open(
    page: Page, addresses: dict[str, str], assert_accessible: Check, assert_fits: Check
) -> None:
    page.goto(addresses["a recipe with inclusions"])
    page.evaluate("document.querySelectorAll('details').forEach((details) => (details.open = true))")
    found = looks(page)
    assert {kind: found[kind] for kind in NOTHING} == NOTHING
    assert_fits(page)
    assert_accessible(page)


@pytest.mark.parametrize("width", [390])
def test_everything_that_opens_fits_a_phone(
    page: Page, addresses: dict[str, str], assert_fits: Check
) -> None:
    page.goto(addresses["a recipe with inclusions"])
    page.evaluate("document.querySelectorAll('details').forEach((details) => (details.open = true))")
    found = looks(page)
    assert {kind: found[kind] for kind in (*NOTHING, "lowTargets")} == NOTHING | {"lowTargets": []}
    assert_fits(page)


def test_the_navigation_leads_to_every_room(page: Page, addresses: dict[str, str]) -> None:
    page.goto("/")
    names = page.get_by_role("navigation").get_by_role("link").all_inner_texts()
    assert names == ["Start", "Recipes", "Ingredients", "Kit", "Settings", "History"]
    for name in names:
        page.get_by_role("navigation").get_by_role("link", name=name, exact=True).click()
        here: Any = page.get_by_role("navigation").locator("[aria-current=page]")
        assert here.all_inner_texts() == [name]


def test_the_keyboard_reaches_the_content_past_the_navigation(page: Page, addresses: dict[str, str]) -> None:
    page.goto("/")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
