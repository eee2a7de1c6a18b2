"""A roast written as it goes, in a real browser: a reading after the other, the end foretold beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

Check = Callable[[Page], None]
READINGS = (("0:00", "25"), ("10", "85"), ("20:00", "109"))


def one_more(page: Page, at: str, celsius: str) -> None:
    page.get_by_label("Time since the start", exact=True).fill(at)
    page.get_by_label("Temperature", exact=True).fill(celsius)
    page.get_by_role("button", name="One more reading", exact=True).click()


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("scripting", [True, False], ids=["scripts", "no-scripts"])
def test_readings_are_added_one_by_one_and_the_end_is_foretold_anew(
    page: Page, scripting: bool, transactional_db: None, assert_accessible: Check, assert_fits: Check
) -> None:
    page.goto("/roasts/new/")
    page.get_by_label("Beans", exact=True).fill("Marsh Farm")
    page.get_by_role("button", name="Keep the roast", exact=True).click()
    expect(page.locator("#going")).to_contain_text("No reading yet. 3 more make a curve.")
    for count, (at, celsius) in enumerate(READINGS, 1):
        one_more(page, at, celsius)
        expect(page.locator("#going")).to_contain_text(f"{count} reading")

    page.get_by_label("Take them out at", exact=True).fill("118")
    page.get_by_role("button", name="When is it there?", exact=True).click()
    expect(page.locator("#going .note")).to_contain_text("comes at about 29:01")
    one_more(page, "24:00", "114")
    expect(page.locator("#going")).to_contain_text("4 readings so far, the last 24:00")
    expect(page.locator("#going .note")).to_contain_text("As it goes now, 118")
    expect(page.locator("#going .note")).not_to_contain_text("29:01")
    assert_fits(page)
    if scripting:
        assert_accessible(page)
    page.reload()
    expect(page.locator("#going .note")).to_contain_text("As it goes now, 118")


@pytest.mark.parametrize("width", [390])
def test_a_reading_that_is_none_is_refused_where_it_was_typed(
    page: Page, watch: Any, transactional_db: None, assert_accessible: Check
) -> None:
    watch.expected.append("422")
    page.goto("/roasts/new/")
    page.get_by_label("Beans", exact=True).fill("Marsh Farm")
    page.get_by_role("button", name="Keep the roast", exact=True).click()
    one_more(page, "soon", "105")

    expect(page.locator("#going .error")).to_contain_text("This is no time")
    expect(page.get_by_label("Temperature", exact=True)).to_have_value("105")
    assert_accessible(page)


@pytest.mark.parametrize("width", [390, 1280])
def test_a_probe_left_in_the_hot_drum_is_asked_about_and_settled_on_the_page(
    page: Page, transactional_db: None, tmp_path: Path, assert_accessible: Check, assert_fits: Check
) -> None:
    log = tmp_path / "drum.csv"
    rows = "".join(f"{minute},{min(24 + 5 * minute, 120) if minute <= 20 else 136}\n" for minute in range(81))
    log.write_text(f"time (min),beans (°C)\n{rows}", encoding="utf-8")
    page.goto("/roasts/new/")
    page.get_by_label("Beans", exact=True).fill("Marsh Farm")
    page.get_by_label("Or a logger's file", exact=True).set_input_files(log)
    page.get_by_role("button", name="Keep the roast", exact=True).click()
    expect(page.locator(".caution")).to_contain_text("say when they came out")
    assert_accessible(page)
    page.locator(".caution").get_by_role("link", name="Say it here", exact=True).click()
    page.locator("#settle").get_by_label("When they came out", exact=True).fill("20:00")
    page.locator("#settle").get_by_role("button", name="Read it so", exact=True).click()

    expect(page.locator(".caution")).to_have_count(0)
    expect(page.locator(".chart-picture:visible")).to_contain_text("beans out")
    assert_fits(page)
