"""The forms at the bench: few fields each, read as a kitchen writes, every refusal beside its field."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import forms

from nibsmith.shop.batches.models import AIMS, AS_THE_KIT, FEELS, MARKS, USES, How, Method, PlannedPart
from nibsmith.shop.batches.reading import Point, parse_hours, parse_points, parse_sizes
from nibsmith.shop.common.forms import (
    DegreesField,
    GramsField,
    NumberField,
    PickField,
    RecordForm,
    TextField,
    WorkshopForm,
    YesField,
)
from nibsmith.shop.common.forms.fields import NEEDED, QuantityField
from nibsmith.shop.kit.selectors import fridges, kit_choices, moulds, probes

CUPS = (("zahn5", "dip cup number 5"), ("iso6", "flow cup with a 6 mm jet"))
_AFTER = "After the start of the batch, such as 14.5 or 14:30. Empty: now."
NONE = ("", "none")
POUR_FOR, SMOOTH = "The mass is for", "It is to be"
SMOOTHNESS = [("", AS_THE_KIT), *AIMS]


class HoursField(QuantityField):
    """Hours since the start of the batch."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"label": "Hours", "required": False, "help_text": _AFTER, "unit": "h", **options})

    def parse(self, text: str) -> Decimal:
        return parse_hours(text, self.decimal_sign)


class SizesField(QuantityField):
    """Several readings of size, with spaces between them."""

    inputmode = "text"

    def parse(self, text: str) -> Any:
        return parse_sizes(text, self.decimal_sign)

    def prepare_value(self, value: Any) -> Any:
        return " ".join(value) if isinstance(value, list) else value


