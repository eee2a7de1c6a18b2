"""When a bar comes off its mould."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.answers.cooling import Cooling
from nibsmith.answers.tools.cooling_bar import (
    USUAL_FAT_PERCENT,
    CoolAsked,
    cool_by_hand,
    picture_by_hand,
    settings_by_hand,
)
from nibsmith.paper.pictures.cooling import bar_chart, settings_chart
from nibsmith.science.cool import Wind
from nibsmith.science.temper import Chocolate
from nibsmith.shop.common.forms import DegreesField, MassField, NumberField, PercentField, PickField
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.selectors import cooling_in, fridge, fridges
from nibsmith.shop.tools.forms import KINDS, ToolForm, pick
from nibsmith.shop.tools.showing import Bench, Shown, show

WINDS = ((Wind.STILL, "still air"), (Wind.FAN, "a fan"), (Wind.STRONG, "a strong fan"))
TEMPERED = (("yes", "tempered"), ("no", "untempered on purpose"))


def _fridges() -> list[tuple[str, str]]:
    return [("", "as typed here"), *((row.ref, row.name) for row in fridges())]


class CoolingForm(ToolForm):
    """Bar, fridge, moulds, room. One of the maker's fridges says how cold it is and how its air moves."""

    chocolate = pick(KINDS, label="Chocolate")
    tempered = PickField(label="It is", choices=TEMPERED)
    thickness_mm = NumberField(label="Thickness", unit="mm", required=False)
    poured = DegreesField(label="Poured at", required=False)
    fridge = PickField(
        label="Cooled in",
        choices=_fridges,
        required=False,
        help_text="Your fridge counts with its own temperature and air, not those of the next two fields.",
    )
    air = DegreesField(label="Air in the fridge", required=False)
    fat_percent = PercentField(label="Fat", required=False)
    wind = pick(WINDS, label="Around the moulds")
    moulds = NumberField(label="Moulds at once", required=False)
    chocolate_g = MassField(label="Chocolate in one", required=False)
    mould_g = MassField(label="An empty mould", required=False)
    room = DegreesField(label="Room", required=False)
    humidity = PercentField(label="Its humidity", required=False)

    def clean_moulds(self) -> int:
        """Count whole moulds."""
        typed = self.cleaned_data["moulds"]
        if typed is not None and (typed != typed.to_integral_value() or not 1 <= typed <= 1000):
            self.add_error("moulds", "Moulds are whole ones, 1 to 1000.")
        return int(typed or 1)

    def asked(self) -> CoolAsked:
        """Return what was typed."""
        cooling = replace(
            self._place(),
            thickness_mm=self.span("thickness_mm"),
            poured_celsius=self.span("poured"),
            tempered=self.cleaned_data["tempered"] == "yes",
            moulds=self.cleaned_data["moulds"],
            chocolate_g=self.number("chocolate_g"),
            mould_g=self.number("mould_g"),
            room_celsius=self.number("room"),
            room_humidity_percent=self.number("humidity"),
        )
        fat = self.number("fat_percent") or USUAL_FAT_PERCENT
        return CoolAsked(Chocolate(self.cleaned_data["chocolate"]), fat, cooling)

    def _place(self) -> Cooling:
        if self.said("fridge"):
            return cooling_in(fridge(self.cleaned_data["fridge"]))
        return Cooling(air_celsius=self.span("air"), wind=self.cleaned_data["wind"])


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed, with the bar and other settings drawn."""
    assert isinstance(form, CoolingForm)  # noqa: S101  the catalogue pairs them
    asked, sign = form.asked(), settings.decimal_sign or "."
    bar, others = picture_by_hand(asked), settings_by_hand(asked)
    charts = [] if bar is None else [bar_chart(bar, sign)]
    if bar is not None and others is not None and asked.cooling.tempered:
        other = settings_chart(others, bar.air_celsius, sign)
        charts += [] if other is None else [other]
    return show(cool_by_hand(asked), charts, settings)


BENCH = Bench(
    key="cooling",
    name="Cooling a bar",
    lead="When it comes off the mould, how it sets on the way, and which setting of the fridge does best.",
    form=CoolingForm,
    work=work,
    more=("poured", "fat_percent", "moulds", "chocolate_g", "mould_g", "room", "humidity"),
    usual={
        "chocolate": "dark",
        "tempered": "yes",
        "thickness_mm": "8",
        "air": "12 °C",
        "wind": "still",
    },
)
