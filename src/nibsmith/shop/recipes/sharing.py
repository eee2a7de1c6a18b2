"""One stock shared out between recipes, as the page asks for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from django.http import QueryDict

from nibsmith.answers.share_out import SharedOut, share_out
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.formulate import Split
from nibsmith.science.quantities import parse_mass, parse_number
from nibsmith.shop.common.workshop.selectors import WorkshopSettings, context
from nibsmith.shop.recipes.listing import read_things
from nibsmith.shop.recipes.naming import Named, Names
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.picks import picked
from nibsmith.shop.recipes.selectors import Listed
from nibsmith.shop.recipes.typed import MOST_BARS

SPLITS = (
    (Split.EQUAL.value, "the same weight of it to each"),
    (Split.WEIGHT.value, "by the weight wanted of each"),
    (Split.BARS.value, "by the bars wanted of each"),
)


@dataclass(frozen=True, slots=True)
class Sharing:
    """What was typed: the stock, the recipes that take from it, how it is shared, what is wanted of each."""

    stock: str
    ids: tuple[str, ...]
    split: str
    wanted: dict[str, str]
    chosen: Mapping[str, str] = field(default_factory=dict)
    errors: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Shared:
    """A stock shared out: what it is, and what each recipe gets of it."""

    named: Named
    outcome: SharedOut
    recipes: tuple[Listed, ...]


def read_sharing(data: QueryDict) -> Sharing:
    """Read the form."""
    ids = tuple(dict.fromkeys(data.getlist("recipe")))
    split = data.get("split", Split.EQUAL.value)
    if split not in {key for key, _ in SPLITS}:
        split = Split.EQUAL.value
    wanted = {
        key.removeprefix("wanted-"): data.get(key, "").strip() for key in data if key.startswith("wanted-")
    }
    return Sharing(data.get("stock", "").strip(), ids, split, wanted, picked(data))


def shared_out(sharing: Sharing, recipes: Sequence[Listed], settings: WorkshopSettings) -> Shared:
    """Share a stock out between the chosen recipes."""
    named, grams = _stock(sharing, settings)
    chosen = tuple(one for one in recipes if str(one.recipe.public_id) in sharing.ids)
    if not chosen:
        raise InputError("No recipe is chosen", advice="Tick those that take from it.", field="recipe")
    split = Split(sharing.split)
    wanted = None if split is Split.EQUAL else [_wanted(one, sharing, settings) for one in chosen]
    opened = [open_version(one.version) for one in chosen]
    outcome = share_out(
        named.ref,
        float(grams),
        [one.recipe for one in opened],
        context(),
        split=split,
        wanted=wanted,
        kits=[one.context.kit for one in opened],
    )
    return Shared(named, outcome, chosen)


def _stock(sharing: Sharing, settings: WorkshopSettings) -> tuple[Named, Decimal]:
    try:
        things = read_things(sharing.stock, settings.decimal_sign)
        if len(things) > 1 or things[0].mass_g is None:
            raise InputError("This is one thing and its weight", advice="Type such as 3 kg roasted nibs.")
        words, grams = things[0].words, things[0].mass_g
        return Names(with_recipes=False).find(words, sharing.chosen.get(words, "")), grams
    except NibsmithError as error:
        error.field = "stock"
        raise


def _wanted(one: Listed, sharing: Sharing, settings: WorkshopSettings) -> float:
    text = sharing.wanted.get(str(one.recipe.public_id), "")
    by_bars = sharing.split == Split.BARS.value
    try:
        if not text:
            raise InputError(
                "Nothing is wanted of it yet",
                advice="Type how many bars." if by_bars else "Type a weight, such as 2 kg.",
            )
        if by_bars:
            return float(parse_number(text, decimal_sign=settings.decimal_sign, most=MOST_BARS))
        return float(parse_mass(text, decimal_sign=settings.decimal_sign))
    except NibsmithError as error:
        error.field = f"wanted-{one.recipe.public_id}"
        raise
