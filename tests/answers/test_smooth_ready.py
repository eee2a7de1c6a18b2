"""When it is ready: the hour from which the answer is good, and the same figure wherever it is read."""

from __future__ import annotations

import json
import math
import re

import pytest

from nibsmith.answers.answer import Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.process import Process
from nibsmith.answers.smooth import grind_curve, smooth
from nibsmith.answers.smooth_ready import hours_figure, hours_words, more_hours, ready_hours
from nibsmith.answers.tools.grinding import GrindAsked, grinding_by_hand, readings_typed
from nibsmith.cli.main import main
from nibsmith.paper.chart import Mark
from nibsmith.paper.pictures.grinding import grinding_chart
from nibsmith.science.errors import OutOfRange
from nibsmith.science.grind import Aim, Grinding, KitSpeed, SizeReading, fit_readings
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Span

SUGAR, STONE = Span(400.0, 500.0, 600.0), Span(0.0007, 0.0014, 0.0028)
STONES, MILL = Context(kit=kit("stone")), Context(kit=kit("ball_mill"))
OWN = KitSpeed(Span(0.0006, 0.00078, 0.0010), 2000.0, 1)


def asked(text: str, context: Context = STONES, hours: float | None = None) -> GrindAsked:
    return GrindAsked(readings=readings_typed(text), context=context, hours=hours)


@pytest.mark.parametrize(
    ("text", "workshop"),
    [
        ("9 95 3 / 24 45 3", STONES),
        ("12 80 / 24 50", STONES),
        ("6.5 112 5 / 14.5 61 5 / 20 46 5", STONES),
        ("0.25 60 5", MILL),  # ready in less than ten hours: tenths
    ],
)
def test_sentence_advice_chart_and_command_say_the_same_hour(
    text: str, workshop: Context, capsys: pytest.CaptureFixture[str]
) -> None:
    here = asked(text, workshop)
    answer, curve = grinding_by_hand(here).answer, grind_curve(here.recipe, here.here)
    assert curve.ready is not None
    hour = hours_figure(curve.ready.value)

    (advice,) = (one.sentence.replace("\u00a0", " ") for one in answer.remedies)
    assert re.search(rf" more, {re.escape(hour)} h from the last coarse addition", advice)
    why = " ".join(answer.reasons).replace("\u00a0", " ")
    assert f"comes to 30 µm after about {hour} h (" in why
    chart = grinding_chart(curve, 5.0)
    (mark,) = (one for one in chart.strips[0].layers if isinstance(one, Mark))
    assert (mark.x, mark.words) == (curve.ready.value, f"ready at {hour} h")
    assert f"after about {hour} h (" in chart.says
    assert main(["grind", text, "--kit", workshop.kit.key, "--json"]) == 0  # type: ignore[union-attr]
    assert json.loads(capsys.readouterr().out)["forecast"]["ready_h"]["value"] == float(hour)


@pytest.mark.parametrize("text", ["9 95 3 / 24 45 3", "12 80 / 24 50", "4 110 / 8 70", "6 90 5 / 16 52 5"])
def test_from_the_hour_it_is_ready_the_answer_is_good_and_not_long_before(text: str) -> None:
    here = asked(text)
    ready = grind_curve(here.recipe, here.here).ready
    assert ready is not None

    found = []
    for hours in (ready.value, ready.value - 1.01):
        then = asked(text, hours=hours)
        found.append(smooth(then.recipe, then.here).verdict)
    assert found == [Verdict.GOOD, Verdict.WATCH]


def test_hours_are_rounded_away_from_the_middle_once() -> None:
    """By hand, of a kit known exactly: 1/30 - 1/500 over 0.001 is 31.3 h; from 60 to 30 µm 16.7 h."""
    law = Grinding(500.0, 0.001)
    read = [SizeReading(hours, law.size_at(hours), 10_000) for hours in (9.0, 24.0)]
    fit = fit_readings(read, SUGAR, STONE, 15.0)

    assert ready_hours(fit, 30.0) == Span(31.0, 32.0, 32.0)
    assert more_hours(fit, 60.0, 30.0) == Span(16.0, 17.0, 17.0)
    early = ready_hours(fit, 110.0)  # (1/110 - 1/500)/0.001 is 7.09 h
    assert 7.0 <= early.low < 7.09 < early.high <= 7.2
    assert [round(10 * one, 9) % 1 for one in (early.low, early.value, early.high)] == [0, 0, 0]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("8 70 / 16 52", r"comes to 30 µm after about \d+ h \(\d+ h at the least; it may stall before\)"),
        ("12 60 / 24 48", r"comes to 30 µm after \d+ h from .* at the earliest, if it does not stall before"),
        ("12 60 / 24 52", r"When it comes to 30 µm is unknown: it goes far slower"),
    ],
)
def test_the_likelier_a_stall_the_less_is_said_of_the_hour(text: str, words: str) -> None:
    here = asked(text)
    why = " ".join(smooth(here.recipe, here.here).reasons).replace("\u00a0", " ")

    assert re.search(words, why)


