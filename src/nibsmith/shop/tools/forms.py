"""What the forms of all tools share: fields that keep their place for a refusal, spans, choices of a list."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Any, TypeVar

from nibsmith.answers.tools.outcome import around
from nibsmith.science.mixture import Span
from nibsmith.science.temper import Chocolate
from nibsmith.shop.common.forms import PickField, TextField, WorkshopForm
from nibsmith.shop.common.forms.base import FieldRenderer
from nibsmith.shop.kit.selectors import kit_choices

KINDS = ((Chocolate.DARK, "dark"), (Chocolate.MILK, "milk"), (Chocolate.WHITE, "white"))
Picked = TypeVar("Picked", bound=StrEnum)


class ToolRenderer(FieldRenderer):
    """Fields with a place for their refusal that is always there, so that it can be filled and emptied."""

    field_template_name = "tools/field.html"


class ToolForm(WorkshopForm):
    """The form of a tool. Numbers are read by the settings of the workshop."""

    default_renderer = ToolRenderer

    def number(self, name: str) -> float | None:
        """Return a typed number; none where the field was left empty."""
        value = self.cleaned_data.get(name)
        return None if value is None else float(value)

    def needed(self, name: str) -> float:
        """Return a number that the form asks for."""
        return float(self.cleaned_data[name])

    def span(self, name: str, reach: float = 0.0) -> Span | None:
        """Return a typed number with how far it may be off; none where the field was left empty."""
        value = self.number(name)
        return None if value is None else around(value, reach)

    def said(self, name: str) -> bool:
        """Whether the maker filled a field in."""
        return self.cleaned_data.get(name) not in (None, "")


def kit_names() -> list[tuple[str, str]]:
    """List the kits, the maker's own first."""
    return [("", "not said"), *((choice.ref, choice.name) for choice in kit_choices())]


def pick(words: Iterable[tuple[StrEnum, str]], empty: str = "", **options: Any) -> PickField:
    """Return a list to choose from, by the values of an enumeration."""
    choices = [(one.value, text) for one, text in words]
    blank = [("", empty)] if empty else []
    return PickField(choices=[*blank, *choices], **options)


def picked(kind: type[Picked], value: Any) -> Picked | None:
    """Return the member that was chosen; none where none was."""
    return kind(value) if value else None


def long_text(**options: Any) -> TextField:
    """Return a field for many lines that a machine wrote or a maker typed."""
    field = TextField(lines=5, strip=False, **options)
    field.widget.attrs |= {"autocomplete": "off", "spellcheck": "false", "class": "figures-typed"}
    return field


def file_bytes(sent: Any) -> bytes:
    """Return what a file holds."""
    held: bytes = sent.read()
    return held


def file_text(sent: Any) -> str:
    """Return the text of a file; signs that are no UTF-8 are read as Windows wrote them."""
    held = file_bytes(sent)
    try:
        return held.decode("utf-8-sig")
    except UnicodeDecodeError:
        return held.decode("cp1252", "replace")
