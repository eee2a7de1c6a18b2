"""Balance: limits on a recipe, and the nearest or cheapest recipe that keeps them as a proposal to accept."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from nibsmith.answers.cost import of_what
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import balancing, selectors, services
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.naming import Names
from nibsmith.shop.recipes.opening import Opened, open_draft, open_version
from nibsmith.shop.recipes.picks import show_picks
from nibsmith.shop.recipes.shown_balance import limit_rows, share_rows, show_balance


@require_http_methods(["GET", "HEAD", "POST"])
def balance(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Ask for a balance, or accept one."""
    version = selectors.newest(public_id)
    opened = open_version(version)
    if request.method == "POST":
        return _accepted(request, version, opened)
    settings = workshop()
    asked = balancing.read_asked(request.GET, opened, settings)
    names = Names(with_recipes=False)
    context: dict[str, Any] = {
        "version": version,
        "asked": asked,
        "questions": asked.questions,
        "picks": show_picks(asked.chosen, names),
        "limits": limit_rows(asked),
        "shares": share_rows(asked, opened),
        "figure_choices": balancing.figure_choices(asked),
        "name_choices": balancing.name_choices(settings),
        "names": names.all(),
        "currency": settings.currency,
        "cost_of": of_what(opened.context),
        "query": request.GET.urlencode(),
    }
    context |= _found(asked, opened)
    status = UNPROCESSABLE if asked.errors or "error" in context else 200
    return render(request, "recipes/balance.html", context, status=status)


def _found(asked: balancing.Asked, opened: Opened) -> dict[str, Any]:
    try:
        found = balancing.balanced(asked, opened)
    except NibsmithError as error:
        return {"error": str(error)}
    return {} if found is None else {"balance": show_balance(found, opened, workshop())}


def _accepted(request: HttpRequest, version: RecipeVersion, opened: Opened) -> HttpResponse:
    asked = balancing.read_asked(request.GET, opened, workshop())
    found = balancing.balanced(asked, opened)
    if found is None:
        raise InputError("There is no balance to accept", advice="Type a limit first.")
    draft = balancing.draft_by(found, opened, asked)
    services.step_on(version, open_draft(draft), why=f"Balanced. {found.sentence}")
    return redirect("recipes:recipe", public_id=version.recipe.public_id)
