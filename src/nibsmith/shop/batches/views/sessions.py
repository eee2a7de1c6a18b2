"""The page of a session: how it was tempered, what was folded in, its cooling curves, its bars."""

from __future__ import annotations

import uuid
from dataclasses import fields
from functools import partial
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from nibsmith.shop.batches import selectors, writing
from nibsmith.shop.batches.forms import CurveForm, FoldInForm, FoldInsForm, SessionForm, WhyForm
from nibsmith.shop.batches.models import Session
from nibsmith.shop.batches.selectors import Diary
from nibsmith.shop.batches.services import sessions
from nibsmith.shop.batches.services.sessions import SessionCard
from nibsmith.shop.batches.shown_session import show_session
from nibsmith.shop.batches.views.batch import asked
from nibsmith.shop.common.forms import WorkshopForm, attempt, typed
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes.naming import Names, WhichOne

SAID = {
    "session": "The session is kept.",
    "fold-ins": "The fold-ins are kept.",
    "other": "It is kept.",
    "curve": "The curve is kept.",
}


@require_http_methods(["GET", "HEAD", "POST"])
def session(request: HttpRequest, public_id: uuid.UUID, number: int) -> HttpResponse:
    """Show a session, or fill in what is known of it."""
    found = _found(public_id, number)
    form = SessionForm(typed(request), initial=_initial(found), record=found)
    if attempt(form, lambda: _kept(found, form)):
        return _to(found, "session")
    return _page(request, found, {"form": form} if form.errors else None)


@require_POST
def write(request: HttpRequest, public_id: uuid.UUID, number: int, what: str) -> HttpResponse:
    """Write down one thing about a session."""
    found = _found(public_id, number)
    forms = _forms(selectors.diary(found.batch))
    if what not in forms:
        raise Http404
    form = forms[what](request.POST)
    question: list[WhichOne] = []
    write_it = partial(_written, form, what, found, request.POST.get("pick", ""))
    if attempt(form, write_it, partial(asked, question)):
        return _to(found, what)
    key = what.replace("-", "_")
    return _page(request, found, {key: form, "which": question[0] if question else None})


@require_POST
def strike(request: HttpRequest, public_id: uuid.UUID, number: int) -> HttpResponse:
    """Say that there was no such session."""
    found = _found(public_id, number)
    form = WhyForm(request.POST, prefix="strike")
    if attempt(form, lambda: sessions.strike(found, form.cleaned_data["why"])):
        return redirect("batches:batch", public_id=public_id)
    return _page(request, found, {"striking": form})


def _found(public_id: uuid.UUID, number: int) -> Session:
    return selectors.session(selectors.one(public_id), number)


def _to(found: Session, what: str) -> HttpResponse:
    url = reverse("batches:session", args=[found.batch.public_id, found.number])
    return redirect(f"{url}?kept={what}#{what}")


def _written(form: Any, what: str, found: Session, pick: str) -> None:
    if what == "fold-ins":
        writing.fold_ins(form, found)
    elif what == "other":
        writing.fold_in_other(form, found, pick)
    else:
        writing.take_curve(form, found)


def _forms(diary: Diary) -> dict[str, Any]:
    outside = [part for part in diary.planned if not part.in_machine]
    return {
        "fold-ins": partial(FoldInsForm, outside, prefix="fold-ins"),
        "other": partial(FoldInForm, prefix="other"),
        "curve": partial(CurveForm, prefix="curve"),
    }


def _initial(found: Session) -> dict[str, Any]:
    said = {field.name: getattr(found, field.name) for field in fields(SessionCard)}
    return {**said, "bars": "" if found.bars is None else str(found.bars)}


def _kept(found: Session, form: SessionForm) -> Session:
    return sessions.update(found, _card(form), why=form.cleaned_data["why"], seen=form.stamp)


def _card(form: WorkshopForm) -> SessionCard:
    return SessionCard(**{field.name: form.cleaned_data[field.name] for field in fields(SessionCard)})


def _page(request: HttpRequest, found: Session, sent: dict[str, Any] | None = None) -> HttpResponse:
    diary = selectors.diary(found.batch)
    forms: dict[str, Any] = {what.replace("-", "_"): make() for what, make in _forms(diary).items()}
    forms |= sent or {}
    cold = request.GET.get("cooling") == "yes"
    shown = show_session(diary, found, workshop(), cold=cold)
    context = {
        "batch": found.batch,
        "session": found,
        "shown": shown,
        "cold": cold,
        "fold_rows": [(one, forms["fold_ins"][FoldInsForm.name_of(one.part)]) for one in shown.fold_ins],
        "form": SessionForm(initial=_initial(found), record=found),
        "striking": WhyForm(prefix="strike"),
        "names": Names(with_recipes=False).all(),
        "said": SAID.get(request.GET.get("kept", "")),
        **forms,
    }
    return render(request, "batches/session.html", context, status=UNPROCESSABLE if sent else None)
