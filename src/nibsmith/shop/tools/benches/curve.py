"""What a cooling curve says of the temper."""

from __future__ import annotations

from typing import Any

from django import forms

from nibsmith.answers.curve import curve_picture
from nibsmith.answers.tools.cooling_curve import CurveTyped, curve_by_hand, curve_typed
from nibsmith.paper.pictures.curve import curve_chart
from nibsmith.science.errors import InputError
from nibsmith.shop.common.forms import DegreesField, PickField
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.forms import ToolForm, file_text, long_text
from nibsmith.shop.tools.showing import Bench, Shown, show

UNITS = (("minutes", "minutes"), ("seconds", "seconds"))


class CurveForm(ToolForm):
    """Readings, typed, pasted or from a file; the cold body; curves that were marked before."""

    readings = long_text(
        label="Time and temperature",
        required=False,
        help_text="One a line, every 30 s at least, typed or pasted from a logger: 3:20 24.6",
    )
    file = forms.FileField(label="or a logger's file", required=False)
    unit = PickField(label="Times are in", choices=UNITS)
    coolant = DegreesField(label="Cold body", help_text="The bath or block the cup stands in.")
    marked = long_text(
        label="Curves you have marked",
        required=False,
        help_text="One a line: slope, cold body, start, and under, well or over: +0.35 8 31.5 well",
    )

    def clean(self) -> dict[str, Any]:
        """Take the file for the readings where one was sent."""
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        if typed.get("file") is not None and not self.errors:
            typed["readings"] = file_text(typed["file"])
        return typed

    def asked(self) -> CurveTyped:
        """Return what was typed; a line that cannot be read is refused beside its field."""
        typed = self.cleaned_data
        try:
            return curve_typed(
                typed["readings"],
                self.needed("coolant"),
                in_seconds=typed["unit"] == "seconds",
                marked=typed["marked"],
            )
        except InputError as error:
            error.field = error.field or "readings"
            raise


def work(form: ToolForm, settings: WorkshopSettings) -> Shown:
    """Answer what was typed, with the reading marked."""
    assert isinstance(form, CurveForm)  # noqa: S101  the catalogue pairs them
    typed = form.asked()
    outcome = curve_by_hand(typed)
    try:
        chart = curve_chart(curve_picture(typed.asked), settings.decimal_sign or ".")
    except InputError:
        return show(outcome, [], settings)
    return show(outcome, [chart], settings)


BENCH = Bench(
    key="curve",
    name="Cooling curve",
    lead="What the fall of the temperature in a small cup says of the temper: slope, inflection, rise.",
    form=CurveForm,
    work=work,
    more=("marked",),
    by_post=True,
    preset={"unit": "minutes", "coolant": "8 °C"},
    empty="Type or paste the readings of a cup that was cooled fast, and how cold the body around it was.",
)
