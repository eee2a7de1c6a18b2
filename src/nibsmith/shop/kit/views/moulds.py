"""The pages of the moulds."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit import selectors, services
from nibsmith.shop.kit.forms import MouldForm, initial_of_mould
from nibsmith.shop.kit.models import Mould
from nibsmith.shop.kit.reading import mass
from nibsmith.shop.kit.views.things import Things

MOULDS = Things[Mould](
    one="mould",
    many="moulds",
    lead="What one cavity holds decides how many bars a batch makes.",
    keepers="Recipes",
    form=MouldForm,
    initial=initial_of_mould,
    find=selectors.own_mould,
    create=services.create_mould,
    update=services.update_mould,
    usual={"cavities": "1"},
)


@require_safe
def moulds(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(choice, mass(choice.cavity_g, settings)) for choice in selectors.moulds()]
    context = {"listed": listed, "put_away": selectors.moulds_put_away(), "usual": settings.default_mould}
    return render(request, "kit/moulds.html", context)
