"""What was picked for words that can mean several things: the words and their pick stand in pairs."""

from __future__ import annotations

from collections.abc import Mapping

from django.http import QueryDict


def picked(data: QueryDict) -> Mapping[str, str]:
    """Return the reference picked for each words."""
    picks = ((words, data.get(f"pick{number}", "")) for number, words in enumerate(data.getlist("words")))
    return {words: pick for words, pick in picks if pick}
