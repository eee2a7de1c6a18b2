"""Every page: readable, reachable, nothing off its edge, numbers large enough, one primary button."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

import demo_pages
from nibsmith.science.mixture import Kind, Stage
from nibsmith.shop import demo
from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.opening import open_draft
from nibsmith.shop.stock.services import create_ingredient
from nibsmith.shop.stock.sheets import Sheet
from recipes_typed import DARK, draft, row
from rooms import ROOMS

Check = Callable[[Page], None]

LOOKS = (Path(__file__).parent / "looks.js").read_text(encoding="utf-8")
# The browser says in its console that a page came with one of these; the page itself says why.
REFUSALS = {"start-refused": "status of 422", "not-found": "status of 404"}
NOTHING = {"smallNumbers": [], "clipped": [], "overlapping": []}


def looks(page: Page) -> dict[str, Any]:
    """Return what is wrong with how a page is laid out, by kind of fault."""
    found: dict[str, Any] = page.evaluate(f"{LOOKS}; looks()")
    return found


@pytest.fixture
def pages(transactional_db: None) -> dict[str, str]:
    """The addresses of the demo workshop by what they show."""
    demo.load()
    return demo_pages.addresses()


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", demo_pages.NAMES)
def test_a_page_can_be_read_and_reached(
    page: Page,
    width: int,
    name: str,
    pages: dict[str, str],
    watch: Any,
    assert_accessible: Check,
    assert_fits: Check,
) -> None:
    if name in REFUSALS:
        watch.expected.append(REFUSALS[name])
    page.goto(pages[name])
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
    page: Page, pages: dict[str, str], assert_accessible: Check, assert_fits: Check
) -> None:
    page.goto(pages["recipe-with-inclusions"])
    page.evaluate("document.querySelectorAll('details').forEach((details) => (details.open = true))")
    found = looks(page)
    assert {kind: found[kind] for kind in NOTHING} == NOTHING
    assert_fits(page)
    assert_accessible(page)


@pytest.mark.parametrize("width", [390])
def test_everything_that_opens_fits_a_phone(page: Page, pages: dict[str, str], assert_fits: Check) -> None:
    page.goto(pages["recipe-with-inclusions"])
    page.evaluate("document.querySelectorAll('details').forEach((details) => (details.open = true))")
    found = looks(page)
    assert {kind: found[kind] for kind in (*NOTHING, "lowTargets")} == NOTHING | {"lowTargets": []}
    assert_fits(page)


def test_the_navigation_leads_to_every_room(page: Page, pages: dict[str, str]) -> None:
    page.goto("/")
    rooms = page.get_by_role("navigation", name="Main")
    assert rooms.get_by_role("link").all_inner_texts() == [name for name, _ in ROOMS]
    for name, address in ROOMS:
        rooms.get_by_role("link", name=name, exact=True).click()
        page.wait_for_url(f"**{address}")
        assert rooms.locator("[aria-current=page]").all_inner_texts() == [name]


@pytest.mark.parametrize("width", [390])
@pytest.mark.parametrize("scripting", [True, False], ids=["scripts", "no-scripts"])
def test_on_a_phone_the_rooms_open_from_one_low_line(
    page: Page, pages: dict[str, str], scripting: bool, assert_accessible: Check, assert_fits: Check
) -> None:
    page.goto(pages["recipe"])
    rooms = page.get_by_role("navigation", name="Main")
    assert page.get_by_role("banner").bounding_box()["height"] <= 64  # type: ignore[index]
    assert rooms.get_by_role("link").count() == 0
    rooms.get_by_role("button", name="Menu").click()
    assert rooms.get_by_role("link").all_inner_texts() == [name for name, _ in ROOMS]
    for link in rooms.get_by_role("link").all():
        assert link.bounding_box()["height"] >= 48  # type: ignore[index]
    assert_fits(page)
    if scripting:
        assert_accessible(page)
        page.keyboard.press("Escape")
        assert rooms.get_by_role("link").count() == 0
        rooms.get_by_role("button", name="Menu").click()
    rooms.get_by_role("link", name="Settings", exact=True).click()
    page.wait_for_url("**/settings/")


def test_the_keyboard_reaches_the_content_past_the_navigation(page: Page, pages: dict[str, str]) -> None:
    page.goto("/")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"


@pytest.mark.parametrize("width", [390])
def test_a_name_that_is_one_long_word_breaks_and_pushes_nothing_off_the_page(
    page: Page, transactional_db: None, assert_fits: Check
) -> None:
    word = "Wintergartenschokoladentafel" * 4
    nuts = create_ingredient(Sheet(name=word, kind=Kind.OTHER_FOOD, stage=Stage.FOLDED_IN))
    parts = (*DARK, replace(row("nuts", "10"), ingredient=nuts.key))
    version = services.create_recipe(draft(*parts, name=word))
    services.step_on(version, open_draft(draft(*parts[:2], row("sugar_granulated"), name=word)), why=word)
    recipe = f"/recipes/{version.recipe.public_id}/"
    inside = (
        "",
        "compare/",
        "versions/1/",
        "balance/",
        "bowl/?bowl=1200+g+nibs",
        "sheet/?version=1",
        "name/",
    )
    for address in (
        "/",
        "/recipes/",
        "/recipes/share-out/",
        "/stock/",
        "/history/",
        *(recipe + one for one in inside),
    ):
        page.goto(address)
        assert_fits(page)
