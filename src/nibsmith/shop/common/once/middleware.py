"""Write a form once: the same one sent again leads to the same page, and writes nothing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from django.contrib import messages
from django.contrib.messages.storage.base import BaseStorage
from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponseRedirect
from django.http.response import HttpResponseBase
from django.utils import timezone

from nibsmith.shop.common.once.marks import mark_of
from nibsmith.shop.common.once.models import SentForm

GetResponse = Callable[[HttpRequest], HttpResponseBase]
KEPT = timedelta(days=90)  # longer than a page stands open
_REFUSED = 400


class WriteOnce:
    """Keep the mark of a form in the transaction that writes it.

    The mark is unique in the database, so of two that are sent at the same instant one waits for the other,
    and then finds it. A form that was refused leaves no mark: it may be sent again as it is.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        mark = mark_of(request)
        if not mark:
            return self.get_response(request)
        with transaction.atomic():
            sent = _new(mark)
            if sent is None:
                return _again(request, SentForm.objects.get(mark=mark))
            response = self.get_response(request)
            _settle(request, sent, response)
        return response


def _new(mark: str) -> SentForm | None:
    """Store a mark; none where it is there already."""
    try:
        with transaction.atomic():
            return SentForm.objects.create(mark=mark)
    except IntegrityError:
        return None


def _settle(request: HttpRequest, sent: SentForm, response: HttpResponseBase) -> None:
    """Keep where the form led; take everything back where it was refused."""
    if response.status_code >= _REFUSED:
        transaction.set_rollback(True)
    elif isinstance(response, HttpResponseRedirect):
        sent.led_to, sent.told = response.url, _told(request)
        sent.save(update_fields=["led_to", "told"])
        SentForm.objects.filter(at__lt=timezone.now() - KEPT).delete()
    else:  # it led nowhere, so there is nothing to lead to again
        sent.delete()


def _told(request: HttpRequest) -> list[tuple[int, str]]:
    """Return what the next page will tell, and leave it to be told."""
    waiting = messages.get_messages(request)
    told = [(message.level, str(message.message)) for message in waiting]
    if isinstance(waiting, BaseStorage):  # to read them is to use them up, unless one says otherwise
        waiting.used = False
    return told


def _again(request: HttpRequest, sent: SentForm) -> HttpResponseBase:
    waiting = _told(request)
    for level, text in sent.told:
        if (level, text) not in waiting:
            messages.add_message(request, level, text)
    return HttpResponseRedirect(sent.led_to)
