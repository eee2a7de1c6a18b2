"""The one-time value of a form, and what tells a form that was sent from every other."""

from __future__ import annotations

import hashlib
import json
import secrets

from django.http import HttpRequest

FIELD = "once"
LONGEST = 64
_NOT_TYPED = frozenset({"csrfmiddlewaretoken"})


def new_value() -> str:
    """Return a value for a form that is drawn now."""
    return secrets.token_hex(8)


def mark_of(request: HttpRequest) -> str:
    """Return what tells a form that was sent from every other; nothing where it carries no one-time value."""
    if request.method != "POST":
        return ""
    value = request.POST.get(FIELD, "")
    if not 0 < len(value) <= LONGEST:
        return ""
    typed = sorted((name, texts) for name, texts in request.POST.lists() if name not in _NOT_TYPED)
    sent = [(name, _digest(file)) for name, files in request.FILES.lists() for file in files]
    told = json.dumps([request.get_full_path(), typed, sorted(sent)])
    return hashlib.sha256(told.encode()).hexdigest()


def _digest(file: object) -> str:
    """Read a file that was sent, and leave it as if nobody had."""
    found = hashlib.sha256()
    for chunk in file.chunks():  # type: ignore[attr-defined]
        found.update(chunk)
    file.seek(0)  # type: ignore[attr-defined]
    return found.hexdigest()
