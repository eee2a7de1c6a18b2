"""The list of the tools, each tool, and its answer on paper."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from django.forms import BoundField, ChoiceField, Field
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from nibsmith.shop.common.forms import attempt
from nibsmith.shop.common.htmx import wants_fragment
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.tools.catalogue import BENCHES
from nibsmith.shop.tools.forms import ToolForm
from nibsmith.shop.tools.showing import Bench, Shown

READS_AND_TEXTS = ["GET", "HEAD", "POST"]


@require_safe
def tools(request: HttpRequest) -> HttpResponse:
    """List the tools."""
    return render(request, "tools/tools.html", {"benches": BENCHES.values()})


@require_http_methods(READS_AND_TEXTS)
def bench(request: HttpRequest, key: str) -> HttpResponse:
    """Show a tool with its answer; for htmx the answer and the refusals alone."""
    tool = _tool(request, key)
    form, shown = _answered(request, tool)
    if wants_fragment(request) and not tool.by_post and _unfinished(form):
        form, shown = tool.form(), None
    context = _context(request, tool, form, shown)
    status = UNPROCESSABLE if form.errors else 200
    template = "tools/_answered.html" if wants_fragment(request) else "tools/bench.html"
    return render(request, template, context, status=status)


@require_http_methods(READS_AND_TEXTS)
def paper(request: HttpRequest, key: str) -> HttpResponse:
    """Give the answer of a tool as PDF, its pictures included; where it has none, its page says why."""
    from nibsmith.shop.tools.printing import leaf_of

    tool = _tool(request, key)
    form, shown = _answered(request, tool)
    if shown is None:
        context = _context(request, tool, form, shown)
        return render(request, "tools/bench.html", context, status=UNPROCESSABLE)
    response = HttpResponse(leaf_of(tool, shown, workshop()), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{tool.key}.pdf"'
    return response


def _tool(request: HttpRequest, key: str) -> Bench:
    tool = BENCHES.get(key)
    if tool is None or (request.method == "POST" and not tool.by_post):
        raise Http404
    return tool


def _answered(request: HttpRequest, tool: Bench) -> tuple[ToolForm, Shown | None]:
    """Read what was typed and answer it; nothing is answered where nothing was typed and nothing is usual."""
    form = _form(request, tool)
    found: list[Shown] = []
    if form.is_bound:
        attempt(form, lambda: found.append(tool.work(form, workshop())))
    return form, (found[0] if found else None)


def _unfinished(form: ToolForm) -> bool:
    """Whether nothing is wrong but that something is not typed yet; nobody wants to hear that meanwhile."""
    faults = [fault for errors in form.errors.as_data().values() for fault in errors]
    return bool(faults) and all(fault.code == "required" for fault in faults)


def _form(request: HttpRequest, tool: Bench) -> ToolForm:
    if request.method == "POST":
        return tool.form(request.POST, request.FILES)
    names = {*tool.form.base_fields, *tool.names}
    if set(request.GET) & names:
        return tool.form(_completed(request.GET, tool))
    return tool.form(dict(tool.usual)) if tool.usual else tool.form(initial=dict(tool.preset))


def _completed(query: QueryDict, tool: Bench) -> QueryDict:
    """Return what an address asks, with what its form would have shown in fields that it leaves out."""
    typed = query.copy()
    for name, field in tool.form().fields.items():
        typed.setdefault(name, tool.preset.get(name, _first_choice(field)))
    return typed


def _first_choice(field: Field) -> str:
    choices = cast("Iterable[tuple[str, str]]", field.choices) if isinstance(field, ChoiceField) else ()
    return next((value for value, _ in choices), "")


def _context(request: HttpRequest, tool: Bench, form: ToolForm, shown: Shown | None) -> dict[str, Any]:
    more = [form[name] for name in tool.more]
    return {
        "tool": tool,
        "form": form,
        "first": [field for field in form if field.name not in tool.more],
        "more": more,
        "more_open": any(field.errors or _was_typed(field, tool) for field in more),
        "shown": shown,
        "query": request.GET.urlencode(),
    }


def _was_typed(field: BoundField, tool: Bench) -> bool:
    """Whether a field holds something that the maker put there."""
    value = field.value() or ""
    return field.form.is_bound and value != tool.preset.get(field.name, "")
