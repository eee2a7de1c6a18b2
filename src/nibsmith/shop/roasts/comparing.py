"""Roasts beside each other: figures of each, and how much warmer than the first one, in a strip."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.roast_log import clock
from nibsmith.answers.roasted import kind_of_all, probe_of_kind
from nibsmith.answers.wording import ended
from nibsmith.paper.chart import Axis, Chart, Count, Ink, Line, Rule, Strip
from nibsmith.science.roast import Comparison, Curve, Role, compare_roasts, difference_strip
from nibsmith.shop.common.figures import rounded, with_unit
from nibsmith.shop.common.said import said
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.reading import degrees
from nibsmith.shop.roasts.models import Roast
from nibsmith.shop.roasts.reading import Known, known
from nibsmith.shop.roasts.selectors import Told

TENTH = Decimal("0.1")
MINUTE = 60
NEVER = "never"
_MARK = re.compile(r"(\d+) °C")
_INKS = (Ink.MAIN, Ink.SECOND, Ink.THIRD, Ink.FOURTH, Ink.FAINT)


@dataclass(frozen=True, slots=True)
class ShownComparison:
    """Roasts beside each other, each with the probe that stands for it; rows, and a picture of what differs.

    ``left_out`` are the roasts that are not compared, each with the reason.
    """

    roasts: tuple[tuple[Roast, str], ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    chart: Chart | None
    left_out: tuple[tuple[Roast, str], ...]


def compare(several: Sequence[Told], settings: WorkshopSettings) -> ShownComparison:
    """Compare roasts with the first of them that has the kind of probe that most of them have."""
    records = [(told, known(told.roast, told.readings)) for told in several]
    role = kind_of_all([found.record for _, found in records if found.record is not None])
    seen = [(told.roast, _seen(told, found, role)) for told, found in records]
    beside = [(roast, one) for roast, one in seen if isinstance(one, _Beside)]
    left_out = tuple((roast, said(ended(one), settings)) for roast, one in seen if isinstance(one, str))
    heads = tuple((roast, one.probe) for roast, one in beside)
    if len(beside) < 2:
        return ShownComparison(heads, (), None, left_out)
    first = beside[0][1].curve
    found = [(roast, compare_roasts(first, one.curve)) for roast, one in beside[1:]]
    return ShownComparison(
        roasts=heads,
        rows=_rows([comparison for _, comparison in found], settings),
        chart=_chart(beside[0][0], found, settings),
        left_out=left_out,
    )


def lacking(several: Sequence[Told], asked: int) -> str:
    """Say what is missing to compare what was chosen, or what is left out of it; nothing where all is there.

    Parameters
    ----------
    several : sequence of Told
        The roasts that were found, as many as are compared.
    asked : int
        How many were chosen.

    Returns
    -------
    str
        One sentence, or an empty text.
    """
    if not several:
        return "What you chose is not here: choose two roasts." if asked else "Choose two roasts at least."
    if len(several) == 1:
        one = several[0].roast
        return f"Only roast {one.number}, {one.beans}, is chosen: choose another to compare it with."
    left = asked - len(several)
    if left:
        return f"{left} of those that you chose {'is' if left == 1 else 'are'} not compared."
    return ""


@dataclass(frozen=True, slots=True)
class _Beside:
    """The probe that stands for a roast, and its course while the beans were in."""

    probe: str
    curve: Curve


def _seen(told: Told, found: Known, role: Role) -> _Beside | str:
    """The probe of a kind, or why a roast is left out."""
    if found.record is None:
        return found.refused.rstrip(".") or _no_readings(told)
    probe = probe_of_kind(found.record, role)
    return probe if isinstance(probe, str) else _Beside(probe.name, found.record.part(probe))


def _no_readings(told: Told) -> str:
    return (
        "it has no readings to compare"
        if told.readings is None
        else "its readings are too few for a curve yet"
    )


def _rows(found: Sequence[Comparison], settings: WorkshopSettings) -> tuple[tuple[str, tuple[str, ...]], ...]:
    by_roast = [[figure.first for figure in found[0].figures]]
    by_roast += [[figure.second for figure in comparison.figures] for comparison in found]
    return tuple(
        (
            _MARK.sub(lambda mark: degrees(Decimal(mark[1]), settings), figure.what),
            tuple(_text(values[place], figure.unit, settings) for values in by_roast),
        )
        for place, figure in enumerate(found[0].figures)
    )


def _text(value: float | None, unit: str, settings: WorkshopSettings) -> str:
    if value is None:
        return NEVER
    if unit == "s":
        return clock(round(value))
    if unit == "°C":
        return degrees(Decimal(repr(value)).quantize(TENTH), settings)
    return with_unit(rounded(value, TENTH, settings.decimal_sign), unit)


def _chart(
    first: Roast, found: Sequence[tuple[Roast, Comparison]], settings: WorkshopSettings
) -> Chart | None:
    lines = [
        line
        for (roast, comparison), ink in zip(found, _INKS, strict=False)
        if (line := _line(roast, comparison, ink)) is not None
    ]
    if not lines:
        return None
    words = f"Warmer than roast {first.number}, K"
    strip = Strip(words, (Rule(0, ""), *lines))
    furthest = "; ".join(_furthest(roast, comparison) for roast, comparison in found)
    axis = Axis("minutes since the start of each", low=0, count=Count.MINUTES)
    return Chart("What differs", f"{furthest}.", axis, (strip,), decimal_sign=settings.decimal_sign or ".")


def _line(roast: Roast, comparison: Comparison, ink: Ink) -> Line | None:
    drawn = difference_strip(comparison)
    if drawn is None:
        return None
    xs: list[float | None] = []
    ys: list[float | None] = []
    for times, values in drawn.pieces:
        xs += [*(time / MINUTE for time in times.tolist()), None]
        ys += [*values.tolist(), None]
    return Line(f"roast {roast.number}", xs, ys, ink)


def _furthest(roast: Roast, comparison: Comparison) -> str:
    if comparison.apart is None:
        return f"Roast {roast.number} shares no time with the first"
    side = "warmer" if comparison.furthest_k > 0 else "cooler"
    at = clock(round(comparison.furthest_s))
    return f"Roast {roast.number} was at most {abs(comparison.furthest_k):.1f} K {side}, at {at}"
