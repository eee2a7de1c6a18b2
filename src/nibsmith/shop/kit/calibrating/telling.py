"""What the standing observations of a kit come to: ranges of its factors, and which of them counted."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from nibsmith.answers.process_sizes import usual_speed_of
from nibsmith.science.flow import calibrate
from nibsmith.science.grind import KitSpeed, calibrate_speed
from nibsmith.science.temper import comparable, slope_limits
from nibsmith.shop.kit.calibrating import facts
from nibsmith.shop.kit.models import Observation, Subject
from nibsmith.shop.kit.selectors import science_kit

Ends = list[float | None]


@dataclass(frozen=True, slots=True)
class Told:
    """How many observations stand behind the factors, the factors, and the rows that counted.

    ``observations`` counts readings of flow, batches ground, curves marked.
    """

    observations: int = 0
    factors: Mapping[str, Ends] = field(default_factory=dict)
    counted: tuple[Observation, ...] = ()


NOTHING = Told()


def told_by(kit: str, kind: Subject, rows: Sequence[Observation]) -> Told:
    """Return what observations come to; nothing where they tell nothing yet."""
    if not rows:
        return NOTHING
    if kind == Subject.FLOW:
        return _flow(rows)
    return _grinding(kit, rows) if kind == Subject.GRINDING else _temper(rows)


def _flow(rows: Sequence[Observation]) -> Told:
    """Readings of one batch share what is that batch's own."""
    found = calibrate([facts.flow_reading(row.facts) for row in rows], [row.run for row in rows])
    factors: dict[str, Ends] = {
        "viscosity": [*facts.list_of(found.eta_factor)],
        "yield": [*facts.list_of(found.tau_factor)],
    }
    return Told(found.observations, factors, tuple(rows))


def _grinding(kit: str, rows: Sequence[Observation]) -> Told:
    """Fit the readings of each batch by themselves, since its last coarse addition."""
    stretches: dict[tuple[str, float], list[Observation]] = defaultdict(list)
    for row in rows:
        stretches[row.run, row.facts["since_hours"]].append(row)
    fitted = [(facts.grinding_run([row.facts for row in kept]), kept) for kept in stretches.values()]
    runs = [(run, kept) for run, kept in fitted if run is not None]
    if not runs:
        return NOTHING
    charge_g = runs[-1][0][1]
    found = calibrate_speed([run for run, _ in runs], _usual_speed(kit, charge_g))
    factors: dict[str, Ends] = {
        "speed": [*facts.list_of(found.speed)],
        "charge_g": [found.charge_g, found.charge_g, found.charge_g],
    }
    return Told(found.observations, factors, tuple(row for _, kept in runs for row in kept))


def _usual_speed(kit: str, charge_g: float) -> KitSpeed | None:
    """Return what is reported of such kits, told for a charge as it was ground."""
    usual = usual_speed_of(science_kit(kit), charge_g)
    return None if usual is None else KitSpeed(usual.for_charge(charge_g), charge_g, 0)


def _temper(rows: Sequence[Observation]) -> Told:
    """Return the limits for curves that are taken like the newest."""
    curves = [facts.marked_curve(row.facts) for row in rows]
    limits = slope_limits(comparable(curves, curves[-1].coolant_celsius, curves[-1].start_celsius))
    slopes: Ends = [None, None, None] if limits is None else [limits.low, None, limits.high]
    return Told(len(curves), {"slope": slopes}, tuple(rows))
