"""The page of a roast as its templates show it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.roast_log import clock
from nibsmith.answers.roasted import (
    SURVIVORS,
    RoastRecord,
    ahead,
    chart_of,
    inside,
    loss_doubts,
    probe_of_kind,
    roasted,
)
from nibsmith.answers.wording import ended
from nibsmith.paper.chart import Chart
from nibsmith.paper.pictures.roast import roast_picture
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Span
from nibsmith.science.roast import (
    Band,
    BeanCore,
    Kept,
    Probe,
    Role,
    keep_to_band,
    split_loss,
    time_above,
)
from nibsmith.science.roast.typed import LEAST_POINTS
from nibsmith.shop.common.figures import NO_BREAK, as_given, rounded, with_unit
from nibsmith.shop.common.said import said
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.reading import degrees, mass
from nibsmith.shop.recipes.shown_answers import ShownAnswers, show_answers
from nibsmith.shop.roasts.models import Kind, Readings, Roast
from nibsmith.shop.roasts.reading import Known, band_of, points_of, weighing_of

TENTH = Decimal("0.1")
WHOLE = Decimal(1)
MINUS = "\u2212"
MARKS = (100, 110, 120)  # temperatures that times are counted above [°C]
Lines = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked besides: when the beans come to a temperature [°C], and the inside of a bean."""

    until: Decimal | None = None
    inside: bool = False


@dataclass(frozen=True, slots=True)
class ShownRoast:
    """Everything about a roast in words, and its picture."""

    facts: Lines
    loss: Lines
    doubts: tuple[str, ...]
    refused: str
    questions: tuple[str, ...]
    answers: ShownAnswers | None = None
    chart: Chart | None = None
    heads: tuple[str, ...] = ()
    times: tuple[tuple[str, ...], ...] = ()
    kept: Lines = ()
    forecast: str = ""
    no_inside: str = ""


def show_roast(roast: Roast, found: Known, wish: Wish, settings: WorkshopSettings) -> ShownRoast:
    """Show a roast with what was asked of it."""
    facts, loss = tuple(_facts(roast, settings)), show_loss(roast, settings)
    doubts = tuple(said(doubt, settings) for doubt in _doubts(roast))
    record = found.record
    if record is None:
        return ShownRoast(facts, loss, doubts, found.refused, ())
    picture = inside(record) if wish.inside else None
    core = picture if isinstance(picture, BeanCore) else None
    return ShownRoast(
        facts=(*facts, *_stay(record)),
        loss=loss,
        doubts=doubts,
        refused="",
        questions=tuple(said(question, settings) for question in found.questions),
        answers=show_answers((roasted(record, core),), settings),
        chart=_chart(roast, record, core, settings),
        heads=tuple(degrees(Decimal(mark), settings) for mark in MARKS),
        times=tuple(_times(record)),
        kept=_kept(roast, record, settings),
        forecast="" if wish.until is None else said(ahead(record, float(wish.until)), settings),
        no_inside=said(ended(picture), settings) if isinstance(picture, str) else "",
    )


def _facts(roast: Roast, settings: WorkshopSettings) -> Iterator[tuple[str, str]]:
    yield "Roasted as", roast.get_matter_display()
    if roast.roaster or roast.machine:
        yield "In", ", ".join(word for word in (roast.machine, roast.get_roaster_display()) if word)
    if roast.dial_celsius is not None and roast.dial_minutes is not None:
        minutes = with_unit(rounded(roast.dial_minutes, TENTH, settings.decimal_sign), "min")
        yield "Set to", f"{degrees(roast.dial_celsius, settings)} for {minutes}"
    if roast.start_celsius is not None:
        yield "Beans went in at", degrees(roast.start_celsius, settings)
    figures = [getattr(roast, name) for name in SURVIVORS]
    if None not in figures:
        minutes, at, shape, z, low, high = figures
        first = with_unit(as_given(minutes, settings.decimal_sign), "min")
        yield "Own survivor line", f"{first} at {degrees(at, settings)}"
        bend = as_given(shape, settings.decimal_sign)
        yield "Its shape and z", f"{bend}, {with_unit(as_given(z, settings.decimal_sign), 'K')}"
        yield "It holds", f"from {degrees(low, settings)} to {degrees(high, settings)}"
    if roast.study:
        yield "Studied", roast.study


def _stay(record: RoastRecord) -> Iterator[tuple[str, str]]:
    for name, time_s in (("Came in", record.in_s), ("Came out", record.out_s)):
        if time_s is not None:
            yield name, f"at {clock(round(time_s))} of the readings"


