"""From a form that holds to the entry it writes: the last step before the services."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from statistics import median
from types import MappingProxyType
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import Temperature, round_half_up
from nibsmith.shop.batches.forms import BeginForm, CurveForm, FoldInForm, FoldInsForm, OtherForm, WeighForm
from nibsmith.shop.batches.models import (
    Addition,
    Batch,
    Curve,
    EndWeight,
    FlowReading,
    FoldIn,
    How,
    PlannedPart,
    Session,
    SizeReading,
)
from nibsmith.shop.batches.reading import HUNDREDTH, Point
from nibsmith.shop.batches.selectors import Diary
from nibsmith.shop.batches.services import entries, sessions
from nibsmith.shop.batches.services.making import pour_for
from nibsmith.shop.batches.services.sessions import SessionCard
from nibsmith.shop.common.forms import WorkshopForm
from nibsmith.shop.kit.selectors import probe
from nibsmith.shop.recipes.naming import Names

Cleaned = Mapping[str, Any]
TENTH = Decimal("0.1")


def weigh(form: WeighForm, batch: Batch) -> None:
    """Write down every weight that was typed."""
    typed = form.weighed()
    if not typed:
        raise InputError("No weight is typed", advice="Type what the scale shows, or take all as planned.")
    hours = _hours(form.cleaned_data, batch, entries.WEIGHED_IN_HOURS)
    entries.write(batch, [_weighed(batch, part, grams, hours) for part, grams in typed])


def weigh_as_planned(form: WeighForm, batch: Batch, diary: Diary) -> None:
    """Write down that everything not weighed yet was weighed as planned."""
    left = [part for part in diary.machine_parts if diary.weighed_g(part) is None]
    if not left:
        raise InputError("Everything planned is weighed already")
    hours = _hours(form.cleaned_data, batch, entries.WEIGHED_IN_HOURS)
    entries.write(batch, [_weighed(batch, part, part.planned_g, hours) for part in left])


def _weighed(batch: Batch, part: PlannedPart, grams: Decimal, hours: Decimal) -> Addition:
    return Addition(batch=batch, part=part, name=part.name, weighed_g=grams, coarse=part.coarse, hours=hours)


def add_other(form: OtherForm, batch: Batch, pick: str) -> None:
    """Write down something that was not planned."""
    said = form.cleaned_data
    named = Names(with_recipes=False).find(said["name"], pick)
    row = Addition(
        batch=batch,
        ingredient=named.ref,
        name=named.name,
        weighed_g=said["weighed_g"],
        coarse=said["coarse"],
        hours=_hours(said, batch),
    )
    entries.write(batch, [row])


def begin_session(form: BeginForm, batch: Batch) -> Session:
    """Begin a session with what was typed."""
    return sessions.begin(batch, SessionCard(**form.cleaned_data))


def weight_of(said: Cleaned) -> dict[str, Any]:
    """Return the columns of a weight that is corrected."""
    return {name: said[name] for name in ("weighed_g", "coarse", "note")}


def fold_in_of(said: Cleaned) -> dict[str, Any]:
    """Return the columns of a fold-in that is corrected."""
    return {name: said[name] for name in ("weighed_g", "celsius", "note")}


def size_of(said: Cleaned) -> dict[str, Any]:
    """Return the columns of a reading of size."""
    values: tuple[Decimal, ...] = said["values"]
    middle = round_half_up(Decimal(median(values)), HUNDREDTH)
    return {"values": [f"{value:f}" for value in values], "median_um": middle, "note": said["note"]}


def words_of(said: Cleaned) -> dict[str, Any]:
    """Return the columns of a flow seen by hand and eye."""
    columns = {name: said[name] for name in ("feel", "use", "celsius", "note")}
    return {**columns, "how": How.WORDS.value, "tempered": True}


_FIGURES_OF = {
    How.CUP: ("cup", "seconds"),
    How.RING: ("diameter_mm", "volume_cm3"),
    How.VISCOMETER: ("stress_pa", "viscosity_pas"),
}


def instrument_of(said: Cleaned) -> dict[str, Any]:
    """Return the columns of a reading with an instrument; what belongs to another one is left out."""
    figures = {name: said[name] for name in _FIGURES_OF[How(said["how"])]}
    return {name: said[name] for name in ("how", "celsius", "tempered", "note")} | figures


def end_of(said: Cleaned) -> dict[str, Any]:
    """Return the columns of what came out."""
    return {"grams": said["grams"], "note": said["note"]}


def curve_of(form: CurveForm) -> dict[str, Any]:
    """Return the columns of a cooling curve; the offset of its probe is kept with it."""
    said = form.cleaned_data
    with_probe = probe(said["probe"]) if said["probe"] else None
    try:
        points = form.points()
    except InputError as error:
        error.field = "typed"
        raise
    return {
        "typed": said["typed"],
        "points": [_stored(point, said["scale"] or "C") for point in points],
        "coolant_celsius": said["coolant_celsius"],
        "probe": with_probe,
        "offset_k": with_probe.offset_k if with_probe else Decimal(0),
        "mark": said["mark"],
    }


def _stored(point: Point, scale: Any) -> list[float]:
    seconds, degrees = point
    return [float(seconds), float(round_half_up(Temperature(degrees, scale).celsius, HUNDREDTH))]


def take_curve(form: CurveForm, session: Session) -> Curve:
    """Store a cooling curve of a session."""
    row = Curve(session=session, hours=hours_since(session.batch), **curve_of(form))
    return entries.write(session.batch, [row])[0]


def fold_ins(form: FoldInsForm, session: Session) -> None:
    """Write down every fold-in that was typed."""
    typed = form.weighed()
    if not typed:
        raise InputError("No weight is typed", advice="Type what the scale shows.")
    hours, celsius = hours_since(session.batch), form.cleaned_data["celsius"]
    rows = [
        FoldIn(session=session, part=part, name=part.name, weighed_g=grams, celsius=celsius, hours=hours)
        for part, grams in typed
    ]
    entries.write(session.batch, rows)


def fold_in_other(form: FoldInForm, session: Session, pick: str) -> None:
    """Write down something else that was folded in."""
    said = form.cleaned_data
    named = Names(with_recipes=False).find(said["name"], pick)
    columns = {name: said[name] for name in ("weighed_g", "celsius")}
    row = FoldIn(
        session=session,
        ingredient=named.ref,
        name=named.name,
        hours=hours_since(session.batch),
        **columns,
    )
    entries.write(session.batch, [row])


def hours_since(batch: Batch) -> Decimal:
    """Return the hours since the start of a batch, however long ago: for what is written of a session."""
    return entries.elapsed(batch)


def _hours(said: Cleaned, batch: Batch, longest: int = entries.LONGEST_GUESS_HOURS) -> Decimal:
    typed: Decimal | None = said.get("hours")
    return entries.hours_now(batch, longest) if typed is None else typed


def _plain(model: Any, columns: Callable[[Cleaned], dict[str, Any]]) -> Callable[[WorkshopForm, Batch], None]:
    def write(form: WorkshopForm, batch: Batch) -> None:
        said = form.cleaned_data
        entries.write(batch, [model(batch=batch, hours=_hours(said, batch), **columns(said))])

    return write


WRITES: Mapping[str, Callable[[Any, Batch], Any]] = MappingProxyType(
    {
        "weigh": weigh,
        "size": _plain(SizeReading, size_of),
        "words": _plain(FlowReading, words_of),
        "instrument": _plain(FlowReading, instrument_of),
        "end": _plain(EndWeight, end_of),
        "purpose": lambda form, batch: pour_for(batch, **form.cleaned_data),
    }
)
