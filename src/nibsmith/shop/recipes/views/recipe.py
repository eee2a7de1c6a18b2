"""The recipe page: what goes in on the left, the answers on the right, answered again on every edit."""

from __future__ import annotations

import uuid
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_htmx.http import HttpResponseClientRedirect, reselect, reswap, retarget

from nibsmith.answers.wording import joined
from nibsmith.science.errors import InputError
from nibsmith.shop.common.htmx import wants_fragment
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import editing, selectors, services
from nibsmith.shop.recipes.answering import answers_at_once, answers_to, find_remedy, with_remedy
from nibsmith.shop.recipes.figure_table import figure_table
from nibsmith.shop.recipes.keeping import changed_since
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.naming import Names
from nibsmith.shop.recipes.opening import Opened, open_draft, open_version
from nibsmith.shop.recipes.shown import Shown, show, show_typed
from nibsmith.shop.recipes.shown_answers import show_answers
from nibsmith.shop.recipes.typed import Typed, read
from nibsmith.shop.recipes.windows import new_page, stamp
from nibsmith.shop.recipes.words import FORMS
from nibsmith.shop.stock.words import GRINDS, KINDS, STAGES

ANSWERS = "answers"  # the element that a typed amount replaces; everything else replaces the whole workbench

AT_ITS_FIELD = "Nothing is changed yet: what is wrong stands beside its field."
STANDS_TYPED = ("add", "add_amount", "ratio")  # fields that an edit of something else leaves as they stand


@require_http_methods(["GET", "HEAD", "POST"])
def recipe(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Show a recipe, or take an edit of it."""
    version = selectors.newest(public_id)
    if request.method == "POST":
        return _edited(request, version)
    return _page(request, version, open_version(version))


@require_safe
def estimates(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Give the answers that an edit left to be worked out; a browser that comes by itself gets the page."""
    version = selectors.newest(public_id)
    if not wants_fragment(request):
        return redirect("recipes:recipe", public_id=public_id)
    answers = show_answers(answers_to(open_version(version)), workshop())
    return render(request, "recipes/_estimates.html", {"version": version, "answers": answers})


@require_POST
def remedy(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Make the next version with a remedy that an answer offered."""
    version = selectors.newest(public_id)
    opened = open_version(version)
    question = request.POST.get("question", "")
    try:
        found = find_remedy(opened, question, request.POST.get("sentence", ""))
        services.step_on(version, open_draft(with_remedy(opened, found, question)), why=found.sentence)
    except InputError as error:
        return _not_done(request, version, opened, error)
    return redirect("recipes:recipe", public_id=public_id)


@require_POST
def size(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Make as much of a recipe as what is on the shelf allows."""
    version = selectors.newest(public_id)
    try:
        services.edit(version, editing.sized(version, request.POST.get("have", "")))
    except InputError as error:
        return _not_done(request, version, open_version(version), error)
    return redirect("recipes:recipe", public_id=public_id)


def _not_done(
    request: HttpRequest, version: RecipeVersion, opened: Opened, error: InputError
) -> HttpResponse:
    """Show the recipe as it stands, and at its head why nothing was done."""
    context = _context(version, opened, show(opened, workshop())) | {"refused_at_top": str(error)}
    return render(request, "recipes/recipe.html", context, status=UNPROCESSABLE)


def _edited(request: HttpRequest, version: RecipeVersion) -> HttpResponse:
    typed = read(request.POST)
    try:
        version, outcome = editing.save(version, typed, workshop())
    except editing.Refused as refused:
        return _refused(request, version, typed, refused)
    if typed.do == "sheet":
        return _to_sheet(request, version)
    if wants_fragment(request) and request.headers.get("HX-Target") == ANSWERS:
        return _answered(request, version, outcome)
    return redirect(f"{reverse('recipes:recipe', args=[version.recipe.public_id])}{_still_typed(typed)}")


def _still_typed(typed: Typed) -> str:
    """Take along what stands typed and was not meant yet, so that the new page shows it."""
    left = {} if typed.do in editing.MEANT else {name: getattr(typed, name) for name in STANDS_TYPED}
    filled = {name: text for name, text in left.items() if text.strip()}
    return f"?{urlencode(filled)}" if filled else ""


def _to_sheet(request: HttpRequest, version: RecipeVersion) -> HttpResponse:
    url = reverse("recipes:sheet", args=[version.recipe.public_id])
    return HttpResponseClientRedirect(url) if wants_fragment(request) else redirect(url)


def _refused(
    request: HttpRequest, version: RecipeVersion, typed: Typed, refused: editing.Refused
) -> HttpResponse:
    """Show what was typed with each refusal beside its field; the last good answers stay."""
    opened = open_version(version)
    shown = show_typed(typed, opened, refused.errors, workshop())
    in_place = wants_fragment(request) and request.headers.get("HX-Target") == ANSWERS
    if in_place and not refused.stale:
        context = {"shown": shown, "version": version, "heard": next(iter(refused.errors.values()))}
        return reswap(render(request, "recipes/_refused.html", context, status=UNPROCESSABLE), "none")
    context = _context(version, opened, shown) | {"which": refused.which, "refused_at_top": AT_ITS_FIELD}
    page = render(request, "recipes/recipe.html", context, status=UNPROCESSABLE)
    return _in_place_of_the_workbench(page) if in_place else page


def _in_place_of_the_workbench(page: HttpResponse) -> HttpResponse:
    return reswap(reselect(retarget(page, "#workbench"), "#workbench"), "outerHTML")


def _page(request: HttpRequest, version: RecipeVersion, opened: Opened) -> HttpResponse:
    shown = show(opened, workshop())
    typed = {name: request.GET.get(name, "") for name in STANDS_TYPED}
    shown = replace(shown, fields=replace(shown.fields, **typed))
    return render(request, "recipes/recipe.html", _context(version, opened, shown))


def _answered(request: HttpRequest, version: RecipeVersion, opened: Opened) -> HttpResponse:
    settings = workshop()
    answers = show_answers(answers_at_once(opened), settings)
    context = {
        "version": version,
        "seen": stamp(version),
        "changed_since": joined(changed_since(version)),
        "shown": show(opened, settings),
        "answers": answers,
        "figures": figure_table(opened, settings),
        "heard": answers.in_short,
    }
    return render(request, "recipes/_answered.html", context)


def _context(version: RecipeVersion, opened: Opened, shown: Shown) -> dict[str, Any]:
    settings = workshop()
    return {
        "version": version,
        "seen": stamp(version),
        "which_of_its_name": selectors.which_of_its_name(version.recipe),
        "page_name": new_page(),
        "changed_since": joined(changed_since(version)),
        "shown": shown,
        "answers": show_answers(answers_to(opened), settings),
        "figures": figure_table(opened, settings),
        "names": Names().all(),
        "form_words": FORMS[version.recipe.form],
        "kinds": KINDS.items(),
        "stages": STAGES.items(),
        "grinds": GRINDS.items(),
        "currency": settings.currency,
        **editing.offers(opened.draft.amount),
    }
