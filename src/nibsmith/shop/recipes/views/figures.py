"""Every figure of the mix, and one figure opened: its formula, what goes into it, where that is from."""

from __future__ import annotations

import uuid

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.science.mixture import PROPERTIES
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors
from nibsmith.shop.recipes.figure_opened import open_figure
from nibsmith.shop.recipes.figure_table import OF_FAT, figure_table
from nibsmith.shop.recipes.opening import open_version


@require_safe
def figures(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Show all figures of a recipe on each basis."""
    version = selectors.newest(public_id)
    table = figure_table(open_version(version), workshop(), tuple(PROPERTIES), zeros=True)
    return render(request, "recipes/figures.html", {"version": version, "figures": table})


@require_safe
def figure(request: HttpRequest, public_id: uuid.UUID, key: str) -> HttpResponse:
    """Open one figure."""
    if key not in PROPERTIES and key != OF_FAT:
        raise Http404
    version = selectors.newest(public_id)
    opened = open_figure(open_version(version), key, workshop())
    return render(request, "recipes/figure.html", {"version": version, "figure": opened})
