"""The pages of the probes."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit import instruments, selectors
from nibsmith.shop.kit.forms import ProbeForm, initial_of_probe
from nibsmith.shop.kit.models import Probe
from nibsmith.shop.kit.reading import probe_facts
from nibsmith.shop.kit.views.things import Things

PROBES = Things[Probe](
    one="probe",
    many="probes",
    lead="What you find in a check is put right in every record made with it from then on.",
    keepers="Records",
    form=ProbeForm,
    initial=initial_of_probe,
    find=selectors.probe,
    create=instruments.create_probe,
    update=instruments.update_probe,
)


@require_safe
def probes(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(row, probe_facts(row, settings)) for row in selectors.probes()]
    context = {"listed": listed, "put_away": selectors.probes(put_away=True)}
    return render(request, "kit/probes.html", context)
