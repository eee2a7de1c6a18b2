"""Estimates on the recipe page come by themselves after a typed amount; one click takes a remedy."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from nibsmith.shop import demo
from nibsmith.shop.recipes.selectors import listed


@pytest.fixture
def address(transactional_db: None) -> str:
    demo.load()
    return f"/recipes/{listed()[0].recipe.public_id}/"


def test_a_typed_amount_is_answered_in_two_pieces(page: Page, address: str) -> None:
    pieces: list[str] = []
    page.on("request", lambda sent: pieces.append(f"{sent.method} {sent.url}"))
    page.goto(address)
    before = page.locator("#answer-pour .answer-figure").inner_text()
    pieces.clear()
    amount = page.locator(".part-share input").first
    amount.fill("47")
    amount.press("Tab")
    expect(page.locator("#answer-pour .answer-figure")).not_to_have_text(before)
    expect(page.locator("#estimates")).to_have_count(0)
    assert [piece.partition(" ")[0] for piece in pieces] == ["POST", "GET"]
    assert pieces[1].endswith("/estimates/")
    assert page.locator("#answers > .answer").evaluate_all("all => all.map((one) => one.id)") == [
        f"answer-{key}"
        for key in ("weigh_out", "call_it", "pour", "snap", "smooth", "keep", "who_must_not", "cost")
    ]


def test_what_is_open_stays_open_while_the_estimate_is_worked_out(page: Page, address: str) -> None:
    page.goto(address)
    page.locator("#answer-pour summary").click()
    amount = page.locator(".part-share input").first
    amount.fill("48")
    amount.press("Tab")
    expect(page.locator("#estimates")).to_have_count(0)
    expect(page.locator("#why-pour")).to_have_attribute("open", "")


def test_a_thick_recipe_pours_after_one_click(page: Page, address: str) -> None:
    page.goto(address)
    amount = page.locator(".part-share input").first
    amount.fill("47")
    amount.press("Tab")
    pours = page.locator("#answer-pour .word")
    expect(pours).to_contain_text("too thick", ignore_case=True)
    page.locator("#answer-pour").get_by_role("button", name="cocoa butter").first.click()
    expect(pours).to_have_text("Pours.")


@pytest.mark.parametrize("scripting", [False])
def test_without_scripts_the_estimates_are_on_the_page(page: Page, address: str) -> None:
    page.goto(address)
    expect(page.locator("#answer-pour .answer-figure")).to_be_visible()
    expect(page.locator("#answer-smooth .answer-says")).to_contain_text("µm")
