"""What moulds, fridges and probes have alike: one is added, changed, put away and brought back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, Protocol, TypeVar

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import URLPattern, path
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_http_methods, require_POST

from nibsmith.science.errors import InputError
from nibsmith.shop.common.forms import RecordForm, attempt, typed
from nibsmith.shop.common.history.selectors import told_of
from nibsmith.shop.common.problems import UNPROCESSABLE
from nibsmith.shop.kit.forms import WhyForm
from nibsmith.shop.kit.keeping import bring_back, retire
from nibsmith.shop.kit.models import Fridge, Mould, Probe

Row = TypeVar("Row", Mould, Fridge, Probe)


class Change(Protocol[Row]):
    """Store what is different about a thing."""

    def __call__(self, row: Row, card: Any, *, why: str, seen: str) -> Row: ...


@dataclass(frozen=True, kw_only=True)
class Things(Generic[Row]):
    """One sort of thing: its words, its form, and where it is read and written.

    ``keepers`` are the records that keep a thing that was put away.
    """

    one: str
    many: str
    lead: str
    keepers: str
    form: type[Any]
    initial: Callable[[Row], dict[str, Any]]
    find: Callable[[str], Row]
    create: Callable[..., Row]
    update: Change[Row]
    usual: Mapping[str, str] | None = None

    def paths(self, listed: Callable[[HttpRequest], HttpResponse]) -> list[URLPattern]:
        """Return the addresses of the list and of what is done to one."""
        here = f"{self.many}/<str:ref>/"
        return [
            path(f"{self.many}/", listed, name=self.many),
            path(f"{self.many}/new/", self.add, name=f"add_{self.one}"),
            path(here, self.change, name=self.one),
            path(f"{here}put-away/", self.put_away, name=f"put_{self.one}_away"),
            path(f"{here}bring-back/", self.bring_back, name=f"bring_{self.one}_back"),
        ]

    @method_decorator(require_http_methods(["GET", "HEAD", "POST"]))
    def add(self, request: HttpRequest) -> HttpResponse:
        form = self.form(typed(request), initial=self.usual)
        made: list[Row] = []
        if attempt(form, lambda: made.append(self.create(form.card(), why=form.cleaned_data["why"]))):
            messages.success(request, f"{made[0].name} is saved.")
            return self._to_list()
        return self._page(request, form)

    @method_decorator(require_http_methods(["GET", "HEAD", "POST"]))
    def change(self, request: HttpRequest, ref: str) -> HttpResponse:
        row = self._found(ref)
        form = self.form(typed(request), initial=self.initial(row), record=row)
        if attempt(form, lambda: self._change(row, form)):
            messages.success(request, "Saved.")
            return self._to_list()
        return self._page(request, form, row)

    @method_decorator(require_POST)
    def put_away(self, request: HttpRequest, ref: str) -> HttpResponse:
        row, form = self._found(ref), WhyForm(request.POST)
        if attempt(form, lambda: retire(row, why=form.cleaned_data["why"])):
            messages.success(request, f"{row.name} is put away. {self.keepers} made with it keep it.")
        return self._to_list()

    @method_decorator(require_POST)
    def bring_back(self, request: HttpRequest, ref: str) -> HttpResponse:
        row = bring_back(self._found(ref))
        messages.success(request, f"{row.name} is back in the lists.")
        return self._to_list()

    def _change(self, row: Row, form: Any) -> Row:
        return self.update(row, form.card(), why=form.cleaned_data["why"], seen=form.stamp)

    def _to_list(self) -> HttpResponse:
        return redirect(f"kit:{self.many}")

    def _page(self, request: HttpRequest, form: RecordForm, row: Row | None = None) -> HttpResponse:
        context = {
            "form": form,
            "row": row,
            "changes": told_of(row),
            "things": self,
            "list": f"kit:{self.many}",
            "put_away": f"kit:put_{self.one}_away",
            "bring_back": f"kit:bring_{self.one}_back",
        }
        status = UNPROCESSABLE if form.errors else None
        return render(request, "kit/thing.html", context, status=status)

    def _found(self, ref: str) -> Row:
        try:
            return self.find(ref)
        except InputError:
            raise Http404 from None
