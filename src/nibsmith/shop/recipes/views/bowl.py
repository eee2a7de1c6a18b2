"""What is already in the bowl: what is true now, and the ways out as buttons."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from nibsmith.answers.ways_out import KEEP_SHARES
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Stage
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import bowls, selectors, services
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.naming import Names
from nibsmith.shop.recipes.opening import Opened, open_draft, open_version
from nibsmith.shop.recipes.picks import no_such, picked, show_picks
from nibsmith.shop.recipes.shown_bowl import show_bowl
from nibsmith.shop.stock.words import STAGES


@require_http_methods(["GET", "HEAD", "POST"])
def bowl(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Look at a bowl, or take a way out of it."""
    version = selectors.newest(public_id)
    opened = open_version(version)
    if request.method == "POST":
        return _taken(request, version, opened)
    typed = request.GET.get("bowl", "")
    context: dict[str, Any] = {
        "version": version,
        "typed": typed,
        "stages": [(stage.value, STAGES[stage]) for stage in bowls.STAGES],
        "stage": _stage(request.GET).value,
        "grind_on": "grind_on" in request.GET,
        "picks": show_picks(picked(request.GET), Names()),
    }
    status = 200
    if typed.strip():
        try:
            context |= _looked(request, typed, opened)
        except NibsmithError as error:
            context |= {"error": str(error), "no_such": no_such(error, request)}
            status = UNPROCESSABLE
    return render(request, "recipes/bowl.html", context, status=status)


def _stage(data: QueryDict) -> Stage:
    asked = data.get("stage", "")
    return next((stage for stage in bowls.STAGES if stage.value == asked), Stage.START)


def _looked(request: HttpRequest, typed: str, opened: Opened) -> dict[str, Any]:
    chosen = picked(request.GET)
    found = bowls.read_bowl(typed, opened, chosen, workshop())
    if found.questions:
        return {"questions": found.questions}
    looked = bowls.look(found, opened, _stage(request.GET), grind_on="grind_on" in request.GET)
    return {"bowl": show_bowl(looked, workshop())}


def _taken(request: HttpRequest, version: RecipeVersion, opened: Opened) -> HttpResponse:
    post = request.POST
    found = bowls.read_bowl(post.get("bowl", ""), opened, picked(post), workshop())
    looked = bowls.look(found, opened, _stage(post), grind_on="grind_on" in post)
    if post.get("way") == bowls.RESCUE:
        after = open_draft(bowls.rescued_draft(looked, found, opened))
        services.step_on(version, after, why=looked.rescued.sentence if looked.rescued else "")
        return redirect("recipes:recipe", public_id=version.recipe.public_id)
    way = bowls.way_out(looked, post.get("way", ""))
    after = open_draft(bowls.draft_by(way, found, opened))
    if way.key == KEEP_SHARES:
        services.edit(version, after)
    else:
        services.step_on(version, after, why=way.sentence)
    return redirect("recipes:recipe", public_id=version.recipe.public_id)
