"""Share one stock out between recipes: equal, by the weight of the batches, or by bars."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from nibsmith.answers.bench_report import shared_document
from nibsmith.answers.context import Context
from nibsmith.answers.share_out import SharedOut, share_out
from nibsmith.cli import bench
from nibsmith.cli.printing import columns, grams, say, say_json, wrapped
from nibsmith.cli.reading import mass_option, things_option, told_where
from nibsmith.cli.recipe_page import name_of
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Split, round_to_scale, share_of_stock
from nibsmith.science.mixture import Recipe, ingredients

MOST_WANTED = 100_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("stock", metavar="STOCK", help='what is shared, such as "5 kg cocoa_nibs_roasted"')
    parser.add_argument("files", metavar="FILE", nargs="+", help="the recipe files that take from it")
    parser.add_argument(
        "--by",
        choices=[split.value for split in Split],
        default=Split.EQUAL.value,
        help="equal amounts, by the weight of the batches, or by bars (usual: equal)",
    )
    parser.add_argument(
        "--wanted",
        metavar="LIST",
        help="weights or numbers of bars, one a file, such as '2 kg; 1.5 kg' or '24; 36' (usual: the files')",
    )
    parser.add_argument("--use-up", action="store_true", help="by weight: until nothing is left")
    bench.add_workshop(parser)
    bench.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Share out and print who gets what."""
    benches = [bench.bench_of(argparse.Namespace(**{**vars(args), "file": name})) for name in args.files]
    recipes = [there.recipe for there in benches]
    stock, stock_g = _stock(args.stock, recipes)
    split = Split(args.by)
    context = _context(benches, split)
    shared = share_out(
        stock,
        float(stock_g),
        recipes,
        context,
        split=split,
        wanted=_wanted(args.wanted, split, benches),
        use_up=args.use_up,
        kits=[there.context.kit for there in benches],
    )
    if args.json:
        say_json(shared_document(stock, stock_g, shared))
    else:
        say(_text(shared, context))
    return 0


def _stock(typed: str, recipes: Sequence[Recipe]) -> tuple[str, Decimal]:
    things = things_option("STOCK", [typed])
    if len(things) != 1 or things[0].mass_g is None:
        raise InputError(
            "STOCK: This is not one thing", value=typed, advice='Write "5 kg cocoa_nibs_roasted".'
        )
    with told_where("STOCK", field=False):
        return _key(things[0].words, recipes), things[0].mass_g


def _key(words: str, recipes: Sequence[Recipe]) -> str:
    """Return the label or ingredient key that the words mean in these recipes."""
    if words in ingredients() or all(any(part.label == words for part in each.parts) for each in recipes):
        return words
    return bench.key_of(words, lambda key: all(share_of_stock(each, key) for each in recipes))


def _context(benches: Sequence[bench.Bench], split: Split) -> Context:
    """Return the one workshop of all files; by bars they must not name different kits, losses or moulds."""
    first = benches[0].context
    if split is not Split.BARS:
        return first
    contexts = [there.context for there in benches]
    named: dict[str, Sequence[object]] = {
        "--kit": [here.kit.key if here.kit else None for here in contexts],
        "--residue": [here.kept_back_g for here in contexts],
        "--loss": [here.lost_percent for here in contexts],
        "--mould": [here.mould.cavity_g if here.mould else None for here in contexts],
    }
    for option, keys in named.items():
        found = dict.fromkeys(keys)
        if len(found) > 1:
            what = f"The files name different ones, or some none: say {option}"
            raise InputError(what, value=", ".join(str(key) for key in found))
    return replace(first, bars=None)


def _wanted(typed: str | None, split: Split, benches: Sequence[bench.Bench]) -> list[float] | None:
    if split is Split.EQUAL:
        return None
    if typed is None:
        return _of_the_files(split, benches)
    words = [word.strip() for word in typed.split(";") if word.strip()]
    if split is Split.WEIGHT:
        return [float(mass_option("--wanted", word) or 0) for word in words]
    return [float(_bars(word)) for word in words]


def _bars(word: str) -> int:
    number = int(word) if word.isascii() and word.isdigit() and len(word) < 10 else 0
    if not 0 < number <= MOST_WANTED:
        raise InputError("--wanted: This is no number of bars", value=word, limit=f"1 to {MOST_WANTED}")
    return number


def _of_the_files(split: Split, benches: Sequence[bench.Bench]) -> list[float]:
    """Return the weights or bars that the files say themselves."""
    by_weight = split is Split.WEIGHT
    said = [
        (None if there.file.by_shares else there.recipe.total_g) if by_weight else there.file.workshop.bars
        for there in benches
    ]
    silent = [there.recipe.name for there, number in zip(benches, said, strict=True) if number is None]
    if silent:
        what = "does not say its weight" if by_weight else "does not say how many bars"
        raise InputError(f"{silent[0]} {what}", advice="Say --wanted, one for each file.")
    return [float(number) for number in said if number is not None]


def _text(shared: SharedOut, context: Context) -> Iterator[str]:
    yield from wrapped(shared.sentence, indent="")
    yield ""
    rows = [("", "takes", "batch", "bars")]
    for portion in shared.portions:
        batch = "" if portion.recipe is None else grams(portion.recipe.total_g, context.scale_g)
        bars = "" if portion.bars is None else str(portion.bars)
        rows.append((portion.name, grams(portion.takes_g, context.scale_g), batch, bars))
    yield from columns(rows, "<>>>")
    for portion in shared.portions:
        if portion.recipe is not None:
            yield ""
            yield portion.name
            yield from columns(_weights(portion.recipe, context), "<>")
        for remark in portion.remarks:
            yield from wrapped(f"! {remark}", hang="    ")


def _weights(recipe: Recipe, context: Context) -> list[tuple[str, str]]:
    """Return the parts as the scale shows them; they add to the batch."""
    rounded = round_to_scale({part.label: part.mass_g for part in recipe.parts}, context.scale_g)
    return [(name_of(part), grams(rounded.masses_g[part.label], context.scale_g)) for part in recipe.parts]
