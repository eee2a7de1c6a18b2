"""Write a recipe as the text that reads back as the same recipe."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, replace
from decimal import ROUND_HALF_EVEN, Decimal

from nibsmith.answers.recipe_text.words import STAGE_OF_KIND
from nibsmith.answers.recipe_text.workshop import Workshop
from nibsmith.science.mixture import (
    COLUMNS,
    Grind,
    Ingredient,
    Part,
    Recipe,
    Stage,
    at_fat,
    ingredients,
    part,
)
from nibsmith.science.quantities.refusals import certain

FINEST_STEP = Decimal("1e-12")  # the finest step that a typed mass can have [g]
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def write_recipe(recipe: Recipe, workshop: Workshop | None = None) -> str:
    """Return the recipe file of a recipe.

    Parameters
    ----------
    recipe : Recipe
        The recipe; recipes in it are written into the same file.
    workshop : Workshop, optional
        What to say of the workshop beside it.

    Returns
    -------
    str
        TOML, to be read by ``read_recipe``: the same parts with masses to 12 decimals of a gram.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form
    >>> print(write_recipe(Recipe("Hut bar", Form.BAR, (part("cocoa_mass", 70.5),))))
    name = "Hut bar"
    form = "bar"
    <BLANKLINE>
    [[part]]
    ingredient = "cocoa_mass"
    mass = "70.5 g"
    <BLANKLINE>
    """
    names = _names(recipe)
    lines = [*_recipe_lines(recipe, "", names), *_workshop_lines(workshop or Workshop())]
    for inner, name in names:
        lines += ["", f"[recipes.{_quoted(name)}]", *_recipe_lines(inner, f"recipes.{_quoted(name)}.", names)]
    return "\n".join(lines) + "\n"


def _workshop_lines(said: Workshop) -> Iterator[str]:
    rows = [(key, value) for key, value in _workshop(said) if value]
    if rows:
        yield ""
        yield "[workshop]"
        yield from (f"{key} = {value}" for key, value in rows)


def _workshop(said: Workshop) -> Iterator[tuple[str, str]]:
    if said.kit is not None:
        yield "kit", _quoted(said.kit.key)
    if said.residue_g is not None:
        yield "residue", _quoted(f"{certain(said.residue_g)} g")
    if said.loss_percent is not None:
        yield "loss_percent", f"{said.loss_percent:f}"
    if said.mould is not None:
        yield "mould", _quoted(f"{_grams(said.mould.cavity_g)} g")
        yield "cavities", str(said.mould.cavities)
    yield "bars", str(said.bars or "")
    if said.scale_g is not None:
        yield "scale", _quoted(f"{certain(said.scale_g)} g")
    yield "markets", _list(said.markets or ()) if said.markets else ""
    yield "currency", _quoted(said.currency) if said.currency else ""
    if said.bean_yield is not None:
        yield "bean_yield_percent", f"{said.bean_yield * 100:f}"
    if said.uses_lecithin is not None:
        yield "uses_lecithin", "true" if said.uses_lecithin else "false"


Names = list[tuple[Recipe, str]]


def _names(recipe: Recipe) -> Names:
    """Name every recipe inside once; two of one name get a number behind it."""
    found: Names = []
    for inner in _inside(recipe):
        if any(inner == other for other, _ in found):
            continue
        taken = {name for _, name in found}
        name, number = inner.name, 2
        while name in taken:
            name, number = f"{inner.name} ({number})", number + 1
        found.append((inner, name))
    return found


def _inside(recipe: Recipe) -> Iterator[Recipe]:
    for row in recipe.parts:
        if isinstance(row.of, Recipe):
            yield row.of
            yield from _inside(row.of)


def _recipe_lines(recipe: Recipe, path: str, names: Names) -> Iterator[str]:
    yield f"name = {_quoted(recipe.name)}"
    yield f"form = {_quoted(recipe.form.value)}"
    if recipe.notes:
        yield f"notes = {_table(recipe.notes)}"
    for row in recipe.parts:
        yield ""
        yield f"[[{path}part]]"
        yield from (f"{key} = {value}" for key, value in _part(row, names))


def _part(row: Part, names: Names) -> Iterator[tuple[str, str]]:
    if isinstance(row.of, Recipe):
        yield "recipe", _quoted(next(name for inner, name in names if inner == row.of))
    else:
        yield from _ingredient(row.of)
    yield "mass", _quoted(f"{_grams(row.mass_g)} g")
    usual = part(row.of, row.mass_g)
    for key in ("label", "kind", "stage", "grind"):
        if getattr(row, key) != getattr(usual, key):
            yield key, _quoted(str(getattr(row, key)))
    if row.price_per_kg is not None:
        yield "price_per_kg", f"{row.price_per_kg:f}"


def _grams(mass_g: float) -> str:
    return certain(Decimal(repr(mass_g)).quantize(FINEST_STEP, ROUND_HALF_EVEN))


def _ingredient(own: Ingredient) -> Iterator[tuple[str, str]]:
    """Name it by its key where the table has it, with its own fat, shell and germ; else write it out."""
    table = ingredients().get(own.key)
    facts = {"shell_percent": own.shell_percent, "germ_percent": own.germ_percent}
    plain = replace(own, shell_percent=None, germ_percent=None)
    fat = own.composition.get("fat_g")
    if table is not None and same_ingredient(plain, table):
        yield "ingredient", _quoted(own.key)
    elif table is not None and fat is not None and same_ingredient(plain, _moved(table, fat)):
        yield "ingredient", _quoted(own.key)
        yield "fat_g", _number(fat)
    else:
        yield "ingredient", _written_out(own)
        return
    yield from ((key, _number(value)) for key, value in facts.items() if value is not None)


def same_ingredient(one: Ingredient, other: Ingredient | None) -> bool:
    """Return whether two ingredients say the same of themselves."""
    return other is not None and all(
        getattr(one, row.name) == getattr(other, row.name) for row in fields(one)
    )


def _moved(table: Ingredient, fat_g: float) -> Ingredient | None:
    known = {"water_g", "fat_g"} <= table.composition.keys()
    return at_fat(table, fat_g) if known and fat_g <= 100 - table.composition["water_g"] else None


def _written_out(own: Ingredient) -> str:
    numbers = {
        **{column: own.composition[column] for column in COLUMNS if column in own.composition},
        **{
            key: getattr(own, key)
            for key in ("fat_low_g", "fat_high_g", "shell_percent", "germ_percent")
            if getattr(own, key) is not None
        },
    }
    values = [
        ("name", _quoted(own.name)),
        ("kind", _quoted(own.kind.value)),
        *((key, _number(value)) for key, value in numbers.items()),
        *_facts(own),
    ]
    return "{ " + ", ".join(f"{key} = {value}" for key, value in values) + " }"


def _facts(own: Ingredient) -> Iterator[tuple[str, str]]:
    if own.stage is not STAGE_OF_KIND.get(own.kind, Stage.START):
        yield "stage", _quoted(own.stage.value)
    if own.grind is not Grind.REFINED:
        yield "grind", _quoted(own.grind.value)
    if own.allergens_known:
        yield "allergens_us", _list(own.allergens_us)
        yield "allergens_eu", _list(own.allergens_eu)
    elif own.allergens_us or own.allergens_eu:
        yield from (("allergens_us", _list(own.allergens_us)), ("allergens_eu", _list(own.allergens_eu)))
        yield "allergens_known", "false"
    for key in ("key", "source", "note", "water_risk"):
        if getattr(own, key):
            yield key, _quoted(getattr(own, key))
    if own.tags:
        yield "tags", _list(sorted(own.tags))


def _number(value: float) -> str:
    return f"{Decimal(repr(value)):f}"


def _list(words: Iterable[str]) -> str:
    return f"[{', '.join(map(_quoted, words))}]"


def _table(values: Mapping[str, str]) -> str:
    return "{ " + ", ".join(f"{_quoted(key)} = {_quoted(value)}" for key, value in values.items()) + " }"


def _quoted(text: str) -> str:
    return '"' + "".join(_ESCAPES.get(sign) or _plain(sign) for sign in text) + '"'


def _plain(sign: str) -> str:
    return sign if sign.isprintable() else f"\\U{ord(sign):08x}"
