"""The pages of the machines."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nibsmith.science.errors import InputError
from nibsmith.science.kit import Kit
from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit import selectors, services
from nibsmith.shop.kit.calibrating.selectors import history
from nibsmith.shop.kit.calibrating.shown import show_history, show_known
from nibsmith.shop.kit.forms import KitForm, WhyForm, initial_of_kit
from nibsmith.shop.kit.keeping import bring_back as bring
from nibsmith.shop.kit.models import CUP, OWN, Calibration, OwnKit
from nibsmith.shop.kit.reading import cautions_of, read


@require_safe
def kits(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(choice, read(choice.kit, settings)[:2]) for choice in selectors.kit_choices()]
    context = {"listed": listed, "put_away": selectors.kits_put_away(), "usual": settings.default_kit}
    return render(request, "kit/kits.html", context)


@require_safe
def kit(request: HttpRequest, ref: str) -> HttpResponse:
    own = _own_kit(ref) if ref.startswith(OWN) else None
    shown = _kit(ref) if own is None else selectors.science_kit_of(own)
    context = {
        "ref": ref,
        "kit": shown,
        "own": own,
        "base": None if own is None else _kit(own.based_on),
        "lines": read(shown, workshop(), own),
        "known": show_known(ref, workshop()),
        "cautions": cautions_of(shown.key),
        "changes": told_of(own),
    }
    return render(request, "kit/kit.html", context)


@require_safe
def calibrations(request: HttpRequest, ref: str) -> HttpResponse:
    """Tell what was seen on a kit, or in the cooling cup, and what it came to each time."""
    name = "The cooling cup" if ref == CUP else _kit(ref).name
    told = show_history(history(ref), workshop())
    context = {"ref": ref, "name": name, "told": told, "is_cup": ref == CUP}
    return render(request, "kit/calibrations.html", context)


@require_safe
def calibration(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Go to where a calibration is told."""
    row = get_object_or_404(Calibration, public_id=public_id)
    return redirect(f"{reverse('kit:calibrations', kwargs={'ref': row.kit})}#{row.kind}-{row.number}")


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    form = KitForm(typed(request), initial={"based_on": request.GET.get("from", "")})
    made: list[OwnKit] = []
    if attempt(form, lambda: made.append(_create_kit(form))):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect("kit:kit", ref=made[0].ref)
    return _form_page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, ref: str) -> HttpResponse:
    row = _own_kit(ref)
    form = KitForm(typed(request), initial=initial_of_kit(row), record=row)
    if attempt(form, lambda: _update_kit(form, row)):
        messages.success(request, "Saved.")
        return redirect("kit:kit", ref=ref)
    return _form_page(request, form, row)


@require_POST
def put_away(request: HttpRequest, ref: str) -> HttpResponse:
    row, form = _own_kit(ref), WhyForm(request.POST)
    if attempt(form, lambda: services.retire_kit(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Recipes made with it keep it.")
    return redirect("kit:kit", ref=ref)


@require_POST
def bring_back(request: HttpRequest, ref: str) -> HttpResponse:
    row = bring(_own_kit(ref))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("kit:kit", ref=ref)


def _form_page(request: HttpRequest, form: KitForm, row: OwnKit | None = None) -> HttpResponse:
    context = {"form": form, "row": row, "changes": told_of(row)}
    status = UNPROCESSABLE if form.errors else None
    return render(request, "kit/kit_form.html", context, status=status)


def _create_kit(form: KitForm) -> OwnKit:
    return services.create_kit(form.card(), why=form.cleaned_data["why"])


def _update_kit(form: KitForm, row: OwnKit) -> OwnKit:
    return services.update_kit(row, form.card(), why=form.cleaned_data["why"], seen=form.stamp)


def _kit(ref: str) -> Kit:
    try:
        return selectors.science_kit(ref)
    except InputError:
        raise Http404 from None


def _own_kit(ref: str) -> OwnKit:
    try:
        return selectors.own_kit(ref)
    except InputError:
        raise Http404 from None