def _doubts(roast: Roast) -> Iterator[str]:
    weighing = weighing_of(roast)
    if weighing is not None:
        yield from loss_doubts(split_loss(weighing))


def show_loss(roast: Roast, settings: WorkshopSettings) -> Lines:
    """Show the weights and the loss, split into water and the rest."""
    weights = ((name, grams) for name, grams in (("Before", roast.charge_g), ("After", roast.end_g)))
    lines = [(name, mass(grams, settings)) for name, grams in weights if grams is not None]
    weighing = weighing_of(roast)
    if weighing is None or roast.charge_g is None or roast.end_g is None:
        return tuple(lines)
    loss = split_loss(weighing)
    lost = mass(roast.charge_g - roast.end_g, settings)
    lines.append(("Lost", f"{lost}, {_percent(Span.exactly(loss.total), settings)}"))
    lines.append(("Of it water", _percent(loss.water, settings)))
    lines.append(("The rest, acids and chaff", _percent(loss.rest, settings)))
    usual = {"before": loss.water_before, "after": loss.water_after}
    lines.extend(
        (f"Water {name}, not measured", f"reckoned as {_percent(usual[name], settings)}")
        for name in loss.assumed
    )
    return tuple(lines)


def _percent(span: Span, settings: WorkshopSettings) -> str:
    low, usual, high = (
        rounded(100 * end, TENTH, settings.decimal_sign) for end in (span.low, span.value, span.high)
    )
    whole = with_unit(usual, "%")
    return whole if low == high else f"{whole}, {low} to {with_unit(high, '%')}"


def _chart(
    roast: Roast, record: RoastRecord, core: BeanCore | None, settings: WorkshopSettings
) -> Chart | None:
    try:
        drawn = chart_of(record, core, _band(roast))
    except NibsmithError:
        return None
    return roast_picture(drawn, settings.decimal_sign or ".")


def _band(roast: Roast) -> Band | None:
    return None if roast.wanted is None else band_of(roast.wanted)


def _times(record: RoastRecord) -> Iterator[tuple[str, ...]]:
    for probe in record.roast.probes:
        if probe.role is not Role.SETTING:
            yield probe.name, *(clock(round(time_above(record.part(probe), mark))) for mark in MARKS)


def _kept(roast: Roast, record: RoastRecord, settings: WorkshopSettings) -> Lines:
    band = _band(roast)
    if band is None:
        return ()
    probe = probe_of_kind(record)
    if not isinstance(probe, Probe):
        return (("Not compared", ended(probe)),)
    try:
        return tuple(_kept_lines(keep_to_band(record.part(probe), band), settings))
    except NibsmithError as error:
        return (("Compared", str(error)),)


def _kept_lines(kept: Kept, settings: WorkshopSettings) -> Iterator[tuple[str, str]]:
    sign = settings.decimal_sign
    shares = (("Inside the band", kept.inside), ("Too hot", kept.too_hot), ("Too cool", kept.too_cool))
    for name, share in shares:
        yield name, with_unit(rounded(100 * share, WHOLE, sign), "% of the time")
    side = "hotter" if kept.furthest_k > 0 else "cooler"
    far = with_unit(rounded(abs(kept.furthest_k), TENTH, sign), "K")
    yield "Furthest off", f"{far} {side}, at {clock(round(kept.furthest_s))}"
    if kept.first_out_s is not None:
        yield "Left it first", f"at {clock(round(kept.first_out_s))}"


@dataclass(frozen=True, slots=True)
class Standing:
    """Readings by hand as they stand: how many, the last one, and all of them to be typed anew."""

    count: int = 0
    last: str = ""
    typed: str = ""
    lacking: int = LEAST_POINTS
    by_logger: bool = False


def show_points(row: Readings | None, settings: WorkshopSettings) -> Standing:
    """Show the readings by hand of a roast that may still be under way."""
    if row is None:
        return Standing()
    if row.kind != Kind.TYPED:
        return Standing(by_logger=True)
    try:
        points = points_of(row)
    except NibsmithError:
        return Standing(typed=row.raw)
    lines = [
        (clock(round(time_s)), degrees(Decimal(repr(celsius)).quantize(TENTH), settings))
        for time_s, celsius in points
    ]
    return Standing(
        count=len(points),
        last=" · ".join(lines[-1]),
        typed="\n".join(f"{at} {warm}".replace(NO_BREAK, " ").replace(MINUS, "-") for at, warm in lines),
        lacking=max(LEAST_POINTS - len(points), 0),
    )
