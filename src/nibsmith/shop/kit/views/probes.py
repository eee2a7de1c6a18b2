"""The pages of the probes."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nibsmith.science.errors import InputError
from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit import instruments, keeping, selectors
from nibsmith.shop.kit.forms import ProbeForm, WhyForm, initial_of_probe
from nibsmith.shop.kit.models import Probe
from nibsmith.shop.kit.reading import probe_facts


@require_safe
def probes(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(row, probe_facts(row, settings)) for row in selectors.probes()]
    context = {"listed": listed, "put_away": selectors.probes(put_away=True)}
    return render(request, "kit/probes.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add_probe(request: HttpRequest) -> HttpResponse:
    form = ProbeForm(typed(request))
    made: list[Probe] = []
    if attempt(form, lambda: made.append(_create(form))):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect("kit:probes")
    return _form_page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
def probe(request: HttpRequest, ref: str) -> HttpResponse:
    row = _found(ref)
    form = ProbeForm(typed(request), initial=initial_of_probe(row))
    if attempt(form, lambda: _update(form, row)):
        messages.success(request, "Saved.")
        return redirect("kit:probes")
    return _form_page(request, form, row)


@require_POST
def put_probe_away(request: HttpRequest, ref: str) -> HttpResponse:
    row, form = _found(ref), WhyForm(request.POST)
    if attempt(form, lambda: keeping.retire(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Records made with it keep it.")
    return redirect("kit:probes")


@require_POST
def bring_probe_back(request: HttpRequest, ref: str) -> HttpResponse:
    row = keeping.bring_back(_found(ref))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("kit:probes")


def _form_page(request: HttpRequest, form: ProbeForm, row: Probe | None = None) -> HttpResponse:
    context = {"form": form, "row": row, "changes": told_of(row)}
    status = UNPROCESSABLE if form.errors else None
    return render(request, "kit/probe_form.html", context, status=status)


def _create(form: ProbeForm) -> Probe:
    return instruments.create_probe(form.card(), why=form.cleaned_data["why"])


def _update(form: ProbeForm, row: Probe) -> Probe:
    return instruments.update_probe(row, form.card(), why=form.cleaned_data["why"])


def _found(ref: str) -> Probe:
    try:
        return selectors.probe(ref)
    except InputError:
        raise Http404 from None
