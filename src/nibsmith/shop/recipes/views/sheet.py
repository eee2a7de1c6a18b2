"""The batch sheet: a page to print, and the same on paper as PDF."""

from __future__ import annotations

import re
import unicodedata
import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.answers.sheet import Sheet, batch_sheet
from nibsmith.shop.common.printing import paper_of
from nibsmith.shop.common.said import said_in, unbroken_in
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_version

_NOT_IN_FILE_NAMES = re.compile(r"[^A-Za-z0-9]+")


@require_safe
def sheet(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Show the sheet of the newest version, or of the one asked for."""
    version = _version(request, public_id)
    return render(request, "recipes/sheet.html", {"version": version, "sheet": _sheet(version)})


@require_safe
def pdf(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Give the sheet as PDF, shown in the browser under a name that says what it is."""
    from nibsmith.paper import sheet_pdf

    version = _version(request, public_id)
    document = sheet_pdf(_sheet(version), paper_of(workshop()))
    response = HttpResponse(document, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{file_name(version)}"'
    return response


def file_name(version: RecipeVersion, what: str = "batch-sheet") -> str:
    """Name the file by recipe and version, in letters every system takes."""
    plain = unicodedata.normalize("NFKD", version.recipe.name).encode("ascii", "ignore").decode()
    stem = _NOT_IN_FILE_NAMES.sub("-", plain).strip("-").lower() or "recipe"
    return f"{stem}-version-{version.number}-{what}.pdf"


def _version(request: HttpRequest, public_id: uuid.UUID) -> RecipeVersion:
    number = request.GET.get("version", "")
    if number.isascii() and number.isdigit() and len(number) < 6:
        return selectors.numbered(public_id, int(number))
    return selectors.newest(public_id)


def _sheet(version: RecipeVersion) -> Sheet:
    opened = open_version(version)
    state = "" if version.is_frozen else ", still being worked on"
    made = batch_sheet(opened.recipe, opened.context, f"Version {version.number}{state}")
    return said_in(unbroken_in(made), workshop())
