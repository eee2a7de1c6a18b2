"""What fold-ins do to the temper of a session, where it is written how warm they were."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from nibsmith.answers.answer import Verdict
from nibsmith.answers.fold_in import FoldInAsked, fold_in, into
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Ingredient, Kind, Recipe, own_ingredient
from nibsmith.shop.batches.models import FoldIn, PlannedPart, Session
from nibsmith.shop.common.said import said
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.stock.selectors import find_many

_SAID = frozenset({Verdict.WATCH, Verdict.STOP})


def remarks_on(
    rows: Sequence[FoldIn],
    session: Session,
    recipe: Recipe | None,
    settings: WorkshopSettings,
) -> Mapping[int, str]:
    """Return what there is to mind about fold-ins, by their key: as the tool for folding in says it.

    Nothing where nobody wrote how warm they were, or where the mass is left untempered.
    """
    told = [row for row in rows if row.celsius is not None]
    if not told or recipe is None or session.untempered:
        return {}
    others = find_many({row.ingredient for row in told if row.part_id is None})
    found: dict[int, str] = {}
    for row in told:
        what = _planned(row.part, recipe) if row.part is not None else others[row.ingredient].ingredient
        remark = _remark(row, what, session, recipe)
        if remark:
            found[row.pk] = said(remark, settings)
    return found


def _remark(row: FoldIn, what: Ingredient, session: Session, recipe: Recipe) -> str:
    asked = FoldInAsked(
        mass_g=float(session.taken_g),
        amount_g=float(row.weighed_g),
        ingredient=what,
        celsius=None if row.celsius is None else float(row.celsius),
        mass_celsius=None if session.work_celsius is None else float(session.work_celsius),
    )
    try:
        answer = fold_in(into(recipe, asked))
    except NibsmithError:  # the answers beside it say what cannot be told of this mass
        return ""
    return f"{answer.word} {answer.sentence}" if answer.verdict in _SAID else ""


def _planned(part: PlannedPart, recipe: Recipe) -> Ingredient:
    """What a part of the recipe is; of a recipe folded in only the name is known here."""
    of = next((one.of for one in recipe.parts if one.label == part.label), None)
    return of if isinstance(of, Ingredient) else own_ingredient(part.name, Kind.OTHER_FOOD, {})
