"""Readings of a roast: add some, say how they are read, look at their text."""

from __future__ import annotations

import uuid
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from nibsmith.science.errors import InputError
from nibsmith.shop.common.forms import attempt
from nibsmith.shop.roasts import selectors
from nibsmith.shop.roasts.forms import MoreReadingsForm, PointForm, SettleForm
from nibsmith.shop.roasts.models import Kind, Readings
from nibsmith.shop.roasts.reading import known, text_of
from nibsmith.shop.roasts.services import points
from nibsmith.shop.roasts.services import readings as services
from nibsmith.shop.roasts.views.roasts import roast_page, settle_form


@require_POST
def add(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Add readings to a roast."""
    roast = selectors.one(public_id)
    form = MoreReadingsForm(request.POST, request.FILES, prefix="more")

    def write() -> None:
        sent = form.sent()
        if sent is None:
            raise InputError("There are no readings yet", advice="Type some, or send a file.", field="typed")
        services.add_readings(roast, sent, why=form.cleaned_data["why"])

    if attempt(form, write):
        return redirect("roasts:roast", public_id=public_id)
    return roast_page(request, roast, {"more": form})


@require_POST
def point(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Add one more reading by hand, and lead back to the forecast that was asked for."""
    roast = selectors.one(public_id)
    form = PointForm(request.POST, first=selectors.told(roast).readings is None)
    if attempt(form, lambda: points.add_point(roast, form.point())):
        until = request.POST.get("until", "")
        query = f"?{urlencode({'until': until})}" if form.cleaned_data["until"] is not None else ""
        return redirect(f"{reverse('roasts:roast', args=[public_id])}{query}")
    return roast_page(request, roast, {"point": form})


@require_POST
def settle(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Say how the readings that stand are read."""
    roast = selectors.one(public_id)
    row = selectors.told(roast).readings
    if row is None:
        raise Http404
    form = settle_form(row, known(roast, row).names, request.POST)
    assert form is not None  # noqa: S101 - there are readings
    if attempt(form, lambda: _settled(row, form)):
        return redirect("roasts:roast", public_id=public_id)
    return roast_page(request, roast, {"settle": form})


def _settled(row: Readings, form: SettleForm) -> None:
    told = {**row.told, **form.told()} if row.kind == Kind.TYPED else form.told()
    services.settle(row, told, form.probes(row.probes), form.stay())


@require_safe
def text(request: HttpRequest, public_id: uuid.UUID, readings_id: uuid.UUID) -> HttpResponse:
    """Give the text of readings as they came."""
    row = selectors.readings(selectors.one(public_id), readings_id)
    return HttpResponse(text_of(row), content_type="text/plain; charset=utf-8")
