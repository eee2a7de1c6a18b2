"""The pages that say what went wrong, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

Check = Callable[[Page], None]


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("colour_scheme", ["light", "dark"])
def test_a_missing_page_says_so_readably(
    page: Page, watch, assert_accessible: Check, assert_fits: Check
) -> None:
    watch.expected.append("404")

    answer = page.goto("/no-such-page")

    assert answer is not None
    assert answer.status == 404
    assert page.get_by_role("heading", level=1).inner_text() == "Nothing here"
    assert_accessible(page)
    assert_fits(page)


def test_htmx_of_the_second_line_is_there_and_may_not_evaluate_text(page: Page, watch) -> None:
    watch.expected.append("404")
    page.goto("/no-such-page")

    assert page.evaluate("htmx.version").startswith("2.")
    assert page.evaluate("htmx.config.allowEval") is False
    assert page.evaluate("htmx.config.includeIndicatorStyles") is False


def test_a_page_cannot_run_what_stands_in_its_text(page: Page, watch) -> None:
    """The policy stops inline scripts; the browser says so in its console."""
    watch.expected += ["404", "Content Security Policy"]
    page.goto("/no-such-page")

    page.evaluate(
        """() => {
            const script = document.createElement('script');
            script.text = 'window.ran = 1';
            document.body.append(script);
        }"""
    )

    assert page.evaluate("window.ran") is None
    assert any("Content Security Policy" in line for line in watch.complaints)


@pytest.mark.parametrize("scripting", [False])
def test_the_first_stop_of_the_tab_key_skips_to_the_content(page: Page, watch) -> None:
    watch.expected.append("404")
    page.goto("/no-such-page")

    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    expect(page).to_have_url(re.compile("#main$"))
