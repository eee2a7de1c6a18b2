"""Roasts beside each other."""

from __future__ import annotations

import uuid
from collections.abc import Iterator

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.roasts import selectors
from nibsmith.shop.roasts.comparing import compare as compare_roasts
from nibsmith.shop.roasts.comparing import lacking


@require_safe
def compare(request: HttpRequest) -> HttpResponse:
    """Compare the roasts that are chosen, the first with each of the others."""
    asked = list(dict.fromkeys(_ids(request.GET.getlist("roast"))))
    several = selectors.several(asked[: selectors.MOST_COMPARED])
    context = {
        "lacking": lacking(several, len(asked)) if request.GET else "",
        "listed": selectors.listed(),
        "chosen": {told.roast.public_id for told in several},
        "most": selectors.MOST_COMPARED,
        "shown": compare_roasts(several, workshop()) if len(several) > 1 else None,
    }
    return render(request, "roasts/compare.html", context)


def _ids(texts: list[str]) -> Iterator[uuid.UUID]:
    for text in texts:
        try:
            yield uuid.UUID(text)
        except ValueError:
            continue
