"""Versions of a recipe: kept, looked at, gone back to, compared."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from nibsmith.answers.wording import joined
from nibsmith.science.errors import InputError
from nibsmith.shop.common.views import NOT_FOUND
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.answering import answers_to
from nibsmith.shop.recipes.comparing import compare_versions
from nibsmith.shop.recipes.figure_table import figure_table
from nibsmith.shop.recipes.keeping import changed_since
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.shown import show
from nibsmith.shop.recipes.shown_answers import show_answers


@require_POST
def keep(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Keep the newest version as it is."""
    services.freeze(selectors.newest(public_id), why=request.POST.get("why", ""))
    return redirect("recipes:recipe", public_id=public_id)


@require_POST
def renew(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Make the next version of a kept one with what is known of its parts today."""
    newest = selectors.newest(public_id)
    changed = joined(changed_since(newest))
    services.renew(newest, why=f"{changed} as known today" if changed else "")
    return redirect("recipes:recipe", public_id=public_id)


@require_safe
def version(request: HttpRequest, public_id: uuid.UUID, number: int) -> HttpResponse:
    """Show one version; the newest one has its own page, where it can be edited."""
    found = selectors.numbered(public_id, number)
    if found.number == selectors.newest(public_id).number:
        return redirect("recipes:recipe", public_id=public_id)
    opened, settings = open_version(found), workshop()
    context = {
        "version": found,
        "shown": show(opened, settings),
        "figures": figure_table(opened, settings),
        "answers": show_answers(answers_to(opened), settings),
    }
    return render(request, "recipes/version.html", context)


@require_POST
def go_back(request: HttpRequest, public_id: uuid.UUID, number: int) -> HttpResponse:
    """Make the next version of an older one."""
    found = selectors.numbered(public_id, number)
    newest = selectors.newest(public_id)
    services.step_on(newest, open_version(found, as_of_today=True), why=f"Back to version {found.number}.")
    return redirect("recipes:recipe", public_id=public_id)


@require_safe
def compare(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Put two versions side by side, the last two where none are chosen; say which one there is not."""
    newest = selectors.newest(public_id)
    versions = selectors.versions(newest.recipe)
    context: dict[str, Any] = {"version": newest, "versions": versions}
    context |= {"new": versions[0], "old": versions[min(1, len(versions) - 1)]}
    try:
        for name in ("new", "old"):
            context[name] = _chosen(request.GET.get(name, ""), versions, context[name])
    except InputError as error:
        return render(request, "recipes/compare.html", {**context, "error": str(error)}, status=NOT_FOUND)
    if len(versions) > 1:
        context["comparison"] = compare_versions(context["old"], context["new"], workshop())
    return render(request, "recipes/compare.html", context)


def _chosen(number: str, versions: list[RecipeVersion], otherwise: RecipeVersion) -> RecipeVersion:
    if not number:
        return otherwise
    found = next((version for version in versions if str(version.number) == number), None)
    if found is None:
        advice = f"It has versions 1 to {versions[0].number}." if len(versions) > 1 else "It has one version."
        raise InputError("The recipe has no such version", value=number[:20], advice=advice)
    return found
