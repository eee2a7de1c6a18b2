"""Remember an answer of the database for the length of one request, and never longer."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, TypeVar

from django.core.signals import request_finished, request_started

Read = TypeVar("Read")
_thread = threading.local()


def begin(**_: Any) -> None:
    """Start to remember."""
    _thread.remembered = {}


def end(**_: Any) -> None:
    """Forget everything, and ask anew from now on."""
    _thread.remembered = None


request_started.connect(begin, dispatch_uid="nibsmith.per_request.begin")
request_finished.connect(end, dispatch_uid="nibsmith.per_request.end")


def remembered(name: str, read: Callable[[], Read]) -> Read:
    """Return what ``read`` gave before in this request; outside a request, ask anew every time."""
    kept: dict[str, Any] | None = getattr(_thread, "remembered", None)
    if kept is None:
        return read()
    if name not in kept:
        kept[name] = read()
    answer: Read = kept[name]
    return answer


def forget(name: str) -> None:
    """Drop what a write has made untrue."""
    (getattr(_thread, "remembered", None) or {}).pop(name, None)
