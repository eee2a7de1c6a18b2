"""The forms of a machine, a mould, a fridge and a probe."""

from __future__ import annotations

from dataclasses import fields
from decimal import Decimal
from typing import Any

from nibsmith.science.kit import kits
from nibsmith.science.quantities import parse_temperature_difference, round_half_up
from nibsmith.shop.common.forms import (
    DegreesField,
    MassField,
    NumberField,
    PercentField,
    PickField,
    RecordForm,
    TextField,
    WorkshopForm,
)
from nibsmith.shop.common.forms.fields import AsTyped, QuantityField
from nibsmith.shop.kit.instruments import FridgeCard, ProbeCard
from nibsmith.shop.kit.models import Air, Fridge, Measures, Mould, OwnKit, Probe
from nibsmith.shop.kit.services import MOST_CAVITIES, SHARES, KitCard, MouldCard

STEP = Decimal("0.01")
TENTH = Decimal("0.1")
_WHY = "It goes into the history."
_AS_USUAL = "Empty: that of its kind."


def _kinds() -> list[tuple[str, str]]:
    return [("", "Choose"), *((key, thing.name) for key, thing in kits().items())]


class KelvinField(QuantityField):
    """A difference of temperatures; a bare number is in kelvin, which are those of °C."""

    def __init__(self, **options: Any) -> None:
        super().__init__(unit="K", **options)

    def parse(self, text: str) -> Decimal:
        bare = not any(sign.isalpha() or sign == "°" for sign in text)
        kelvin = parse_temperature_difference(f"{text} K" if bare else text).kelvin
        return round_half_up(kelvin, TENTH)


class WhyForm(WorkshopForm):
    """Why something is done."""

    why = TextField(label="Why", required=False, help_text=_WHY)


class KitForm(RecordForm):
    """A machine of the maker's; an empty figure is that of its kind."""

    name = TextField(label="Name", help_text="What you call it.")
    based_on = PickField(label="It is a kind of", choices=_kinds)
    charge_min_g = MassField(
        label="Smallest charge", required=False, step=STEP, help_text=f"Such as 800 g. {_AS_USUAL}"
    )
    charge_max_g = MassField(
        label="Largest charge", required=False, step=STEP, help_text=f"Such as 2.5 kg. {_AS_USUAL}"
    )
    residue_g = MassField(
        label="Stays behind, whatever the batch",
        required=False,
        step=STEP,
        help_text=f"What cannot be scraped off, such as 140 g. {_AS_USUAL}",
    )
    loss_percent = PercentField(
        label="Lost besides, of the finished mass",
        required=False,
        help_text="What grows with the batch: on bowls and scrapers, beside the moulds. Of what is ground, "
        f"not of what is folded in. {_AS_USUAL}",
    )
    end_water_percent = PercentField(
        label="Water of the finished mass",
        required=False,
        help_text=f"If you have had it measured. {_AS_USUAL}",
    )
    ceiling_celsius = DegreesField(label="Not hotter than", required=False, help_text=_AS_USUAL)
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(label="Why", required=False, help_text=_WHY)

    def card(self) -> KitCard:
        """Return what was typed."""
        return KitCard(**{field.name: self.cleaned_data[field.name] for field in fields(KitCard)})


class MouldForm(RecordForm):
    """A mould."""

    name = TextField(label="Name", help_text="What you call it.")
    cavity_g = MassField(
        label="One cavity holds", help_text="Of chocolate, such as 70 g: fill one and weigh it."
    )
    cavities = NumberField(label="Cavities", help_text="How many one mould has.")
    empty_g = MassField(
        label="Weighs when empty",
        required=False,
        help_text="It is cooled with the chocolate. Empty: it counts as weightless.",
    )
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(label="Why", required=False, help_text=_WHY)

    def clean_cavities(self) -> int:
        typed = self.cleaned_data["cavities"]
        if typed != typed.to_integral_value():
            self.add_error("cavities", f"Cavities are whole ones, 1 to {MOST_CAVITIES}.")
        return int(typed)

    def card(self) -> MouldCard:
        """Return what was typed."""
        return MouldCard(**{field.name: self.cleaned_data[field.name] for field in fields(MouldCard)})


class FridgeForm(RecordForm):
    """A fridge, or any other place where moulds cool."""

    name = TextField(label="Name", help_text="What you call it.")
    celsius = DegreesField(
        label="Temperature", help_text="Of its air, where the moulds stand: lay a probe in."
    )
    air = PickField(
        label="Its air is", choices=Air.choices, help_text="Counts only without a figure of your own below."
    )
    air_h = NumberField(
        label="Heat its air takes up",
        unit="W/(m² K)",
        required=False,
        most=Decimal(100),
        help_text="Only if you have it from somewhere. Empty: what is usual for such air.",
    )
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(label="Why", required=False, help_text=_WHY)

    def card(self) -> FridgeCard:
        """Return what was typed."""
        return FridgeCard(**{field.name: self.cleaned_data[field.name] for field in fields(FridgeCard)})


class ProbeForm(RecordForm):
    """A probe."""

    name = TextField(label="Name", help_text="What you call it.")
    measures = PickField(label="It measures", choices=Measures.choices)
    offset_k = KelvinField(
        label="Add to what it reads",
        required=False,
        help_text="If it reads 98.5 °C in boiling water at sea level, that is 1.5 K. Empty: nothing.",
    )
    uncertainty_k = KelvinField(
        label="Good to, either way",
        required=False,
        help_text="Empty: nobody has checked. Then no heat is counted from it.",
    )
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(label="Why", required=False, help_text=_WHY)

    def card(self) -> ProbeCard:
        """Return what was typed."""
        said = {field.name: self.cleaned_data[field.name] for field in fields(ProbeCard)}
        return ProbeCard(**{**said, "offset_k": said["offset_k"] or Decimal(0)})


def initial_of_fridge(row: Fridge) -> dict[str, Any]:
    """Return a stored fridge as the form shows it."""
    return {field.name: getattr(row, field.name) for field in fields(FridgeCard)}


def initial_of_probe(row: Probe) -> dict[str, Any]:
    """Return a stored probe as the form shows it."""
    return {field.name: getattr(row, field.name) for field in fields(ProbeCard)}


def initial_of_kit(row: OwnKit) -> dict[str, Any]:
    """Return a stored machine as the form shows it, its shares with the digits they were typed with."""
    stored = {field.name: getattr(row, field.name) for field in fields(KitCard)}
    typed = {name: row.as_typed(name) for name in SHARES}
    return {**stored, **{name: AsTyped(value) for name, value in typed.items() if value is not None}}


def initial_of_mould(row: Mould) -> dict[str, Any]:
    """Return a stored mould as the form shows it."""
    return {
        **{field.name: getattr(row, field.name) for field in fields(MouldCard)},
        "cavities": str(row.cavities),
    }
