"""What is drawn: one picture for page and paper, readable aloud, safe, without a style of its own."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.paper.chart import (
    NARROW,
    WIDE,
    Axis,
    Band,
    Box,
    Chart,
    Count,
    Dots,
    Ink,
    Line,
    Mark,
    Milestone,
    Period,
    Rule,
    Size,
    Strip,
    Zone,
    figures_of,
    picture,
    picture_for_print,
)
from nibsmith.paper.chart.labels import LETTER, widest_of, width_of
from nibsmith.paper.chart.pen import LOOKS
from nibsmith.science.errors import InputError
from source_tree import SRC

CSS = (SRC / "shop" / "common" / "static" / "common" / "chart.css").read_text(encoding="utf-8")
HOURS = [0.0, 6.0, 12.0, 18.0, 24.0]
GRINDING = Chart(
    "Grinding of the dark batch",
    "The largest grains fall from 90 to 30 µm in 24 hours.",
    Axis("hours since the sugar", count=Count.HOURS),
    (
        Strip(
            "Largest grains, µm",
            (
                Band("likely", HOURS, [80, 52, 38, 30, 25], [100, 70, 52, 42, 36]),
                Line("forecast", HOURS, [90, 60, 45, 36, 30]),
                Line("without the stones' pressure", HOURS, [90, 75, 64, 56, 50], Ink.THIRD),
                Dots("readings", [6, 18], [58, 39], reach=5),
                Rule(25, "your aim"),
                Zone(20, 30, "smooth"),
                Mark(24, 30, "now"),
            ),
            low=0,
        ),
        Strip(
            "Speed, µm an hour",
            (
                Line("", HOURS, [6, 3.5, 2, 1.2, 0.8], Ink.SECOND),
                Period(8, 10, "stopped"),
                Box(1, 4, 4, 6, "first hours"),
            ),
            tall=1,
        ),
    ),
    (Milestone(0, "sugar in"), Milestone(1, "lid on"), Milestone(24, "out")),
)


def tree_of(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def bare(tag: str) -> str:
    return tag.rpartition("}")[2]


def texts(svg: str) -> list[str]:
    return [each.text or "" for each in tree_of(svg).iter() if bare(each.tag) == "text"]


@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_a_picture_has_a_role_a_name_and_a_description(size: Size) -> None:
    root = tree_of(picture(GRINDING, size))
    assert root.get("role") == "img"
    assert [(bare(child.tag), child.text) for child in list(root)[:2]] == [
        ("title", GRINDING.title),
        ("desc", GRINDING.says),
    ]


@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_a_picture_of_the_page_has_classes_and_no_style(size: Size) -> None:
    svg = picture(GRINDING, size)
    assert not re.search(r"style|fill=|stroke|font", svg)
    used = set(re.findall(r'class="([^"]+)"', svg)) - {"chart-picture"}
    assert used
    assert {name.removeprefix("chart-") for name in used} <= set(LOOKS)


def test_the_style_sheet_knows_every_look() -> None:
    classes = set(re.findall(r"\.chart-([a-z-]+)", CSS))
    plain = {"tick", "axis", "words", "key-words"}
    assert set(LOOKS) - classes - plain == set()


@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_paper_gets_the_same_drawing_with_its_looks_written_out(size: Size) -> None:
    page, paper = tree_of(picture(GRINDING, size)), tree_of(picture_for_print(GRINDING, size))
    places = ("d", "x", "y", "cx", "cy", "r", "width", "height", "viewBox", "text-anchor")

    def drawing(root: ElementTree.Element) -> list[tuple[str, str | None, dict[str, str]]]:
        return [
            (bare(each.tag), each.text, {name: each.attrib[name] for name in places if name in each.attrib})
            for each in root.iter()
        ]

    assert drawing(page) == drawing(paper)
    shapes = [each for each in paper.iter() if bare(each.tag) in {"path", "rect", "circle", "text"}]
    assert all("class" not in each.attrib for each in shapes)
    assert all({"fill", "stroke"} & set(each.attrib) for each in shapes)


def test_wide_pictures_name_curves_at_their_ends_and_narrow_ones_above() -> None:
    def anchored(svg: str) -> list[str]:
        return [each.get("class", "") for each in tree_of(svg).iter() if each.text == "forecast"]

    assert anchored(picture(GRINDING, WIDE)) == ["chart-name-main"]
    assert anchored(picture(GRINDING, NARROW)) == ["chart-key-words"]


@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_every_word_of_a_chart_is_in_its_picture(size: Size) -> None:
    shown = texts(picture(GRINDING, size))
    for word in ("your aim", "smooth", "now", "stopped", "first hours", "sugar in", "out", "likely"):
        assert word in shown
    assert "hours since the sugar" in shown
    assert "Speed, µm an hour" in shown


def test_strips_stand_below_each_other_over_one_axis() -> None:
    root = tree_of(picture(GRINDING))
    boxes = [each for each in root.iter() if bare(each.tag) == "svg" and each is not root]
    first, second = boxes
    assert float(first.get("y", 0)) + float(first.get("height", 0)) < float(second.get("y", 0))
    assert (first.get("x"), first.get("width")) == (second.get("x"), second.get("width"))


@given(st.text(max_size=40))
def test_any_text_stays_text(words: str) -> None:
    clean = "".join(sign for sign in words if sign.isprintable()) or "x"
    hostile = f"<script>&\"'{clean}"
    chart = Chart(
        hostile,
        hostile,
        Axis(hostile),
        (Strip(hostile, (Line(hostile, [0, 1], [0, 1]), Rule(0.5, hostile))),),
    )
    for svg in (picture(chart), picture_for_print(chart)):
        assert "<script" not in svg
        assert texts(svg).count(hostile) == 4


@given(
    st.lists(st.floats(allow_nan=True, allow_infinity=True, width=32), max_size=30),
    st.sampled_from([WIDE, NARROW]),
)
def test_any_numbers_give_a_picture_that_can_be_read(ys: list[float], size: Size) -> None:
    xs = [float(at) for at in range(len(ys))]
    chart = Chart(
        "t", "d", Axis("x"), (Strip("y", (Line("a", xs, ys), Dots("b", xs, ys), Band("c", xs, ys, ys))),)
    )
    svg = picture(chart, size)
    assert not re.search(r"nan|inf", svg, re.IGNORECASE)
    tree_of(svg)


@pytest.mark.parametrize("name", ["form V", "mmmmm", "WWW", "Probe in the beans, far down in the drum"])
@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_the_name_of_a_curve_ends_inside_the_picture(name: str, size: Size) -> None:
    root = tree_of(picture(Chart("t", "d", Axis("x"), (Strip("y", (Line(name, [0, 1], [0, 1]),)),)), size))
    looks = ("chart-name-main", "chart-key-words")
    (named,) = [each for each in root.iter() if each.get("class") in looks]
    shown = named.text or ""

    assert shown.removesuffix("…") == name[: len(shown.removesuffix("…"))]
    beside = named.get("class") == "chart-name-main"
    end = float(named.get("x", 0)) + (widest_of(shown) if beside else width_of(shown))
    assert end <= size.width


def test_names_at_the_ends_of_curves_stand_apart() -> None:
    lines = tuple(Line(f"curve {at}", [0, 1], [10, 10 + at / 100], Ink.MAIN) for at in range(5))
    root = tree_of(picture(Chart("t", "d", Axis("x"), (Strip("y", lines),))))
    heights = sorted(
        float(each.get("y", 0)) for each in root.iter() if each.get("class") == "chart-name-main"
    )
    assert len(heights) == 5
    assert all(below - above >= 19 for above, below in pairwise(heights))


@given(st.lists(st.tuples(st.floats(0, 60), st.text("abc ", min_size=1, max_size=12)), max_size=8))
def test_milestones_never_stand_on_each_other(stones: list[tuple[float, str]]) -> None:
    chart = Chart(
        "t",
        "d",
        Axis("minutes"),
        (Strip("°C", (Line("beans", [0, 60], [20, 120]),)),),
        tuple(Milestone(*stone) for stone in stones),
    )
    root = tree_of(picture(chart, NARROW))
    words = [each for each in root.iter() if each.get("class") == "chart-milestone-words"]
    boxes = [(float(w.get("y", 0)), float(w.get("x", 0)), len(w.text or "") * LETTER / 2) for w in words]
    for index, (y, x, half) in enumerate(boxes):
        for other_y, other_x, other_half in boxes[index + 1 :]:
            assert y != other_y or abs(x - other_x) >= half + other_half


@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_the_words_of_a_strip_stand_on_the_lines_of_milestones(size: Size) -> None:
    svg = picture(replace(GRINDING, milestones=(Milestone(20.0, "stopped"),)), size)

    assert svg.rindex('class="chart-milestone"') < svg.index('class="chart-words"')


def test_columns_of_different_length_are_refused() -> None:
    with pytest.raises(InputError, match="differ in length"):
        Line("beans", [0, 1], [20])


def test_an_axis_by_ratio_starts_above_zero() -> None:
    chart = Chart("t", "d", Axis("µm", low=0, high=10, log=True), (Strip("%", (Line("a", [1, 2], [1, 2]),)),))
    with pytest.raises(InputError, match="begins above zero"):
        picture(chart)


def test_the_figures_of_a_picture_are_its_points() -> None:
    first, readings, speed = figures_of(GRINDING)
    assert first.head == (
        "hours since the sugar",
        "likely, from",
        "likely, to",
        "forecast",
        "without the stones' pressure",
    )
    assert first.rows[1] == ("6", "52", "70", "60", "75")
    assert readings.rows == (("6", "58"), ("18", "39"))
    assert speed.head == ("hours since the sugar", "Speed, µm an hour")
    assert speed.rows[-1] == ("24", "0.80")


def test_long_tables_are_thinned_and_say_of_how_many() -> None:
    xs = [float(x) for x in range(500)]
    (table,) = figures_of(Chart("t", "d", Axis("s"), (Strip("K", (Line("a", xs, xs),)),)))
    assert table.of == 500
    assert len(table.rows) == 24
    assert (table.rows[0][0], table.rows[-1][0]) == ("0", "499")
