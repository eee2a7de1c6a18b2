"""A roast from typed points, a pasted or sent log, or a dial: what was understood, the curve, loss, heat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from nibsmith.answers.answer import Detail
from nibsmith.answers.roast_log import RoastLog, clock, roast_log
from nibsmith.answers.roasted import (
    ProbeFacts,
    RoastRecord,
    ahead,
    chart_of,
    inside,
    loss_doubts,
    open_questions,
    roasted,
    survivor_line,
    with_facts,
)
from nibsmith.answers.tools.outcome import Given, Outcome, constants, given
from nibsmith.answers.wording import NO_BREAK
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.quantities import Scale
from nibsmith.science.roast import (
    BeanCore,
    Matter,
    Roast,
    RoastChart,
    Roaster,
    Role,
    Weighing,
    split_loss,
    time_above,
)
from nibsmith.science.roast.log import Told
from nibsmith.science.roast.typed import oven_roast, typed_roast

FORMULAS = (
    "Loss = 1 − weight out/weight in; its water follows from the water before and after.",
    "Tenfold reductions R = ∫ dt/D(T), exact between two readings; D by straight lines in log D.",
    "Nothing is counted below 100 °C, and nothing faster than at 140 °C.",
    "T is what the coldest probe in the beans read, less what that probe can be off.",
)
KEYS = ("d_100", "d_110", "d_115", "d_120", "d_130", "d_140", "error_factor")
NIB_KEYS = ("nib_110", "nib_120", "nib_130", "nib_140")
LOSS = "What was lost"  # the title of the table that the answer opens to
_MARKS = (100, 110, 120)  # temperatures that times are counted above [°C]


@dataclass(frozen=True, slots=True)
class RoastTyped:
    """What is typed of a roast, as far as it is known.

    One of ``points``, ``log`` and ``dial_celsius`` with ``dial_minutes``. ``off_k`` is how far the bean probe
    can be off [K]; ``charge_g`` and ``end_g`` are the weights [g]; water in percent; ``in_s`` and ``out_s``
    are when the beans came in and out by the readings [s]; ``survivors`` the figures of the maker's own
    survivor line by name, ``study`` who found them; ``until_celsius`` where the beans are to come out [°C].
    """

    points: str = ""
    log: bytes = b""
    dial_celsius: float | None = None
    dial_minutes: float | None = None
    scale: Scale | None = None
    role: Role = Role.BEAN
    told: Told = field(default_factory=Told)
    off_k: float | None = None
    charge_g: float | None = None
    end_g: float | None = None
    water_before_percent: float | None = None
    water_after_percent: float | None = None
    matter: Matter = Matter.BEANS
    roaster: Roaster | None = None
    start_celsius: float | None = None
    in_s: float | None = None
    out_s: float | None = None
    survivors: Mapping[str, float | None] = field(default_factory=dict)
    study: str = ""
    until_celsius: float | None = None


@dataclass(frozen=True, eq=False)
class RoastSeen:
    """A roast as it was understood: its outcome, chart, sentences about the file, and when it will end."""

    outcome: Outcome
    chart: RoastChart
    understood: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    ahead: str = ""


def roast_by_hand(typed: RoastTyped) -> RoastSeen:
    """Answer how far the heat went in a roast, with its chart.

    Parameters
    ----------
    typed : RoastTyped
        Typed points, a log or a dial; weights as far as they are known.

    Returns
    -------
    RoastSeen
        The answer of ``roasted``, loss and times in front.

    Raises
    ------
    InputError
        If nothing, or two ways at once, are given, or one cannot be read.

    Examples
    --------
    >>> seen = roast_by_hand(RoastTyped(points="0:00 24 °C; 10:00 105; 20:00 121; 25:00 124"))
    >>> seen.outcome.answer.verdict.value, [line.name for line in seen.chart.lines]
    ('unknown', ['readings by hand'])
    """
    log = roast_log(typed.log, replace(typed.told, scale=typed.scale)) if typed.log else None
    record = _record(typed, _roast(typed, log))
    found = inside(record)
    picture = found if isinstance(found, BeanCore) else None
    answer = roasted(record, picture if record.in_beans else found)
    loss = tuple(detail for detail in answer.details if detail.title == LOSS)
    outcome = Outcome(
        replace(answer, details=tuple(detail for detail in answer.details if detail not in loss)),
        tuple(_given(typed, record)),
        FORMULAS,
        constants("roast_deaths", (*KEYS, *(NIB_KEYS if typed.matter is Matter.NIBS else ()))),
        (*loss, *_details(record)),
    )
    doubts = () if record.weighing is None else tuple(loss_doubts(split_loss(record.weighing)))
    return RoastSeen(
        outcome=outcome,
        chart=chart_of(record, picture),
        understood=() if log is None else log.lines,
        questions=(*open_questions(record), *doubts),
        ahead="" if typed.until_celsius is None else ahead(record, typed.until_celsius),
    )


def _roast(typed: RoastTyped, log: RoastLog | None) -> Roast:
    ways = [log is not None, bool(typed.points.strip()), typed.dial_celsius is not None]
    if sum(ways) != 1:
        what = "A roast comes from one place" if any(ways) else "There is no roast yet"
        advice = "Type points, or paste or send a log, or type dial and minutes."
        raise InputError(what, advice=advice, field="points")
    if log is not None:
        return log.roast
    if typed.points.strip():
        return typed_roast(typed.points.strip(), role=typed.role, scale=typed.scale)
    if typed.dial_minutes is None or typed.dial_celsius is None:
        raise InputError("A dial needs its minutes", field="dial_minutes")
    return oven_roast(typed.dial_celsius, typed.dial_minutes)


def _record(typed: RoastTyped, roast: Roast) -> RoastRecord:
    facts = {probe.name: ProbeFacts(uncertainty_k=typed.off_k) for probe in roast.of(Role.BEAN)}
    return RoastRecord(
        roast=with_facts(roast, facts),
        weighing=_weighing(typed),
        matter=typed.matter,
        roaster=typed.roaster,
        start_celsius=typed.start_celsius,
        weibull=survivor_line(typed.survivors),
        study=typed.study,
        in_s=typed.in_s,
        out_s=typed.out_s,
    )


def _weighing(typed: RoastTyped) -> Weighing | None:
    if typed.charge_g is None and typed.end_g is None:
        return None
    if typed.charge_g is None or typed.end_g is None:
        lacks = "charge_g" if typed.charge_g is None else "end_g"
        raise InputError("A loss needs the weight in and the weight out", field=lacks)
    return Weighing(
        typed.charge_g, typed.end_g, _water(typed.water_before_percent), _water(typed.water_after_percent)
    )


def _water(percent: float | None) -> Span | None:
    return None if percent is None else Span.exactly(percent / 100)


def _details(record: RoastRecord) -> Iterator[Detail]:
    times: list[tuple[str, ...]] = [
        (probe.name, *(clock(round(time_above(record.part(probe), mark))) for mark in _MARKS))
        for probe in record.roast.probes
        if probe.role is not Role.SETTING
    ]
    if times:
        heads = ("Probe", *(f"Above {mark}{NO_BREAK}°C" for mark in _MARKS))
        yield Detail("How long it was how warm", heads, tuple(times), "Minutes and seconds.")


def _given(typed: RoastTyped, record: RoastRecord) -> Iterator[Given]:
    for probe in record.roast.probes:
        where = {Role.BEAN: "in the beans", Role.AIR: "in the air", Role.SETTING: "a setting"}
        count = f"{probe.readings.times_s.size} readings"
        yield given(probe.name, f"{count}, {where.get(probe.role, 'not said where')}", "", said=True)
    for name, value, unit in (
        ("It can be off by", typed.off_k, "K"),
        ("Weight in", typed.charge_g, "g"),
        ("Weight out", typed.end_g, "g"),
        ("Water before", typed.water_before_percent, "%"),
        ("Water after", typed.water_after_percent, "%"),
        ("Went in at", typed.start_celsius, "°C"),
    ):
        if value is not None:
            yield given(name, value, unit, said=True)
    for name, time_s in (("Beans in at", typed.in_s), ("Beans out at", typed.out_s)):
        if time_s is not None:
            yield given(name, clock(time_s), "", said=True)
