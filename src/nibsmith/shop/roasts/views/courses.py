"""The pages of wanted courses."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nibsmith.shop.common.forms import attempt, typed
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.kit.forms import WhyForm
from nibsmith.shop.roasts import selectors
from nibsmith.shop.roasts.forms import CourseForm, initial_of_course
from nibsmith.shop.roasts.models import Course
from nibsmith.shop.roasts.services import courses as services


@require_safe
def courses(request: HttpRequest) -> HttpResponse:
    context = {"listed": selectors.courses(), "put_away": selectors.courses(put_away=True)}
    return render(request, "roasts/courses.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    form = CourseForm(typed(request))
    made: list[Course] = []
    if attempt(form, lambda: made.append(services.create(form.card(), why=form.cleaned_data["why"]))):
        messages.success(request, f"{made[0].name} is saved.")
        return redirect("roasts:courses")
    return _form_page(request, form)


@require_http_methods(["GET", "HEAD", "POST"])
def course(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    row = selectors.course(public_id)
    form = CourseForm(typed(request), initial=initial_of_course(row), record=row)
    if attempt(
        form, lambda: services.update(row, form.card(), why=form.cleaned_data["why"], seen=form.stamp)
    ):
        messages.success(request, "Saved.")
        return redirect("roasts:courses")
    return _form_page(request, form, row)


@require_POST
def put_away(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    row, form = selectors.course(public_id), WhyForm(request.POST)
    if attempt(form, lambda: services.retire(row, why=form.cleaned_data["why"])):
        messages.success(request, f"{row.name} is put away. Roasts that aimed at it keep it.")
    return redirect("roasts:courses")


@require_POST
def bring_back(request: HttpRequest, public_id: uuid.UUID) -> HttpResponse:
    row = services.bring_back(selectors.course(public_id))
    messages.success(request, f"{row.name} is back in the lists.")
    return redirect("roasts:courses")


def _form_page(request: HttpRequest, form: CourseForm, row: Course | None = None) -> HttpResponse:
    context = {"form": form, "row": row, "changes": told_of(row)}
    status = UNPROCESSABLE if form.errors else None
    return render(request, "roasts/course_form.html", context, status=status)
