"""Whether bars out of the fridge get damp."""

from __future__ import annotations

from nibsmith.answers.tools.damp import DampAsked, damp_by_hand
from nibsmith.paper.pictures.damp import damp_chart
from nibsmith.science.errors import InputError
from nibsmith.shop.common.forms import DegreesField, PercentField, PickField
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.forms import ToolForm
from nibsmith.shop.tools.showing import Bench, Shown, show

KINDS = (("dark", "dark"), ("milk", "milk or white"))


class DampForm(ToolForm):
    """Bar, room, humidity, kind."""

    bar = DegreesField(label="Bars", help_text="As they leave the fridge.")
    room = DegreesField(label="Room")
    humidity = PercentField(label="Its humidity", help_text="Relative, of the air of the room.")
    kind = PickField(label="Chocolate", choices=KINDS)

    def asked(self) -> DampAsked:
        """Return what was typed."""
        milk = self.cleaned_data["kind"] == "milk"
        return DampAsked(self.needed("bar"), self.needed("room"), self.needed("humidity"), milk)


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed."""
    assert isinstance(form, DampForm)  # noqa: S101  the catalogue pairs them
    asked = form.asked()
    try:
        outcome = damp_by_hand(asked)
    except InputError as error:
        error.field = error.field or "humidity"
        raise
    return show(outcome, [damp_chart(asked, settings.decimal_sign or ".")], settings)


BENCH = Bench(
    key="damp",
    name="Fridge and dew",
    lead="Whether bars out of the fridge get damp in this room, and how warm they must be before.",
    form=DampForm,
    work=work,
    usual={"bar": "12 °C", "room": "20 °C", "humidity": "50", "kind": "dark"},
)
