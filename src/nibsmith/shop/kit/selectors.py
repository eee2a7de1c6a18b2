"""Read the kits, packaged and the maker's own, the moulds, fridges and probes."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from decimal import Decimal

from nibsmith.answers.cooling import Cooling
from nibsmith.science.errors import InputError
from nibsmith.science.kit import Kit, Mould, kit, kits
from nibsmith.science.mixture import Span
from nibsmith.science.tables import Status, load
from nibsmith.shop.kit import models
from nibsmith.shop.kit.models import OWN, Fridge, OwnKit, Probe


@dataclass(frozen=True, slots=True)
class KitChoice:
    """A kit as a list offers it."""

    ref: str
    name: str
    own: bool
    kit: Kit


@dataclass(frozen=True, slots=True)
class MouldChoice:
    """A mould as a list offers it."""

    ref: str
    name: str
    cavity_g: Decimal
    cavities: int


def science_kit(ref: str) -> Kit:
    """Return the kit that answers read, by a packaged key or by ``own:`` and the id of an own machine."""
    return science_kit_of(own_kit(ref)) if ref.startswith(OWN) else kit(ref)


def science_kit_of(row: OwnKit) -> Kit:
    """Return a packaged kit with the figures of the maker's machine in place of its own.

    Its key stays that of the kind it is: cautions and the order of work go by it.
    """
    base = kit(row.based_on)
    figures = (
        row.charge_min_g,
        row.charge_max_g,
        row.residue_g,
        row.loss_percent,
        row.end_water_percent,
        row.ceiling_celsius,
    )
    own = any(figure is not None for figure in figures)
    return replace(
        base,
        name=row.name,
        charge_min_g=_or(row.charge_min_g, base.charge_min_g),
        charge_max_g=_or(row.charge_max_g, base.charge_max_g),
        residue_g=_span_or(row.residue_g, base.residue_g) or base.residue_g,
        loss_percent=base.loss_percent if row.loss_percent is None else float(row.loss_percent),
        end_water_percent=_span_or(row.end_water_percent, base.end_water_percent),
        ceiling_celsius=_or(row.ceiling_celsius, base.ceiling_celsius),
        ceiling_milk_celsius=_lower(row.ceiling_celsius, base.ceiling_milk_celsius),
        status=Status.OWN_CALIBRATION if own else base.status,
        notes=(*base.notes, row.note) if row.note else base.notes,
        charge_note=base.charge_note if row.charge_min_g is None and row.charge_max_g is None else "",
    )


def own_kit(ref: str) -> OwnKit:
    """Return the record of an own machine, put away or not."""
    row = OwnKit.objects.filter(public_id=_id(ref.removeprefix(OWN), "kit")).first()
    if row is None:
        raise _none_such("kit", ref)
    return row


def kit_name(ref: str) -> str:
    """Return what a kit is called, by its ref."""
    return own_kit(ref).name if ref.startswith(OWN) else kit(ref).name


def kit_choices() -> tuple[KitChoice, ...]:
    """List the maker's machines first, then the packaged kits."""
    own = [
        KitChoice(row.ref, row.name, True, science_kit_of(row))
        for row in OwnKit.objects.filter(retired_at=None)
    ]
    packaged = [KitChoice(key, thing.name, False, thing) for key, thing in kits().items()]
    return (*own, *packaged)


def kits_put_away() -> tuple[OwnKit, ...]:
    """List the machines that were put away."""
    return tuple(OwnKit.objects.exclude(retired_at=None))


def moulds_put_away() -> tuple[models.Mould, ...]:
    """List the moulds that were put away."""
    return tuple(models.Mould.objects.exclude(retired_at=None))


def moulds() -> tuple[MouldChoice, ...]:
    """List the moulds that are in use."""
    return tuple(
        MouldChoice(row.ref, row.name, row.cavity_g, row.cavities)
        for row in models.Mould.objects.filter(retired_at=None)
    )


def own_mould(ref: str) -> models.Mould:
    """Return the record of a mould, put away or not."""
    row = models.Mould.objects.filter(public_id=_id(ref, "mould")).first()
    if row is None:
        raise _none_such("mould", ref)
    return row


def science_mould(ref: str) -> Mould:
    """Return the mould that answers read."""
    row = own_mould(ref)
    return Mould(name=row.name, cavity_g=float(row.cavity_g), cavities=row.cavities)


def fridges(*, put_away: bool = False) -> tuple[Fridge, ...]:
    """List the fridges that are in use, or those put away."""
    return tuple(Fridge.objects.filter(retired_at__isnull=not put_away))


def fridge(ref: str) -> Fridge:
    """Return the record of a fridge, put away or not."""
    row = Fridge.objects.filter(public_id=_id(ref, "fridge")).first()
    if row is None:
        raise _none_such("fridge", ref)
    return row


def fridge_air(row: Fridge) -> Span:
    """Return the heat that the air of a fridge takes up [W/(m² K)]: the maker's own, or that of its kind."""
    if row.air_h is not None:
        return Span.exactly(float(row.air_h))
    usual = load("cool")[row.air]
    low, high = (usual.value if end is None else end for end in (usual.low, usual.high))
    return Span(low, usual.value, high)


def cooling_in(row: Fridge) -> Cooling:
    """Return how moulds are cooled in a fridge: how cold, and its air, by the maker's own figure if any."""
    return Cooling(
        place=row.name,
        air_celsius=Span.exactly(float(row.celsius)),
        wind=row.air,
        exchange=None if row.air_h is None else fridge_air(row),
    )


def probes(*, put_away: bool = False) -> tuple[Probe, ...]:
    """List the probes that are in use, or those put away."""
    return tuple(Probe.objects.filter(retired_at__isnull=not put_away))


def probe(ref: str) -> Probe:
    """Return the record of a probe, put away or not."""
    row = Probe.objects.filter(public_id=_id(ref, "probe")).first()
    if row is None:
        raise _none_such("probe", ref)
    return row


def _none_such(what: str, ref: str) -> InputError:
    return InputError(
        f"There is no such {what}", value=ref[:40], advice="Choose one from the list.", field=what
    )


def _id(text: str, field: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError:
        raise _none_such(field, text) from None


def _or(own: Decimal | None, base: float | None) -> float | None:
    return base if own is None else float(own)


def _span_or(own: Decimal | None, base: Span | None) -> Span | None:
    return base if own is None else Span.exactly(float(own))


def _lower(own: Decimal | None, base: float | None) -> float | None:
    """Keep the ceiling of milk masses below the machine's own."""
    return base if own is None or base is None else min(base, float(own))
