"""What a batch and its sessions tell of the kit: handed on whole after every entry, so none counts twice."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from nibsmith.answers.curve import reading_of
from nibsmith.answers.pour import predicted_flow
from nibsmith.answers.process import SeenFlow, kit_of
from nibsmith.answers.process_sizes import start_size
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.flow import Casson, Feel, Use
from nibsmith.science.grind import SizeReading as ReadSize
from nibsmith.science.mixture import in_machine
from nibsmith.science.quantities import round_half_up
from nibsmith.science.tables import load
from nibsmith.science.temper import MarkedCurve, Temper
from nibsmith.shop.batches.as_made import context_of, recipe_of
from nibsmith.shop.batches.cooling import asked_of, lowering_of
from nibsmith.shop.batches.models import Batch, Curve, FlowReading, How, Session, SizeReading
from nibsmith.shop.batches.planning import opened_on
from nibsmith.shop.batches.selectors import Diary, diary, standing
from nibsmith.shop.kit.calibrating.facts import (
    Seen,
    Stretch,
    flow_facts,
    flow_reading,
    grinding_facts,
    temper_facts,
)
from nibsmith.shop.kit.calibrating.selectors import was_seen
from nibsmith.shop.kit.calibrating.services import observe
from nibsmith.shop.kit.models import CUP, Subject
from nibsmith.shop.recipes.opening import Opened


def learn_from_batch(batch: Batch, why: str = "") -> None:
    """Hand on what stands of a batch: its readings of size and of flow."""
    found = diary(batch)
    if not found.flows and not found.sizes and not was_seen(batch.run):
        return
    opened = opened_on(batch.version, batch.kit)
    observe(batch.kit, Subject.GRINDING, batch.run, list(_sizes(found, opened)), why=why)
    observe(batch.kit, Subject.FLOW, batch.run, list(_flows(found, opened)), why=why)


def learn_from_session(session: Session, why: str = "") -> None:
    """Hand on the cooling curves of a session that are marked."""
    curves = list(standing(Curve).filter(session=session).exclude(mark=""))
    if curves or was_seen(session.run):
        observe(CUP, Subject.TEMPER, session.run, list(_marked(curves, session)), why=why)


def _sizes(found: Diary, opened: Opened) -> Iterator[Seen]:
    for row in found.sizes:
        facts = _size_facts(found, opened, row)
        if facts is not None:
            words = f"{row.median_um.normalize():f} µm, median of {len(row.values)}, {_when(found, row)}"
            yield Seen(source=row.source, words=words, facts=facts)


def _size_facts(found: Diary, opened: Opened, row: SizeReading) -> dict[str, Any] | None:
    """Return what a reading of size tells; nothing where nothing was in the machine yet."""
    since = found.coarse_since(row.hours)
    try:
        recipe = recipe_of(found, opened, row.hours)
        charge_g = in_machine(recipe).mass_g
    except InputError:
        return None
    stretch = Stretch(
        since_hours=float(since),
        start=start_size(recipe, opened.context),
        floor_um=kit_of(opened.context).size_um[0],
        charge_g=charge_g,
    )
    reading = ReadSize(float(row.hours - since), float(row.median_um), len(row.values))
    return grinding_facts(reading, stretch)


def _flows(found: Diary, opened: Opened) -> Iterator[Seen]:
    for row in found.flows:
        try:
            foretold = foretold_flow(found, opened, row)
        except NibsmithError:  # the page says so, with the reason
            continue
        words = f"{flow_words(row)}, {_when(found, row)}"
        yield Seen(source=row.source, words=words, facts=flow_facts(row.how, foretold, _values(row)))


def foretold_flow(found: Diary, opened: Opened, row: FlowReading) -> Casson:
    """Return what the uncalibrated estimate says of the mass as it was when its flow was seen."""
    celsius = row.celsius if row.tempered else None
    here = context_of(found, row.hours, celsius)
    liquid = None if row.tempered or row.celsius is None else float(row.celsius)
    return predicted_flow(recipe_of(found, opened, row.hours), here, liquid)


def seen_of(found: Diary, opened: Opened) -> tuple[SeenFlow, ...]:
    """Return how the mass was seen to flow since anything went in: of what it was before tells nothing."""
    last = max((row.hours for row in found.additions if row.weighed_g), default=Decimal(0))
    return tuple(_seen(found, opened, row) for row in found.flows if row.hours >= last)


def _seen(found: Diary, opened: Opened, row: FlowReading) -> SeenFlow:
    said = f"{flow_words(row)} after {_plain(round_half_up(row.hours))} h"  # to a tenth, as the page says it
    feel, use = (Feel(row.feel), Use(row.use)) if row.how == How.WORDS else (None, None)
    try:
        facts = flow_facts(row.how, foretold_flow(found, opened, row), _values(row))
    except NibsmithError:  # nothing to compare it with
        return SeenFlow(said, None, feel, use)
    return SeenFlow(said, flow_reading(facts), feel, use)


def _values(row: FlowReading) -> dict[str, Any]:
    if row.how == How.WORDS:
        return {"feel": row.feel, "use": row.use}
    if row.how == How.CUP:
        return {"seconds": _float(row.seconds), "cup": row.cup, "density": liquid_density()}
    if row.how == How.RING:
        size = {"diameter_mm": _float(row.diameter_mm), "volume_cm3": _float(row.volume_cm3)}
        return {**size, "density": liquid_density()}
    return {"stress_at_5": _float(row.stress_pa), "viscosity_at_40": _float(row.viscosity_pas)}


def liquid_density() -> float:
    """Return the density of a chocolate that still flows [kg/m³]."""
    row = load("cool")["density"]
    return row.value if row.low is None else row.low


def flow_words(row: FlowReading) -> str:
    """Say what was seen of the flow."""
    if row.how == How.WORDS:
        return f"{row.get_feel_display()} for {row.get_use_display()}"
    if row.how == How.CUP:
        return f"{_plain(row.seconds)} s from the cup"
    if row.how == How.RING:
        return f"spread to {_plain(row.diameter_mm)} mm from a ring of {_plain(row.volume_cm3)} cm³"
    both = ((row.stress_pa, "Pa at 5 1/s"), (row.viscosity_pas, "Pa·s at 40 1/s"))
    return " and ".join(f"{_plain(value)} {unit}" for value, unit in both if value is not None)


def _marked(curves: list[Curve], session: Session) -> Iterator[Seen]:
    lowering = lowering_of(session.batch)
    for curve in curves:
        try:
            read = reading_of(asked_of(curve, lowering))
        except NibsmithError:
            continue
        if read.slope is None:
            continue
        marked = MarkedCurve(read.slope, read.coolant_celsius, read.start_celsius, Temper(curve.mark))
        words = f"{curve.get_mark_display()}, {read.slope:.2f} K/min, batch {session.batch.number}"
        yield Seen(
            source=curve.source, words=f"{words}, session {session.number}", facts=temper_facts(marked)
        )


def _when(found: Diary, row: SizeReading | FlowReading) -> str:
    return f"batch {found.batch.number} after {_plain(row.hours)} h"


def _plain(value: Any) -> str:
    return "" if value is None else f"{value.normalize():f}"


def _float(value: Any) -> float | None:
    return None if value is None else float(value)
