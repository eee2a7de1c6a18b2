"""The tools under the hands: typed into on a phone and a laptop, with scripts and without."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from nibsmith.shop.tools.catalogue import BENCHES
from tool_examples import EXAMPLES

Check = Callable[[Page], None]

LOOKS = (Path(__file__).parent / "looks.js").read_text(encoding="utf-8")
NOTHING: dict[str, list[str]] = {"smallNumbers": [], "clipped": [], "overlapping": []}


def fill(page: Page, key: str, typed: dict[str, str] | None = None) -> None:
    """Type an example into a tool as a maker would, folded-away fields too."""
    for folded in page.locator("#tool-form details").all():
        if folded.get_attribute("open") is None:
            folded.locator("summary").click()
    for name, text in (EXAMPLES[key].typed if typed is None else typed).items():
        field = page.locator(f'#tool-form [name="{name}"]')
        if field.first.get_attribute("type") == "checkbox":
            page.locator(f'#tool-form [name="{name}"][value="{text}"]').check()
        elif field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)


def answered(page: Page, key: str) -> None:
    fill(page, key)
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#result")).to_contain_text(EXAMPLES[key].says)
    page.wait_for_load_state("networkidle")


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("key", EXAMPLES)
def test_an_answered_tool_can_be_read_and_reached(
    page: Page,
    width: int,
    key: str,
    transactional_db: None,
    assert_accessible: Check,
    assert_fits: Check,
) -> None:
    page.goto(f"/tools/{key}/")
    answered(page, key)
    page.evaluate("document.querySelectorAll('details').forEach((details) => (details.open = true))")
    found: dict[str, Any] = page.evaluate(f"{LOOKS}; looks()")
    assert found.pop("primary") == 1
    low = found.pop("lowTargets")
    # The answer in short lies over the form by intent; what has the focus is scrolled clear of it.
    found["overlapping"] = [pair for pair in found["overlapping"] if 'id="in-short"' not in pair]
    assert found == NOTHING
    assert width > 390 or low == []
    assert_fits(page)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        assert_accessible(page)


@pytest.mark.parametrize("scripting", [False])
@pytest.mark.parametrize("key", EXAMPLES)
def test_a_tool_answers_without_scripts(page: Page, key: str, transactional_db: None) -> None:
    page.goto(f"/tools/{key}/")
    answered(page, key)


@pytest.mark.parametrize("width", [390, 1280])
def test_a_picture_is_drawn_in_the_size_that_fits(page: Page, width: int, transactional_db: None) -> None:
    page.goto("/tools/tempering/")
    shown = "chart-narrow" if width == 390 else "chart-wide"
    other = "chart-wide" if width == 390 else "chart-narrow"
    expect(page.locator(f".{shown} svg").first).to_be_visible()
    expect(page.locator(f".{other} svg").first).to_be_hidden()
    size = page.locator(f".{shown} .chart-tick").first.evaluate(
        "tick => parseFloat(getComputedStyle(tick).fontSize) * tick.getScreenCTM().a"
    )
    assert size >= 15  # drawn letters are read at arm's length


def test_typing_is_answered_in_place_and_the_address_holds_it(page: Page, transactional_db: None) -> None:
    page.goto("/tools/seed/")
    page.get_by_label("Melted mass").press_sequentially("1.2 kg")
    page.get_by_label("Its temperature").press_sequentially("46")
    expect(page.locator("#result")).to_contain_text("How much seed?")
    expect(page.locator("#heard")).not_to_be_empty()
    assert page.get_by_label("Its temperature").input_value() == "46"
    expect(page).to_have_url(re.compile("mass_g=1.2"))
    page.reload()
    expect(page.locator("#result")).to_contain_text("How much seed?")


def test_a_refusal_appears_beside_its_field_while_typing_and_goes_again(
    page: Page, watch: Any, transactional_db: None
) -> None:
    watch.expected.append("status of 422")
    page.goto("/tools/damp/")
    field = page.get_by_label("Its humidity")
    field.fill("150")
    expect(page.locator("#id_humidity_error")).to_contain_text("more than it can be")
    assert field.get_attribute("aria-invalid") == "true"
    assert field.input_value() == "150"
    field.fill("55")
    expect(page.locator("#id_humidity_error")).to_be_empty()
    expect(page.locator("#result")).to_contain_text("Will it sweat?")
    assert field.get_attribute("aria-invalid") is None


def test_what_is_open_stays_open_while_somebody_types(page: Page, transactional_db: None) -> None:
    page.goto("/tools/damp/")
    page.get_by_text("How it is worked out").click()
    page.get_by_label("Its humidity").fill("60")
    expect(page.locator("#result")).to_contain_text("60 %")
    assert page.locator("#working-out").get_attribute("open") is not None


@pytest.mark.parametrize("width", [390])
def test_on_a_phone_the_answer_in_short_stays_in_sight(page: Page, transactional_db: None) -> None:
    page.goto("/tools/faults/")
    page.get_by_label("Streaks or grey marks within a day").check()
    short = page.locator("#in-short")
    expect(short).to_contain_text("Likeliest.")
    assert short.bounding_box()["y"] < 844  # type: ignore[index]
    short.click()
    expect(page.locator("#result .question")).to_be_in_viewport()


def test_every_tool_is_one_click_from_the_list(page: Page, transactional_db: None) -> None:
    for tool in BENCHES.values():
        page.goto("/tools/")
        page.get_by_role("main").get_by_role("link", name=tool.name, exact=True).click()
        assert page.get_by_role("heading", level=1).inner_text() == tool.name


def test_a_roast_is_dropped_as_a_file(page: Page, transactional_db: None) -> None:
    log = Path(__file__).parents[1] / "fixtures" / "roast_logs" / "01-seconds.log"
    page.goto("/tools/roast/")
    page.locator("#id_file").set_input_files(log)
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#result")).to_contain_text("What was understood")
    expect(page.locator("#result svg.chart-picture").first).to_be_visible()
