"""What the templates write with, and the colours of the look."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

import nibsmith.shop.common as common
from nibsmith.answers.answer import Verdict
from nibsmith.shop.common import svg
from nibsmith.shop.common.templatetags.look import sentence, source, table

LOOK = (Path(common.__file__).parent / "static" / "common" / "look.css").read_text(encoding="utf-8")
TEXT_CONTRAST = 4.5  # WCAG 2.2, success criterion 1.4.3, text of usual size
EDGE_CONTRAST = 3.0  # WCAG 2.2, success criterion 1.4.11, the edges of controls


def test_a_table_shows_what_people_typed_as_text() -> None:
    shown = table("<b>", ["<i>"], [["<script>", "a & b"]])
    assert "<script>" not in shown
    assert "&lt;script&gt;" in shown
    assert "a &amp; b" in shown
    assert "<b>" not in shown


def test_a_ribbon_shows_what_people_typed_as_text_and_adds_up() -> None:
    drawn = svg.ribbon([svg.Slice('"><script>', 60, "cocoa"), svg.Slice("sugar", 40, "sugar")], 'a "mix"')
    picture = ElementTree.fromstring(drawn)
    widths = [float(part.attrib["width"]) for part in picture.iter("rect")]
    assert sum(widths) == pytest.approx(100)
    assert picture.attrib["aria-label"] == 'a "mix"'
    assert not list(picture.iter("script"))


def test_every_verdict_has_a_shape_of_its_own() -> None:
    shapes = [svg.mark(verdict.value) for verdict in Verdict]
    assert len(set(shapes)) == len(list(Verdict))


@pytest.mark.parametrize(("typed", "shown"), [("Less", "Less."), ("Less.", "Less."), ("Why?", "Why?")])
def test_a_sentence_ends_once(typed: str, shown: str) -> None:
    assert sentence(typed) == shown


def test_the_key_of_a_source_leads_to_its_reference_and_a_supplier_is_shown_as_text() -> None:
    assert source("usda-sr28 NDB 19078") == '<a href="/sources/#usda-sr28">usda-sr28</a> NDB 19078'
    assert source("Hill & Sons") == "Hill &amp; Sons"
    assert source("") == ""


def colours(scheme: str) -> dict[str, str]:
    """Return the colours by name; those of the dark are those of the light where it names none."""
    blocks = re.findall(r":root \{(.*?)\}", LOOK, re.DOTALL)
    found = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", blocks[0]))
    return found if scheme == "light" else found | dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", blocks[1]))


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    channels = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    linear = [value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4 for value in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_worked_out_as_the_guideline_says() -> None:
    # WCAG 2.2, definition of contrast ratio: black on white is 21 to 1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ["ink", "soft", "copper", "copper-deep", "good", "watch", "stop"])
@pytest.mark.parametrize("ground", ["paper", "sheet", "wash"])
def test_text_can_be_read_on_every_ground(scheme: str, name: str, ground: str) -> None:
    found = colours(scheme)
    assert contrast(found[name], found[ground]) >= TEXT_CONTRAST


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_primary_button_can_be_read(scheme: str) -> None:
    found = colours(scheme)
    assert contrast(found["on-copper"], found["copper"]) >= TEXT_CONTRAST
    assert contrast(found["on-copper"], found["copper-deep"]) >= TEXT_CONTRAST


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "sheet"])
def test_the_edges_of_fields_can_be_seen(scheme: str, ground: str) -> None:
    found = colours(scheme)
    assert contrast(found["edge"], found[ground]) >= EDGE_CONTRAST
