"""The first page: what have you got, and what can be made of it; and the first form of a new recipe."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Form
from nibsmith.science.quantities import parse_mass
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors, services, starting
from nibsmith.shop.recipes.naming import Names
from nibsmith.shop.recipes.picks import no_such, picked, show_picks
from nibsmith.shop.recipes.shown_start import show_makeable, show_read, show_recipe
from nibsmith.shop.recipes.words import FORMS

RECENT = 6


@require_safe
def start(request: HttpRequest) -> HttpResponse:
    """Ask what there is, and show what it makes."""
    context: dict[str, Any] = {"have": request.GET.get("have", ""), "forms": FORMS.items(), "form": Form.BAR}
    chosen = picked(request.GET)
    context["picks"] = show_picks(chosen, Names(), context["have"])
    status = 200
    if context["have"].strip():
        try:
            context |= _found(context["have"], chosen)
        except NibsmithError as error:
            context |= {"error": str(error), "no_such": no_such(error, request)}
            status = UNPROCESSABLE
    recent = selectors.listed(count=RECENT)
    context["recent"] = [show_recipe(listed, workshop()) for listed in recent]
    return render(request, "recipes/start.html", context, status=status)


def _found(have: str, chosen: Mapping[str, str]) -> dict[str, Any]:
    settings = workshop()
    read = starting.read_list(have, chosen, settings)
    if read.questions:
        return {"questions": read.questions}
    recipes = selectors.listed() if read.shelf_g else []
    made = starting.makeable(read, recipes)
    return {
        "read": show_read(read, settings),
        "by_parts": any(thing.parts is not None for thing in read.things),
        "none_takes_it": bool(recipes) and not made,
        "made": [show_makeable(one, read, settings) for one in made],
        "name": starting.suggested_name(read),
    }


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Begin a recipe from a list of amounts, or of parts and a total."""
    typed = {name: request.POST.get(name, "") for name in ("name", "form", "have", "total", "note")}
    context: dict[str, Any] = {"typed": typed, "forms": FORMS.items(), "errors": {}}
    if request.method != "POST":
        return render(request, "recipes/new.html", context)
    chosen = picked(request.POST)
    try:
        version = _create(typed, chosen)
    except NibsmithError as error:
        context["errors"] = {error.field if error.field in typed else "have": str(error)}
        context |= {"no_such": no_such(error, request), **_questions(typed["have"], chosen)}
        return render(request, "recipes/new.html", context, status=UNPROCESSABLE)
    return redirect("recipes:recipe", public_id=version.recipe.public_id)


def _create(typed: Mapping[str, str], chosen: Mapping[str, str]) -> Any:
    settings = workshop()
    read = starting.read_list(typed["have"], chosen, settings)
    total = typed["total"].strip()
    total_g = _total(total) if total else None
    draft = starting.draft_from(read, typed["name"], typed["form"] or Form.BAR.value, total_g)
    return services.create_recipe(draft, note=typed["note"])


def _total(text: str) -> Any:
    try:
        return parse_mass(text, decimal_sign=workshop().decimal_sign)
    except NibsmithError as error:
        error.field = "total"
        raise


def _questions(have: str, chosen: Mapping[str, str]) -> dict[str, Any]:
    try:
        read = starting.read_list(have, chosen, workshop())
    except NibsmithError:
        return {}
    return {"questions": read.questions, "picks": show_picks(chosen, read.names, have)}
