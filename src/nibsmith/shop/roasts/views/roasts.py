"""The list of roasts, a roast with its curve and its heat, and what is known of it."""

from __future__ import annotations

import uuid
from dataclasses import fields
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nibsmith.shop.common.days import today
from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.htmx import wants_fragment
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.roasts import selectors
from nibsmith.shop.roasts.forms import (
    EditForm,
    MoreReadingsForm,
    PointForm,
    ReadingsForm,
    RoastForm,
    SettleForm,
    UntilForm,
    WhyForm,
    picked_before,
)
from nibsmith.shop.roasts.models import Kind, Readings, Roast
from nibsmith.shop.roasts.reading import known
from nibsmith.shop.roasts.services import roasts as services
from nibsmith.shop.roasts.services.readings import write_down_with
from nibsmith.shop.roasts.services.roasts import RoastCard
from nibsmith.shop.roasts.shown import Wish, show_loss, show_points, show_roast


@require_safe
def roasts(request: HttpRequest) -> HttpResponse:
    settings = workshop()
    listed = [(row, show_loss(row, settings)) for row in selectors.listed()]
    return render(request, "roasts/list.html", {"listed": listed})


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Write down a roast, with its readings where there are some."""
    form = RoastForm(typed(request), initial={"ingredient": request.GET.get("of", "")})
    sent = ReadingsForm(
        typed(request), request.FILES if request.method == "POST" else None, prefix="readings"
    )
    made: list[Roast] = []
    both = all([form.is_valid(), sent.is_valid()]) if request.method == "POST" else False
    if both and _written(form, sent, made):
        return redirect("roasts:roast", public_id=made[0].public_id)
    status = UNPROCESSABLE if form.errors or sent.errors else None
    return render(request, "roasts/new.html", {"form": form, "sent": sent}, status=status)


@require_safe
def roast(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    response = roast_page(request, selectors.one(public_id))
    if wants_fragment(request):  # the address says what is asked besides, also after a reading was added
        response["HX-Replace-Url"] = request.get_full_path()
    return response


@require_safe
def on_paper(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Give a roast as PDF; where its readings cannot be read yet, its page says why."""
    from nibsmith.shop.roasts.printing import leaf_of

    row, settings = selectors.one(public_id), workshop()
    wish = Wish(inside=request.GET.get("inside") == "yes")
    document = leaf_of(
        row, show_roast(row, known(row, selectors.told(row).readings), wish, settings), settings
    )
    if document is None:
        return redirect("roasts:roast", public_id=public_id)
    response = HttpResponse(document, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="roast-{row.number}.pdf"'
    return response


@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Fill in a roast, or change what stands, for a reason."""
    row = selectors.one(public_id)
    form = EditForm(typed(request), initial=_initial(row), record=row)
    if attempt(
        form, lambda: services.update(row, _card(form), why=form.cleaned_data["why"], seen=form.stamp)
    ):
        return redirect("roasts:roast", public_id=public_id)
    status = UNPROCESSABLE if form.errors else None
    return render(request, "roasts/edit.html", {"form": form, "roast": row}, status=status)


@require_POST
def strike(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    """Say that there was no such roast."""
    row = selectors.one(public_id)
    form = WhyForm(request.POST, prefix="strike")
    if attempt(form, lambda: services.strike(row, form.cleaned_data["why"])):
        return redirect("roasts:roast", public_id=public_id)
    return roast_page(request, row, {"striking": form})


def _written(form: RoastForm, sent: ReadingsForm, made: list[Roast]) -> bool:
    """Write both or neither; a refusal stands in the form that it is about."""
    about_readings = {"typed", "file", "probe", "role", "in_at", "out_at"}

    def write() -> None:
        made.append(write_down_with(_card(form), sent.sent()))

    failed: list[str | None] = []

    def noted(error: Any) -> Any:
        failed.append(error.field)
        return error

    if attempt(form, write, noted):
        return True
    if failed and failed[0] in about_readings:
        errors = form.errors.pop("__all__", None)
        for error in errors.as_data() if errors else ():
            sent.add_error(failed[0], error)
    return False


def _card(form: RoastForm) -> RoastCard:
    return form.card(today())


def _initial(row: Roast) -> dict[str, Any]:
    said = {field.name: getattr(row, field.name) for field in fields(RoastCard)}
    return {
        **said,
        "wanted": row.wanted.ref if row.wanted else "",
        "roasted_on": f"{row.roasted_on:%Y-%m-%d}",
    }


def roast_page(request: HttpRequest, row: Roast, sent: dict[str, Any] | None = None) -> HttpResponse:
    """Show a roast; ``sent`` are forms that were refused."""
    told, settings = selectors.told(row), workshop()
    asked = request.POST if sent and "point" in sent else request.GET
    until = UntilForm(asked if asked.get("until") else None)
    wish = Wish(
        until=until.cleaned_data["until"] if until.is_bound and until.is_valid() else None,
        inside=request.GET.get("inside") == "yes",
    )
    found = known(row, told.readings)
    standing = show_points(told.readings, settings)
    forms: dict[str, Any] = {
        "point": PointForm(first=told.readings is None, initial={"until": wish.until}),
        "more": MoreReadingsForm(prefix="more", initial={"typed": standing.typed}),
        "settle": settle_form(told.readings, found.names),
        "striking": WhyForm(prefix="strike"),
    }
    context = {
        "roast": row,
        "told": told,
        "shown": show_roast(row, found, wish, settings),
        "until": until,
        "wish": wish,
        "standing": standing,
        "changes": told_of(row),
        **forms,
        **(sent or {}),
    }
    return render(request, "roasts/roast.html", context, status=UNPROCESSABLE if sent else None)


def settle_form(row: Readings | None, names: tuple[str, ...], data: Any = None) -> SettleForm | None:
    """Return the form that says how readings are read; none for what a dial was set to."""
    if row is None:
        return None
    names = names or tuple(row.probes)
    picked = {f"probe-{place}": picked_before(row.probes.get(name, {})) for place, name in enumerate(names)}
    initial = {name: value for name, value in row.told.items() if row.kind == Kind.FILE}
    initial |= {"in_at": row.in_s, "out_at": row.out_s}
    return SettleForm(names, data, prefix="settle", initial={**initial, **picked})
