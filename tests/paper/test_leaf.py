"""A leaf of paper says what the page says, its picture drawn as there."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pytest
from pypdf import PdfReader

from nibsmith.answers.answer import Answer, Citation, Detail, Remedy, Verdict
from nibsmith.paper import Leaf, Paper, leaf_pdf
from nibsmith.paper.chart import Axis, Chart, Line, Mark, Milestone, Strip, picture
from nibsmith.science.tables import Status

EVIL = '#evil[] $x$ *b* <script> & "q" @r // \\u{41}'
CHART = Chart(
    "The bar in the cold",
    "It cools from 31 to 14 °C in 30 minutes.",
    Axis("minutes since pouring"),
    (Strip("Temperature, °C", (Line("core", [0, 10, 30], [31, 24, 14]), Mark(10, 24, "held up"))),),
    (Milestone(30, "comes off"),),
)
ANSWER = Answer(
    "demould",
    "When does it come off?",
    Verdict.WATCH,
    "Mind it.",
    "It comes off after about 30 min.",
    reasons=("It waits last for its core.", EVIL),
    remedies=(Remedy("Milder: at 14 °C."),),
    sources=(Citation("beckett-2009", "p. 667", Status.READ),),
    cautions=("Melted mass burns.",),
    details=(Detail("Settings", ("Air", "Minutes"), (("12 °C", "30"), ("14 °C", "40")), "Middles."),),
)
LEAF = Leaf(
    "Cooling a bar",
    (("Thickness", "8 mm, yours"),),
    ANSWER,
    (CHART,),
    formulas=("T_d = 243.12·γ/(17.62 − γ)",),
    lists=(("What was understood", ("Six rows.",)),),
)


def text_of(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


@pytest.mark.parametrize("paper", Paper)
def test_everything_that_is_said_is_printed(paper: Paper) -> None:
    text = text_of(leaf_pdf(LEAF, paper))
    for words in (
        "Cooling a bar",
        "8 mm, yours",
        "Mind it.",
        "It comes off after about 30 min.",
        "Milder: at 14 °C.",
        "It waits last for its core.",
        "243.12·γ",
        "beckett-2009, p. 667 (read in the source)",
        "Melted mass burns.",
        "Six rows.",
        "Settings",
        "Middles.",
    ):
        assert words in text


def test_the_picture_stands_in_it_with_its_words() -> None:
    text = text_of(leaf_pdf(LEAF))
    for words in ("Temperature, °C", "core", "held up", "comes off", "minutes since pouring"):
        assert words in text
        assert words in picture(CHART)


def test_any_text_stays_text() -> None:
    text = text_of(leaf_pdf(LEAF))
    assert "#evil[] $x$ *b* <script> &" in text


def test_the_same_leaf_gives_the_same_bytes() -> None:
    assert leaf_pdf(LEAF) == leaf_pdf(LEAF)


def test_a_sign_that_the_typeface_lacks_is_said_to_be_stood_in_for() -> None:
    other = Leaf("日", (), ANSWER, (CHART,))
    assert "stands for a sign" in text_of(leaf_pdf(other))


def test_it_is_tagged_for_readers_aloud_and_the_picture_has_words() -> None:
    root = PdfReader(io.BytesIO(leaf_pdf(LEAF))).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert CHART.says in list(alternatives(root["/StructTreeRoot"]))


def alternatives(element: Any) -> Iterator[str]:
    """Yield the words that stand for pictures, from the tree of the document's parts."""
    element = element.get_object() if hasattr(element, "get_object") else element
    if isinstance(element, list):
        for one in element:
            yield from alternatives(one)
    elif isinstance(element, dict):
        if "/Alt" in element:
            yield str(element["/Alt"])
        yield from alternatives(element.get("/K"))
