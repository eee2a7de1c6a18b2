"""The pages of the fridges."""

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
from nibsmith.shop.kit.forms import FridgeForm, WhyForm, initial_of_fridge
from nibsmith.shop.kit.models import Fridge
from nibsmith.shop.kit.reading import fridge_facts


@require_safe
def fridges(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(row, fridge_facts(row, settings)) for row in selectors.fridges()]
    context = {"listed": listed, "put_away": selectors.fridges(put_away=True)}
    return render(request, "kit/fridges.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add_fridge(request: HttpRequest) -> HttpResponse:
    form = FridgeForm(typed(request))
    made: list[Fridge] = []
    if attempt(form, lambda: made.append(_create(form))):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect("kit:fridges")
    return _form_page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
def fridge(request: HttpRequest, ref: str) -> HttpResponse:
    row = _found(ref)
    form = FridgeForm(typed(request), initial=initial_of_fridge(row))
    if attempt(form, lambda: _update(form, row)):
        messages.success(request, "Saved.")
        return redirect("kit:fridges")
    return _form_page(request, form, row)


@require_POST
def put_fridge_away(request: HttpRequest, ref: str) -> HttpResponse:
    row, form = _found(ref), WhyForm(request.POST)
    if attempt(form, lambda: keeping.retire(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Records made with it keep it.")
    return redirect("kit:fridges")


@require_POST
def bring_fridge_back(request: HttpRequest, ref: str) -> HttpResponse:
    row = keeping.bring_back(_found(ref))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("kit:fridges")


def _form_page(request: HttpRequest, form: FridgeForm, row: Fridge | None = None) -> HttpResponse:
    context = {"form": form, "row": row, "changes": told_of(row)}
    status = UNPROCESSABLE if form.errors else None
    return render(request, "kit/fridge_form.html", context, status=status)


def _create(form: FridgeForm) -> Fridge:
    return instruments.create_fridge(form.card(), why=form.cleaned_data["why"])


def _update(form: FridgeForm, row: Fridge) -> Fridge:
    return instruments.update_fridge(row, form.card(), why=form.cleaned_data["why"])


def _found(ref: str) -> Fridge:
    try:
        return selectors.fridge(ref)
    except InputError:
        raise Http404 from None
