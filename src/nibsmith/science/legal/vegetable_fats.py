"""Which vegetable fats a name allows, by whole words of what an ingredient is called."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from nibsmith.science.legal.dairy import MET, Told
from nibsmith.science.legal.items import Item
from nibsmith.science.legal.laws import words
from nibsmith.science.mixture import Kind

LETTERS = re.compile(r"[^\W\d_]+")


def permitted_fat(items: Iterable[Item]) -> Told:
    """Say whether every vegetable fat is one of the six of the directive."""
    named = words("permitted_fat")["words"]
    return _on_list(items, named, "is not among the six vegetable fats", f"must be one of {', '.join(named)}")


def equivalent_fat(items: Iterable[Item]) -> Told:
    """Say whether every vegetable fat is an equivalent of cocoa butter, or an improver of its own kind."""
    named = words("equivalent_fat")["words"]
    return _on_list(items, named, "is no equivalent of cocoa butter", "must be an equivalent of cocoa butter")


def fat_list_not_seen(items: Iterable[Item]) -> Told:
    """Say that the list of the vegetable fats that are allowed was not seen, where there is any."""
    fats = _fats(items)
    reason = f"only if {_names(fats)} is on the list of vegetable fats, which was not seen"
    return (False, reason, False) if fats else MET


def _on_list(items: Iterable[Item], named: Sequence[str], refusal: str, question: str) -> Told:
    fats = _fats(items)
    refused = [item for item in fats if _is_named(item, words("permitted_fat")["refused"])]
    if refused:
        return False, f"{_names(refused)} {refusal}", True
    unclear = [item for item in fats if not _is_named(item, named)]
    return (False, f"{_names(unclear)} {question}", False) if unclear else MET


def _fats(items: Iterable[Item]) -> list[Item]:
    return [item for item in items if item.leaf.kind is Kind.VEGETABLE_FAT]


def _is_named(item: Item, phrases: Iterable[str]) -> bool:
    ingredient = item.leaf.ingredient
    texts = [f" {' '.join(LETTERS.findall(text.lower()))} " for text in (ingredient.key, ingredient.name)]
    return any(f" {phrase} " in text for phrase in phrases for text in texts)


def _names(items: Iterable[Item]) -> str:
    return ", ".join(dict.fromkeys(item.leaf.ingredient.name for item in items))
