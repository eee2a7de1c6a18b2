"""What is on the shelf against what a recipe needs: the largest batch, what runs out first, what is left."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Ingredient, Part, Recipe

_TIE = 1e-9  # two stocks that last equally long to this relative difference run out together


def stock_of(part: Part, stocks: Iterable[str]) -> str | None:
    """Return the stock that a part draws on as a whole.

    Parameters
    ----------
    part : Part
        The part.
    stocks : iterable of str
        Part labels or ingredient keys.

    Returns
    -------
    str or None
        Its own label before the key of its ingredient; ``None`` where it draws on none as a whole.

    Examples
    --------
    >>> from nibsmith.science.mixture import part
    >>> stock_of(part("sugar_granulated", 1.0, label="second"), {"sugar_granulated", "cocoa_mass"})
    'sugar_granulated'
    """
    named = set(stocks)
    key = part.of.key if isinstance(part.of, Ingredient) else ""
    return next((name for name in (part.label, key) if name and name in named), None)


def draws_on(recipe: Recipe, stocks: Iterable[str]) -> Mapping[str, Mapping[str, float]]:
    """Return what each part of a recipe draws on each stock.

    A stock is named by the label of a part, or by the key of an ingredient; an ingredient is counted
    wherever it stands, in every addition and inside nested recipes, but not in a part that has a stock of its
    own.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    stocks : iterable of str
        Part labels or ingredient keys.

    Returns
    -------
    Mapping[str, Mapping[str, float]]
        Stock to part label to share in everything weighed [0 to 1].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> sugars = (part("sugar_granulated", 20.0, label="first"), part("sugar_granulated", 10.0, label="last"))
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), *sugars))
    >>> draws_on(bar, ["sugar_granulated"])
    {'sugar_granulated': {'first': 0.2, 'last': 0.1}}
    """
    found: dict[str, dict[str, float]] = {stock: {} for stock in stocks}
    total_g = recipe.total_g
    for leaf in recipe.leaves():
        stock = next((name for name in (leaf.part.label, leaf.ingredient.key) if name in found), None)
        if stock is not None:
            label = leaf.part.label
            found[stock][label] = found[stock].get(label, 0.0) + leaf.mass_g / total_g
    return found


def share_of_stock(recipe: Recipe, key: str) -> float:
    """Return the share of a recipe that is taken from one stock.

    A stock is named as for ``draws_on``.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    key : str
        A part label or an ingredient key.

    Returns
    -------
    float
        Share in everything weighed [0 to 1]; zero where the recipe has none of it.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> share_of_stock(bar, "sugar_granulated")
    0.3
    """
    return sum(draws_on(recipe, [key])[key].values())


@dataclass(frozen=True)
class LargestBatch:
    """The largest batch a shelf allows.

    ``recipe`` at its size; ``runs_out`` the stocks used up first; ``left_g`` what stays of every stock [g];
    ``to_bring_g`` the parts that are not on the shelf and how much of them it takes [g]; ``unused`` the
    stocks the recipe does not take from.
    """

    recipe: Recipe
    runs_out: tuple[str, ...]
    left_g: Mapping[str, float]
    to_bring_g: Mapping[str, float]
    unused: tuple[str, ...]

    @property
    def total_g(self) -> float:
        """Everything weighed [g]."""
        return self.recipe.total_g


def largest_batch(recipe: Recipe, shelf_g: Mapping[str, float], *, only_shelf: bool = False) -> LargestBatch:
    """Return the largest batch of unchanged shares that a shelf allows.

    ``M = min over stocks of m_k / s_k``.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    shelf_g : Mapping[str, float]
        Part label or ingredient key to what there is of it [g].
    only_shelf : bool
        Whether a part that is not on the shelf cannot be had; else it is free.

    Returns
    -------
    LargestBatch
        The batch, what runs out first and what is left [g].

    Raises
    ------
    InputError
        If nothing on the shelf is in the recipe, a stock it needs is empty, or (``only_shelf``) a part is
        not there.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> batch = largest_batch(bar, {"cocoa_mass": 1400.0, "sugar_granulated": 900.0})
    >>> round(batch.total_g), batch.runs_out, round(batch.left_g["sugar_granulated"])
    (2000, ('cocoa_mass',), 300)
    """
    shares = {key: sum(drawn.values()) for key, drawn in draws_on(recipe, shelf_g).items()}
    _check_shelf(recipe, shelf_g, shares)
    missing = [
        part for part in recipe.parts if part.mass_g > 0 and not _on_shelf(recipe, part.label, shelf_g)
    ]
    if only_shelf and missing:
        raise InputError(
            f"{', '.join(part.name for part in missing)} is not on the shelf",
            advice="Say how much there is of it, or leave it free.",
            field=missing[0].label,
        )
    lasting = {key: shelf_g[key] / share for key, share in shares.items() if share > 0}
    total_g = min(lasting.values())
    scaled = recipe.scaled(total_g)
    return LargestBatch(
        recipe=scaled,
        runs_out=tuple(key for key, most_g in lasting.items() if most_g <= total_g * (1 + _TIE)),
        left_g={key: max(0.0, amount_g - total_g * shares[key]) for key, amount_g in shelf_g.items()},
        to_bring_g={part.label: scaled.part(part.label).mass_g for part in missing},
        unused=tuple(key for key, share in shares.items() if not share),
    )


def _on_shelf(recipe: Recipe, label: str, shelf_g: Mapping[str, float]) -> bool:
    if label in shelf_g:
        return True
    leaves = [leaf for leaf in recipe.leaves() if leaf.part.label == label and leaf.mass_g > 0]
    return all(leaf.ingredient.key in shelf_g for leaf in leaves)


def _check_shelf(recipe: Recipe, shelf_g: Mapping[str, float], shares: Mapping[str, float]) -> None:
    for key, amount_g in shelf_g.items():
        if not 0 <= amount_g < math.inf:
            raise InputError(
                "What is on the shelf is not a weight", value=amount_g, limit="0 g or more", field=key
            )
        if shares[key] > 0 and not amount_g:
            raise InputError(
                f"There is none of {key}, and {recipe.name} needs it",
                advice="Buy some, or change it.",
                field=key,
            )
    if not any(share > 0 for share in shares.values()):
        raise InputError(
            f"Nothing on the shelf is in {recipe.name}",
            value=", ".join(shelf_g) or "an empty shelf",
            advice="Say how much there is of one of its parts.",
        )
