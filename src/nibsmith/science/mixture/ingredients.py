"""The packaged ingredients, read once from ``tables/ingredients.csv``."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from nibsmith.science.errors import InputError, UnknownIngredient
from nibsmith.science.mixture.composition import COLUMNS, check_composition
from nibsmith.science.mixture.parts import Grind, Ingredient, Kind, Part, Recipe, Stage
from nibsmith.science.tables import Status, load_rows

CHECK_TAG = "check"  # rows of finished chocolates, kept to compare with; they are not ingredients


@lru_cache(maxsize=1)
def ingredients() -> Mapping[str, Ingredient]:
    """Return every packaged ingredient by key.

    Returns
    -------
    Mapping[str, Ingredient]
        Keys in the order of the table; constituents per 100 g.

    Examples
    --------
    >>> ingredients()["cocoa_butter"].composition["fat_g"]
    100.0
    """
    rows = (row for row in load_rows("ingredients.csv") if CHECK_TAG not in row["tags"].split())
    return MappingProxyType({row["key"]: _ingredient(row) for row in rows})


@lru_cache(maxsize=1)
def finished_chocolates() -> Mapping[str, Ingredient]:
    """Return the published analyses of finished chocolates, which serve as checks.

    Returns
    -------
    Mapping[str, Ingredient]
        Keys beginning with ``CHECK_``; constituents per 100 g.

    Examples
    --------
    >>> "CHECK_dark_70_85" in finished_chocolates()
    True
    """
    rows = (row for row in load_rows("ingredients.csv") if CHECK_TAG in row["tags"].split())
    return MappingProxyType({row["key"]: _ingredient(row) for row in rows})


def ingredient(key: str) -> Ingredient:
    """Return one packaged ingredient.

    Parameters
    ----------
    key : str
        A key of the table, such as ``cocoa_nibs_roasted``.

    Returns
    -------
    Ingredient
        Constituents per 100 g.

    Raises
    ------
    UnknownIngredient
        With the nearest keys, none of them put in its place.

    Examples
    --------
    >>> ingredient("cocoa_nibs_roasted").name
    'Roasted nibs'
    """
    table = ingredients()
    if key not in table:
        import difflib

        raise UnknownIngredient(key, difflib.get_close_matches(key, table, n=3, cutoff=0.5))
    return table[key]


def own_ingredient(name: str, kind: Kind, composition: Mapping[str, float], **facts: object) -> Ingredient:
    """Return an ingredient of the maker's own, from a supplier's sheet.

    Parameters
    ----------
    name : str
        Its name.
    kind : Kind
        What the law takes it for.
    composition : Mapping[str, float]
        What the sheet gives, per 100 g under the column names; what it does not give is left out.
    **facts
        Further fields of ``Ingredient``, such as ``shell_percent`` or ``allergens_eu``.

    Returns
    -------
    Ingredient
        The ingredient, with status own-sheet.

    Raises
    ------
    InputError
        If the analysis cannot be true.

    Examples
    --------
    >>> own_ingredient("House mass", Kind.MASS, {"water_g": 1.5, "fat_g": 54.0}).composition["fat_g"]
    54.0
    """
    if not name.strip():
        raise InputError("An ingredient needs a name", field="name")
    check_composition(name, composition)
    values = MappingProxyType({column: float(value) for column, value in composition.items()})
    fields: dict[str, object] = {"key": "", "status": Status.OWN_SHEET, "allergens_known": False, **facts}
    return Ingredient(name=name, kind=kind, composition=values, **fields)  # type: ignore[arg-type]


def part(of: str | Ingredient | Recipe, mass_g: float, **facts: object) -> Part:
    """Return a part of a recipe with the defaults of its ingredient.

    Parameters
    ----------
    of : str, Ingredient or Recipe
        A key of the table, an ingredient, or another recipe.
    mass_g : float
        Its mass as weighed [g].
    **facts
        Overrules: ``label``, ``kind``, ``stage``, ``grind``, ``price_per_kg``.

    Returns
    -------
    Part
        The part; its label is the key or the name where none is given.

    Raises
    ------
    UnknownIngredient
        If no ingredient has the key.

    Examples
    --------
    >>> part("almond", 20.0).stage
    <Stage.FOLDED_IN: 'folded_in'>
    """
    thing = ingredient(of) if isinstance(of, str) else of
    if isinstance(thing, Recipe):
        defaults: dict[str, object] = {"label": thing.name, "kind": Kind.OTHER_FOOD}
    else:
        defaults = {
            "label": thing.key or thing.name,
            "kind": thing.kind,
            "stage": thing.stage,
            "grind": thing.grind,
        }
    return Part(of=thing, mass_g=mass_g, **{**defaults, **facts})  # type: ignore[arg-type]


def _ingredient(row: Mapping[str, str]) -> Ingredient:
    composition = {column: float(row[column]) for column in COLUMNS if row.get(column)}
    check_composition(row["name"], composition, must_close=row["closes"] == "yes")
    return Ingredient(
        key=row["key"],
        name=row["name"],
        kind=Kind(row["kind"]),
        composition=MappingProxyType(composition),
        stage=Stage(row["stage"]),
        grind=Grind(row["grind"]),
        fat_low_g=_optional(row["fat_low_g"]),
        fat_high_g=_optional(row["fat_high_g"]),
        allergens_us=tuple(row["allergens_us"].split()),
        allergens_eu=tuple(row["allergens_eu"].split()),
        water_risk=row["water_risk"],
        source=" ".join(word for word in (row["source"], row["place"]) if word),
        status=Status(row["status"]),
        note=row["note"],
        tags=frozenset(row["tags"].split()),
    )


def _optional(text: str) -> float | None:
    return float(text) if text else None
