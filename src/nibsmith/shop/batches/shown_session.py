"""The page of a session as its templates show it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from nibsmith.answers.context import Context
from nibsmith.answers.curve import curve as curve_answer
from nibsmith.answers.curve import curve_picture
from nibsmith.answers.demould import bar_picture
from nibsmith.answers.snap import snap
from nibsmith.answers.wording import capital
from nibsmith.paper.chart import Chart
from nibsmith.paper.pictures.cooling import bar_chart
from nibsmith.paper.pictures.curve import curve_chart
from nibsmith.science.errors import NibsmithError
from nibsmith.science.formulate import fold_in_for
from nibsmith.science.mixture import Recipe
from nibsmith.science.quantities import round_half_up
from nibsmith.shop.batches.as_made import context_of, recipe_of
from nibsmith.shop.batches.cooling import asked_of, cooling_of, lowering_of
from nibsmith.shop.batches.folding import remarks_on
from nibsmith.shop.batches.models import Curve, PlannedPart, Session
from nibsmith.shop.batches.planning import opened_on
from nibsmith.shop.batches.selectors import Diary, ToldSession
from nibsmith.shop.batches.shown import ShownEntry, show_entry
from nibsmith.shop.common.history.words import field_name
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.calibrating.selectors import marked_curves
from nibsmith.shop.kit.reading import degrees, mass
from nibsmith.shop.kit.selectors import fridge, own_mould, science_mould
from nibsmith.shop.recipes.shown_answers import ShownAnswer, ShownAnswers, show_answers


@dataclass(frozen=True, slots=True)
class ShownFoldIn:
    """A part to be folded in: how much for the mass taken, what was weighed of it."""

    part: PlannedPart
    planned: str
    weighed: str


@dataclass(frozen=True, slots=True)
class ShownCurve:
    """A cooling curve: what it says, and its picture where it can be read."""

    entry: ShownEntry
    answer: ShownAnswer
    chart: Chart | None


@dataclass(frozen=True, slots=True)
class ShownSessionPage:
    """Everything of a session in words, and a bar of it in its fridge where that is asked for."""

    taken: str
    told: tuple[tuple[str, str], ...]
    answers: ShownAnswers | None
    fold_ins: tuple[ShownFoldIn, ...]
    entries: tuple[ShownEntry, ...]
    curves: tuple[ShownCurve, ...]
    mass: tuple[tuple[str, str], ...]
    bar: Chart | None = None


def show_session(
    diary: Diary, session: Session, settings: WorkshopSettings, *, cold: bool = False
) -> ShownSessionPage:
    """Show one session of a batch; ``cold`` asks too how its bars set in their fridge."""
    mine, recipe = diary.of_session(session), _recipe(diary)
    here = context_of(diary)
    cold = bool(cold and session.fridge and here.process is not None)
    if cold and here.process is not None:
        here = replace(here, process=replace(here.process, cooling=cooling_of(session)))
    remarks = remarks_on(mine.fold_ins, session, recipe, settings)
    return ShownSessionPage(
        taken=mass(session.taken_g, settings),
        told=tuple(_told(session, settings)),
        answers=None if recipe is None else show_answers((snap(recipe, here),), settings),
        fold_ins=tuple(_fold_ins(diary, session, recipe, settings)),
        entries=tuple(show_entry(row, settings, remarks.get(row.pk, "")) for row in mine.fold_ins),
        curves=tuple(_curve(curve, diary, session, settings) for curve in mine.curves),
        mass=_mass(mine, settings),
        bar=_bar(recipe, here, settings) if cold and recipe is not None else None,
    )


def _bar(recipe: Recipe, here: Context, settings: WorkshopSettings) -> Chart | None:
    try:
        return bar_chart(bar_picture(recipe, here), settings.decimal_sign or ".")
    except NibsmithError:
        return None


def _told(session: Session, settings: WorkshopSettings) -> Iterator[tuple[str, str]]:
    """Yield what its form holds, for paper, which shows no forms."""
    if session.method:
        yield "Tempered", session.get_method_display()
    for name in ("melt_celsius", "cool_celsius", "work_celsius"):
        celsius = getattr(session, name)
        if celsius is not None:
            yield _label(name), degrees(celsius, settings)
    if session.mould:
        yield _label("mould"), own_mould(session.mould).name
    if session.fridge:
        yield _label("fridge"), fridge(session.fridge).name
    for name in ("tasting", "note"):
        if getattr(session, name):
            yield _label(name), getattr(session, name)


def _label(name: str) -> str:
    return capital(field_name("batches.session", name))


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
    asked = asked_of(curve, lowering_of(diary.batch), marked_curves(but_for=session.run))
    answer = curve_answer(asked)
    try:
        chart: Chart | None = curve_chart(curve_picture(asked), settings.decimal_sign or ".")
    except NibsmithError:
        chart = None
    return ShownCurve(entry, show_answers((answer,), settings).all[0], chart)
