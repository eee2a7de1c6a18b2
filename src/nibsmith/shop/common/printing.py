"""The paper of the workshop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nibsmith.shop.common.workshop.selectors import WorkshopSettings

if TYPE_CHECKING:  # it loads what sets a page, which only a page that is printed needs
    from nibsmith.paper import Paper


def paper_of(settings: WorkshopSettings) -> Paper:
    """Return the paper that the settings name."""
    from nibsmith.paper import Paper

    return Paper.A4 if settings.paper == "A4" else Paper.LETTER
