"""A kit inside a sentence."""

from __future__ import annotations

from nibsmith.science.kit import Kit, kits


def the_kit(kit: Kit) -> str:
    """Return a kit as a sentence names it: a packaged one with its article, the maker's own by its name.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from nibsmith.science.kit import kit
    >>> the_kit(kit("stone")), the_kit(replace(kit("stone"), key="own:1", name="Agnes, the stone grinder"))
    ('the stone grinder', 'Agnes, the stone grinder')
    """
    packaged = kits().get(kit.key)
    if packaged is None or packaged.name != kit.name:
        return kit.name
    return f"the {kit.name[:1].lower()}{kit.name[1:]}"
