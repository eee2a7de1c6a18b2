"""How far did the heat go: never good, only from measured beans, and the smallest way to five reductions."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nibsmith.answers._roast_record import held_longer
from nibsmith.answers._roast_report import RoastExtras, roast_document
from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.roasted import (
    SURVIVORS,
    ProbeFacts,
    RoastRecord,
    ahead,
    chart_of,
    inside,
    kind_of_all,
    open_questions,
    probe_of_kind,
    roasted,
    survivor_line,
    with_facts,
)
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.roast import (
    BeanCore,
    Curve,
    Matter,
    Probe,
    Roast,
    Roaster,
    Role,
    Weibull,
    Weighing,
    from_the_charge,
    log_reduction,
)
from nibsmith.science.roast.log import read_log
from nibsmith.science.roast.typed import oven_roast, typed_roast
from roast_courses import curves

SHORT = "0:00 24 °C; 10:00 105; 20:00 121; 30:00 126"
LONG = "0:00 24 °C; 10:00 110; 20:00 130; 30:00 136; 45:00 138"


def record(text: str, off: float | None = 1.5, **facts: object) -> RoastRecord:
    roast = typed_roast(text)
    name = roast.probes[0].name
    return RoastRecord(with_facts(roast, {name: ProbeFacts(uncertainty_k=off)}), **facts)  # type: ignore[arg-type]


def spoken(answer: Answer) -> str:
    remedies = [remedy.sentence for remedy in answer.remedies]
    tables = [
        cell
        for detail in answer.details
        for row in (detail.head, *detail.rows, (detail.note,))
        for cell in row
    ]
    return " ".join(
        [answer.title, answer.word, answer.sentence, *answer.reasons, *answer.cautions, *remedies, *tables]
    )


ALL_SORTS = [
    record(SHORT),
    record(LONG),
    record(SHORT, off=None),
    record(LONG, matter=Matter.NIBS),
    record(LONG, weibull=Weibull(10.0, 120.0, 0.8, 30.0, 100.0, 140.0)),
    record(LONG, weighing=Weighing(2000.0, 1890.0), study="report 12 of the county laboratory"),
    record("0:00 24 °C; 10:00 60; 20:00 90"),
    RoastRecord(
        oven_roast(140.0, 35.0), Weighing(1000.0, 948.0), roaster=Roaster.FAN_OVEN, start_celsius=20.0
    ),
    RoastRecord(typed_roast("0:00 30 °C; 5:00 120; 30:00 140", role=Role.AIR)),
    RoastRecord(typed_roast("0:00 75 °C; 20:00 250; 30:00 280")),
]


@pytest.mark.parametrize("roast", ALL_SORTS)
def test_no_roast_is_ever_called_good_or_safe(roast: RoastRecord) -> None:
    answer = roasted(roast)

    assert answer.verdict in (Verdict.WATCH, Verdict.STOP, Verdict.UNKNOWN)
    assert not re.search(r"\b(safe|validated|compliant|sterile|killed all)\b", spoken(answer))


@pytest.mark.parametrize("roast", ALL_SORTS)
def test_every_answer_says_who_decides(roast: RoastRecord) -> None:
    assert any(
        "process authority" in caution and "food safety authority" in caution
        for caution in roasted(roast).cautions
    )


@settings(max_examples=30)
@given(curves(), st.floats(0.0, 5.0), st.sampled_from(list(Matter)))
def test_the_verdict_follows_what_counts(curve: Curve, off: float, matter: Matter) -> None:
    probe = Probe("beans", Role.BEAN, curve, uncertainty_k=off)
    answer = roasted(RoastRecord(Roast((probe,)), matter=matter, out_s=curve.end_s))
    counted = log_reduction(from_the_charge(curve.shifted(-off), matter), matter)

    assert answer.figure == pytest.approx(counted, rel=1e-9, abs=1e-12)
    assert answer.verdict is (Verdict.STOP if counted < 5 - 1e-9 else Verdict.WATCH)
    assert answer.low is not None
    assert answer.high is not None
    assert answer.low <= counted <= answer.high


def test_a_figure_short_of_five_is_never_shown_as_five() -> None:
    just_short = record("0:00 121.5 °C; 20:00 121.5; 40:00 121.5; 52:00 121.6", off=1.5)
    answer = roasted(just_short)

    assert 4.95 < (answer.figure or 0) < 5
    assert answer.verdict is Verdict.STOP
    assert "4.9 (" in answer.sentence


def test_without_the_probes_uncertainty_nothing_is_said() -> None:
    answer = roasted(record(LONG, off=None))

    assert (answer.verdict, answer.figure) == (Verdict.UNKNOWN, None)
    assert answer.sentence.startswith("Unknown, because you have not told me how far the probe")


@pytest.mark.parametrize(
    ("roast", "because"),
    [
        (oven_roast(140.0, 35.0), "a dial and minutes measure nothing"),
        (typed_roast("0:00 30 °C; 5:00 120; 30:00 140", role=Role.AIR), "the air alone was measured"),
        (
            typed_roast("0:00 30 °C; 5:00 120; 30:00 140", role=Role.UNTOLD),
            "whether “readings by hand” is in the beans",
        ),
        (typed_roast("0:00 75 °C; 20:00 250; 30:00 280"), "in °F it is 138 °C"),
        (typed_roast("0:00 140 °C; 20:00 140; 30:00 140"), "all the time"),
    ],
)
def test_what_is_no_measured_bean_is_unknown_and_says_why(roast: Roast, because: str) -> None:
    answer = roasted(RoastRecord(roast))

    assert (answer.verdict, answer.figure) == (Verdict.UNKNOWN, None)
    assert because in answer.sentence


def test_probes_that_share_no_time_are_unknown() -> None:
    probes = tuple(
        Probe(name, Role.BEAN, Curve(np.array(times), np.array([100.0, 120.0]), 60.0), uncertainty_k=1.0)
        for name, times in (("one", [0.0, 10.0]), ("two", [20.0, 30.0]))
    )

    assert "share no time" in roasted(RoastRecord(Roast(probes))).sentence


def test_a_question_about_the_air_does_not_hold_up_the_beans() -> None:
    log = read_log(
        b"time (min),beans (\xc2\xb0C),air (\xc2\xb0C)\n0,24,250\n10,110,260\n20,130,260\n"
        b"30,138,260\n40,142,260\n"
    )
    roast = with_facts(log.roast, {"beans": ProbeFacts(uncertainty_k=1.0)})

    assert [question.probe for question in roast.questions] == ["air"]
    assert roasted(RoastRecord(roast, out_s=2400.0)).verdict is Verdict.WATCH


def longer_seconds(answer: Answer) -> float:
    text = re.search(r"keep the (?:beans|nibs) ([\d:]+) longer", answer.remedies[0].sentence)
    assert text is not None
    parts = [int(part) for part in text[1].split(":")]
    return float(sum(part * 60**place for place, part in enumerate(reversed(parts))))


@pytest.mark.parametrize(
    "roast",
    [
        record(SHORT),
        record("0:00 24 °C; 10:00 105; 20:00 121; 30:00 135", matter=Matter.NIBS),
        record(
            "0:00 24 °C; 10:00 105; 20:00 128; 30:00 133",
            weibull=Weibull(8.0, 120.0, 0.8, 30.0, 100.0, 140.0),
        ),
        record("0:00 24 °C; 10:00 105; 20:00 121; 30:00 126; 38:00 135"),
    ],
)
def test_the_longer_stay_is_enough_and_a_tenth_less_is_not(roast: RoastRecord) -> None:
    answer = roasted(roast)
    seconds = longer_seconds(answer)

    assert answer.verdict is Verdict.STOP
    assert answer.remedies[0].checked
    assert roasted(held_longer(roast, seconds)).verdict is Verdict.WATCH
    assert roasted(held_longer(roast, 0.9 * seconds)).verdict is Verdict.STOP
    assert roasted(held_longer(roast, seconds / 2)).verdict is Verdict.STOP


def test_beans_that_ended_too_cool_for_the_table_get_no_time_to_stay() -> None:
    answer = roasted(record("0:00 24 °C; 10:00 60; 20:00 90"))

    assert answer.remedies == ()
    assert "never came to 100 °C (212 °F)".replace(" °", "\u00a0°") in answer.sentence


def test_a_time_to_stay_longer_than_the_roast_is_not_proposed() -> None:
    assert roasted(record("0:00 24 °C; 10:00 60; 20:00 102")).remedies == ()


DRUM = "0:00 170 °C; 1:00 170; 2:00 92; 12:00 120; 25:00 131; 30:00 132; 31:00 150; 40:00 160"


def test_a_probe_that_waited_hot_for_the_beans_counts_from_its_dip() -> None:
    dipped, cold = (
        record(text) for text in (DRUM, DRUM.replace("0:00 170 °C; 1:00 170; 2:00 92", "2:00 92 °C"))
    )
    answer = roasted(dipped)

    assert answer.figure == pytest.approx(roasted(cold).figure)
    assert any("2:00 up to its coolest reading do not count" in reason for reason in answer.reasons)


def test_what_a_probe_reads_after_the_beans_came_out_does_not_count() -> None:
    to_the_end, told = roasted(record(DRUM)), roasted(record(DRUM, in_s=90.0, out_s=1800.0))
    by_hand = record("2:00 92 °C; 12:00 120; 25:00 131; 30:00 132")

    assert told.figure == pytest.approx(roasted(by_hand).figure)
    assert (told.figure or 0) < (to_the_end.figure or 0)
    assert any("if the beans came out earlier, say when" in reason for reason in to_the_end.reasons)
    assert not any("if the beans came out earlier" in reason for reason in told.reasons)


@pytest.mark.parametrize(
    ("out_s", "said"),
    [
        (1500.0, ["Counted up to the last reading, 20:00; 5:00 to when they came out do not count."]),
        (1200.5, ["Counted up to the last reading, 20:00; 0:00.5 to when they came out do not count."]),
        (1200.0, []),
        (1000.0, []),
        (None, ["Counted up to the last reading, 20:00: if the beans came out earlier, say when."]),
    ],
)
def test_where_counting_ends_is_said_unless_the_beans_came_out_then(
    out_s: float | None, said: list[str]
) -> None:
    told = record("0:00 24 °C; 10:00 105; 20:00 121", out_s=out_s)
    assert [reason for reason in roasted(told).reasons if reason.startswith("Counted up")] == said


@pytest.mark.parametrize(
    ("readings", "celsius"),
    [
        ((297, 378, 401), "in kelvin 128 °C. Say"),  # 23.85 to 127.85 °C
        ((75, 350, 401), ""),  # begins at -198 °C in kelvin
        ((260, 275, 340), ""),  # 67 °C at its hottest in kelvin: no roast
        ((297, 378, 480), ""),  # 207 °C in kelvin: too hot for beans as well
    ],
)
def test_kelvin_is_named_where_the_figures_fit_it(readings: tuple[int, ...], celsius: str) -> None:
    rows = "".join(f"{10 * place}:00,{value}\n" for place, value in enumerate(readings))
    asked = RoastRecord(read_log(f"time,beans\n{rows}".encode()).roast)
    (question,) = open_questions(asked)

    assert "far too hot for cocoa" in question
    assert ("kelvin" in question) == bool(celsius)
    assert celsius in question
    assert ("write K in the head of its column" in question) == bool(celsius)
    headed = read_log(f"time,beans (K)\n{rows}".encode()).roast
    assert not celsius or open_questions(RoastRecord(headed)) == ()


def test_a_log_written_in_kelvin_is_not_asked_whether_it_is() -> None:
    """700 K are 427 °C: what was read is in kelvin already, and 427 K would be a roast."""
    roast = read_log(b"time,beans (K)\n0:00,600\n10:00,660\n20:00,700\n").roast
    (question,) = open_questions(RoastRecord(roast))

    assert "reads up to 426.9" in question
    assert "kelvin" not in question


def drum_log(out_s: float | None = None, off: float | None = 1.0) -> RoastRecord:
    """Twenty minutes of a roast, and an hour of the probe in the hot drum."""
    times = np.arange(0.0, 4801.0, 10.0)
    beans = np.where(times <= 1200, 24 + 96 * (1 - np.exp(-times / 360)), 136.0)
    probe = Probe("beans", Role.BEAN, Curve(times, beans, 60.0), uncertainty_k=off)
    return RoastRecord(Roast((probe,)), out_s=out_s)


def test_a_log_whose_heat_goes_on_after_the_turn_is_asked_about_before_it_counts() -> None:
    asked, told = roasted(drum_log()), roasted(drum_log(out_s=1200.0))

    assert (asked.verdict, asked.figure) == (Verdict.UNKNOWN, None)
    assert "say when they came out" in asked.sentence
    assert any("goes on for another" in question for question in open_questions(drum_log(off=None)))
    assert told.verdict is Verdict.STOP
    assert (told.figure or 0) < 1
    assert open_questions(drum_log(out_s=1200.0)) == ()


def test_what_the_roast_says_is_of_the_time_the_beans_were_in() -> None:
    told = drum_log(out_s=1200.0)
    chart = chart_of(told)

    assert any(reason.startswith("“beans”: 20:00 long, hottest 116.6") for reason in roasted(told).reasons)
    last_two = chart.milestones[-2:]
    assert {stone.words for stone in last_two} == {"beans out", "hottest 117 °C"}
    assert {stone.time_s for stone in last_two} == {1200.0}
    assert chart.ends_s == (0.0, 4800.0)


def test_a_person_who_stood_by_is_not_asked_when_the_beans_came_out() -> None:
    assert open_questions(record("0:00 24 °C; 10:00 120; 20:00 136; 40:00 136")) == ()


def test_a_question_ends_with_one_mark() -> None:
    answer = roasted(RoastRecord(typed_roast("0:00 140 °C; 20:00 140; 30:00 140")))

    assert answer.sentence.endswith("is it connected?")


def test_nibs_are_called_nibs() -> None:
    answer = roasted(record("0:00 24 °C; 10:00 105; 20:00 121; 30:00 135", matter=Matter.NIBS))

    assert "keep the nibs" in answer.remedies[0].sentence
    assert "if the nibs came out earlier" in " ".join(answer.reasons)


def test_a_picture_refused_for_a_gap_is_told_and_why() -> None:
    times = np.concatenate((np.arange(0.0, 291.0, 10.0), np.arange(1500.0, 2101.0, 10.0)))
    air = Probe("air", Role.AIR, Curve(times, 140 + times % 3, 60.0))
    torn = replace(OVEN, roast=Roast((air,)))
    found = inside(torn)

    assert found == "the air has no reading from 4.8 to 25.0 min, and no line is drawn there"
    assert f"There is no picture of the inside of a bean, because {found}." in roasted(torn, found).reasons
    assert isinstance(inside(replace(torn, in_s=1500.0)), BeanCore)
    assert "not measured from when" in str(inside(replace(torn, out_s=600.0)))


def test_the_survivor_line_of_the_maker_needs_all_its_figures() -> None:
    figures = dict(zip(SURVIVORS, (10.0, 120.0, 0.8, 30.0, 100.0, 140.0), strict=True))

    assert survivor_line(figures) == Weibull(10.0, 120.0, 0.8, 30.0, 100.0, 140.0, "typed")
    with pytest.raises(InputError) as refused:
        survivor_line({**figures, "survivors_z_k": None})
    assert refused.value.field == "survivors_z_k"
    with pytest.raises(InputError) as refused:
        survivor_line({**figures, "survivors_high_celsius": 110.0})
    assert refused.value.field == "survivors_min"


AIR_ALONE = RoastRecord(typed_roast("0:00 30 °C; 5:00 120; 30:00 140", role=Role.AIR))
UNSETTLED = RoastRecord(typed_roast("0:00 75 °C; 20:00 250; 30:00 285"))
ANYWHERE = RoastRecord(typed_roast("0:00 24 °C; 5:00 120; 30:00 126", role=Role.UNTOLD))


@pytest.mark.parametrize(
    ("other", "why"),
    [
        (OVEN_DIAL := RoastRecord(oven_roast(140.0, 30.0)), "is only set, on a dial, and measures nothing"),
        (AIR_ALONE, "is in the air"),
        (UNSETTLED, "this is to be settled first: “readings by hand” reads up to 285"),
        (ANYWHERE, "nobody has said where it was"),
    ],
)
def test_a_probe_of_another_kind_is_not_set_beside_beans(other: RoastRecord, why: str) -> None:
    found = probe_of_kind(other, kind_of_all([record(SHORT), record(LONG), other]))

    assert isinstance(found, str)
    assert why in found


def test_air_stands_beside_air_where_no_two_have_beans() -> None:
    assert kind_of_all([AIR_ALONE, record(SHORT), AIR_ALONE]) is Role.AIR
    assert kind_of_all([AIR_ALONE, OVEN_DIAL]) is Role.BEAN
    assert isinstance(probe_of_kind(AIR_ALONE, Role.AIR), Probe)


def test_the_end_is_foretold_of_beans_alone() -> None:
    so_far = RoastRecord(typed_roast("0:00 25 °C; 10:00 85; 20:00 109"))

    # 29:01 by hand in the science's own check
    assert "comes at about 29:01" in ahead(so_far, 118.0)
    assert "levels off below" in ahead(so_far, 126.0)
    assert "no probe in the beans" in ahead(AIR_ALONE, 150.0)


def test_longer_in_the_roaster_is_longer_from_where_the_beans_came_out() -> None:
    short = record("2:00 92 °C; 12:00 120; 25:00 126; 30:00 127; 31:00 150; 40:00 160", out_s=1800.0)
    seconds = longer_seconds(roasted(short))

    assert roasted(held_longer(short, seconds)).verdict is Verdict.WATCH
    assert roasted(held_longer(short, 0.9 * seconds)).verdict is Verdict.STOP


def test_times_outside_the_readings_are_unknown() -> None:
    answer = roasted(record(SHORT, in_s=3000.0))

    assert answer.verdict is Verdict.UNKNOWN
    assert "the beans were in at no time of these readings" in answer.sentence


def test_heat_only_in_gaps_counts_nothing_and_says_so() -> None:
    torn = Curve(np.array([0.0, 60.0, 3000.0]), np.array([20.0, 30.0, 130.0]), 60.0)
    answer = roasted(RoastRecord(Roast((Probe("beans", Role.BEAN, torn, uncertainty_k=1.0),))))

    assert answer.figure == 0.0
    assert "only where the readings have gaps" in answer.sentence


def test_the_own_survivor_line_counts_where_it_says_less() -> None:
    slow = Weibull(30.0, 120.0, 0.7, 30.0, 100.0, 140.0)
    quick = Weibull(1.0, 120.0, 1.0, 30.0, 100.0, 140.0)
    plain = roasted(record(LONG)).figure

    assert plain is not None
    assert (roasted(record(LONG, weibull=slow)).figure or 0) < plain
    assert roasted(record(LONG, weibull=quick)).figure == plain


@pytest.mark.parametrize(
    ("off", "widest"),
    [
        (1.5, "the minutes for a tenfold reduction."),
        (6.0, "the minutes for a tenfold reduction and how far the probe can be off."),
        (8.0, "how far the probe can be off."),
    ],
)
def test_the_widest_input_is_named_and_a_tie_is_said(off: float, widest: str) -> None:
    assert f"What widens the range most: {widest}" in roasted(record(LONG, off=off)).reasons


def test_alarms_name_what_was_too_hot() -> None:
    hot = typed_roast("0:00 24 °C; 10:00 120; 30:00 155")
    air = typed_roast("0:00 24 °C; 10:00 190; 30:00 210", role=Role.AIR)

    assert any("beyond the usual end" in reason for reason in roasted(RoastRecord(hot)).reasons)
    assert any("scorches shells" in reason for reason in roasted(RoastRecord(air)).reasons)


def test_the_loss_is_split_and_what_nobody_measured_is_named() -> None:
    reasons = " ".join(roasted(record(SHORT, weighing=Weighing(1000.0, 948.0))).reasons).replace(
        "\u00a0", " "
    )
    measured = Weighing(1000.0, 949.0, Span.exactly(0.07), Span.exactly(0.02))

    assert "Lost 5.2 % of the charge: water 4.3 % (3.3–5.2), the rest 0.9 % (0.0–1.9)." in reasons
    assert "Not measured: the water before is the usual 6.5 %" in reasons
    assert not any("Not measured" in reason for reason in roasted(record(SHORT, weighing=measured)).reasons)


def test_a_rest_below_nothing_has_a_true_minus_sign() -> None:
    measured = Weighing(1000.0, 990.0, Span.exactly(0.07), Span.exactly(0.02))
    answer = roasted(record(SHORT, weighing=measured))
    told = [*answer.reasons, *(cell for one in answer.details for row in one.rows for cell in row)]

    assert any("the rest −4.0" in one for one in told)
    assert not any(re.search(r"(?<![\w.])-\d", one) for one in told)


@pytest.mark.parametrize(
    ("end_g", "measured", "words"),
    [
        (850.0, None, "8.5 % of the charge would be neither water nor the acids"),
        (995.0, None, "a loss of 0.5 % is hardly one"),
        (990.0, (0.07, 0.02), "the dry mass would have grown by 4.0 %"),
        (990.0, (0.03, 0.08), "the beans would have taken up 4.9 % of water"),
    ],
)
def test_what_cannot_be_of_a_loss_is_named(
    end_g: float, measured: tuple[float, float] | None, words: str
) -> None:
    water = [Span.exactly(share) for share in measured or ()]
    reasons = " ".join(roasted(record(SHORT, weighing=Weighing(1000.0, end_g, *water))).reasons)

    assert f"This cannot be: {words}" in reasons.replace("\u00a0", " ")


def test_a_half_is_rounded_up_as_on_the_pages() -> None:
    """107 g of 2,000 g are 5.35 %."""
    reasons = " ".join(roasted(record(SHORT, weighing=Weighing(2000.0, 1893.0))).reasons)

    assert "Lost 5.4 %" in reasons.replace("\u00a0", " ")


def test_weights_that_do_not_fit_are_told() -> None:
    assert any(
        "Weigh again" in reason for reason in roasted(record(SHORT, weighing=Weighing(1000.0, 850.0))).reasons
    )


OVEN = RoastRecord(
    oven_roast(140.0, 35.0), Weighing(1000.0, 948.0), roaster=Roaster.FAN_OVEN, start_celsius=20.0
)


def test_an_oven_roast_with_its_end_weight_gives_a_picture_and_no_verdict() -> None:
    picture = inside(OVEN)

    assert isinstance(picture, BeanCore)
    answer = roasted(OVEN, picture)
    assert answer.verdict is Verdict.UNKNOWN
    assert any(
        reason.startswith("Inside the beans") and "no measurement" in reason for reason in answer.reasons
    )
    assert [line.role for line in chart_of(OVEN, picture).lines] == ["setting", "core"]


@pytest.mark.parametrize(
    ("change", "because"),
    [
        ({"weighing": None}, "the weights before and after"),
        ({"roaster": None}, "what it was roasted in"),
        ({"start_celsius": None}, "how warm the beans went in"),
        ({"matter": Matter.NIBS}, "whole beans"),
        ({"weighing": Weighing(1000.0, 850.0)}, "do not fit"),
        ({"roast": oven_roast(50.0, 35.0)}, "not worked out for this air"),
        ({"roast": oven_roast(280.0, 35.0)}, "in °F it is 138 °C"),
        ({"roast": typed_roast(SHORT)}, "neither measured nor set"),
    ],
)
def test_what_the_picture_lacks_is_named(change: dict[str, object], because: str) -> None:
    found = inside(replace(OVEN, **change))  # type: ignore[arg-type]

    assert isinstance(found, str)
    assert because in found


def test_the_picture_is_of_the_time_the_beans_were_in() -> None:
    late = replace(OVEN, in_s=600.0, out_s=1500.0)
    picture = inside(late)

    assert isinstance(picture, BeanCore)
    assert (picture.times_s[0], picture.times_s[-1]) == (600.0, 1500.0)
    for outside in ({"in_s": 5000.0}, {"out_s": 5000.0}):
        assert "not measured from when the beans came in" in str(inside(replace(OVEN, **outside)))


def test_a_measured_transfer_stands_in_for_the_usual_one() -> None:
    own = replace(OVEN, roaster=None, transfer=Span(26.0, 27.0, 28.0))

    assert isinstance(inside(own), BeanCore)


def test_facts_of_a_probe_that_is_not_there_are_refused() -> None:
    with pytest.raises(InputError, match="No probe has this name"):
        with_facts(typed_roast(SHORT), {"thermometer": ProbeFacts()})


def test_facts_that_are_not_told_leave_a_probe_as_it_is() -> None:
    roast = with_facts(typed_roast(SHORT), {"readings by hand": ProbeFacts(role=Role.AIR, offset_k=-1.0)})

    assert (roast.probes[0].role, roast.probes[0].curve.celsius[0]) == (Role.AIR, 23.0)
    same = with_facts(roast, {"readings by hand": ProbeFacts()}).probes[0]
    assert (same.role, same.offset_k, same.uncertainty_k) == (Role.AIR, -1.0, None)


def test_the_document_holds_plain_numbers_alone() -> None:
    import json

    picture = inside(OVEN)
    found = roast_document(
        OVEN, roasted(OVEN, picture if isinstance(picture, BeanCore) else None), RoastExtras(inside=picture)
    )

    text = json.dumps(found, allow_nan=False)
    assert json.loads(text)["inside"]["hottest_celsius"]["value"] == pytest.approx(138.9, abs=0.5)
