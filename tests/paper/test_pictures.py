"""What the charts of the answers show, and in which words."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from nibsmith.answers.context import Context
from nibsmith.answers.curve import curve_picture
from nibsmith.answers.tools.cooling_bar import CoolAsked, picture_by_hand, settings_by_hand
from nibsmith.answers.tools.cooling_curve import curve_typed
from nibsmith.answers.tools.damp import DampAsked, damp_of
from nibsmith.answers.tools.grain_sizes import sizes_read
from nibsmith.answers.tools.grinding import GrindAsked, grinding_curve, readings_typed
from nibsmith.answers.tools.known_mass import KnownMass
from nibsmith.answers.tools.pouring import PourAsked, curve_by_hand
from nibsmith.answers.tools.roasting import RoastTyped, roast_by_hand
from nibsmith.paper.chart import (
    NARROW,
    WIDE,
    Band,
    Box,
    Chart,
    Dots,
    Line,
    Mark,
    Rule,
    Size,
    figures_of,
    picture,
)
from nibsmith.paper.pictures.cooling import bar_chart, settings_chart
from nibsmith.paper.pictures.curve import curve_chart
from nibsmith.paper.pictures.damp import damp_chart
from nibsmith.paper.pictures.flow import flow_chart
from nibsmith.paper.pictures.grinding import grinding_chart
from nibsmith.paper.pictures.roast import roast_picture
from nibsmith.paper.pictures.sizes import sizes_chart
from nibsmith.paper.pictures.temper import program_chart
from nibsmith.science.kit import kit
from nibsmith.science.temper import Chocolate, program
from tool_examples import CUP


def layers(chart: Chart, kind: type) -> list:
    return [layer for strip in chart.strips for layer in strip.layers if isinstance(layer, kind)]


def test_a_flow_curve_rises_inside_its_band_and_shows_what_the_use_bears() -> None:
    curve = curve_by_hand(PourAsked(KnownMass(Chocolate.DARK, 36.0)))
    assert curve is not None
    chart = flow_chart(curve, "this mass")
    (line,), (band,), (limit,) = layers(chart, Line), layers(chart, Band), layers(chart, Dots)
    assert all(a < b for a, b in pairwise(line.ys))
    assert all(low <= y <= high for low, y, high in zip(band.low, line.ys, band.high, strict=True))
    assert list(limit.xs) == [5.0, 40.0]


def test_a_flow_whose_range_is_far_is_cut_in_the_picture_with_a_word_and_whole_in_the_figures() -> None:
    curve = curve_by_hand(PourAsked(KnownMass(Chocolate.DARK, 36.0)))
    assert curve is not None
    assert "cut" not in picture(flow_chart(curve, "it"))
    far = replace(curve, high=curve.high * 10)

    chart = flow_chart(far, "it")
    (band,) = layers(chart, Band)
    assert list(band.high) == far.high.tolist()
    (strip,) = chart.strips
    tallest = max([*far.limit_stress.tolist(), *far.stress.tolist()])
    assert strip.high == 2 * tallest < max(band.high)
    assert f"goes on above the picture, to {max(band.high):.0f} Pa" in chart.says
    assert "cut at the top" in picture(chart)
    table = figures_of(chart)[0]
    assert float(table.rows[-1][2]) == pytest.approx(far.high[-1], rel=1e-2)


def test_a_mass_that_may_not_flow_has_a_band_without_an_end() -> None:
    curve = curve_by_hand(PourAsked(KnownMass(Chocolate.DARK, 36.0)))
    assert curve is not None
    chart = flow_chart(replace(curve, high=curve.high * math.inf), "it")

    assert {row[2] for row in figures_of(chart)[0].rows} == {"no end"}
    assert "band-main" in picture(chart)
    assert "inf" not in picture(chart).replace("information", "")
    assert "to no end: the mass may not flow" in chart.says


def test_a_grinding_shows_each_reading_with_its_reach_and_when_it_is_ready() -> None:
    asked = GrindAsked(readings=readings_typed("9 95 3\n24 45 3"), context=Context(kit=kit("stone")))
    curve = grinding_curve(asked)
    assert curve is not None
    assert curve.ready is not None
    chart = grinding_chart(curve, 5.0)
    (dots,), (ready,) = layers(chart, Dots), layers(chart, Mark)
    assert (list(dots.xs), list(dots.ys), dots.reach) == ([9.0, 24.0], [95.0, 45.0], 5.0)
    assert ready.words == f"ready at {curve.ready.value:g} h"
    assert ready.y == curve.target_um


def test_a_program_is_boxes_in_order_and_says_its_degrees() -> None:
    chart = program_chart(program(Chocolate.DARK))
    boxes = layers(chart, Box)
    assert [box.words for box in boxes] == ["45–50", "27", "31–32", "34.5"]
    assert [words for _, words in chart.axis.names] == ["melt", "cool", "work", "at most"]
    comma = [box.words for box in layers(program_chart(program(Chocolate.DARK), ","), Box)]
    assert comma[-1] == "34,5"


def _under_words(svg: str) -> int:
    """Count points of the way through a program that lie under the figures of its boxes."""
    way = re.search(r'class="chart-line-second" d="M([^"]*)"', svg)
    assert way
    corners = [tuple(map(float, corner.split())) for corner in way[1].split("L")]
    points = [
        (x0 + (x1 - x0) * at / 100, y0 + (y1 - y0) * at / 100)
        for (x0, y0), (x1, y1) in pairwise(corners)
        for at in range(101)
    ]
    words = re.findall(r'class="chart-box-words" x="([\d.]+)" y="([\d.]+)"[^>]*>([^<]*)<', svg)
    assert words
    boxes = [(float(x), float(y), len(text) * 9 / 2) for x, y, text in words]
    return sum(abs(px - x) < half and y - 14 < py < y + 2 for x, y, half in boxes for px, py in points)


@pytest.mark.parametrize("size", [WIDE, NARROW])
@pytest.mark.parametrize("chocolate", Chocolate)
def test_the_figures_of_a_program_stand_beside_its_way(chocolate: Chocolate, size: Size) -> None:
    assert _under_words(picture(program_chart(program(chocolate)), size)) == 0


def test_a_cooling_curve_has_its_inflection_and_the_slope_of_its_reading() -> None:
    found = curve_picture(curve_typed(CUP, 8.0).asked)
    assert found.inflection is not None
    chart = curve_chart(found)
    inflection, slope = layers(chart, Mark)
    assert (inflection.x, inflection.y) == found.inflection
    assert slope.x == inflection.x
    nearest = min(range(len(found.minutes)), key=lambda at: abs(found.minutes[at] - slope.x))
    assert slope.y == pytest.approx(float(found.slopes[nearest]), abs=0.02)  # K/min: half its last digit
    assert len(chart.strips) == 2


def test_a_bar_shows_when_it_comes_off_in_the_margin() -> None:
    bar = picture_by_hand(CoolAsked())
    assert bar is not None
    assert bar.released is not None
    chart = bar_chart(bar)
    assert [stone.x for stone in chart.milestones] == [bar.released]
    names = [line.name for line in layers(chart, Line)]
    assert names == ["core", "face", "form V", "low forms", "set at rest"]


def test_settings_end_where_a_bar_stays_in_the_mould() -> None:
    settings = settings_by_hand(CoolAsked())
    assert settings is not None
    chart = settings_chart(settings, 12.0)
    assert chart is not None
    minutes = layers(chart, Line)[0].ys
    known = [value for value in minutes if value == value]
    assert 2 < len(known) < len(minutes)
    assert all(a < b for a, b in pairwise(known))  # warmer air takes longer
    none = replace(settings, minutes=settings.minutes * math.nan)
    assert settings_chart(none, 12.0) is None


def test_bars_in_a_room_cross_both_limits() -> None:
    asked = DampAsked(12.0, 20.0, 50.0)
    chart = damp_chart(asked)
    assert [rule.at for rule in layers(chart, Rule)] == [100, damp_of(asked).limit]
    (line,) = layers(chart, Line)
    assert max(line.ys) == 100
    assert all(a >= b for a, b in pairwise(line.ys))  # the warmer the bar, the drier its face


def test_a_roast_has_its_rate_in_a_strip_of_its_own_and_milestones_in_the_margin() -> None:
    seen = roast_by_hand(RoastTyped(points="0:00 24 °C\n5:00 78\n10:00 105\n20:00 121\n25:00 124"))
    chart = roast_picture(seen.chart)
    above, below = chart.strips
    assert above.tall > below.tall
    assert "Rate of change" in below.words
    assert next(line.name for line in layers(chart, Line)) == "readings by hand"
    assert [stone.words for stone in chart.milestones] == [
        "beans pass 100 °C",
        "beans pass 120 °C",
        "hottest 124 °C",
    ]
    assert chart.milestones[-1].x == 25.0
    for stone in chart.milestones:
        assert stone.words in picture(chart)


def test_a_gap_in_a_log_is_no_line() -> None:
    rows = [f"{second},{20 + second / 20:.1f}" for second in (*range(0, 300, 10), *range(1500, 1800, 10))]
    log = "\n".join(["time (s),beans (°C)", *rows]).encode()
    chart = roast_picture(roast_by_hand(RoastTyped(log=log)).chart)
    (beans,) = [line for line in layers(chart, Line) if line.name]
    inside = [y for x, y in zip(beans.xs, beans.ys, strict=True) if x is None or 5.0 < x < 25.0]
    assert inside
    assert all(y is None for y in inside)


def test_sizes_are_spaced_by_ratio_and_marked_where_they_are_quoted() -> None:
    read = sizes_read("2;8\n5;22\n10;46\n20;81\n30;93\n60;100")
    chart = sizes_chart(read)
    assert chart.axis.log
    assert [(mark.words, mark.y) for mark in layers(chart, Mark)] == [("D10", 10), ("D50", 50), ("D90", 90)]
    assert layers(chart, Line)[0].ys[-1] == pytest.approx(100)


def test_a_bar_that_the_fridge_holds_up_is_drawn_by_itself() -> None:
    bar = picture_by_hand(CoolAsked())
    assert bar is not None

    alone = bar_chart(replace(bar, held_up=True))

    assert "By itself it comes off after" in alone.says
    assert "By itself" not in bar_chart(bar).says
    assert [stone.words.partition(",")[0] for stone in alone.milestones] == ["by itself"]
