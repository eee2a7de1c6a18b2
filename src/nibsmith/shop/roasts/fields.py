"""Fields of roasts: lines of readings, a time since the start, and a study of the maker's own."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from nibsmith.answers.roast_log import clock
from nibsmith.answers.roasted import DECIDES, SURVIVORS
from nibsmith.science.errors import InputError
from nibsmith.science.roast.typed import seconds_typed
from nibsmith.shop.common.forms import DegreesField, NumberField, TextField, WorkshopForm
from nibsmith.shop.common.forms.fields import NEEDED

LONGEST_STUDY = 300


class LinesField(forms.CharField):
    """Times with temperatures, a line each."""

    default_error_messages = {"required": NEEDED}

    def __init__(self, **options: Any) -> None:
        super().__init__(widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}), **options)


class SinceStartField(forms.CharField):
    """A time by the clock of the readings: ``12:30``, ``12 min``, or minutes alone; kept in whole seconds."""

    default_error_messages = {"required": NEEDED}

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"autocomplete": "off", "spellcheck": "false"}

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip()
        if not text:
            return None
        try:
            return round(seconds_typed(text))
        except InputError as error:
            raise forms.ValidationError(str(error), code="refused") from error

    def validate(self, value: Any) -> None:
        forms.Field.validate(self, value)

    def run_validators(self, value: Any) -> None:
        """Nothing of a line of text holds for a number."""

    def prepare_value(self, value: Any) -> Any:
        return clock(round(value)) if isinstance(value, int | float) else value


class StayForm(WorkshopForm):
    """When the beans came in and out."""

    in_at = SinceStartField(
        label="When the beans came in",
        required=False,
        help_text="By the times of the readings, such as 2:30.",
    )
    out_at = SinceStartField(
        label="When they came out",
        required=False,
        help_text="What a probe reads before and after does not count.",
    )


class StudyForm(WorkshopForm):
    """The survivor line that a study of the maker's own found, all six figures or none."""

    survivors_min = NumberField(
        label="By your study the first tenfold reduction takes", unit="min", required=False
    )
    survivors_at_celsius = DegreesField(label="At a temperature of", required=False)
    survivors_shape = NumberField(label="Shape", required=False, help_text="1 where the line is straight.")
    survivors_z_k = NumberField(label="z", unit="K", required=False)
    survivors_low_celsius = DegreesField(label="It holds from", required=False)
    survivors_high_celsius = DegreesField(label="It holds up to", required=False)
    study = TextField(
        label="Who studied it, and where it is written",
        required=False,
        max_length=LONGEST_STUDY,
        help_text=f"What that study found holds, not this estimate. {DECIDES}",
    )

    @property
    def study_open(self) -> bool:
        """Whether anything of it is typed, or wrong."""
        return any(self[name].errors or self[name].value() for name in (*SURVIVORS, "study"))

    def survivors(self) -> dict[str, float | None]:
        """Return the figures by name."""
        said: dict[str, Decimal | None] = self.cleaned_data
        return {name: None if said[name] is None else float(said[name] or 0) for name in SURVIVORS}
