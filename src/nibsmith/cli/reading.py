"""Read what was typed on the command line: files, amounts, and the workshop around a recipe."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path

from nibsmith.answers.recipe_text import RecipeFile, decode_recipe, read_recipe
from nibsmith.answers.recipe_text.reading import LONGEST_FILE
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.kit import Kit
from nibsmith.science.quantities import DecimalSign, Thing, parse_mass, parse_things

STDIN = "-"


@contextmanager
def told_where(place: str, *, field: bool = True) -> Iterator[None]:
    """Put the place of a refusal before it: the option, or the file and the path in it."""
    try:
        yield
    except NibsmithError as error:
        where = [place, error.field] if error.field and field else [place]
        error.what = ": ".join([*where, error.what])
        raise


def shown_name(name: str) -> str:
    """Return what a refusal calls a file."""
    return "standard input" if name == STDIN else name


def read_file(name: str, cavity_g: Decimal | None = None, kit: Kit | None = None) -> RecipeFile:
    """Return what a recipe file says; ``-`` is standard input. A mould or a kit given goes before its own."""
    with told_where(shown_name(name)):
        text = decode_recipe(_bytes(name))
        hint = "" if name == STDIN else Path(name).stem.replace("_", " ").strip()
        name_hint = hint if hint.isprintable() else ""
        return read_recipe(text, name_hint=name_hint, cavity_g=cavity_g, kit=kit)


def _bytes(name: str) -> bytes:
    if name == STDIN:
        return sys.stdin.buffer.read(LONGEST_FILE + 1)
    path = Path(name)
    size = path.stat().st_size
    if size > LONGEST_FILE:
        raise InputError(
            "The file is too large for a recipe", value=f"{size:,} bytes", limit=f"{LONGEST_FILE:,} bytes"
        )
    with path.open("rb") as file:
        return file.read(LONGEST_FILE + 1)


def mass_option(option: str, text: str | None, decimal_sign: DecimalSign | None = None) -> Decimal | None:
    """Return a mass above zero typed after an option [g]."""
    if text is None:
        return None
    with told_where(option, field=False):
        mass_g = parse_mass(text, decimal_sign=decimal_sign)
        if not mass_g:
            raise InputError("This must be above zero", value=text)
        return mass_g


def things_option(
    option: str, texts: Sequence[str], decimal_sign: DecimalSign | None = None
) -> tuple[Thing, ...]:
    """Return amounts with names typed after an option, such as ``1.2 kg cocoa_nibs_roasted``."""
    with told_where(option, field=False):
        things = [thing for text in texts for thing in parse_things(text, decimal_sign)]
        for thing in things:
            if thing.mass_g is None:
                raise InputError("Parts are no weight", value=thing.words, advice="Write a weight.")
        return tuple(things)
