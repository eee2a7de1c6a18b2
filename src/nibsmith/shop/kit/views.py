"""The pages of the kits and the moulds."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from nibsmith.science.errors import InputError
from nibsmith.science.kit import Kit
from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit import selectors, services
from nibsmith.shop.kit.forms import KitForm, MouldForm, WhyForm, initial_of_kit, initial_of_mould
from nibsmith.shop.kit.models import OWN, Mould, OwnKit
from nibsmith.shop.kit.reading import cautions_of, mass, read


@require_GET
def kits(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(choice, read(choice.kit, settings)[:2]) for choice in selectors.kit_choices()]
    context = {"listed": listed, "put_away": selectors.kits_put_away(), "usual": settings.default_kit}
    return render(request, "kit/kits.html", context)


@require_GET
def kit(request: HttpRequest, ref: str) -> HttpResponse:
    own = _own_kit(ref) if ref.startswith(OWN) else None
    shown = _kit(ref) if own is None else selectors.science_kit_of(own)
    context = {
        "ref": ref,
        "kit": shown,
        "own": own,
        "base": None if own is None else _kit(own.based_on),
        "lines": read(shown, workshop(), own),
        "cautions": cautions_of(shown.key),
        "changes": told_of(own),
    }
    return render(request, "kit/kit.html", context)


@require_http_methods(["GET", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    form = KitForm(typed(request), initial={"based_on": request.GET.get("from", "")})
    made: list[OwnKit] = []
    if attempt(form, lambda: made.append(_create_kit(form))):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect("kit:kit", ref=made[0].ref)
    return _form_page(request, "kit/kit_form.html", form)


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, ref: str) -> HttpResponse:
    row = _own_kit(ref)
    form = KitForm(typed(request), initial=initial_of_kit(row))
    if attempt(form, lambda: _update_kit(form, row)):
        messages.success(request, "Saved.")
        return redirect("kit:kit", ref=ref)
    return _form_page(request, "kit/kit_form.html", form, row)


@require_POST
def put_away(request: HttpRequest, ref: str) -> HttpResponse:
    row, form = _own_kit(ref), WhyForm(request.POST)
    if attempt(form, lambda: services.retire_kit(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Recipes made with it keep it.")
    return redirect("kit:kit", ref=ref)


@require_POST
def bring_back(request: HttpRequest, ref: str) -> HttpResponse:
    row = services.bring_back(_own_kit(ref))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("kit:kit", ref=ref)


@require_GET
def moulds(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(choice, mass(choice.cavity_g, settings)) for choice in selectors.moulds()]
    context = {"listed": listed, "put_away": selectors.moulds_put_away(), "usual": settings.default_mould}
    return render(request, "kit/moulds.html", context)


@require_http_methods(["GET", "POST"])
def add_mould(request: HttpRequest) -> HttpResponse:
    form = MouldForm(typed(request), initial={"cavities": "1"})
    made: list[Mould] = []
    if attempt(form, lambda: made.append(_create_mould(form))):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect("kit:moulds")
    return _form_page(request, "kit/mould_form.html", form)


@require_http_methods(["GET", "POST"])
def mould(request: HttpRequest, ref: str) -> HttpResponse:
    row = _own_mould(ref)
    form = MouldForm(typed(request), initial=initial_of_mould(row))
    if attempt(form, lambda: _update_mould(form, row)):
        messages.success(request, "Saved.")
        return redirect("kit:moulds")
    return _form_page(request, "kit/mould_form.html", form, row)


@require_POST
def put_mould_away(request: HttpRequest, ref: str) -> HttpResponse:
    row, form = _own_mould(ref), WhyForm(request.POST)
    if attempt(form, lambda: services.retire_mould(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Recipes made with it keep it.")
    return redirect("kit:moulds")


@require_POST
def bring_mould_back(request: HttpRequest, ref: str) -> HttpResponse:
    row = services.bring_back(_own_mould(ref))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("kit:moulds")


def _form_page(
    request: HttpRequest, template: str, form: KitForm | MouldForm, row: OwnKit | Mould | None = None
) -> HttpResponse:
    context = {"form": form, "row": row, "changes": told_of(row)}
    return render(request, template, context, status=UNPROCESSABLE if form.errors else None)


def _create_kit(form: KitForm) -> OwnKit:
    return services.create_kit(form.card(), why=form.cleaned_data["why"])


def _update_kit(form: KitForm, row: OwnKit) -> OwnKit:
    return services.update_kit(row, form.card(), why=form.cleaned_data["why"])


def _create_mould(form: MouldForm) -> Mould:
    return services.create_mould(form.card(), why=form.cleaned_data["why"])


def _update_mould(form: MouldForm, row: Mould) -> Mould:
    return services.update_mould(row, form.card(), why=form.cleaned_data["why"])


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


def _own_mould(ref: str) -> Mould:
    try:
        return selectors.own_mould(ref)
    except InputError:
        raise Http404 from None
