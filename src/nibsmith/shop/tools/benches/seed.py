"""How much seed a melted mass wants; two fields are enough."""

from __future__ import annotations

from typing import Any

from django import forms

from nibsmith.answers.seed import BOWLS, SeedAsked
from nibsmith.answers.tools.seeding import seed_by_hand, share_of
from nibsmith.science.temper import Chocolate, Unknown
from nibsmith.shop.common.forms import DegreesField, MassField, NumberField, PercentField, PickField
from nibsmith.shop.common.forms.fields import NEEDED
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.forms import KINDS, ToolForm, pick
from nibsmith.shop.tools.showing import Bench, Shown, show

UNKNOWNS = (
    (Unknown.SEED, "how much seed"),
    (Unknown.TARGET, "what it comes to"),
    (Unknown.MASS_TEMPERATURE, "how warm the mass may be"),
    (Unknown.MASS, "how much mass the seed does for"),
    (Unknown.SEED_TEMPERATURE, "how cold the seed must be"),
)

NEEDED_UNLESS_ASKED = ("mass_g", "mass_celsius", "seed_g")


class SeedForm(ToolForm):
    """Mass and its temperature; everything else has a usual value."""

    mass_g = MassField(label="Melted mass", required=False)
    mass_celsius = DegreesField(label="Its temperature", required=False)
    chocolate = pick(KINDS, label="Chocolate")
    unknown = pick(UNKNOWNS, label="Tell me")
    seed_g = MassField(label="Seed", required=False)
    seed_celsius = DegreesField(label="Seed is at", required=False)
    target_celsius = DegreesField(label="To come to", required=False)
    melted_percent = PercentField(label="Melts of the seed", required=False)
    bowl_g = MassField(label="The bowl weighs", required=False)
    bowl = PickField(label="and is of", choices=[(name, name) for name in BOWLS])
    room_celsius = DegreesField(label="Room", required=False)
    minutes = NumberField(label="Stirred in", unit="min", required=False)

    def clean(self) -> dict[str, Any]:
        """Ask for what has no usual value, whichever is the unknown."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        for name in NEEDED_UNLESS_ASKED:
            if name != typed.get("unknown") and not self.said(name) and name not in self.errors:
                self.add_error(name, forms.ValidationError(NEEDED, code="required"))
        return typed

    def asked(self, settings: WorkshopSettings) -> SeedAsked:
        """Return what was typed."""
        return SeedAsked(
            mass_g=self.number("mass_g"),
            mass_celsius=self.number("mass_celsius"),
            seed_g=self.number("seed_g"),
            seed_celsius=self.number("seed_celsius"),
            target_celsius=self.number("target_celsius"),
            melted_share=share_of(self.number("melted_percent")),
            bowl_g=self.number("bowl_g"),
            bowl=self.cleaned_data["bowl"],
            room_celsius=self.number("room_celsius"),
            minutes=self.number("minutes"),
            chocolate=Chocolate(self.cleaned_data["chocolate"]),
            unknown=Unknown(self.cleaned_data["unknown"]),
            scale_g=settings.scale_g,
        )


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed."""
    assert isinstance(form, SeedForm)  # noqa: S101  the catalogue pairs them
    return show(seed_by_hand(form.asked(settings)), [], settings)


BENCH = Bench(
    key="seed",
    name="Seed",
    lead="How much tempered chocolate brings a melted mass to its working temperature; the bowl counts.",
    form=SeedForm,
    work=work,
    more=(
        "unknown",
        "seed_g",
        "seed_celsius",
        "target_celsius",
        "melted_percent",
        "bowl_g",
        "bowl",
        "room_celsius",
        "minutes",
    ),
    preset={"chocolate": "dark", "unknown": Unknown.SEED.value, "bowl": "steel"},
    empty="Type how much mass there is and how warm it is, such as 1.2 kg and 46 °C.",
)
