"""The page of a session as its templates show it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.snap import snap
from nibsmith.paper.chart import Axis, Chart, Line, Mark, Strip
from nibsmith.science.errors import NibsmithError
from nibsmith.science.formulate import fold_in_for
from nibsmith.science.mixture import Recipe
from nibsmith.science.quantities import round_half_up
from nibsmith.science.temper import CurveReading, Temper, comparable, judged, slope_limits
from nibsmith.shop.batches.as_made import context_of, recipe_of
from nibsmith.shop.batches.cooling import lowering_of, read_stored
from nibsmith.shop.batches.models import Curve, PlannedPart, Session
from nibsmith.shop.batches.planning import opened_on
from nibsmith.shop.batches.selectors import Diary, ToldSession
from nibsmith.shop.batches.shown import ShownEntry, show_entry
from nibsmith.shop.common.figures import rounded, with_unit
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.calibrating.selectors import marked_curves
from nibsmith.shop.kit.reading import mass
from nibsmith.shop.kit.selectors import science_mould
from nibsmith.shop.recipes.shown_answers import ShownAnswers, show_answers

TENTH = Decimal("0.1")
HUNDREDTH = Decimal("0.01")
MARK_WORDS = {
    Temper.WELL: "like your well-tempered ones",
    Temper.UNDER: "under-tempered, as your marked ones go",
    Temper.OVER: "over-tempered, as your marked ones go",
}


@dataclass(frozen=True, slots=True)
class ShownFoldIn:
    """A part to be folded in: how much for the mass taken, what was weighed of it."""

    part: PlannedPart
    planned: str
    weighed: str


@dataclass(frozen=True, slots=True)
class ShownCurve:
    """A cooling curve: what it says, and its picture; or why it cannot be read."""

    entry: ShownEntry
    lines: tuple[tuple[str, str], ...]
    verdict: str
    refused: str
    chart: Chart | None


@dataclass(frozen=True, slots=True)
class ShownSessionPage:
    """Everything of a session in words."""

    taken: str
    answers: ShownAnswers | None
    fold_ins: tuple[ShownFoldIn, ...]
    entries: tuple[ShownEntry, ...]
    curves: tuple[ShownCurve, ...]
    mass: tuple[tuple[str, str], ...]


def show_session(diary: Diary, session: Session, settings: WorkshopSettings) -> ShownSessionPage:
    """Show one session of a batch."""
    mine, recipe = diary.of_session(session), _recipe(diary)
    return ShownSessionPage(
        taken=mass(session.taken_g, settings),
        answers=None if recipe is None else show_answers((snap(recipe, context_of(diary)),), settings),
        fold_ins=tuple(_fold_ins(diary, session, recipe, settings)),
        entries=tuple(show_entry(row, settings) for row in mine.fold_ins),
        curves=tuple(_curve(curve, diary, session, settings) for curve in mine.curves),
        mass=_mass(mine, settings),
    )


def _recipe(diary: Diary) -> Recipe | None:
    try:
        return recipe_of(diary, opened_on(diary.batch.version, diary.batch.kit))
    except NibsmithError:
        return None


def _fold_ins(
    diary: Diary, session: Session, recipe: Recipe | None, settings: WorkshopSettings
) -> list[ShownFoldIn]:
    """Return what the recipe folds in, for the mass that this session took."""
    outside = [part for part in diary.planned if not part.in_machine]
    if not outside:
        return []
    planned = _for_mass(recipe, session, context_of(diary).end_water_percent)
    rows = diary.of_session(session).fold_ins
    return [
        ShownFoldIn(
            part=part,
            planned=_grams(planned.get(part.label), settings),
            weighed=_grams(_sum(row.weighed_g for row in rows if row.part_id == part.pk), settings),
        )
        for part in outside
    ]


def _for_mass(recipe: Recipe | None, session: Session, water: float | None) -> Mapping[str, float]:
    try:
        return {} if recipe is None else fold_in_for(recipe, float(session.taken_g), water)
    except NibsmithError:
        return {}


def _sum(grams: Iterable[Decimal]) -> Decimal | None:
    found = list(grams)
    return sum(found, Decimal(0)) if found else None


def _grams(grams: float | Decimal | None, settings: WorkshopSettings) -> str:
    return "" if grams is None else mass(round_half_up(grams, settings.scale_g), settings)


def _mass(mine: ToldSession, settings: WorkshopSettings) -> tuple[tuple[str, str], ...]:
    """Say what became of what was taken and folded in, and how much is not told of."""
    session = mine.session
    folded = _sum(row.weighed_g for row in mine.fold_ins) or Decimal(0)
    together = session.taken_g + folded
    lines = [("Taken", mass(session.taken_g, settings))]
    if folded:
        lines += [("Folded in", mass(folded, settings)), ("Together", mass(together, settings))]
    told = session.left_over_g or Decimal(0)
    if session.bars and session.mould:
        mould = science_mould(session.mould)
        bars_g = round_half_up(session.bars * mould.cavity_g, settings.scale_g)
        lines.append((f"{session.bars} bars, {mould.name}", f"about {mass(bars_g, settings)}"))
        told += bars_g
    if session.left_over_g is not None:
        lines.append(("Left over", mass(session.left_over_g, settings)))
    if session.bars and session.mould and session.left_over_g is not None and together > told:
        rest = round_half_up(together - told, settings.scale_g)
        lines.append(("Not told of", f"about {mass(rest, settings)}"))
    return tuple(lines)


def _curve(curve: Curve, diary: Diary, session: Session, settings: WorkshopSettings) -> ShownCurve:
    entry = show_entry(curve, settings)
    try:
        read = read_stored(curve, lowering_of(diary.batch))
    except NibsmithError as error:
        return ShownCurve(entry, (), "", str(error), None)
    verdict = _verdict(read, session)
    return ShownCurve(entry, tuple(_lines(read, settings)), verdict, "", _chart(read, settings))


def _lines(read: CurveReading, settings: WorkshopSettings) -> Iterator[tuple[str, str]]:
    def figure(value: float, unit: str, step: Decimal = TENTH) -> str:
        return with_unit(rounded(value, step, settings.decimal_sign), unit)

    yield "Began at", figure(read.start_celsius, "°C")
    if read.slope is None or read.inflection_celsius is None or read.inflection_minutes is None:
        yield "Bend", "none: nothing held the curve up"
        return
    error = f" ± {rounded(read.slope_error, HUNDREDTH, settings.decimal_sign)}" if read.slope_error else ""
    slope = rounded(read.slope, HUNDREDTH, settings.decimal_sign)
    yield "Slope at the bend", with_unit(f"{slope}{error}", "K/min")
    at, after = figure(read.inflection_celsius, "°C"), figure(read.inflection_minutes, "min")
    yield "The bend is at", f"{at}, after {after}"
    yield "It comes back up by", figure(read.rise_k, "K")


def _verdict(read: CurveReading, session: Session) -> str:
    """Compare with the maker's own marked curves taken alike; before there are three, say nothing."""
    if read.slope is None:
        return ""
    known = marked_curves(but_for=session.run)
    alike = comparable(known, read.coolant_celsius, read.start_celsius)
    limits = slope_limits(alike)
    if limits is None:
        needed = "No verdict: it takes three curves of yours, taken alike and marked, one of them good."
        return f"{needed} Now: {len(alike)}."
    found = judged(read.slope, limits, alike)
    if found is None:
        return "Beyond what your marked curves show: mark this one too."
    return f"By {limits.count} curves of yours: {MARK_WORDS[found]}."


def _chart(read: CurveReading, settings: WorkshopSettings) -> Chart:
    minutes, celsius = read.minutes.tolist(), read.celsius.tolist()
    layers: list[Line | Mark] = [Line("mass", minutes, celsius)]
    if read.inflection_celsius is not None and read.inflection_minutes is not None:
        layers.append(Mark(read.inflection_minutes, read.inflection_celsius, "the bend"))
    says = f"The mass falls from {celsius[0]:.1f} °C to {celsius[-1]:.1f} °C in {minutes[-1]:.1f} minutes."
    strip = Strip("Mass in the cup, °C", tuple(layers))
    sign = settings.decimal_sign or "."
    return Chart("Cooling curve", says, Axis("minutes", low=0), (strip,), decimal_sign=sign)
