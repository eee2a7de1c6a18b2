"""The whole job, as a maker plays it: from amounts in words to the sheet on paper, by visible labels only."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

MOST_ACTIONS = 12


class Maker:
    """Acts on a page and counts what it does; a thing is found by the label a person reads."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.actions = 0

    def types(self, label: str, text: str) -> None:
        self.actions += 1
        self.page.get_by_label(label, exact=True).fill(text)

    def presses(self, name: str | re.Pattern[str]) -> None:
        self.actions += 1
        self.page.get_by_role("button", name=name, exact=isinstance(name, str)).first.click()
        self.page.wait_for_load_state()

    def follows(self, name: str) -> None:
        self.actions += 1
        self.page.get_by_role("link", name=name, exact=True).first.click()
        self.page.wait_for_load_state()

    def reloads(self) -> None:
        self.actions += 1
        self.page.reload()


def part(page: Page, name: str) -> Locator:
    rows = page.get_by_role("list", name="Parts").get_by_role("listitem")
    return rows.filter(has=page.get_by_text(name, exact=True))


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("scripting", [True, False], ids=["scripts", "no-scripts"])
def test_from_amounts_in_words_to_the_sheet_on_paper(
    page: Page, scripting: bool, tmp_path: Path, assert_fits: Any
) -> None:
    maker = Maker(page)
    page.goto("/")
    maker.types("What have you got?", "1040 g nibs, 2 lb sugar, 40 g cocoa butter")
    maker.presses("See what it makes")
    maker.presses("Begin this recipe")
    expect(part(page, "Roasted nibs")).to_contain_text("1\u202f040")

    maker.types("Cocoa butter", "1.5")
    if not scripting:
        maker.presses("Answer again")
    # By hand: 1.5 % of 1040 + 907.185 + 40 g are 29.8 g, on a scale that reads 1 g.
    expect(part(page, "Cocoa butter")).to_contain_text("30")
    assert_fits(page)

    maker.presses(re.compile(r"^Add .* g "))
    expect(page.get_by_text("Version 2")).to_be_visible()

    maker.follows("Compare versions")
    expect(page.get_by_role("heading", name="Versions side by side")).to_be_visible()
    expect(page.get_by_role("row", name=re.compile("^Cocoa butter"))).to_contain_text("1.5")
    assert_fits(page)

    maker.follows("Batch sheet")
    expect(page.get_by_role("heading", name=re.compile("Batch sheet"))).to_be_visible()
    assert_fits(page)
    shown = page.get_by_role("row", name=re.compile("Roasted nibs")).inner_text()

    text = pdf_text(page, maker, tmp_path)
    assert "Roasted nibs" in text
    weight = re.search(r"[\d\u202f]+(?:\.\d+)?\u00a0g", shown)
    assert weight
    assert plain(weight[0]) in plain(text)

    maker.follows("Recipes")
    maker.follows("Roasted nibs, Granulated sugar, Cocoa butter")
    maker.reloads()
    expect(page.get_by_text("Version 2")).to_be_visible()
    expect(part(page, "Roasted nibs")).to_contain_text("1\u202f040")
    assert maker.actions <= MOST_ACTIONS


def pdf_text(page: Page, maker: Maker, folder: Path) -> str:
    """Follow the link to the PDF and read it with another program."""
    link = page.get_by_role("link", name="PDF", exact=True)
    maker.actions += 1
    answer = page.request.get(link.get_attribute("href") or "")
    assert answer.ok
    assert answer.headers["content-type"] == "application/pdf"
    assert "inline" in answer.headers["content-disposition"]
    file = folder / "sheet.pdf"
    file.write_bytes(answer.body())
    pages = subprocess.run(["pdfinfo", str(file)], capture_output=True, text=True, check=True).stdout
    count = re.search(r"Pages:\s+(\d+)", pages)
    assert count
    assert 1 <= int(count[1]) <= 4
    return subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True
    ).stdout


def plain(text: str) -> str:
    return " ".join(text.replace("\u202f", " ").replace("\u00a0", " ").split())
