"""The sentence that says what widens a range most, and what would narrow it."""

from __future__ import annotations

from collections.abc import Mapping

from nibsmith.answers.answer import Detail
from nibsmith.answers.wording import capital, joined
from nibsmith.science.numerics import widest

Narrowed = Mapping[str, tuple[str, str]]
"""By input: what it is in words, and what would narrow it."""


def widest_sentence(shares: Mapping[str, float], narrowed: Narrowed) -> str:
    """Return the sentence that names what widens a range most, ties said.

    Examples
    --------
    >>> words = {"air": ("the air", "measure it"), "seed": ("the seed", "weigh it")}
    >>> widest_sentence({"air": 0.9, "seed": 0.1}, words)
    'What widens the range most is the air: measure it.'
    >>> widest_sentence({"air": 0.5, "seed": 0.5}, words)
    'The range is widened about equally by the air and the seed.'
    """
    names = widest(shares)
    if not names:
        return ""
    if len(names) == 1:
        what, how = narrowed[names[0]]
        return f"What widens the range most is {what}: {how}."
    return f"The range is widened about equally by {joined([narrowed[name][0] for name in names])}."


def widest_detail(shares: Mapping[str, float], narrowed: Narrowed) -> Detail:
    """Return the table of what each input adds to the variance, largest first."""
    ordered = sorted(shares.items(), key=lambda item: -item[1])
    rows = tuple(
        (capital(narrowed[name][0]), f"{100 * share:.0f} %") for name, share in ordered if 100 * share >= 1
    )
    return Detail("What widens the range", ("Input", "Share of the variance, one at a time"), rows)
