"""The list of batches, and how a batch of a recipe begins."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from nibsmith.answers.process import usual_use
from nibsmith.science.mixture import Form
from nibsmith.science.quantities import round_half_up
from nibsmith.shop.batches import selectors
from nibsmith.shop.batches.forms import MakeForm
from nibsmith.shop.batches.models import Batch
from nibsmith.shop.batches.services.making import Making
from nibsmith.shop.batches.services.making import make as make_batch
from nibsmith.shop.common.days import latest_today, today
from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit.reading import mass
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.selectors import listed as recipes_listed
from nibsmith.shop.recipes.selectors import newest, numbered

NOON = time(12, tzinfo=UTC)


@require_safe
def batches(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [
        (one, "" if one.end_g is None else mass(one.end_g, settings), mass(one.batch.planned_g, settings))
        for one in selectors.listed()
    ]
    context = {"listed": listed, "recipes": [one.recipe for one in recipes_listed()]}
    return render(request, "batches/list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def make(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Begin a batch of the newest version of a recipe, or of the one asked for."""
    version = _version(request, public_id)
    form = MakeForm(typed(request), initial=_initial(version))
    made: list[Batch] = []
    if attempt(form, lambda: made.append(make_batch(version, _making(version, form.cleaned_data)))):
        messages.success(request, f"Batch {made[0].number} is begun; the version stays as it is from now on.")
        return redirect("batches:batch", public_id=made[0].public_id)
    status = UNPROCESSABLE if form.errors else None
    return render(request, "batches/make.html", {"form": form, "version": version}, status=status)


def _version(request: HttpRequest, public_id: uuid.UUID) -> RecipeVersion:
    number = request.GET.get("version", "")
    if number.isascii() and number.isdigit() and len(number) < 6:
        return numbered(public_id, int(number))
    return newest(public_id)


def _initial(version: RecipeVersion) -> dict[str, Any]:
    use = usual_use(Form(version.recipe.form)).value
    return {"kit": version.kit or workshop().default_kit, "total_g": _usual_total(version), "use": use}


def _usual_total(version: RecipeVersion) -> Decimal:
    return round_half_up(version.total_g, workshop().scale_g)


def _making(version: RecipeVersion, said: dict[str, Any]) -> Making:
    """Take another total than that of the version only where one was typed."""
    total_g = None if said["total_g"] == _usual_total(version) else said["total_g"]
    as_said = {name: said[name] for name in ("kit", "use", "aim", "note")}
    return Making(total_g=total_g, began_at=_moment(said["began_on"]), **as_said)


def _moment(day: date | None) -> datetime | None:
    """Take today, here or further east, as now, and any other day at its noon."""
    return None if day is None or today() <= day <= latest_today() else datetime.combine(day, NOON)
