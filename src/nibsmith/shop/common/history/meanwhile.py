"""Two people at one record: whoever saves second is told, and nothing of either is lost."""

from __future__ import annotations

from datetime import datetime

from django.db import models

from nibsmith.science.errors import InputError
from nibsmith.shop.common.changelog.selectors import history
from nibsmith.shop.common.history.words import field_name

NONE = "none"  # the stamp of a record that does not stand yet


class ChangedMeanwhile(InputError):
    """A record was written by somebody else since its form was shown; ``now`` is its stamp as it stands."""

    def __init__(self, what: str, now: str) -> None:
        super().__init__(
            f"This was changed in another window while you typed{what}",
            advice="Look at it there; send it again to put what stands here in its place.",
        )
        self.now = now


def stamp(thing: models.Model | None) -> str:
    """Return when a record was last written, as a form takes it along."""
    written: datetime | None = None if thing is None else getattr(thing, "updated_at", None)
    return NONE if written is None else written.isoformat()


def check_seen(thing: models.Model | None, seen: str) -> None:
    """Refuse to write over a record that is not as the form showed it; an empty stamp asks for no check."""
    if seen and stamp(thing) != seen:
        raise ChangedMeanwhile(_told(thing, seen), stamp(thing))


def _told(thing: models.Model | None, seen: str) -> str:
    """Name the fields that were changed since."""
    when = _read(seen)
    if thing is None or when is None:
        return ""
    # The oldest of them is the entry of the very write that was seen: it is made just after it.
    since = list(history(thing).filter(at__gte=when))[:-1]
    names = (field_name(entry.object_type, field) for entry in since for field in entry.after or {})
    return f": {', '.join(dict.fromkeys(names))}" if since else ""


def _read(seen: str) -> datetime | None:
    try:
        return datetime.fromisoformat(seen)
    except ValueError:
        return None