class PointsField(forms.CharField):
    """The points of a cooling curve, a line each."""

    default_error_messages = {"required": NEEDED}

    def __init__(self, **options: Any) -> None:
        super().__init__(widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false"}), **options)


class NameField(forms.CharField):
    """The name of an ingredient; the page offers those it knows, and asks where a name can mean several."""

    default_error_messages = {"required": NEEDED}

    def __init__(self, **options: Any) -> None:
        super().__init__(widget=forms.TextInput(attrs={"list": "names", "autocomplete": "off"}), **options)


class MakeForm(WorkshopForm):
    """How a version is made this time."""

    total_g = GramsField(label="Everything weighed", help_text="Another size of the same recipe is fine.")
    began_on = forms.DateField(
        label="Begun on",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="Empty: now. For a batch from your papers, its day.",
        error_messages={"invalid": "This is not a day. Write it such as 2026-03-14."},
    )
    use = PickField(
        label=POUR_FOR,
        required=False,
        choices=USES,
        help_text="The answers go by it. It can be changed later.",
    )
    aim = PickField(label=SMOOTH, required=False, choices=SMOOTHNESS)
    note = TextField(label="Note", required=False, lines=3)

    def more_fields(self) -> Mapping[str, forms.Field]:
        kits = [(choice.ref, choice.name) for choice in kit_choices()]
        return {"kit": PickField(label="Kit", choices=kits)}


class PurposeForm(WorkshopForm):
    """What the mass of a batch is for."""

    use = PickField(label=POUR_FOR, choices=USES)
    aim = PickField(label=SMOOTH, required=False, choices=SMOOTHNESS)


class NoteForm(WorkshopForm):
    """The note of a batch."""

    note = TextField(label="Note", required=False, lines=4)


class PartsForm(WorkshopForm):
    """What was weighed of each of some parts; what is empty is not weighed yet."""

    def __init__(self, parts: Sequence[PlannedPart], *args: Any, **options: Any) -> None:
        self.parts = parts
        super().__init__(*args, **options)

    def more_fields(self) -> Mapping[str, forms.Field]:
        return {self.name_of(part): GramsField(label=part.name, required=False) for part in self.parts}

    @staticmethod
    def name_of(part: PlannedPart) -> str:
        return f"part-{part.pk}"

    def weighed(self) -> list[tuple[PlannedPart, Decimal]]:
        """Return the parts that something is typed for."""
        typed = ((part, self.cleaned_data.get(self.name_of(part))) for part in self.parts)
        return [(part, grams) for part, grams in typed if grams is not None]


class WeighForm(PartsForm):
    """What was weighed into the machine."""

    hours = HoursField(
        label="Went in", help_text="Hours after the start of the batch, 0 for the start. Empty: now."
    )


class OtherForm(WorkshopForm):
    """Something that was not planned."""

    name = NameField(label="What", help_text="Such as cocoa butter.")
    weighed_g = GramsField(label="Weighed")
    coarse = YesField(
        label="It has to be ground fine", help_text="Then the forecast of the size begins anew with it."
    )
    hours = HoursField()


class SizeForm(WorkshopForm):
    """Some micrometer readings taken together."""

    values = SizesField(
        label="Sizes read",
        unit="µm",
        help_text="Several, from different places, such as 38 41 36. One alone is good to 5 µm.",
    )
    hours = HoursField()
    note = TextField(label="Note", required=False)


class WordsForm(WorkshopForm):
    """How the tempered mass poured, in words."""

    feel = forms.ChoiceField(
        label="It was",
        choices=FEELS,
        widget=forms.RadioSelect,
        error_messages={"required": "This is needed.", "invalid_choice": "Choose one of the list."},
    )
    use = PickField(label="For", choices=USES)
    celsius = DegreesField(label="How warm", required=False, help_text="Of the mass. Empty: as usual for it.")
    hours = HoursField()
    note = TextField(label="Note", required=False, help_text="Such as: ribbon held five seconds.")


class InstrumentForm(WorkshopForm):
    """What an instrument said of the flow."""

    how = PickField(label="With", choices=[pair for pair in How.choices if pair[0] != How.WORDS])
    cup = PickField(label="Cup", required=False, choices=CUPS)
    seconds = NumberField(label="Seconds until the stream breaks", required=False, unit="s")
    diameter_mm = NumberField(label="Spread to a width of", required=False, unit="mm")
    volume_cm3 = NumberField(label="The ring held", required=False, unit="cm³")
    stress_pa = NumberField(label="Stress at 5 1/s", required=False, unit="Pa")
    viscosity_pas = NumberField(label="Viscosity at 40 1/s", required=False, unit="Pa·s")
    celsius = DegreesField(label="How warm", required=False, help_text="Of the mass, as it was measured.")
    tempered = YesField(label="It was tempered")
    hours = HoursField()
    note = TextField(label="Note", required=False)


class EndForm(WorkshopForm):
    """What came out of the machine."""

    grams = GramsField(label="Came out", help_text="Scrape well, and take off the weight of the tub.")
    hours = HoursField()
    note = TextField(label="Note", required=False)


class BeginForm(WorkshopForm):
    """A session begins: how much of the mass it takes."""

    taken_g = GramsField(label="Take")
    method = PickField(label="Temper it", required=False, choices=[("", "not said yet"), *Method.choices])


class SessionForm(RecordForm):
    """What is known of a session so far."""

    taken_g = GramsField(label="Taken")
    method = PickField(label="Tempered", required=False, choices=[("", "not said yet"), *Method.choices])
    melt_celsius = DegreesField(label="Melted at", required=False)
    cool_celsius = DegreesField(label="Cooled to", required=False)
    work_celsius = DegreesField(label="Worked at", required=False)
    bars = NumberField(label="Bars", required=False)
    left_over_g = GramsField(label="Left over", required=False)
    put_back = YesField(label="Put back to the rest of the mass")
    tasting = TextField(label="Tasting, in your own words", required=False, lines=3)
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(
        label="Why", required=False, help_text="Needed where a figure that stands already is changed."
    )

    def more_fields(self) -> Mapping[str, forms.Field]:
        shapes = [(choice.ref, choice.name) for choice in moulds()]
        cold = [(row.ref, row.name) for row in fridges()]
        return {
            "mould": PickField(label="Mould", required=False, choices=[NONE, *shapes]),
            "fridge": PickField(label="Cooled in", required=False, choices=[NONE, *cold]),
        }

    def clean_bars(self) -> int | None:
        typed: Decimal | None = self.cleaned_data["bars"]
        if typed is not None and typed != typed.to_integral_value():
            self.add_error("bars", "Bars are whole ones; put broken ones into the note.")
        return None if typed is None else int(typed)


class FoldInsForm(PartsForm):
    """What was weighed of each part that is folded in, and how warm it was."""

    celsius = DegreesField(
        label="How warm",
        required=False,
        help_text="Within about 1 K of the mass: colder cools it, much warmer melts its seeds.",
    )


class FoldInForm(WorkshopForm):
    """Something else that was folded into the mass of a session."""

    name = NameField(label="What", help_text="Such as roasted hazelnuts.")
    weighed_g = GramsField(label="Weighed")
    celsius = DegreesField(label="How warm", required=False)


class CurveForm(WorkshopForm):
    """A cooling curve, typed or pasted."""

    typed = PointsField(
        label="Points",
        help_text="A line each: minutes:seconds or seconds, then the temperature, such as 0:30 29.8. "
        "Every 15 s or closer.",
    )
    scale = PickField(label="Temperatures in", choices=[("C", "°C"), ("F", "°F")], required=False)
    coolant_celsius = DegreesField(label="Cold body at", help_text="The water or block around the cup.")
    mark = PickField(
        label="The bars were",
        required=False,
        choices=[("", "not seen yet"), *MARKS],
        help_text="Your own judgement, when they have set. Three marked curves make later ones readable.",
    )

    def more_fields(self) -> Mapping[str, forms.Field]:
        known = [(row.ref, row.name) for row in probes()]
        return {"probe": PickField(label="Probe", required=False, choices=[NONE, *known])}

    def points(self) -> tuple[Point, ...]:
        """Return the points that were typed, in the scale they were typed in."""
        return parse_points(self.cleaned_data["typed"])


WHY = "What was wrong. It stays beside the entry."
_AS_IT_WAS = "After the start of the batch. Empty: as it was."


class CorrectWeightForm(WorkshopForm):
    """Another weight in place of one that stands."""

    weighed_g = GramsField(label="Weighed")
    coarse = YesField(label="It has to be ground fine")
    hours = HoursField(help_text=_AS_IT_WAS)
    note = TextField(label="Note", required=False)
    why = TextField(label="Why", help_text=WHY)


class CorrectSizeForm(SizeForm):
    """Other sizes in place of some that stand."""

    hours = HoursField(help_text=_AS_IT_WAS)
    why = TextField(label="Why", help_text=WHY)


class CorrectWordsForm(WordsForm):
    """Other words in place of some that stand."""

    hours = HoursField(help_text=_AS_IT_WAS)
    why = TextField(label="Why", help_text=WHY)


class CorrectInstrumentForm(InstrumentForm):
    """Other figures in place of some that stand."""

    hours = HoursField(help_text=_AS_IT_WAS)
    why = TextField(label="Why", help_text=WHY)


class CorrectEndForm(EndForm):
    """Another weight of what came out."""

    hours = HoursField(help_text=_AS_IT_WAS)
    why = TextField(label="Why", help_text=WHY)


class CorrectFoldInForm(WorkshopForm):
    """Another weight of a fold-in."""

    weighed_g = GramsField(label="Weighed")
    celsius = DegreesField(label="How warm", required=False)
    note = TextField(label="Note", required=False)
    why = TextField(label="Why", help_text=WHY)


class CorrectCurveForm(CurveForm):
    """Another reading of a cooling curve; marking one is a correction too."""

    why = TextField(label="Why", help_text=WHY)


class WhyForm(WorkshopForm):
    """Why an entry is corrected or struck out."""

    why = TextField(label="Why")
