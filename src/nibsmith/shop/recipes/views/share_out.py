"""Share one stock out between recipes."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors, sharing
from nibsmith.shop.recipes.naming import Names, WhichOne
from nibsmith.shop.recipes.picks import show_picks
from nibsmith.shop.recipes.shown_sharing import claims_of, show_shared


@require_safe
def share_out(request: HttpRequest) -> HttpResponse:
    """Ask what is to be shared, and show what each recipe gets."""
    asked = sharing.read_sharing(request.GET)
    recipes = selectors.listed()
    picks = show_picks(asked.chosen, Names(with_recipes=False))
    context: dict[str, Any] = {"asked": asked, "picks": picks, "splits": sharing.SPLITS}
    status = 200
    if asked.stock:
        try:
            shared = sharing.shared_out(asked, recipes, workshop())
            context["shared"] = show_shared(shared, workshop())
        except WhichOne as question:
            context["questions"] = (question,)
        except NibsmithError as error:
            known = error.field and error.field.startswith(("recipe", "stock", "wanted-"))
            asked.errors[error.field if known and error.field else "stock"] = str(error)
            status = UNPROCESSABLE
    context["claims"] = claims_of(asked, recipes)
    return render(request, "recipes/share_out.html", context, status=status)
