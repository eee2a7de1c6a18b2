"""The answers to a recipe, and the remedy that a button of theirs names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from nibsmith.answers.answer import Answer, Remedy
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.ask import ask_all, ask_at_once
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Ingredient, Part, Recipe
from nibsmith.shop.recipes.changes import from_masses
from nibsmith.shop.recipes.drafts import Draft, Row, label_for
from nibsmith.shop.recipes.models import Mode, Way
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.shown_names import name_remedies


def answers_to(opened: Opened) -> tuple[Answer, ...]:
    """Ask everything about a recipe, in the order of the page."""
    return ask_all(opened.recipe, opened.context)


def answers_at_once(opened: Opened) -> tuple[Answer, ...]:
    """Ask what needs no draws, so that an edit is answered while it is typed."""
    return ask_at_once(opened.recipe, opened.context)


SAME_SHARE = 1e-9  # shares that differ by less differ by arithmetic alone
# These are asked about what goes on the scale, the others about the product.
OF_THE_SCALE = frozenset({"weigh_out", "cost"})
NAMES = "names"  # the page of every name, which is no answer


def find_remedy(opened: Opened, question: str, sentence: str) -> Remedy:
    """Return the remedy that a button named, as it is worked out now."""
    for remedy in _offered(opened, question):
        if remedy.sentence == sentence and remedy.changes:
            return remedy
    raise InputError(
        "The recipe has changed since this was offered", advice="Look at the answers as they are now."
    )


def _offered(opened: Opened, question: str) -> Iterator[Remedy]:
    if question == NAMES:
        yield from name_remedies(opened)
        return
    for answer in answers_to(opened):
        yield from answer.remedies if answer.question == question else ()


def with_remedy(opened: Opened, remedy: Remedy, question: str = "") -> Draft:
    """Return the draft with the grams of a remedy added; what is new gets a row of its own."""
    asked = opened.weighed if question in OF_THE_SCALE else opened.recipe
    after = apply_remedy(asked, remedy)
    if _same_shares(asked, after):
        total_g = Decimal(repr(after.total_g))
        return replace(opened.draft, amount=replace(opened.draft.amount, way=Way.TOTAL, total_g=total_g))
    new = tuple(_new_row(part, opened) for part in after.parts if part.label not in opened.parts)
    labels = {part.label: part.label for part in opened.recipe.parts}
    labels |= {part.label: row.label for part, row in zip(after.parts[len(labels) :], new, strict=True)}
    return from_masses(opened, {labels[part.label]: part.mass_g for part in after.parts}, new)


def _same_shares(before: Recipe, after: Recipe) -> bool:
    """Whether a remedy only makes the batch larger or smaller."""
    if len(before.parts) != len(after.parts):
        return False
    return all(abs(after.share(part.label) - before.share(part.label)) < SAME_SHARE for part in before.parts)


def _new_row(part: Part, opened: Opened) -> Row:
    if not isinstance(part.of, Ingredient):
        raise InputError("A remedy adds an ingredient", value=part.name)
    label = label_for(part.of.key or part.name, opened.parts)
    return Row(label=label, ingredient=part.of.key, mode=Mode.PERCENT)
