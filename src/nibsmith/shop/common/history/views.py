"""The page of everything that was changed."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from nibsmith.shop.common.history import selectors
from nibsmith.shop.common.htmx import page_or_fragment


@require_GET
def history(request: HttpRequest) -> HttpResponse:
    kind = request.GET.get("kind", "")
    page, entries = selectors.told_page(request.GET.get("page", "1"), kind)
    context = {"page": page, "entries": entries, "kind": kind, "kinds": selectors.kinds()}
    return page_or_fragment(request, "common/history/history.html", "common/history/list.html", context)
