"""What a chart of a roast shows, as numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.roast import (
    Band,
    CoreSetup,
    Curve,
    Note,
    Probe,
    Roast,
    Role,
    Weighing,
    bean_core,
    compare_roasts,
    difference_strip,
    roast_chart,
    smooth,
    thinned,
)
from nibsmith.science.roast.typed import oven_roast

TIMES = np.arange(0.0, 1801.0, 2.0)
BEANS = Probe("Bean probe by the door", Role.BEAN, Curve(TIMES, 22 + 105 * (1 - np.exp(-TIMES / 620)), 30.0))
AIR = Probe("Oven air", Role.AIR, Curve(TIMES, 30 + 112 * (1 - np.exp(-TIMES / 150)), 30.0))
ROAST = Roast((BEANS, AIR), (Note(900.0, "smell of bread"),))


def test_probes_go_by_their_full_names_and_no_other_roast_stands_behind() -> None:
    chart = roast_chart(ROAST)

    assert [line.name for line in chart.lines] == ["Bean probe by the door", "Oven air"]
    assert [line.role for line in chart.lines] == ["bean", "air"]


def test_the_rate_has_a_strip_of_its_own_with_its_own_ends() -> None:
    chart = roast_chart(ROAST)

    rates = smooth(BEANS.curve).rate_k_min
    assert [line.name for line in chart.rates] == ["Bean probe by the door", "Oven air"]
    assert chart.ends_rate[1] >= rates.max()
    assert chart.ends_celsius[0] == pytest.approx(22.0, abs=0.5)
    assert chart.ends_s == (0.0, 1800.0)


def test_milestones_are_words_at_their_time_in_order() -> None:
    words = [(each.time_s, each.words) for each in roast_chart(ROAST).milestones]

    assert [word for _, word in words] == [
        "beans pass 100 °C",
        "smell of bread",
        "beans pass 120 °C",
        "hottest 121 °C",
    ]
    assert words[0][0] == pytest.approx(-620 * np.log(1 - 78 / 105), abs=1.0)
    assert words == sorted(words)


def test_a_hot_probe_that_meets_cold_beans_is_told_by_its_dip() -> None:
    celsius = np.where(TIMES < 120, 150 - 0.5 * TIMES, 90 + 40 * (1 - np.exp(-(TIMES - 120) / 500)))
    milestones = roast_chart(Roast((Probe("beans", Role.BEAN, Curve(TIMES, celsius, 30.0)),))).milestones

    assert [each.words for each in milestones][:2] == ["coolest 90 °C", "beans pass 100 °C"]
    assert milestones[0].time_s == 120.0


def test_lines_are_cut_at_gaps() -> None:
    torn = np.concatenate((TIMES[:200], TIMES[400:]))
    chart = roast_chart(Roast((Probe("beans", Role.BEAN, Curve(torn, 20 + torn / 20, 30.0)),)))

    assert [(times[0], times[-1]) for times, _ in chart.lines[0].pieces] == [(0.0, 398.0), (800.0, 1800.0)]


def test_the_inside_and_the_wanted_course_are_bands() -> None:
    setup = CoreSetup(Weighing(1000.0, 950.0), Span(20.0, 27.0, 35.0), 20.0, 5.0)
    chart = roast_chart(ROAST, core=bean_core(AIR.curve, setup), band=Band(BEANS.curve, 4.0))

    assert [area.name for area in chart.areas] == ["wanted course", "inside the beans, range"]
    assert chart.areas[0].high - chart.areas[0].low == pytest.approx(8.0)
    assert chart.lines[-1].name == "inside the beans, worked out"


def test_a_dial_is_a_line_without_a_rate() -> None:
    chart = roast_chart(oven_roast(140.0, 30.0))

    assert [line.role for line in chart.lines] == ["setting"]
    assert (chart.rates, chart.ends_rate, chart.milestones) == ((), (0.0, 1.0), ())


def test_what_differs_between_two_roasts_is_a_strip() -> None:
    strip = difference_strip(compare_roasts(BEANS.curve, BEANS.curve.shifted(3.0)))
    apart = difference_strip(compare_roasts(BEANS.curve, AIR.curve))

    assert strip is not None
    assert strip.pieces[0][1] == pytest.approx(3.0)
    assert apart is not None


def test_a_roast_without_probes_has_no_chart() -> None:
    with pytest.raises(InputError):
        roast_chart(Roast(()))


@given(st.lists(st.floats(-100, 300), min_size=1, max_size=3000), st.integers(4, 600))
def test_thinning_keeps_the_ends_the_peak_and_the_dip(values: list[float], most: int) -> None:
    line = np.array(values)

    kept = thinned(line, most)

    assert kept.size <= max(most + 2, 3)
    assert {0, line.size - 1} <= set(kept.tolist())
    assert (line[kept].max(), line[kept].min()) == (line.max(), line.min())


def test_a_long_log_is_drawn_with_few_points() -> None:
    times = np.arange(0.0, 5000.0, 0.1)
    chart = roast_chart(Roast((Probe("beans", Role.BEAN, Curve(times, 20 + times / 50, 30.0)),)), most=400)

    assert sum(part.size for part, _ in chart.lines[0].pieces) <= 402
