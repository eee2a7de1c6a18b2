"""The bench in a real browser: a batch from its recipe to its bars, a roast with a logger's file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

import demo_pages
from nibsmith.shop import demo

Check = Callable[[Page], None]
LOOKS = (Path(__file__).parent / "looks.js").read_text(encoding="utf-8")
OPEN = "document.querySelectorAll('details').forEach((details) => (details.open = true))"


@pytest.fixture
def pages(transactional_db: None) -> dict[str, str]:
    """The addresses of the demo workshop by what they show."""
    demo.load()
    return demo_pages.addresses()


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", ["batch", "session", "roast", "new-roast", "calibrations"])
def test_everything_that_opens_can_be_read_when_open(
    page: Page, width: int, name: str, pages: dict[str, str], assert_accessible: Check, assert_fits: Check
) -> None:
    page.goto(pages[name])
    page.evaluate(OPEN)
    found: dict[str, Any] = page.evaluate(f"{LOOKS}; looks()")
    assert found["smallNumbers"] == found["clipped"] == found["overlapping"] == []
    assert width > 390 or found["lowTargets"] == []
    assert_fits(page)
    assert_accessible(page)


class Maker:
    """Does the work at the bench by what a person reads."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def opens(self, section: str, summary: str) -> None:
        details = self.page.locator(f"{section} details", has=self.page.get_by_text(summary, exact=True))
        if details.first.get_attribute("open") is None:
            details.first.locator("summary").click()

    def types(self, section: str, label: str, text: str) -> None:
        self.page.locator(section).get_by_label(label, exact=True).first.fill(text)

    def presses(self, section: str, name: str) -> None:
        self.page.locator(section).get_by_role("button", name=name, exact=True).last.click()


@pytest.mark.parametrize("width", [390])
@pytest.mark.parametrize("scripting", [True, False], ids=["scripts", "no-scripts"])
def test_a_batch_from_its_recipe_to_its_bars(
    page: Page, scripting: bool, pages: dict[str, str], assert_fits: Check
) -> None:
    maker = Maker(page)
    page.goto(pages["recipe"])
    page.get_by_role("link", name="Make a batch", exact=True).click()
    page.get_by_role("button", name="Begin the batch", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Batch 2, Low Tide 64")

    maker.presses("#weigh", "All as planned")
    expect(page.locator(".said")).to_have_text("The weights are kept.")
    maker.types("#size", "Sizes read", "41 38 44")
    maker.types("#size", "Hours", "20")
    maker.presses("#size", "Keep the sizes")
    expect(page.locator("#size .entry")).to_contain_text("41")

    maker.opens("#words", "How did it pour?")
    page.locator("#words").get_by_label("right", exact=True).check()
    maker.types("#words", "Hours", "30")
    maker.presses("#words", "Keep it")
    expect(page.locator("#words .entry")).to_contain_text("Right for bars")
    expect(page.get_by_role("link", name="Flow: calibration")).to_be_visible()

    maker.opens("#end", "Weigh what came out")
    maker.types("#end", "Came out", "1700")
    maker.presses("#end", "Keep the weight")
    maker.types("#begin", "Take", "900")
    maker.presses("#begin", "Begin a session")
    expect(page.get_by_role("heading", level=1)).to_have_text("Session 1")
    maker.types("#session", "Bars", "12")
    maker.presses("#session", "Keep the session")
    expect(page.locator(".said")).to_have_text("The session is kept.")
    assert_fits(page)


@pytest.mark.parametrize("width", [390])
def test_a_refusal_at_the_bench_keeps_what_was_typed_and_the_place_on_the_page(
    page: Page, watch: Any, pages: dict[str, str], assert_accessible: Check, assert_fits: Check
) -> None:
    watch.expected.append("422")
    maker = Maker(page)
    page.goto(pages["batch"])
    maker.opens("#size", "Read the size")
    maker.types("#size", "Sizes read", "fine enough")
    maker.types("#size", "Note", "at the rim")
    page.locator("#size").get_by_role("button", name="Keep the sizes").scroll_into_view_if_needed()
    before = page.evaluate("scrollY")
    maker.presses("#size", "Keep the sizes")

    expect(page.locator("#size .error").first).to_contain_text("not a number")
    expect(page.locator("#size").get_by_label("Sizes read", exact=True)).to_have_value("fine enough")
    expect(page.locator("#size").get_by_label("Note", exact=True)).to_have_value("at the rim")
    assert abs(page.evaluate("scrollY") - before) < 200
    assert_accessible(page)
    assert_fits(page)


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("scripting", [True, False], ids=["scripts", "no-scripts"])
def test_a_logger_s_file_becomes_a_roast(
    page: Page, scripting: bool, pages: dict[str, str], tmp_path: Path, assert_fits: Check
) -> None:
    log = tmp_path / "log.csv"
    rows = "".join(f"{minute};{20 + 4 * minute},5;{130 + minute % 7}\n" for minute in range(26))
    log.write_text(f"Minute;Bohnen;Ofen\n{rows}", encoding="utf-8")
    page.goto("/roasts/")
    page.get_by_role("link", name="Write one down", exact=True).click()
    page.get_by_label("Beans", exact=True).fill("Marsh Farm")
    page.get_by_label("Weight before", exact=True).fill("1.5 kg")
    page.get_by_label("Weight after", exact=True).fill("1420")
    page.get_by_label("Or a logger's file", exact=True).set_input_files(log)
    page.get_by_role("button", name="Keep the roast", exact=True).click()

    expect(page.get_by_role("heading", level=1)).to_contain_text("Roast 3, Marsh Farm")
    expect(page.get_by_text("columns set apart by semicolons, decimal comma")).to_be_visible()
    expect(page.get_by_text("Cannot tell.")).to_be_visible()
    expect(page.locator(".chart-picture:visible")).to_have_count(1)
    assert_fits(page)
