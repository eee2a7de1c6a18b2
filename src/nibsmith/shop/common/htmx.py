"""Answer with a whole page, or with the piece of it that htmx asked for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django_htmx.middleware import HtmxDetails


class HtmxRequest(HttpRequest):
    """A request that the htmx middleware has seen."""

    htmx: HtmxDetails


def wants_fragment(request: HttpRequest) -> bool:
    """Whether the browser will put the answer into the page it already shows."""
    htmx = cast("HtmxRequest", request).htmx
    return bool(htmx) and not htmx.boosted and not htmx.history_restore_request


def page_or_fragment(
    request: HttpRequest,
    page: str,
    fragment: str,
    context: Mapping[str, Any],
    *,
    status: int = 200,
) -> HttpResponse:
    """Render ``page`` for a browser and ``fragment`` for htmx, from the same context."""
    template = fragment if wants_fragment(request) else page
    return render(request, template, dict(context), status=status)
