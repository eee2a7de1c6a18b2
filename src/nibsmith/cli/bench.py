"""The bench around a recipe: its file, its workshop, the shelf and the bowl, as typed on the command line."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from types import MappingProxyType

from nibsmith.answers.aliases import Ask, One, what_is_it
from nibsmith.answers.context import Context
from nibsmith.answers.recipe_text import (
    InBowl,
    RecipeFile,
    known_markets,
    label_of,
    loss_of_all,
    means_a_part,
    mould_of,
    stock_label,
)
from nibsmith.cli.reading import mass_option, read_file, things_option, told_where
from nibsmith.science.errors import InputError, UnknownIngredient
from nibsmith.science.kit import check_residue, kit
from nibsmith.science.mixture import Recipe, ingredients, part
from nibsmith.science.quantities import Thing, parse_mass, parse_percent


@dataclass(frozen=True)
class Bench:
    """A recipe file with everything the command line says beside it."""

    file: RecipeFile
    context: Context
    shelf_g: Mapping[str, float]
    in_bowl: InBowl

    @property
    def recipe(self) -> Recipe:
        """The recipe of the file."""
        return self.file.recipe


def add_file(parser: argparse.ArgumentParser) -> None:
    """Say that the command takes a recipe file."""
    parser.add_argument("file", metavar="FILE", help="a recipe file, or - for standard input")


def add_workshop(parser: argparse.ArgumentParser) -> None:
    """Say which options describe the workshop; each goes before what the file says."""
    group = parser.add_argument_group("workshop (before what the file says)")
    group.add_argument("--kit", metavar="KIT", help="what it is ground with, such as stone or blender")
    group.add_argument(
        "--residue",
        metavar="MASS",
        help="what stays in it whatever the batch, such as 140g (usual: the kit's)",
    )
    group.add_argument(
        "--loss",
        metavar="PERCENT",
        help="what is lost of the finished mass besides, such as 2 (usual: the kit's)",
    )
    group.add_argument("--mould", metavar="MASS", help="mass of one bar, such as 70g")
    group.add_argument("--scale", metavar="MASS", help="step of the scale, such as 0.1g (usual: 1 g)")
    group.add_argument("--markets", metavar="KEYS", help="where it is to be sold, such as eu,us (usual: eu)")
    group.add_argument("--memory-rules", action="store_true", help="count rules known from memory only")
    group.add_argument("--lecithin", action="store_true", help="lecithin may be proposed")


def add_have(parser: argparse.ArgumentParser) -> None:
    """Say what is on the shelf."""
    parser.add_argument(
        "--have",
        metavar="THING",
        action="append",
        default=[],
        help='what is on the shelf, such as "1.2 kg cocoa_nibs_roasted"; as often as needed',
    )


def add_in_bowl(parser: argparse.ArgumentParser) -> None:
    """Say what is weighed already."""
    parser.add_argument(
        "--in-bowl",
        metavar="THING",
        action="append",
        default=[],
        help='what is weighed already, such as "640 g sugar_granulated"; then the file\'s does not count',
    )


def add_outputs(parser: argparse.ArgumentParser) -> None:
    """Say how the answer is printed."""
    parser.add_argument("--json", action="store_true", help="print JSON")


def bench_of(args: argparse.Namespace) -> Bench:
    """Read the file and the options into one bench."""
    cavity_g = mass_option("--mould", args.mould)
    with told_where("--kit", field=False):
        chosen = None if args.kit is None else kit(args.kit)
    file = read_file(args.file, cavity_g, chosen)
    shelf_g = shelf_of(getattr(args, "have", []), file)
    context = replace(_context(args, file, cavity_g), kit=chosen or file.workshop.kit, shelf_g=shelf_g)
    return Bench(
        file=file,
        context=_with_loss(context, args, file),
        shelf_g=shelf_g,
        in_bowl=_in_bowl(getattr(args, "in_bowl", []), file),
    )


def _context(args: argparse.Namespace, file: RecipeFile, cavity_g: Decimal | None) -> Context:
    said = file.workshop
    usual = Context()
    return Context(
        mould=said.mould if cavity_g is None else mould_of(cavity_g),
        bars=None,
        scale_g=mass_option("--scale", args.scale) or said.scale_g or usual.scale_g,
        markets=_markets(args.markets) or said.markets or usual.markets,
        memory_rules=args.memory_rules,
        uses_lecithin=args.lecithin or bool(said.uses_lecithin),
        currency=said.currency or usual.currency,
        bean_yield=said.bean_yield,
    )


def _with_loss(context: Context, args: argparse.Namespace, file: RecipeFile) -> Context:
    """Say what is lost by the options, by the file where they say nothing, else by the kit."""
    residue_g, lost = file.workshop.residue_g, file.workshop.loss_percent
    with told_where("--residue", field=False):
        if args.residue is not None:
            residue_g = parse_mass(args.residue)
        if residue_g is not None and context.kit is not None:
            check_residue(residue_g, context.kit.charge_max_g)
    with told_where("--loss", field=False):
        if args.loss is not None:
            lost = loss_of_all(parse_percent(args.loss, bare=True))
    return replace(
        context,
        kept_back_g=None if residue_g is None else float(residue_g),
        lost_percent=None if lost is None else float(lost),
    )


def _markets(typed: str | None) -> tuple[str, ...] | None:
    if typed is None:
        return None
    with told_where("--markets", field=False):
        return known_markets([key.strip().lower() for key in typed.split(",") if key.strip()])


def shelf_of(typed: list[str], file: RecipeFile) -> Mapping[str, float]:
    """Return what is on the shelf, by part label where one part is meant, else by ingredient key [g]."""
    shelf_g: dict[str, float] = {}
    for thing in things_option("--have", typed, file.decimal_sign):
        with told_where("--have", field=False):
            key = _meant(thing, file.recipe, stock_label)
            shelf_g[key] = shelf_g.get(key, 0.0) + float(thing.mass_g or 0)
    return MappingProxyType(shelf_g)


def _in_bowl(typed: list[str], file: RecipeFile) -> InBowl:
    if not typed:
        return file.in_bowl
    parts_g: dict[str, float] = {}
    foreign_g: dict[str, float] = {}
    for thing in things_option("--in-bowl", typed, file.decimal_sign):
        with told_where("--in-bowl", field=False):
            key = _meant(thing, file.recipe, label_of)
            there = parts_g if means_a_part(file.recipe, key) else foreign_g
            there[key] = there.get(key, 0.0) + float(thing.mass_g or 0)
    foreign = tuple(part(key, mass_g) for key, mass_g in foreign_g.items())
    return InBowl(MappingProxyType(parts_g), foreign)


def _meant(thing: Thing, recipe: Recipe, name: Callable[[Recipe, str], str]) -> str:
    """Return what is meant among the parts, or the key of an ingredient that is not in the recipe."""
    if means_a_part(recipe, thing.words):
        return name(recipe, thing.words)
    key = thing.words if thing.words in ingredients() else _by_words(thing.words, recipe)
    return name(recipe, key) if means_a_part(recipe, key) else key


def key_named(option: str, words: str) -> str:
    """Return the key of the ingredient that is typed after an option, by key or in a maker's words."""
    with told_where(option, field=False):
        return words if words in ingredients() else key_of(words, lambda _: False)


def _by_words(words: str, recipe: Recipe) -> str:
    return key_of(words, lambda key: means_a_part(recipe, key))


def key_of(words: str, there: Callable[[str], bool]) -> str:
    """Return the key that a maker's words mean; of several, the one that is there, where only one is."""
    meaning = what_is_it(words)
    if isinstance(meaning, One):
        return meaning.key
    if isinstance(meaning, Ask):
        found = [key for key in meaning.choices if there(key)]
        if len(found) == 1:
            return found[0]
        choices = ", ".join(meaning.choices)
        raise InputError(meaning.question.rstrip("?"), value=words, advice=f"Write one of: {choices}.")
    raise UnknownIngredient(words, meaning.near)
