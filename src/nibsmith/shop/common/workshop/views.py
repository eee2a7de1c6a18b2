"""The page of the settings."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop import services
from nibsmith.shop.common.workshop.forms import SettingsForm
from nibsmith.shop.common.workshop.selectors import workshop, workshop_row


@require_http_methods(["GET", "POST"])
def settings(request: HttpRequest) -> HttpResponse:
    initial = SettingsForm.initial_of(workshop())
    form = SettingsForm(typed(request), initial=initial, record=workshop_row())
    if attempt(form, lambda: _save(form)):
        messages.success(request, "The settings are saved.")
        return redirect("common:settings")
    status = UNPROCESSABLE if form.errors else None
    return render(request, "common/workshop/settings.html", {"form": form}, status=status)


def _save(form: SettingsForm) -> None:
    services.update_workshop(form.settings(), why=form.cleaned_data["why"], seen=form.stamp)
