"""The pages of the moulds."""

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
from nibsmith.shop.kit import selectors, services
from nibsmith.shop.kit.forms import MouldForm, WhyForm, initial_of_mould
from nibsmith.shop.kit.keeping import bring_back
from nibsmith.shop.kit.models import Mould
from nibsmith.shop.kit.reading import mass


@require_safe
def moulds(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(choice, mass(choice.cavity_g, settings)) for choice in selectors.moulds()]
    context = {"listed": listed, "put_away": selectors.moulds_put_away(), "usual": settings.default_mould}
    return render(request, "kit/moulds.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add_mould(request: HttpRequest) -> HttpResponse:
    form = MouldForm(typed(request), initial={"cavities": "1"})
    made: list[Mould] = []
    if attempt(form, lambda: made.append(_create_mould(form))):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect("kit:moulds")
    return _form_page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
def mould(request: HttpRequest, ref: str) -> HttpResponse:
    row = _own_mould(ref)
    form = MouldForm(typed(request), initial=initial_of_mould(row), record=row)
    if attempt(form, lambda: _update_mould(form, row)):
        messages.success(request, "Saved.")
        return redirect("kit:moulds")
    return _form_page(request, form, row)


@require_POST
def put_mould_away(request: HttpRequest, ref: str) -> HttpResponse:
    row, form = _own_mould(ref), WhyForm(request.POST)
    if attempt(form, lambda: services.retire_mould(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Recipes made with it keep it.")
    return redirect("kit:moulds")


@require_POST
def bring_mould_back(request: HttpRequest, ref: str) -> HttpResponse:
    row = bring_back(_own_mould(ref))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("kit:moulds")


def _form_page(request: HttpRequest, form: MouldForm, row: Mould | None = None) -> HttpResponse:
    context = {"form": form, "row": row, "changes": told_of(row)}
    status = UNPROCESSABLE if form.errors else None
    return render(request, "kit/mould_form.html", context, status=status)


def _create_mould(form: MouldForm) -> Mould:
    return services.create_mould(form.card(), why=form.cleaned_data["why"])


def _update_mould(form: MouldForm, row: Mould) -> Mould:
    return services.update_mould(row, form.card(), why=form.cleaned_data["why"], seen=form.stamp)


def _own_mould(ref: str) -> Mould:
    try:
        return selectors.own_mould(ref)
    except InputError:
        raise Http404 from None
