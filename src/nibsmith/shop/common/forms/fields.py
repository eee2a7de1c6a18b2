"""Form fields that read what a maker types with the words and signs of a kitchen."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import (
    DecimalSign,
    parse_mass,
    parse_number,
    parse_percent,
    parse_temperature,
    round_half_up,
)
from nibsmith.science.quantities.refusals import certain
from nibsmith.shop.common import texts

NEEDED = "This is needed."
NOT_ON_LIST = "Choose one of the list."
MILLIGRAM = Decimal("0.001")
TENTH = Decimal("0.1")


class AsTyped(Decimal):
    """A figure whose digits are those that were typed: zeros at its end stay."""


class QuantityField(forms.Field):
    """A typed quantity; ``decimal_sign`` is set by the form from the settings of the workshop."""

    decimal_sign: DecimalSign | None = None
    inputmode = "decimal"
    suffix = ""
    default_error_messages = {"required": NEEDED}

    def __init__(self, *, unit: str = "", **options: Any) -> None:
        super().__init__(**options)
        self.unit = unit

    def parse(self, text: str) -> Decimal:
        """Read the text, or refuse it."""
        raise NotImplementedError

    def written(self, value: Decimal) -> str:
        """Write a value so that it is read back as it is: plainly, or with a zero more to be certain."""
        plain = f"{value:f}" if isinstance(value, AsTyped) else f"{value.normalize():f}"
        texts = (self._signed(text) + self.suffix for text in (plain, certain(value)))
        return next((text for text in texts if self._reads(text) == value), plain + self.suffix)

    def _signed(self, text: str) -> str:
        return text.replace(".", ",") if self.decimal_sign == "," else text

    def _reads(self, text: str) -> Decimal | None:
        try:
            return self.parse(text)
        except InputError:
            return None

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        return {"inputmode": self.inputmode, "autocomplete": "off", "spellcheck": "false"}

    def to_python(self, value: Any) -> Decimal | None:
        text = str(value or "").strip()
        if not text:
            return None
        try:
            return self.parse(text)
        except InputError as error:
            raise forms.ValidationError(str(error), code="refused") from error

    def prepare_value(self, value: Any) -> Any:
        return self.written(value) if isinstance(value, Decimal) else value


class NumberField(QuantityField):
    """A number whose unit the label says."""

    def __init__(self, *, most: Decimal | None = None, **options: Any) -> None:
        super().__init__(**options)
        self.most = most

    def parse(self, text: str) -> Decimal:
        return parse_number(text, decimal_sign=self.decimal_sign, most=self.most)


class PercentField(QuantityField):
    """A share in percent, with or without its sign."""

    def __init__(self, **options: Any) -> None:
        super().__init__(unit="%", **options)

    def parse(self, text: str) -> Decimal:
        return parse_percent(text, decimal_sign=self.decimal_sign, bare=True)


class MassField(QuantityField):
    """A mass with its unit, kept in grams to the ``step`` of its column."""

    inputmode = "text"
    suffix = " g"

    def __init__(self, *, step: Decimal = MILLIGRAM, **options: Any) -> None:
        super().__init__(**options)
        self.step = step

    def parse(self, text: str) -> Decimal:
        return round_half_up(parse_mass(text, decimal_sign=self.decimal_sign), self.step)


class GramsField(MassField):
    """A mass; a bare number is in grams, for the keys of a phone have no letters."""

    inputmode = "decimal"
    suffix = ""

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.unit = "g"

    def parse(self, text: str) -> Decimal:
        if any(sign.isalpha() for sign in text):
            return super().parse(text)
        return round_half_up(parse_number(text, decimal_sign=self.decimal_sign), self.step)


class DegreesField(QuantityField):
    """A temperature, kept in degrees Celsius; a bare number is on the scale of the settings."""

    scale: Any = "C"
    suffix = " °C"

    def parse(self, text: str) -> Decimal:
        return round_half_up(parse_temperature(text, bare=self.scale).celsius, TENTH)


class TextField(forms.CharField):
    """A line or a text that can be read; how long it may be is decided where it is stored."""

    default_error_messages = {"required": NEEDED}

    def __init__(self, *, lines: int = 1, **options: Any) -> None:
        widget = forms.TextInput() if lines == 1 else forms.Textarea(attrs={"rows": lines})
        super().__init__(widget=widget, **options)

    def to_python(self, value: Any) -> str:
        text = super().to_python(value) or ""
        try:
            return texts.readable(texts.in_lines(text))
        except InputError as error:
            raise forms.ValidationError(str(error), code="refused") from error


class PickField(forms.ChoiceField):
    """One of a list."""

    default_error_messages = {"required": NEEDED, "invalid_choice": NOT_ON_LIST}


class ListField(forms.MultipleChoiceField):
    """Any number of a list, as tick boxes."""

    default_error_messages = {"required": NEEDED, "invalid_choice": NOT_ON_LIST, "invalid_list": NOT_ON_LIST}
    widget = forms.CheckboxSelectMultiple


class YesField(forms.BooleanField):
    """A tick box."""

    def __init__(self, **options: Any) -> None:
        super().__init__(required=False, **options)
