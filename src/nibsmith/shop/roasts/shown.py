"""The page of a roast as its templates show it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.roast_log import clock
from nibsmith.answers.roasted import RoastRecord, inside, roasted
from nibsmith.paper.chart import Chart
from nibsmith.paper.pictures.roast import roast_picture
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Span
from nibsmith.science.roast import (
    Band,
    BeanCore,
    Curve,
    Kept,
    Role,
    forecast_end,
    keep_to_band,
    roast_chart,
    split_loss,
    time_above,
)
from nibsmith.shop.common.figures import rounded, with_unit
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.reading import degrees, mass
from nibsmith.shop.recipes.shown_answers import ShownAnswers, show_answers
from nibsmith.shop.roasts.models import Roast
from nibsmith.shop.roasts.reading import Known, band_of, weighing_of

TENTH = Decimal("0.1")
WHOLE = Decimal(1)
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
    doubtful: bool
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
    facts, (loss, doubtful) = tuple(_facts(roast, settings)), show_loss(roast, settings)
    record = found.record
    if record is None:
        return ShownRoast(facts, loss, doubtful, found.refused, ())
    picture = inside(record) if wish.inside else None
    core = picture if isinstance(picture, BeanCore) else None
    return ShownRoast(
        facts=facts,
        loss=loss,
        doubtful=doubtful,
        refused="",
        questions=found.questions,
        answers=show_answers((roasted(record, core),), settings),
        chart=_chart(roast, record, core, settings),
        heads=tuple(degrees(Decimal(mark), settings) for mark in MARKS),
        times=tuple(_times(record)),
        kept=_kept(roast, record, settings),
        forecast=_forecast(record, wish, settings),
        no_inside=picture if isinstance(picture, str) else "",
    )


def main_curve(record: RoastRecord) -> Curve:
    """Return the curve that is compared: of the beans, else of the first probe."""
    return (*record.in_beans, *record.roast.probes)[0].curve


def _facts(roast: Roast, settings: WorkshopSettings) -> Iterator[tuple[str, str]]:
    yield "Roasted as", roast.get_matter_display()
    if roast.roaster or roast.machine:
        yield "In", ", ".join(word for word in (roast.machine, roast.get_roaster_display()) if word)
    if roast.dial_celsius is not None and roast.dial_minutes is not None:
        minutes = with_unit(rounded(roast.dial_minutes, TENTH, settings.decimal_sign), "min")
        yield "Set to", f"{degrees(roast.dial_celsius, settings)} for {minutes}"
    if roast.start_celsius is not None:
        yield "Beans went in at", degrees(roast.start_celsius, settings)


def show_loss(roast: Roast, settings: WorkshopSettings) -> tuple[Lines, bool]:
    """Show the weights and the loss, split into water and the rest; and whether it can be so."""
    weights = ((name, grams) for name, grams in (("Before", roast.charge_g), ("After", roast.end_g)))
    lines = [(name, mass(grams, settings)) for name, grams in weights if grams is not None]
    weighing = weighing_of(roast)
    if weighing is None or roast.charge_g is None or roast.end_g is None:
        return tuple(lines), False
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
    return tuple(lines), loss.doubtful


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
        drawn = roast_chart(record.roast, core=core, band=_band(roast))
    except NibsmithError:
        return None
    return roast_picture(drawn, settings.decimal_sign or ".")


def _band(roast: Roast) -> Band | None:
    return None if roast.wanted is None else band_of(roast.wanted)


def _times(record: RoastRecord) -> Iterator[tuple[str, ...]]:
    for probe in record.roast.probes:
        if probe.role is not Role.SETTING:
            yield probe.name, *(clock(round(time_above(probe.curve, mark))) for mark in MARKS)


def _kept(roast: Roast, record: RoastRecord, settings: WorkshopSettings) -> Lines:
    band = _band(roast)
    if band is None:
        return ()
    try:
        return tuple(_kept_lines(keep_to_band(main_curve(record), band), settings))
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


def _forecast(record: RoastRecord, wish: Wish, settings: WorkshopSettings) -> str:
    if wish.until is None:
        return ""
    until = degrees(wish.until, settings)
    try:
        found = forecast_end(main_curve(record), float(wish.until))
    except NibsmithError as error:
        return f"No forecast: {error}"
    early, late = clock(round(found.time_s.low)), found.time_s.high
    ends = f"from {early} on" if late == float("inf") else f"{early} to {clock(round(late))}"
    return f"As it goes now, {until} comes at about {clock(round(found.time_s.value))}, {ends}."
