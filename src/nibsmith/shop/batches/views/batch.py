"""The page of a batch: what was written down, a form for each thing at the bench, and live answers."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from functools import partial
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.batches import selectors, writing
from nibsmith.shop.batches.forms import (
    BeginForm,
    EndForm,
    InstrumentForm,
    NoteForm,
    OtherForm,
    PurposeForm,
    SizeForm,
    WeighForm,
    WordsForm,
)
from nibsmith.shop.batches.models import Batch, Session
from nibsmith.shop.batches.planning import opened_on
from nibsmith.shop.batches.selectors import Diary
from nibsmith.shop.batches.services.making import describe
from nibsmith.shop.batches.shown import show_batch, show_past
from nibsmith.shop.batches.shown_answers import answer_batch
from nibsmith.shop.common.forms import WorkshopForm, attempt
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.kit.selectors import kit_name
from nibsmith.shop.recipes.naming import Names, WhichOne
from nibsmith.shop.recipes.opening import Opened

SAID = {
    "weigh": "The weights are kept.",
    "other": "It is kept.",
    "size": "The sizes are kept.",
    "words": "The flow is kept.",
    "instrument": "The flow is kept.",
    "end": "The weight is kept.",
    "begin": "The session is begun.",
    "note": "The note is kept.",
    "purpose": "The answers go by it from now on.",
    "corrected": "The correction is kept beside what it corrects.",
}


@require_safe
def batch(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    return _page(request, selectors.diary(selectors.one(public_id)))


@require_POST
def write(request: HttpRequest, public_id: uuid.UUID, what: str) -> HttpResponse:
    """Write down one thing about a batch; what is refused stays in its form."""
    diary = selectors.diary(selectors.one(public_id))
    forms = _forms(diary)
    if what not in forms:
        raise Http404
    form = forms[what](request.POST)
    question: list[WhichOne] = []
    made: list[Session | None] = []
    write_it = partial(_written, form, what, diary, request.POST)
    if attempt(form, lambda: made.append(write_it()), partial(asked, question)):
        return _to(public_id, what, made[0])
    return _page(request, diary, {what: form, "which": question[0] if question else None})


@require_POST
def note(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    found = selectors.one(public_id)
    form = NoteForm(request.POST)
    if attempt(form, lambda: describe(found, note=form.cleaned_data["note"])):
        return redirect(f"{reverse('batches:batch', args=[public_id])}?kept=note#note")
    return _page(request, selectors.diary(found), {"note": form})


def _to(public_id: uuid.UUID, what: str, session: Session | None) -> HttpResponse:
    if session is not None:
        return redirect("batches:session", public_id=public_id, number=session.number)
    return redirect(f"{reverse('batches:batch', args=[public_id])}?kept={what}#{what}")


def _written(form: Any, what: str, diary: Diary, data: QueryDict) -> Session | None:
    if what == "begin":
        return writing.begin_session(form, diary.batch)
    if what == "weigh" and data.get("do") == "as_planned":
        writing.weigh_as_planned(form, diary.batch, diary)
    elif what == "other":
        writing.add_other(form, diary.batch, data.get("pick", ""))
    else:
        writing.WRITES[what](form, diary.batch)
    return None


def asked(question: list[WhichOne], error: NibsmithError) -> NibsmithError:
    """Keep the question that a name raised, so that the page can ask it; put the error beside the name."""
    if isinstance(error, WhichOne):
        question.append(error)
    if not error.field:
        error.field = "name"
    return error


def _forms(diary: Diary) -> dict[str, Callable[..., WorkshopForm]]:
    """Return the forms of the page by what they write; each has its own prefix, so no name is there twice."""
    return {
        "weigh": partial(WeighForm, diary.machine_parts, prefix="weigh"),
        "other": partial(OtherForm, prefix="other"),
        "size": partial(SizeForm, prefix="size"),
        "words": partial(WordsForm, prefix="words", initial={"use": diary.batch.use}),
        "instrument": partial(InstrumentForm, prefix="instrument"),
        "end": partial(EndForm, prefix="end"),
        "begin": partial(BeginForm, prefix="begin"),
        "purpose": partial(PurposeForm, prefix="purpose", initial=_purpose(diary.batch)),
    }


def _purpose(found: Batch) -> dict[str, str]:
    return {"use": found.use, "aim": found.aim}


def _page(request: HttpRequest, diary: Diary, sent: dict[str, Any] | None = None) -> HttpResponse:
    settings, found = workshop(), diary.batch
    opened = _opened(diary)
    forms: dict[str, Any] = {what: make() for what, make in _forms(diary).items()}
    forms["note"] = NoteForm(initial={"note": found.note})
    forms |= sent or {}
    shown = show_batch(diary, opened, settings)
    context = {
        "batch": found,
        "kit_name": kit_name(found.kit),
        "shown": shown,
        "weigh_rows": [(part, forms["weigh"][WeighForm.name_of(part.part)]) for part in shown.parts],
        "sent": next(iter(sent or ()), ""),
        "answered": None if opened is None else answer_batch(diary, opened, settings),
        "past": show_past(diary.past[::-1], settings),
        "names": Names(with_recipes=False).all(),
        "changes": told_of(found),
        "said": SAID.get(request.GET.get("kept", "")),
        **forms,
    }
    return render(request, "batches/batch.html", context, status=UNPROCESSABLE if sent else None)


def _opened(diary: Diary) -> Opened | None:
    try:
        return opened_on(diary.batch.version, diary.batch.kit)
    except NibsmithError:
        return None
