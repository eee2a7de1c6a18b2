"""Will it pour, of a mass of which only figures are known."""

from __future__ import annotations

from nibsmith.answers.process import Process
from nibsmith.answers.tools.known_mass import USUAL_MASS_G, KnownMass
from nibsmith.answers.tools.pouring import PourAsked, curve_by_hand, pour_by_hand
from nibsmith.paper.pictures.flow import flow_chart
from nibsmith.science.flow import Use
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate
from nibsmith.shop.common.forms import DegreesField, MassField, NumberField, PercentField, PickField
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.selectors import context as workshop_context
from nibsmith.shop.tools.forms import KINDS, ToolForm, kit_names, pick, picked
from nibsmith.shop.tools.showing import Bench, Shown, show

USES = (
    (Use.BARS, "bar moulds"),
    (Use.THIN_SHELLS, "thin shells"),
    (Use.DIPPING, "dipping"),
    (Use.HAND, "spreading by hand"),
)


class PourForm(ToolForm):
    """Kind, fat, grains, water, lecithin, temperature, use."""

    chocolate = pick(KINDS, label="Chocolate")
    fat_percent = PercentField(label="Fat in all", help_text="Cocoa butter and milk fat together.")
    use = pick(USES, label="To pour into or onto")
    cocoa_um = NumberField(label="Largest grains of cocoa", unit="µm", required=False)
    sugar_um = NumberField(label="Largest grains of sugar", unit="µm", required=False)
    water_percent = PercentField(label="Water of the finished mass", required=False)
    lecithin_percent = PercentField(label="Lecithin", required=False)
    celsius = DegreesField(label="Poured at", required=False, help_text="Empty: as its kind is worked.")
    kit = PickField(
        label="Ground with", choices=kit_names, required=False, help_text="Says what you leave empty."
    )
    mass_g = MassField(label="How much there is", required=False, help_text="Empty: 1 kg.")

    def asked(self) -> PourAsked:
        """Return what was typed."""
        reach = load("grind")["reading_error"].value
        mass = KnownMass(
            Chocolate(self.cleaned_data["chocolate"]),
            self.needed("fat_percent"),
            self.number("lecithin_percent") or 0.0,
            self.number("mass_g") or USUAL_MASS_G,
        )
        process = Process(
            cocoa_d90_um=self.span("cocoa_um", reach),
            sugar_d90_um=self.span("sugar_um", reach),
            end_water_percent=self.span("water_percent"),
            temperature_celsius=self.span("celsius"),
            use=picked(Use, self.cleaned_data["use"]),
        )
        return PourAsked(mass, process, workshop_context(kit=self.cleaned_data["kit"] or None))


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed, with the flow curve."""
    assert isinstance(form, PourForm)  # noqa: S101  the catalogue pairs them
    asked = form.asked()
    curve = curve_by_hand(asked)
    chart = None if curve is None else flow_chart(curve, "this mass", settings.decimal_sign or ".")
    return show(pour_by_hand(asked), [chart], settings)


BENCH = Bench(
    key="pour",
    name="Will it pour?",
    lead="Whether a mass is thin enough for moulds, shells or dipping, from its fat and its grains.",
    form=PourForm,
    work=work,
    more=("water_percent", "lecithin_percent", "celsius", "kit", "mass_g"),
    empty="Type the fat of the mass. What you leave empty is taken as usual, and the answer says so.",
)
