"""One recipe in two windows: an edit from a page that does not show what stands now is refused."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.shop.common.changelog.selectors import history
from nibsmith.shop.common.history.meanwhile import ChangedMeanwhile
from nibsmith.shop.common.history.words import field_name
from nibsmith.shop.common.once.marks import new_value
from nibsmith.shop.recipes.models import RecipeVersion

LONGEST_PAGE = 32


@dataclass(frozen=True, slots=True)
class Window:
    """The page an edit comes from, and the stamp of what it shows; without one nothing is checked."""

    page: str = ""
    seen: str = ""


NO_WINDOW = Window()


def new_page() -> str:
    """Return a name for a page that is shown now."""
    return new_value()


def named(text: str) -> str:
    """Return the name of a page as a form sent it; none where no page of ours is called so."""
    return text if text.isascii() and text.isalnum() and len(text) <= LONGEST_PAGE else ""


def stamp(version: RecipeVersion) -> str:
    """Return which version it is and when it was last written."""
    return f"{version.pk} {version.updated_at.isoformat()}"


def check_window(latest: RecipeVersion, window: Window) -> None:
    """Refuse an edit where another window wrote last; a page may be behind its own edits."""
    if not window.seen or window.seen == stamp(latest):
        return
    if latest.written_by and latest.written_by == window.page:
        return
    entry = history(latest.recipe).first()
    fields = () if entry is None else tuple(entry.after or {})
    names = ", ".join(field_name("recipes.recipe", field) for field in fields)
    raise ChangedMeanwhile(f": {names}" if names else "", stamp(latest))
