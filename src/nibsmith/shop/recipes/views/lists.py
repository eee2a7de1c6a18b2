"""The list of recipes, and what is written on the outside of one: name, form, note, put away or not."""

from __future__ import annotations

import uuid
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nibsmith.shop.common.forms import PickField, RecordForm, TextField, WorkshopForm, attempt
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.shown_start import show_recipe
from nibsmith.shop.recipes.words import FORMS


class DescribeForm(RecordForm):
    """Name, form and note of a recipe."""

    name = TextField(label="Name")
    form = PickField(label="Sold as", choices=list(FORMS.items()))
    note = TextField(label="Note", lines=4, required=False)
    why = TextField(label="Why the change", required=False)


class CopyForm(WorkshopForm):
    """The name of a recipe that begins as another."""

    name = TextField(label="Name of the new recipe")


@require_safe
def recipes(request: HttpRequest) -> HttpResponse:
    """List the recipes, the one worked on last first; those put away at the end."""
    settings = workshop()
    context = {
        "recipes": [show_recipe(listed, settings) for listed in selectors.listed()],
        "put_away": [listed.recipe for listed in selectors.listed(put_away=True)],
    }
    return render(request, "recipes/list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def describe(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Change name, form and note."""
    version = selectors.newest(public_id)
    recipe = version.recipe
    initial = {"name": recipe.name, "form": recipe.form, "note": recipe.note}
    form = DescribeForm(request.POST if request.method == "POST" else None, initial=initial, record=recipe)

    def write() -> None:
        services.describe(recipe, **form.cleaned_data, seen=form.stamp)

    if request.method == "POST" and attempt(form, write):
        return redirect("recipes:recipe", public_id=public_id)
    return _form(request, "recipes/describe.html", version, form)


@require_http_methods(["GET", "HEAD", "POST"])
def copy(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Begin another recipe as this one is."""
    version = selectors.newest(public_id)
    initial = {"name": f"{version.recipe.name}, another"}
    form = CopyForm(request.POST if request.method == "POST" else None, initial=initial)
    made: list[RecipeVersion] = []

    def write() -> None:
        made.append(services.copy(version, name=form.cleaned_data["name"]))

    if request.method == "POST" and attempt(form, write):
        return redirect("recipes:recipe", public_id=made[0].recipe.public_id)
    return _form(request, "recipes/copy.html", version, form)


def _form(request: HttpRequest, template: str, version: RecipeVersion, form: forms.BaseForm) -> HttpResponse:
    context: dict[str, Any] = {"version": version, "form": form}
    return render(request, template, context, status=UNPROCESSABLE if form.errors else 200)


@require_POST
def put_away(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Take a recipe out of the lists."""
    recipe = selectors.newest(public_id).recipe
    services.retire(recipe, why=request.POST.get("why", ""))
    messages.success(request, f"{recipe.name} is put away. It stands at the end of this list.")
    return redirect("recipes:list")


@require_POST
def bring_back(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Put a recipe back into the lists."""
    recipe = selectors.newest(public_id).recipe
    services.bring_back(recipe)
    messages.success(request, f"{recipe.name} is back.")
    return redirect("recipes:recipe", public_id=public_id)
