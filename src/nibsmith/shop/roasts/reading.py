"""From what is stored of a roast to what answers read: readings, probes with their facts, weights."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from nibsmith.answers.roast_log import clock
from nibsmith.answers.roasted import (
    SURVIVORS,
    ProbeFacts,
    RoastRecord,
    open_questions,
    survivor_line,
    with_facts,
)
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.mixture import Span
from nibsmith.science.quantities import Scale
from nibsmith.science.roast import Band, Matter, Roaster, Role, Weighing
from nibsmith.science.roast import Roast as RoastCourse
from nibsmith.science.roast.log import TimeUnit, Told, read_log
from nibsmith.science.roast.typed import (
    LEAST_POINTS,
    Point,
    in_time,
    oven_roast,
    typed_points,
    typed_roast,
)
from nibsmith.shop.kit.models import Measures, Probe
from nibsmith.shop.roasts.models import Course, Kind, Readings, Roast

BY_HAND = "readings by hand"
# What a probe of the kit measures, as a roast has it; one for the mass has no place in a roast.
_ROLES = {Measures.BEAN: Role.BEAN, Measures.AIR: Role.AIR, Measures.EXHAUST: Role.AIR}


def read(row: Readings) -> RoastCourse:
    """Return what stored readings say, with what is known of their probes."""
    if row.kind == Kind.FILE:
        found = read_log(row.raw.encode(), told_of(row.told)).roast
    else:
        found = typed_roast(row.raw, Role(row.role), row.told.get("scale"), BY_HAND, _added(row))
    names = {probe.name for probe in found.probes}
    facts = {name: _facts(said) for name, said in row.probes.items() if name in names}
    return with_facts(found, facts)


def points_of(row: Readings) -> tuple[Point, ...]:
    """Return the points of readings by hand in the order of their times [s, °C]."""
    return in_time(typed_points(row.raw, row.told.get("scale")), _added(row))


def _added(row: Readings) -> list[Point]:
    """Return what was added one by one since."""
    return [(float(point.at_s), float(point.celsius)) for point in row.points.all()] if row.pk else []


def text_of(row: Readings) -> str:
    """Return readings as they came, and below what was added one by one since."""
    added = [f"{clock(point.at_s)} {point.celsius} °C" for point in row.points.all()]
    return "\n".join([row.raw, *added])


def under_way(row: Readings | None) -> bool:
    """Whether readings by hand are too few for a curve yet."""
    return row is not None and row.kind == Kind.TYPED and len(points_of(row)) < LEAST_POINTS


def check_stay(course: RoastCourse, row: Readings) -> None:
    """Refuse times of the beans in and out that do not go with the readings."""
    if row.in_s is None and row.out_s is None:
        return
    record = RoastRecord(roast=course, in_s=row.in_s, out_s=row.out_s)
    for one in record.in_beans or course.probes[:1]:
        try:
            record.while_in(one.curve)
        except InputError as error:
            error.value = " to ".join(clock(end) for end in (row.in_s, row.out_s) if end is not None)
            error.limit = f"{clock(one.curve.start_s)} to {clock(one.curve.end_s)}"
            error.field = "in_at" if row.out_s is None else "out_at"
            raise


def told_of(said: Mapping[str, Any]) -> Told:
    """Return what the maker says beside a file."""
    unit = said.get("time_unit")
    return Told(
        scale=said.get("scale") or None,
        time=said.get("time", ""),
        time_unit=TimeUnit(unit) if unit else None,
        every_s=said.get("every_s"),
        beans=tuple(said.get("beans", ())),
        air=tuple(said.get("air", ())),
        run=said.get("run"),
    )


def _facts(said: Mapping[str, Any]) -> ProbeFacts:
    role = said.get("role")
    return ProbeFacts(Role(role) if role else None, said.get("offset_k"), said.get("uncertainty_k"))


def facts_of(probe: Probe) -> dict[str, Any]:
    """Return what a roast keeps of a probe of the kit, as it is known today."""
    role = _ROLES.get(Measures(probe.measures))
    return {
        "role": role.value if role else "",
        "offset_k": float(probe.offset_k),
        "uncertainty_k": None if probe.uncertainty_k is None else float(probe.uncertainty_k),
        "probe": probe.ref,
        "called": probe.name,
    }


@dataclass(frozen=True)
class Known:
    """A roast as answers read it, or why its readings cannot be read; both are none where there are none."""

    record: RoastRecord | None
    refused: str = ""

    @property
    def names(self) -> tuple[str, ...]:
        """What the probes are called."""
        return () if self.record is None else tuple(probe.name for probe in self.record.roast.probes)

    @property
    def questions(self) -> tuple[str, ...]:
        """What is to be settled first."""
        return () if self.record is None else open_questions(self.record)


def known(roast: Roast, row: Readings | None) -> Known:
    """Return what is known of a roast: its readings, or what the dial was set to."""
    if under_way(row):
        return Known(None)
    try:
        course = read(row) if row is not None else _dial(roast)
    except NibsmithError as error:
        return Known(None, str(error))
    return Known(None if course is None else _record(roast, course, row))


def _dial(roast: Roast) -> RoastCourse | None:
    if roast.dial_celsius is None or roast.dial_minutes is None:
        return None
    return oven_roast(float(roast.dial_celsius), float(roast.dial_minutes))


def _record(roast: Roast, course: RoastCourse, row: Readings | None) -> RoastRecord:
    return RoastRecord(
        roast=course,
        weighing=weighing_of(roast),
        matter=Matter(roast.matter),
        roaster=Roaster(roast.roaster) if roast.roaster else None,
        start_celsius=_float(roast.start_celsius),
        weibull=survivor_line({name: _float(getattr(roast, name)) for name in SURVIVORS}),
        study=roast.study,
        in_s=None if row is None else row.in_s,
        out_s=None if row is None else row.out_s,
    )


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def weighing_of(roast: Roast) -> Weighing | None:
    """Return the weights of a roast, where both are known."""
    if roast.charge_g is None or roast.end_g is None:
        return None
    before, after = (_water(percent) for percent in (roast.water_before_percent, roast.water_after_percent))
    return Weighing(float(roast.charge_g), float(roast.end_g), before, after)


def _water(percent: Any) -> Span | None:
    return None if percent is None else Span.exactly(float(percent) / 100)


def band_of(course: Course) -> Band:
    """Return a wanted course with its tolerance."""
    curve = typed_roast(course.typed).probes[0].curve
    return Band(curve, float(course.tolerance_k))


def written_course(typed: str, scale: Scale) -> str:
    """Return a typed course with its scale written, so that no change of the settings changes it."""
    typed_roast(typed, scale=scale)
    if any(letter in typed.upper() for letter in ("C", "F")):
        return typed
    return f"{typed} °{scale}"
