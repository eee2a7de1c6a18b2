"""Correct an entry, or strike it out: what was written stays to be seen, with the reason beside it."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from nibsmith.shop.batches import selectors, writing
from nibsmith.shop.batches.forms import (
    CorrectCurveForm,
    CorrectEndForm,
    CorrectFoldInForm,
    CorrectInstrumentForm,
    CorrectSizeForm,
    CorrectWeightForm,
    CorrectWordsForm,
    WhyForm,
)
from nibsmith.shop.batches.models import Batch, Curve, Entry, FlowReading, FoldIn, How
from nibsmith.shop.batches.services import entries
from nibsmith.shop.batches.shown import show_entry
from nibsmith.shop.common.forms import WorkshopForm, attempt, typed
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop


@dataclass(frozen=True, slots=True)
class Way:
    """How one kind of entry is corrected: its form, and what of the form becomes its columns."""

    form: type[WorkshopForm]
    columns: Callable[[Any], dict[str, Any]]


WAYS: Mapping[str, Way] = MappingProxyType(
    {
        "weight": Way(CorrectWeightForm, lambda form: writing.weight_of(form.cleaned_data)),
        "size": Way(CorrectSizeForm, lambda form: writing.size_of(form.cleaned_data)),
        "words": Way(CorrectWordsForm, lambda form: writing.words_of(form.cleaned_data)),
        "instrument": Way(CorrectInstrumentForm, lambda form: writing.instrument_of(form.cleaned_data)),
        "end": Way(CorrectEndForm, lambda form: writing.end_of(form.cleaned_data)),
        "fold-in": Way(CorrectFoldInForm, lambda form: writing.fold_in_of(form.cleaned_data)),
        "curve": Way(CorrectCurveForm, writing.curve_of),
    }
)


@require_http_methods(["GET", "HEAD", "POST"])
def correct(request: HttpRequest, public_id: uuid.UUID, kind: str, entry_id: uuid.UUID) -> HttpResponse:
    """Ask for what should stand in place of an entry, and why."""
    batch = selectors.one(public_id)
    row = selectors.entry(batch, kind, entry_id)
    way = WAYS[_way(kind, row)]
    form = way.form(typed(request), initial=_initial(row))
    if attempt(form, lambda: _corrected(row, form, way)):
        return _back(batch, row)
    return _page(request, batch, row, form)


@require_POST
def strike(request: HttpRequest, public_id: uuid.UUID, kind: str, entry_id: uuid.UUID) -> HttpResponse:
    """Say that there was no such thing."""
    batch = selectors.one(public_id)
    row = selectors.entry(batch, kind, entry_id)
    form = WhyForm(request.POST, prefix="strike")
    if attempt(form, lambda: entries.strike(row, form.cleaned_data["why"])):
        return _back(batch, row)
    return _page(request, batch, row, WAYS[_way(kind, row)].form(initial=_initial(row)), form)


def _way(kind: str, row: Entry) -> str:
    if isinstance(row, FlowReading):
        return "words" if row.how == How.WORDS else "instrument"
    return kind


def _initial(row: Entry) -> dict[str, Any]:
    fields = {field.attname: field.value_from_object(row) for field in row._meta.concrete_fields}
    if isinstance(row, Curve):
        fields |= {"probe": row.probe.ref if row.probe else "", "scale": "C"}
    return {**fields, "why": ""}


def _corrected(row: Entry, form: WorkshopForm, way: Way) -> None:
    new = entries.copy_of(row)
    for name, value in way.columns(form).items():
        setattr(new, name, value)
    hours = form.cleaned_data.get("hours")
    if hours is not None:
        new.hours = hours
    entries.correct(row, new, form.cleaned_data["why"])


def _back(batch: Batch, row: Entry) -> HttpResponse:
    if isinstance(row, FoldIn | Curve):
        return redirect("batches:session", public_id=batch.public_id, number=row.session.number)
    return redirect(f"{reverse('batches:batch', args=[batch.public_id])}?kept=corrected")


def _page(
    request: HttpRequest, batch: Batch, row: Entry, form: WorkshopForm, striking: WorkshopForm | None = None
) -> HttpResponse:
    sent = form.errors or striking
    context = {
        "batch": batch,
        "entry": show_entry(row, workshop()),
        "form": form,
        "striking": striking or WhyForm(prefix="strike"),
        "session": row.session if isinstance(row, FoldIn | Curve) else None,
    }
    return render(request, "batches/correct.html", context, status=UNPROCESSABLE if sent else None)
