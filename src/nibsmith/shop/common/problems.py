"""One place that turns a refusal into what a page or a form shows."""

from __future__ import annotations

from dataclasses import dataclass

from django import forms

from nibsmith.science.errors import InputError, NibsmithError, TableError

UNPROCESSABLE = 422
SERVER_FAULT = 500


@dataclass(frozen=True, slots=True)
class Problem:
    """A refusal as a page shows it."""

    status: int
    title: str
    what: str
    value: str = ""
    limit: str = ""
    advice: str = ""


def problem(error: NibsmithError) -> Problem:
    """Say a refusal as a page shows it."""
    broken = isinstance(error, TableError)
    return Problem(
        status=SERVER_FAULT if broken else UNPROCESSABLE,
        title="Nibsmith's own figures are damaged" if broken else "That cannot be done as it stands",
        what=error.what,
        value="" if error.value is None else str(error.value),
        limit="" if error.limit is None else str(error.limit),
        advice=error.advice or "",
    )


def add_to_form(form: forms.BaseForm, error: NibsmithError, field: str | None = None) -> None:
    """Put a refusal beside the field it is about, or at the head of the form."""
    if isinstance(error, TableError):
        raise error
    named = field or error.field
    code = "refused" if isinstance(error, InputError) else "impossible"
    form.add_error(named if named in form.fields else None, forms.ValidationError(str(error), code=code))
