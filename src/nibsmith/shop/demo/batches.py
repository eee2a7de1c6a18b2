"""Store the demo workshop's batches through the services every page uses."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from nibsmith.shop.batches import writing
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
from nibsmith.shop.batches.reading import parse_points
from nibsmith.shop.batches.services import sessions
from nibsmith.shop.batches.services.entries import write
from nibsmith.shop.batches.services.making import Making, make
from nibsmith.shop.batches.services.sessions import SessionCard
from nibsmith.shop.demo.numbers import number
from nibsmith.shop.kit.selectors import probe
from nibsmith.shop.recipes.models import Recipe
from nibsmith.shop.stock.selectors import find

Told = Mapping[str, Any]
Refs = Mapping[str, str]


def load_batch(told: Told, refs: Refs) -> Batch:
    """Store one batch with everything that was written down about it."""
    version = Recipe.objects.get(name=told["recipe"]).versions.order_by("-number")[0]
    began_at = timezone.now() - timedelta(days=told["days_ago"])
    batch = make(version, Making(kit=refs[told["kit"]], began_at=began_at))
    parts = {part.label: part for part in batch.planned.all()}
    for one in told["weighed"]:
        write(batch, [_weighed(batch, parts[one["of"]], one)])
    for one in told["sizes"]:
        write(batch, [_size(batch, one)])
    for one in told["others"]:
        write(batch, [_other(batch, refs.get(one["of"], one["of"]), one)])
    end = told["end"]
    write(batch, [EndWeight(batch=batch, hours=number(end["hours"]), grams=number(end["grams"]))])
    for one in told["sessions"]:
        _session(batch, parts, refs, one)
    for one in told["flows"]:
        write(batch, [_flow(batch, one)])
    return batch


def _weighed(batch: Batch, part: PlannedPart, told: Told) -> Addition:
    grams, hours = number(told["grams"]), number(told["hours"])
    return Addition(batch=batch, part=part, name=part.name, weighed_g=grams, coarse=part.coarse, hours=hours)


def _other(batch: Batch, key: str, told: Told) -> Addition:
    grams, hours, name = number(told["grams"]), number(told["hours"]), find(key).name
    return Addition(
        batch=batch, ingredient=key, name=name, weighed_g=grams, hours=hours, note=told.get("note", "")
    )


def _size(batch: Batch, told: Told) -> SizeReading:
    said = {"values": tuple(Decimal(value) for value in told["values"]), "note": told.get("note", "")}
    return SizeReading(batch=batch, hours=number(told["hours"]), **writing.size_of(said))


def _flow(batch: Batch, told: Told) -> FlowReading:
    return FlowReading(
        batch=batch,
        how=How.WORDS.value,
        feel=told["feel"],
        use=told["use"],
        celsius=number(told["celsius"]),
        hours=number(told["hours"]),
        note=told.get("note", ""),
    )


def _session(batch: Batch, parts: Mapping[str, PlannedPart], refs: Refs, told: Told) -> None:
    own = {"curve", "fold_ins"}
    card = {name: number(value) for name, value in told.items() if name not in own}
    refs_of = {name: refs[told[name]] for name in ("mould", "fridge")}
    session = sessions.begin(batch, SessionCard(**{**card, **refs_of, "bars": told["bars"]}))
    for one in told["fold_ins"]:
        write(batch, [_fold_in(session, parts[one["of"]], one)])
    write(batch, [_curve(session, refs, told["curve"])])


def _fold_in(session: Session, part: PlannedPart, told: Told) -> FoldIn:
    grams, hours, celsius = (number(told[name]) for name in ("grams", "hours", "celsius"))
    return FoldIn(session=session, part=part, name=part.name, weighed_g=grams, hours=hours, celsius=celsius)


def _curve(session: Session, refs: Refs, told: Told) -> Curve:
    needle = probe(refs[told["probe"]])
    return Curve(
        session=session,
        hours=number(told["hours"]),
        typed=told["points"],
        points=[[float(seconds), float(celsius)] for seconds, celsius in parse_points(told["points"])],
        coolant_celsius=number(told["coolant_celsius"]),
        probe=needle,
        offset_k=needle.offset_k,
        mark=told["mark"],
    )
