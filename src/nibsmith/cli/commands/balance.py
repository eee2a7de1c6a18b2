"""Balance a recipe to its limits: the least change or the cheapest, or why there is none."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from nibsmith.answers.answer import Verdict
from nibsmith.answers.balance import Balanced, Held, Wishes, balance, wishes_from
from nibsmith.answers.bench_report import balance_document
from nibsmith.answers.context import Context
from nibsmith.answers.recipe_text import write_recipe
from nibsmith.answers.sizing import Order, sized
from nibsmith.answers.wording import capital
from nibsmith.cli import bench
from nibsmith.cli.printing import SHAPES, columns, grams, heading, painted, percent, say, say_json, wrapped
from nibsmith.cli.reading import mass_option, shown_name, told_where
from nibsmith.cli.recipe_page import closing_lines, name_of
from nibsmith.cli.writing import write_whole
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Recipe

NO_SUCH_RECIPE = 1
"""The exit code where the limits stand in each other's way: an answer, but not a recipe."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    bench.add_file(parser)
    parser.add_argument("--total", metavar="MASS", help="the size it has before, such as '2 kg'")
    parser.add_argument(
        "--called",
        metavar="NAME",
        action="append",
        default=[],
        help="a name it is to earn, such as eu:milk; as often as needed, besides the file's",
    )
    parser.add_argument(
        "--offer",
        metavar="KEY",
        action="append",
        default=[],
        help="an ingredient that may come in, such as cocoa_butter; as often as needed",
    )
    parser.add_argument(
        "--pours", action="store_true", help="it must pour into moulds, or for what the file says"
    )
    parser.add_argument("--cheapest", action="store_true", help="the cheapest recipe, not the least change")
    bench.add_workshop(parser)
    parser.add_argument("--why", action="store_true", help="list every limit of a law")
    parser.add_argument("--write", metavar="OUT", type=Path, help="write what comes out as a recipe file")
    bench.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Balance, print it, and write the recipe if that is wanted."""
    there = bench.bench_of(args)
    total = mass_option("--total", args.total, there.file.decimal_sign)
    wishes = _wishes(args, there)
    recipe = sized(there.recipe, Order(None if total is None else float(total)), there.context).recipe
    with told_where(shown_name(args.file)):
        balanced = balance(recipe, wishes, there.context)
    if args.write is not None and balanced.recipe is not None:
        weighed = balanced.recipe.weighing(balanced.weigh_g)
        write_whole(args.write, write_recipe(weighed, there.file.workshop).encode())
    if args.json:
        say_json(balance_document(recipe, balanced))
    else:
        say(_text(recipe, balanced, _asked_where(there.context, wishes), args))
    return 0 if balanced.possible else NO_SUCH_RECIPE


def _wishes(args: argparse.Namespace, there: bench.Bench) -> Wishes:
    limits: dict[str, object] = dict(there.file.limits)
    offered = [bench.key_named("--offer", word) for word in args.offer]
    for key, typed in (("called", args.called), ("offer", offered)):
        if typed:
            limits[key] = [*_listed(limits.get(key)), *typed]
    if args.pours and not limits.get("pours"):
        limits["pours"] = True
    if args.cheapest:
        limits["objective"] = "cheapest"
    if not limits:
        advice = "Write [limits] in the file, or say --called."
        raise InputError("There is nothing to balance to", advice=advice)
    with told_where(shown_name(args.file)):
        return wishes_from(limits)


def _asked_where(context: Context, wishes: Wishes) -> Context:
    """Return the workshop with the markets whose names are asked, where any are."""
    markets = tuple(dict.fromkeys(market for market, _ in wishes.called))
    return replace(context, markets=markets or context.markets)


def _listed(value: object) -> list[object]:
    return value if isinstance(value, list) else []


def _text(recipe: Recipe, balanced: Balanced, context: Context, args: argparse.Namespace) -> Iterator[str]:
    size = grams(recipe.total_g, context.scale_g)
    yield heading(recipe.name, f"{recipe.form.replace('_', ' ')}, {size}")
    yield ""
    yield from _verdict(balanced)
    if balanced.recipe is not None:
        yield ""
        yield from _table(recipe, balanced, balanced.recipe, context)
        yield from _limits(balanced, why=args.why)
        yield from _costs(balanced)
    for remark in balanced.remarks:
        yield ""
        yield from wrapped(remark)
    yield ""
    yield from closing_lines(context)
    if args.write is not None and balanced.recipe is not None:
        yield f"The balanced recipe is in {args.write}."


def _verdict(balanced: Balanced) -> Iterator[str]:
    verdict = balanced.verdict
    yield f"{painted(SHAPES[verdict], verdict)} {painted(balanced.word, verdict)}"
    yield from wrapped(capital(balanced.sentence))
    if balanced.advice:
        yield from wrapped(balanced.advice)
    for give in balanced.gives:
        yield from wrapped(f"→ {give}", hang="    ")


def _table(recipe: Recipe, balanced: Balanced, after: Recipe, context: Context) -> list[str]:
    """Return the parts before and after, changes as the scale shows them."""
    step_g = context.scale_g
    weigh_g = balanced.weigh_g
    total_g = sum(weigh_g.values())
    before_g = {part.label: part.mass_g for part in recipe.parts}
    rows = [("", "before", "change", "weigh", "share")]
    for part in after.parts:
        old_g, new_g = before_g.get(part.label, 0.0), weigh_g.get(part.label, 0.0)
        share = percent(new_g / total_g * 100)
        rows.append(
            (name_of(part), grams(old_g, step_g), _signed(new_g - old_g, step_g), grams(new_g, step_g), share)
        )
    rows.append(("Together", grams(recipe.total_g, step_g), "", grams(total_g, step_g), percent(100)))
    return columns(rows, "<>>>>")


def _signed(change_g: float, step_g: Decimal) -> str:
    if abs(change_g) * 2 < step_g:
        return ""
    return f"+{grams(change_g, step_g)}" if change_g > 0 else grams(change_g, step_g)


def _limits(balanced: Balanced, *, why: bool) -> Iterator[str]:
    yield ""
    yield "Limits"
    for words, kept in _held(balanced) if not why else _every(balanced):
        shape = SHAPES[Verdict.GOOD if kept else Verdict.STOP]
        yield from wrapped(f"{shape} {words}", hang="    ")
    for words in balanced.missed_on_scale:
        yield from wrapped(f"! The scale is too coarse to keep {words}.", hang="    ")


def _every(balanced: Balanced) -> Iterator[tuple[str, bool]]:
    return ((f"{held.words} ({held.reason})", held.kept) for held in balanced.held)


def _held(balanced: Balanced) -> Iterator[tuple[str, bool]]:
    """Give each limit of the maker, and the kept ones of a law together; --why lists them all."""
    of_law = Counter(_law(held) for held in balanced.held if held.kept)
    for held in balanced.held:
        if held.kept and (count := of_law.get(_law(held), 0)) > 1:
            of_law[_law(held)] = 0
            yield f"{_law(held)}: all {count} kept", True
        elif not held.kept or of_law.get(_law(held)) == 1:
            yield f"{held.words} ({held.reason})", held.kept


def _law(held: Held) -> str:
    """Return the name a limit belongs to, such as milk chocolate in the EU; a maker's limit is its own."""
    name, comma, _ = held.reason.partition(", ")
    return name if comma else held.words


def _costs(balanced: Balanced) -> Iterator[str]:
    before, after = balanced.cost_before, balanced.cost_after
    if before is not None and after is not None:
        yield ""
        yield from wrapped(f"A kilogram of {balanced.cost_of} costs {after}; before {before}.")
