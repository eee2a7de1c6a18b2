"""The page of all sources."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.shop.common.sources.words import by_section


@require_safe
def sources(request: HttpRequest) -> HttpResponse:
    return render(request, "common/sources.html", {"sections": by_section().items()})
