"""List the ingredients, search them, or show one with all its figures and their source."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Iterator, Mapping

from nibsmith.cli.printing import INDENT, columns, heading, say, say_json, wrapped
from nibsmith.science.errors import UnknownIngredient
from nibsmith.science.mixture import COLUMNS, Ingredient, ingredients
from nibsmith.science.mixture.composition import OVERRULES
from nibsmith.science.tables import STATUS_WORDS

COLUMN_WORDS = {
    "carb_g": "carbohydrate",
    "sfa_g": "saturates",
    "trans_g": "trans fat",
    "mufa_g": "monounsaturates",
    "pufa_g": "polyunsaturates",
    "vitamin_d_ug": "vitamin D",
    "polyols_kcal_per_g": "energy of its polyols",
    "cocoa_fat_free_dry_g": "fat-free dry cocoa",
}
UNITS = {"_mg": "mg", "_ug": "µg", "_kcal_per_g": "kcal/g", "_g": "g"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument(
        "words", nargs="*", metavar="KEY", help="a key to show, or words to look for in key, name and kind"
    )
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: argparse.Namespace) -> int:
    """Print the list, what was found, or one ingredient."""
    table = ingredients()
    typed = " ".join(args.words)
    if typed in table:
        one = table[typed]
        if args.json:
            say_json(as_json(one))
        else:
            say(_one(one))
        return 0
    found = _found(typed, table)
    if args.json:
        say_json([as_json(one) for one in found])
    else:
        say(_list(found, typed))
    return 0


def _found(word: str, table: Mapping[str, Ingredient]) -> list[Ingredient]:
    wanted = word.casefold().split()
    found = [one for one in table.values() if all(part in _searched(one) for part in wanted)]
    if not found:
        raise UnknownIngredient(word, difflib.get_close_matches(word, table, n=3, cutoff=0.5))
    return found


def _searched(one: Ingredient) -> str:
    return f"{one.key} {one.name} {one.kind} {' '.join(one.tags)}".casefold()


def as_json(one: Ingredient) -> dict[str, object]:
    """Return an ingredient as the JSON of the command; what is not known is null."""
    return {
        "key": one.key,
        "name": one.name,
        "kind": one.kind.value,
        "stage": one.stage.value,
        "grind": one.grind.value,
        "per_100_g": {column: one.composition.get(column) for column in COLUMNS},
        "fat_low_g": one.fat_low_g,
        "fat_high_g": one.fat_high_g,
        "allergens_us": list(one.allergens_us),
        "allergens_eu": list(one.allergens_eu),
        "allergens_known": one.allergens_known,
        "water_risk": one.water_risk,
        "tags": sorted(one.tags),
        "source": one.source,
        "status": one.status.value,
        "note": one.note,
    }


def _list(found: list[Ingredient], word: str) -> Iterator[str]:
    rows = [("key", "name", "kind", "fat, g/100 g")]
    rows += [(one.key, one.name, _words(one.kind), _fat(one)) for one in found]
    yield from columns(rows, "<<<>", indent="", whole=0)
    yield ""
    count = "1 ingredient" if len(found) == 1 else f"{len(found)} ingredients"
    yield f"{count} with {word} in it." if word else f"{count}."
    yield "nibsmith ingredients KEY shows one with all its figures and where they are from."


def _fat(one: Ingredient) -> str:
    if one.fat_low_g is not None and one.fat_high_g is not None:
        return f"{one.fat_low_g:g} to {one.fat_high_g:g}"
    fat = one.composition.get("fat_g")
    return "not known" if fat is None else f"{fat:g}"


def _words(key: str) -> str:
    return key.replace("_", " ")


def _one(one: Ingredient) -> Iterator[str]:
    yield heading(one.name, one.key)
    yield ""
    yield from columns(_facts(one), "<<")
    yield ""
    yield "Per 100 g"
    yield from columns([_figure(one, column) for column in COLUMNS if column in one.composition], "<>")
    yield from _range(one)
    yield from _missing(one)
    if one.note:
        yield ""
        yield from wrapped(f"Note: {one.note}.", indent="")


def _facts(one: Ingredient) -> list[tuple[str, str]]:
    allergens = dict.fromkeys(word for word in (*one.allergens_eu, *one.allergens_us))
    said = ", ".join(_words(word) for word in allergens) if allergens else "none of the listed ones"
    return [
        ("Kind", _words(one.kind)),
        ("Goes in", _words(one.stage)),
        ("Ends up", _words(one.grind)),
        ("Allergens", said if one.allergens_known else "not known"),
        ("Water risk", one.water_risk or "not known"),
        ("Source", one.source or "none at hand"),
        ("Status", f"{one.status.value}: {STATUS_WORDS[one.status]}"),
    ]


def _range(one: Ingredient) -> Iterator[str]:
    if one.fat_low_g is not None and one.fat_high_g is not None:
        yield from wrapped(f"The fat varies from {one.fat_low_g:g} to {one.fat_high_g:g} g from lot to lot.")


def _missing(one: Ingredient) -> Iterator[str]:
    """Name what the source does not give; what overrules a rule is not missing where the rule holds."""
    wanted = [column for column in COLUMNS if column not in (*OVERRULES, "polyols_kcal_per_g")]
    missing = [_column(column)[0] for column in wanted if column not in one.composition]
    if missing:
        yield from wrapped(f"Not known: {', '.join(missing)}.", hang=INDENT * 2)


def _column(column: str) -> tuple[str, str]:
    ending = next(ending for ending in UNITS if column.endswith(ending))
    return COLUMN_WORDS.get(column, _words(column.removesuffix(ending))), UNITS[ending]


def _figure(one: Ingredient, column: str) -> tuple[str, str]:
    words, unit = _column(column)
    return words, f"{one.composition[column]:g} {unit}"
