"""The pages of the fridges."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit import instruments, selectors
from nibsmith.shop.kit.forms import FridgeForm, initial_of_fridge
from nibsmith.shop.kit.models import Fridge
from nibsmith.shop.kit.reading import fridge_facts
from nibsmith.shop.kit.views.things import Things

FRIDGES = Things[Fridge](
    one="fridge",
    many="fridges",
    lead="Any place where moulds cool: a fridge, a cabinet, a cellar.",
    keepers="Records",
    form=FridgeForm,
    initial=initial_of_fridge,
    find=selectors.fridge,
    create=instruments.create_fridge,
    update=instruments.update_fridge,
)


@require_safe
def fridges(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(row, fridge_facts(row, settings)) for row in selectors.fridges()]
    context = {"listed": listed, "put_away": selectors.fridges(put_away=True)}
    return render(request, "kit/fridges.html", context)
