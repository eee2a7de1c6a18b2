"""Read a recipe file."""

from __future__ import annotations

import tomllib
from decimal import Decimal

from nibsmith.answers.recipe_text.assembly import Assembly, RecipeFile
from nibsmith.science.errors import InputError
from nibsmith.science.kit import Kit

LONGEST_FILE = 262_144  # characters; a recipe of a hundred parts has about 20,000
LONGEST_REASON = 120


def decode_recipe(data: bytes) -> str:
    """Return the text of a recipe file.

    Parameters
    ----------
    data : bytes
        The file; UTF-8, with or without a byte order mark.

    Returns
    -------
    str
        Its text.

    Raises
    ------
    InputError
        If it is too large or is not UTF-8.

    Examples
    --------
    >>> decode_recipe(b"name = 'Hut bar'")
    "name = 'Hut bar'"
    """
    _check_length(len(data), "bytes")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(
            "The file is not UTF-8 text", value=f"byte {error.start + 1}", advice="Save it as UTF-8."
        ) from None


def read_recipe(
    text: str, *, name_hint: str = "", cavity_g: Decimal | None = None, kit: Kit | None = None
) -> RecipeFile:
    """Return the recipe that a text in TOML holds, with its limits and what is in the bowl.

    Parameters
    ----------
    text : str
        The recipe file; its keys are in docs/howto/recipe-file.md.
    name_hint : str
        The name where the file gives none, such as the file's own.
    cavity_g : Decimal, optional
        The mass of one bar [g], for inclusions typed per bar; before the mould of the file.
    kit : Kit, optional
        What it is ground with: what of the water leaves is in no bar; before the kit of the file.

    Returns
    -------
    RecipeFile
        Masses in g; a file of shares alone is read at 1 kg.

    Raises
    ------
    InputError
        With the place, such as ``part[3].share_percent``, as its ``field``.

    Notes
    -----
    Range: up to 262,144 characters, 200 parts, 50 recipes inside, 1000 ingredients once they are opened.

    Examples
    --------
    >>> text = '''
    ... name = "Hut bar"
    ... [[part]]
    ... ingredient = "cocoa_nibs_roasted"
    ... mass = "700 g"
    ... [[part]]
    ... ingredient = "sugar_granulated"
    ... mass = "300 g"
    ... '''
    >>> read_recipe(text).recipe.total_g
    1000.0
    """
    _check_length(len(text), "characters")
    try:
        values = tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal)
        return Assembly(values, name_hint, cavity_g, kit).read()
    except RecursionError:
        raise InputError("The file nests too deep", advice="A recipe needs three levels.") from None
    except (tomllib.TOMLDecodeError, ArithmeticError, ValueError) as error:
        raise _not_toml(error) from None


def _check_length(length: int, unit: str) -> None:
    if length > LONGEST_FILE:
        raise InputError(
            "The file is too large for a recipe", value=f"{length:,} {unit}", limit=f"{LONGEST_FILE:,} {unit}"
        )


def _not_toml(error: Exception) -> InputError:
    reason = "".join(sign for sign in str(error) if sign.isprintable())[:LONGEST_REASON]
    if "integer string conversion" in reason:  # Python's own limit, with advice for who writes programs
        reason = "a number in it has too many digits"
    return InputError(f"The file is not TOML: {reason}", advice="See the recipe file in the handbook.")
