"""When a grinding is ready."""

from __future__ import annotations

from typing import Any

from nibsmith.answers.tools.grinding import (
    GrindAsked,
    LastIn,
    grinding_by_hand,
    grinding_curve,
    reading_reach,
    readings_typed,
)
from nibsmith.paper.pictures.grinding import grinding_chart
from nibsmith.science.errors import InputError
from nibsmith.science.grind import Aim
from nibsmith.shop.common.forms import MassField, NumberField, PickField
from nibsmith.shop.common.problems import add_to_form
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.selectors import context as workshop_context
from nibsmith.shop.tools.forms import ToolForm, kit_names, long_text, pick, picked
from nibsmith.shop.tools.showing import Bench, Shown, show

LAST = ((LastIn.SUGAR, "granulated sugar"), (LastIn.NIBS, "nibs"))
AIMS = ((Aim.MELTING, "melting smooth"), (Aim.STONE_GROUND, "stone-ground"), (Aim.RUSTIC, "rustic"))


class GrindingForm(ToolForm):
    """Kit, what went in last, readings, aim."""

    kit = PickField(label="Ground with", choices=kit_names, required=False)
    last = pick(LAST, label="Coarse, and in last")
    readings = long_text(
        label="Readings since then",
        required=False,
        help_text="One a line: hours, largest grains in µm, and of how many it is the median: 24 h 45 µm 3.",
    )
    aim = pick(AIMS, empty="as smooth as the kit gets", label="Aim", required=False)
    charge_g = MassField(label="In the machine", required=False)
    hours = NumberField(label="To grind in all", unit="h", required=False)

    def clean_readings(self) -> Any:
        """Read the lines."""
        try:
            return readings_typed(self.cleaned_data["readings"])
        except InputError as error:
            add_to_form(self, error, "readings")
            return ()

    def asked(self) -> GrindAsked:
        """Return what was typed."""
        typed = self.cleaned_data
        return GrindAsked(
            last=LastIn(typed["last"]),
            readings=typed["readings"],
            aim=picked(Aim, typed["aim"]),
            hours=self.number("hours"),
            charge_g=self.number("charge_g"),
            context=workshop_context(kit=typed["kit"] or None),
        )


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed, with the forecast."""
    assert isinstance(form, GrindingForm)  # noqa: S101  the catalogue pairs them
    asked = form.asked()
    curve = grinding_curve(asked)
    chart = None if curve is None else grinding_chart(curve, reading_reach(), settings.decimal_sign or ".")
    return show(grinding_by_hand(asked), [chart], settings)


BENCH = Bench(
    key="grinding",
    name="Grinding",
    lead="When the mass is fine enough, from readings with a micrometer.",
    form=GrindingForm,
    work=work,
    usual={"kit": "stone", "last": "sugar"},
)
