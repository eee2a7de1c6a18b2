"""A balance, a rescue and a stock shared out as documents, as the handbook of the command line has them."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from nibsmith.answers.balance import Balanced
from nibsmith.answers.report import Json, change_of, cleaned, remedy_of, weighed
from nibsmith.answers.rescue import Rescued
from nibsmith.answers.share_out import SharedOut
from nibsmith.science.mixture import Recipe
from nibsmith.science.money import Money


def balance_document(recipe: Recipe, balanced: Balanced) -> Json:
    """Return what a balance comes to.

    Parameters
    ----------
    recipe : Recipe
        The recipe that was balanced.
    balanced : Balanced
        What came of it.

    Returns
    -------
    dict
        Plain values for ``json.dumps``; numbers rounded to six decimals.

    Examples
    --------
    >>> from nibsmith.answers.balance import balance, wishes_from
    >>> from nibsmith.answers.context import Context
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 600.0), part("sugar_granulated", 400.0)))
    >>> balanced = balance(bar, wishes_from({"share": {"sugar_granulated": {"max": 35}}}), Context())
    >>> [row["add_g"] for row in balance_document(bar, balanced)["changes"]]
    [50.0, -50.0]
    """
    after = balanced.recipe
    return cleaned(
        {
            "name": recipe.name,
            "possible": balanced.possible,
            "verdict": balanced.verdict.value,
            "word": balanced.word,
            "sentence": balanced.sentence,
            "before": weighed(recipe),
            "after": None if after is None else weighed(after),
            "changes": [
                {
                    "part": change.label,
                    "name": change.name,
                    "before_g": change.before_g,
                    "after_g": change.after_g,
                    "add_g": change.add_g,
                    "new": change.new,
                }
                for change in balanced.changes
            ],
            "moved_g": balanced.moved_g,
            "limits": [
                {"limit": held.words, "reason": held.reason, "kept": held.kept} for held in balanced.held
            ],
            "weigh_g": None if balanced.on_scale is None else _masses(balanced.on_scale.masses_g),
            "missed_on_scale": list(balanced.missed_on_scale),
            "cost_per_kg_before": _number(balanced.cost_before),
            "cost_per_kg_after": _number(balanced.cost_after),
            "cost_basis": balanced.cost_of or None,
            "remedy": None if balanced.remedy is None else remedy_of(balanced.remedy),
            "advice": balanced.advice or None,
            "gives": list(balanced.gives),
            "unknown": balanced.unknown or None,
            "unmet": list(balanced.unmet),
            "doubts": list(balanced.doubts),
            "remarks": list(balanced.remarks),
        }
    )


def rescue_document(recipe: Recipe, rescued: Rescued) -> Json:
    """Return what can be done about a bowl.

    Parameters
    ----------
    recipe : Recipe
        The recipe that was meant.
    rescued : Rescued
        What can be done.

    Returns
    -------
    dict
        Plain values for ``json.dumps``; numbers rounded to six decimals.

    Examples
    --------
    >>> from nibsmith.answers.context import Context
    >>> from nibsmith.answers.rescue import rescue
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> back = rescue(bar, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0}, Context())
    >>> rescue_document(bar, back)["additions"][0]["weigh_g"]
    59.0
    """
    return cleaned(
        {
            "name": recipe.name,
            "possible": rescued.possible,
            "sentence": rescued.sentence,
            "bowl": weighed(rescued.bowl),
            "after": None if rescued.recipe is None else weighed(rescued.recipe),
            "additions": [
                {
                    "part": addition.label,
                    "name": addition.name,
                    "add_g": addition.add_g,
                    "weigh_g": float(addition.weigh_g) or None,
                }
                for addition in rescued.additions
            ],
            "added_g": rescued.added_g,
            "changes": [change_of(change) for change in rescued.changes],
            "remedy": None if rescued.remedy is None else remedy_of(rescued.remedy),
            "gives": list(rescued.gives),
            "remarks": list(rescued.remarks),
        }
    )


def shared_document(stock: str, stock_g: Decimal, shared: SharedOut) -> Json:
    """Return a stock shared out.

    Parameters
    ----------
    stock : str
        The stock.
    stock_g : Decimal
        How much there was of it [g].
    shared : SharedOut
        Who gets what.

    Returns
    -------
    dict
        Plain values for ``json.dumps``; numbers rounded to six decimals.

    Examples
    --------
    >>> from nibsmith.answers.context import Context
    >>> from nibsmith.answers.share_out import share_out
    >>> from nibsmith.science.mixture import Form, part
    >>> dark = Recipe("Dark", Form.BAR, (part("cocoa_mass", 75.0), part("sugar_granulated", 25.0)))
    >>> shared = share_out("cocoa_mass", 600.0, [dark], Context())
    >>> shared_document("cocoa_mass", Decimal(600), shared)["portions"][0]["takes_g"]
    600.0
    """
    return cleaned(
        {
            "stock": stock,
            "stock_g": float(stock_g),
            "sentence": shared.sentence,
            "portions": [
                {
                    "name": portion.name,
                    "takes_g": portion.takes_g,
                    "bars": portion.bars,
                    "batch": None if portion.recipe is None else weighed(portion.recipe),
                    "sentence": portion.sentence,
                    "remarks": list(portion.remarks),
                }
                for portion in shared.portions
            ],
            "left_g": shared.left_g,
            "short_g": shared.short_g,
        }
    )


def _number(cost: Money | None) -> float | None:
    return None if cost is None else float(cost.rounded)


def _masses(on_scale: Mapping[str, Decimal]) -> list[Json]:
    return [{"part": label, "weigh_g": float(mass)} for label, mass in on_scale.items()]
