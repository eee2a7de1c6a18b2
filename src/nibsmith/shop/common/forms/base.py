"""The form every page of records uses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django import forms
from django.forms.renderers import DjangoTemplates
from django.http import HttpRequest, QueryDict

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.common.forms.fields import DegreesField, QuantityField
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
    except NibsmithError as error:
        add_to_form(form, in_words(error))
        return False
    return True
