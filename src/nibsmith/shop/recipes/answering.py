"""The answers to a recipe, and the remedy that a button of theirs names."""

from __future__ import annotations

from nibsmith.answers.answer import Answer, Remedy
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.ask import ask_all
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Ingredient, Part
from nibsmith.shop.recipes.changes import from_masses
from nibsmith.shop.recipes.drafts import Draft, Row, label_for
from nibsmith.shop.recipes.models import Mode
from nibsmith.shop.recipes.opening import Opened


def answers_to(opened: Opened) -> tuple[Answer, ...]:
    """Ask everything about a recipe, in the order of the page."""
    return ask_all(opened.recipe, opened.context)


def find_remedy(opened: Opened, question: str, sentence: str) -> Remedy:
    """Return the remedy that a button named, as it is worked out now."""
    for answer in answers_to(opened):
        for remedy in answer.remedies:
            if answer.question == question and remedy.sentence == sentence and remedy.changes:
                return remedy
    raise InputError(
        "The recipe has changed since this was offered", advice="Look at the answers as they are now."
    )


def with_remedy(opened: Opened, remedy: Remedy) -> Draft:
    """Return the draft with the grams of a remedy added; what is new gets a row of its own."""
    after = apply_remedy(opened.recipe, remedy)
    new = tuple(_new_row(part, opened) for part in after.parts if part.label not in opened.parts)
    labels = {part.label: part.label for part in opened.recipe.parts}
    labels |= {part.label: row.label for part, row in zip(after.parts[len(labels) :], new, strict=True)}
    return from_masses(opened, {labels[part.label]: part.mass_g for part in after.parts}, new)


def _new_row(part: Part, opened: Opened) -> Row:
    if not isinstance(part.of, Ingredient):
        raise InputError("A remedy adds an ingredient", value=part.name)
    label = label_for(part.of.key or part.name, opened.parts)
    return Row(label=label, ingredient=part.of.key, mode=Mode.PERCENT)
