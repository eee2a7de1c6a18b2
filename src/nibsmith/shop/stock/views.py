"""The pages of the ingredients."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from nibsmith.science.errors import UnknownIngredient
from nibsmith.science.mixture import Ingredient
from nibsmith.shop.common.figures import money
from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.htmx import page_or_fragment
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.stock import lists, selectors, services
from nibsmith.shop.stock.forms import FactsForm, SheetForm, WhyForm, initial_of_copy, initial_of_sheet
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.reading import read
from nibsmith.shop.stock.refusals import in_words
from nibsmith.shop.stock.sheets import science_of, sheet_of
from nibsmith.shop.stock.words import GRINDS, KINDS, STAGES

WORK_OUT = "work_out"


@require_GET
def ingredients(request: HttpRequest) -> HttpResponse:
    asked = lists.Asked(
        words=request.GET.get("q", "")[: lists.LONGEST_SEARCH],
        kind=request.GET.get("kind", ""),
        owner=request.GET.get("whose", ""),
    )
    context = {
        "asked": asked,
        "groups": lists.listed(asked, workshop()),
        "kinds": KINDS.items(),
        "owners": lists.OWNERS.items(),
        "put_away": selectors.put_away(),
    }
    return page_or_fragment(request, "stock/ingredients.html", "stock/ingredient_list.html", context)


@require_GET
def ingredient(request: HttpRequest, key: str) -> HttpResponse:
    found, settings = _found(key), workshop()
    own = selectors.own_row(key) if found.own else None
    facts = None if found.own else selectors.facts_row(key)
    price = found.price_per_kg
    thing = found.ingredient
    context = {
        "found": found,
        "thing": thing,
        "reading": read(thing, settings.decimal_sign),
        "kind": KINDS[thing.kind],
        "stage": STAGES[thing.stage],
        "grind": GRINDS[thing.grind],
        "price": "" if price is None else money(price, settings.currency, settings.decimal_sign),
        "own": own,
        "facts": facts,
        "changes": told_of(own or facts),
    }
    return render(request, "stock/ingredient.html", context)


@require_http_methods(["GET", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    start = request.GET.get("from", "")
    copied = _found(start).ingredient if start else None
    if request.method == "GET":
        named = {"name": request.GET["name"]} if "name" in request.GET else {}
        form = SheetForm(initial=named if copied is None else initial_of_copy(copied))
        return _sheet_page(request, form, copied=copied)
    form = SheetForm(request.POST)
    if WORK_OUT in request.POST:
        return _worked_out(request, form, copied=copied)
    made: list[OwnIngredient] = []
    if attempt(form, lambda: made.append(_create(form, start)), in_words):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect(_back(request) or reverse("stock:ingredient", kwargs={"key": made[0].key}))
    return _sheet_page(request, form, copied=copied, status=UNPROCESSABLE)


def _back(request: HttpRequest) -> str:
    """Return the page of ours that sent somebody here, so that what was typed there goes on."""
    address = request.GET.get("back", "")
    ours = address.startswith("/") and url_has_allowed_host_and_scheme(address, allowed_hosts=None)
    return address if ours else ""


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, key: str) -> HttpResponse:
    return _edit_own(request, _own(key)) if selectors.is_own(key) else _edit_facts(request, key)


@require_POST
def put_away(request: HttpRequest, key: str) -> HttpResponse:
    row, form = _own(key), WhyForm(request.POST)
    if attempt(form, lambda: services.retire_ingredient(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Recipes that hold it keep it.")
    return redirect("stock:ingredient", key=key)


@require_POST
def bring_back(request: HttpRequest, key: str) -> HttpResponse:
    row = services.bring_back_ingredient(_own(key))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("stock:ingredient", key=key)


def _create(form: SheetForm, start: str) -> OwnIngredient:
    return services.create_ingredient(form.sheet(based_on=start), why=form.cleaned_data["why"])


def _edit_own(request: HttpRequest, row: OwnIngredient) -> HttpResponse:
    if request.method == "GET":
        return _sheet_page(request, SheetForm(initial=initial_of_sheet(sheet_of(row)), record=row), row=row)
    form = SheetForm(request.POST, record=row)
    if WORK_OUT in request.POST:
        return _worked_out(request, form, row=row)
    if attempt(form, lambda: _update(form, row), in_words):
        messages.success(request, "The sheet is saved.")
        return redirect("stock:ingredient", key=row.key)
    return _sheet_page(request, form, row=row, status=UNPROCESSABLE)


def _update(form: SheetForm, row: OwnIngredient) -> OwnIngredient:
    sheet, why = form.sheet(row.based_on), form.cleaned_data["why"]
    return services.update_ingredient(row, sheet, why=why, seen=form.stamp)


def _edit_facts(request: HttpRequest, key: str) -> HttpResponse:
    found = _found(key)
    row = selectors.facts_row(key)
    form = FactsForm(typed(request), initial=FactsForm.initial_of(row), record=row)
    if attempt(form, lambda: _set_facts(form, key), in_words):
        messages.success(request, "Saved.")
        return redirect("stock:ingredient", key=key)
    context = {"form": form, "found": found, "thing": found.ingredient, "currency": workshop().currency}
    return render(request, "stock/facts.html", context, status=UNPROCESSABLE if form.errors else None)


def _set_facts(form: FactsForm, key: str) -> None:
    services.set_facts(key, form.facts(), why=form.cleaned_data["why"], seen=form.stamp)


def _worked_out(request: HttpRequest, form: SheetForm, **about: Any) -> HttpResponse:
    """Show what the figures typed so far come to; nothing is saved."""
    made: list[Ingredient] = []
    attempt(form, lambda: made.append(science_of(form.sheet(), "")), in_words)
    reading = read(made[0], workshop().decimal_sign) if made else None
    return _sheet_page(request, form, reading=reading, asked_to_work_out=True, **about)


def _sheet_page(request: HttpRequest, form: SheetForm, *, status: int = 200, **about: Any) -> HttpResponse:
    context = {"form": form, "currency": workshop().currency, **about}
    return page_or_fragment(request, "stock/sheet.html", "stock/worked_out.html", context, status=status)


def _found(key: str) -> selectors.Found:
    try:
        return selectors.find_many((key,))[key]
    except UnknownIngredient:
        raise Http404 from None


def _own(key: str) -> OwnIngredient:
    try:
        return selectors.own_row(key)
    except UnknownIngredient:
        raise Http404 from None
