"""Every name a recipe could go by in the chosen markets, and what would earn each that is refused."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.shown_names import show_names


@require_safe
def names(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Show every name of the chosen markets."""
    version = selectors.newest(public_id)
    shown = show_names(open_version(version), workshop())
    return render(request, "recipes/names.html", {"version": version, "shown": shown})
