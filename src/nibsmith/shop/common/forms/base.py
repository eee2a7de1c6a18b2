"""The form every page of records uses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, cast

from django import forms
from django.db import models
from django.forms.renderers import DjangoTemplates
from django.http import HttpRequest, QueryDict

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.common.forms.fields import DegreesField, QuantityField
from nibsmith.shop.common.history.meanwhile import ChangedMeanwhile, stamp
from nibsmith.shop.common.problems import add_to_form
from nibsmith.shop.common.workshop.selectors import workshop


class FieldRenderer(DjangoTemplates):
    """Fields and errors as our own templates write them."""

    field_template_name = "common/form/field.html"


class ErrorLines(forms.utils.ErrorList):
    """The errors of one field, or those of the form as a whole."""

    template_name = "common/form/errors.html"


class WorkshopForm(forms.Form):
    """A form that reads numbers by the settings of the workshop."""

    default_renderer = FieldRenderer
    use_required_attribute = False

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"label_suffix": "", "error_class": ErrorLines, **options})
        self.fields.update(self.more_fields())
        settings = workshop()
        for field in self.fields.values():
            if isinstance(field, QuantityField):
                field.decimal_sign = settings.decimal_sign
            if isinstance(field, DegreesField):
                field.scale = settings.temperature_unit

    def more_fields(self) -> Mapping[str, forms.Field]:
        """Return the fields that a table lists rather than the class."""
        return {}


class RecordForm(WorkshopForm):
    """The form of a record that others may write meanwhile: it takes along when it was last written."""

    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, record: models.Model | None = None, **options: Any) -> None:
        self.stamp = ""
        options["initial"] = {**(options.get("initial") or {}), "seen": stamp(record)}
        super().__init__(*args, **options)

    def clean(self) -> dict[str, Any]:
        """Keep the stamp apart from what was typed."""
        super().clean()
        self.stamp = self.cleaned_data.pop("seen", "")
        return self.cleaned_data

    def now_seen(self, now: str) -> None:
        """Take the record as it stands now for seen: whoever saves again means it."""
        changed = cast("QueryDict", self.data).copy()
        changed["seen"] = now
        self.data = changed


def typed(request: HttpRequest) -> QueryDict | None:
    """Return what was sent with a form, or none where its page was only asked for."""
    return request.POST if request.method == "POST" else None


def attempt(
    form: forms.BaseForm,
    write: Callable[[], Any],
    in_words: Callable[[NibsmithError], NibsmithError] = lambda error: error,
) -> bool:
    """Write what a valid form says; show a refusal in the form, with everything typed still in it."""
    if not form.is_valid():
        return False
    try:
        write()
    except ChangedMeanwhile as error:
        if isinstance(form, RecordForm):
            form.now_seen(error.now)
        add_to_form(form, error)
        return False
    except NibsmithError as error:
        add_to_form(form, in_words(error))
        return False
    return True
