"""How a recipe pours and sets, on the page and on paper."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.shop.common.forms import attempt
from nibsmith.shop.common.printing import paper_of
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors
from nibsmith.shop.recipes.behaving import USUAL_MM, Behaviour, CoolingForm, behaviour, leaf_of
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.views.sheet import file_name


@require_safe
def behaves(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Show how the newest version pours and sets in the fridge that is asked for."""
    version = selectors.newest(public_id)
    form, found = _answered(request, version)
    context = {"version": version, "form": form, "found": found, "query": request.GET.urlencode()}
    return render(request, "recipes/behaves.html", context, status=200 if found else UNPROCESSABLE)


@require_safe
def on_paper(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Give the same as PDF; where something typed is refused, its page says what."""
    from nibsmith.paper import leaf_pdf

    version = selectors.newest(public_id)
    form, found = _answered(request, version)
    if found is None:
        context = {"version": version, "form": form, "found": None}
        return render(request, "recipes/behaves.html", context, status=UNPROCESSABLE)
    leaf = leaf_of(found, f"How {version.recipe.name} pours and sets, version {version.number}", workshop())
    document = leaf_pdf(leaf, paper_of(workshop()))
    response = HttpResponse(document, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{file_name(version, "pours-and-sets")}"'
    return response


def _answered(request: HttpRequest, version: RecipeVersion) -> tuple[CoolingForm, Behaviour | None]:
    usual = {"thickness_mm": f"{USUAL_MM:g}"}
    form = CoolingForm(request.GET if set(request.GET) & set(CoolingForm.base_fields) else usual)
    found: list[Behaviour] = []
    attempt(form, lambda: found.append(behaviour(open_version(version), form.cooling(), workshop())))
    return form, (found[0] if found else None)