def test_where_it_may_never_be_ready_neither_chart_nor_command_names_an_hour(
    capsys: pytest.CaptureFixture[str],
) -> None:
    here = asked("12 60 / 24 48")
    curve = grind_curve(here.recipe, here.here)
    assert curve.ready is not None
    assert curve.ready.value == math.inf

    chart = grinding_chart(curve, 5.0)
    assert not any(isinstance(one, Mark) for one in chart.strips[0].layers)
    assert "at the least; it may stall before" in chart.says
    assert main(["grind", "12 60 / 24 48", "--json"]) == 0
    ready = json.loads(capsys.readouterr().out)["forecast"]["ready_h"]
    assert (ready["low"], ready["value"], ready["high"]) == (curve.ready.low, None, None)
    assert not smooth(here.recipe, here.here).remedies


def test_a_stalled_grinder_of_known_speed_stays_and_is_never_ready() -> None:
    known = asked("4 60 / 8 45 / 12 38 / 16 38 / 20 38 / 24 38")
    context = Context(kit=kit("stone"), process=Process(speed=OWN))
    here = GrindAsked(readings=known.readings, context=context)
    answer, curve = grinding_by_hand(here).answer, grind_curve(here.recipe, here.here)

    assert answer.figure == pytest.approx(38.0, abs=0.5)
    assert "and stay there" in answer.sentence
    assert "unknown: it has stalled at about 38\u00a0µm" in " ".join(answer.reasons)
    assert not answer.remedies
    assert curve.ready is None
    assert curve.middle[-1] == pytest.approx(38.0, abs=0.5)


def test_what_is_fine_enough_from_the_start_has_no_hour_to_wait_for() -> None:
    here = GrindAsked(readings=readings_typed("4 100 3"), aim=Aim.RUSTIC, context=STONES)
    curve = grind_curve(here.recipe, here.here)

    assert curve.ready == Span(0.0, 0.0, 0.0)
    why = " ".join(smooth(here.recipe, here.here).reasons).replace("\u00a0", " ")
    assert "finer than 600 µm from the last coarse addition on" in why
    chart = grinding_chart(curve, 5.0)
    assert "finer than the aim of 600 µm all along" in chart.says
    assert not any(isinstance(one, Mark) for one in chart.strips[0].layers)


def test_a_grinder_that_rests_where_such_kits_do_is_not_called_ill_set() -> None:
    rests, stuck = (
        smooth(here.recipe, here.here)
        for here in (asked(" / ".join(f"{h} {um} 3" for h in range(40, 64, 4))) for um in (22, 40))
    )

    assert rests.verdict is Verdict.GOOD
    assert "such kits come to rest somewhere at 15–30\u00a0µm" in " ".join(rests.reasons)
    assert "how the grinder is set" in " ".join(stuck.reasons)


def test_an_aim_below_what_a_kit_reaches_has_no_hour() -> None:
    fit = fit_readings((), SUGAR, STONE, 15.0)

    with pytest.raises(OutOfRange, match="does not get there"):
        ready_hours(fit, 14.0)
    assert hours_words(Span(0.4, 0.5, 0.6)).replace("\u00a0", " ") == "about 0.5 h (0.4–0.6 h)"


def test_the_figures_behind_are_those_of_the_kit_and_of_what_went_in() -> None:
    with_readings, without = grinding_by_hand(asked("9 95 3 / 24 45 3")), grinding_by_hand(asked("", MILL))

    places = " ".join(row.place for row in with_readings.constants)
    assert "table-top stone grinders" in places
    assert "rpm" not in places
    assert "stall" in places
    assert "stall" not in " ".join(row.place for row in without.constants)
    own = Context(kit=kit("stone"), process=Process(speed=OWN))
    (speed,) = (one for one in grinding_by_hand(GrindAsked(context=own)).given if "Speed" in one.name)
    assert (speed.text.replace("\u00a0", " "), speed.whose) == ("0.00078 (0.0006–0.001) 1/(µm h)", "yours")
