"""Answer from a recipe file: what to weigh, what it may be called, and what else a maker asks."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from nibsmith.answers.answer import Answer
from nibsmith.answers.ask import ask_all
from nibsmith.answers.call_it import names_earned, nearest_detail
from nibsmith.answers.context import Context
from nibsmith.answers.report import Extras, name_of, report
from nibsmith.answers.sizing import Order, Sized, sized
from nibsmith.answers.ways_out import Way, document, ways_out
from nibsmith.cli import bench
from nibsmith.cli.answers_text import answer_lines, caution_lines
from nibsmith.cli.printing import say, say_json, wrapped
from nibsmith.cli.reading import mass_option
from nibsmith.cli.recipe_page import (
    bowl_lines,
    closing_lines,
    figure_lines,
    shelf_lines,
    title_lines,
    weigh_lines,
)
from nibsmith.cli.writing import write_whole
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Bowl, in_the_bowl, round_to_scale
from nibsmith.science.mixture import Recipe

MOST_BARS = 100_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    bench.add_file(parser)
    bench.add_have(parser)
    bench.add_in_bowl(parser)
    parser.add_argument("--total", metavar="MASS", help="everything weighed, such as '2 kg'")
    parser.add_argument("--bars", metavar="N", help="how many bars of the mould to make")
    bench.add_workshop(parser)
    parser.add_argument("--why", action="store_true", help="open every answer: reasons, figures, sources")
    parser.add_argument("--pdf", metavar="OUT", type=Path, help="write the batch sheet as a PDF")
    bench.add_outputs(parser)


@dataclass(frozen=True)
class Asked:
    """Everything the command worked out, to be printed in one way or the other."""

    size: Sized
    context: Context
    weigh_g: dict[str, Decimal]
    bowl: Bowl | None
    ways: tuple[Way, ...]
    answers: tuple[Answer, ...]
    remarks: tuple[str, ...]

    @property
    def still_g(self) -> dict[str, Decimal]:
        """What is still to be weighed in, by part label, none of it less than nothing [g]."""
        there = {} if self.bowl is None else self.bowl.bowl_g
        left = {
            label: mass_g - Decimal(repr(there.get(label, 0.0))) for label, mass_g in self.weigh_g.items()
        }
        return {label: max(Decimal(0), left_g) for label, left_g in left.items()}


def run(args: argparse.Namespace) -> int:
    """Ask everything, print it, and write the sheet if one is wanted."""
    asked = _ask(args)
    if args.pdf is not None:
        _write_pdf(args.pdf, asked)
    if args.json:
        say_json(_document(asked))
    else:
        say(_text(asked, args))
    return 0


def _ask(args: argparse.Namespace) -> Asked:
    there = bench.bench_of(args)
    bowl = in_the_bowl(there.recipe, there.in_bowl.parts_g, there.in_bowl.foreign) if there.in_bowl else None
    order = _order(args, there)
    unsaid = order == Order()
    if unsaid and bowl is not None:
        order = Order(total_g=_asked_by(bowl, there))
    size = sized(there.recipe, order, there.context)
    planned = None if unsaid and there.file.by_shares else there.recipe if unsaid else size.weigh
    context = replace(there.context, bars=size.bars)
    masses_g = {part.label: part.mass_g for part in size.weigh.parts}
    return Asked(
        size=size,
        context=context,
        weigh_g=dict(round_to_scale(masses_g, context.scale_g).masses_g),
        bowl=bowl,
        ways=ways_out(bowl, context, planned) if bowl else (),
        answers=_answers(size.recipe, context, why=args.why and not args.json),
        remarks=(*there.file.remarks, *(_unsaid(there, bowl) if unsaid else ()), *size.remarks),
    )


def _answers(recipe: Recipe, context: Context, *, why: bool) -> tuple[Answer, ...]:
    """Ask everything; opened, the name tells what would earn each of the others."""
    found = ask_all(recipe, context)
    if not why:
        return found
    more = (nearest_detail(recipe, context),)
    return tuple(
        replace(each, details=(*each.details, *more)) if each.question == "call_it" else each
        for each in found
    )


def _asked_by(bowl: Bowl, there: bench.Bench) -> float:
    """Return the size a bowl asks for: that of the file's weights, unless more is in the bowl [g]."""
    least_g = (bowl.keep_shares or bowl.keep_weights).total_g
    return least_g if there.file.by_shares else max(least_g, there.recipe.total_g)


def _order(args: argparse.Namespace, there: bench.Bench) -> Order:
    """Read the size; what the command line says goes before the bars of the file."""
    bars = _bars(args.bars)
    total = mass_option("--total", args.total, there.file.decimal_sign)
    if bars is None and total is None and not there.shelf_g:
        bars = there.file.workshop.bars
    in_bowl_g = there.in_bowl.parts_g if there.shelf_g else Order().bowl_g
    return Order(None if total is None else float(total), bars, there.shelf_g, in_bowl_g)


def _bars(typed: str | None) -> int | None:
    if typed is None:
        return None
    number = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 10 else 0
    if not 0 < number <= MOST_BARS:
        raise InputError("--bars: This is no number of bars", value=typed, limit=f"1 to {MOST_BARS}")
    return number


def _unsaid(there: bench.Bench, bowl: Bowl | None) -> Iterator[str]:
    """Say how large the recipe is shown where nothing says it."""
    if bowl is not None and (there.file.by_shares or _asked_by(bowl, there) > there.recipe.total_g):
        yield "Shown at the size that what is in the bowl asks for."
    elif bowl is None and there.file.by_shares:
        yield "Shown for 1 kg: the file says shares alone. Say --total, --bars or --have for a batch."


def _document(asked: Asked) -> dict[str, object]:
    size = asked.size
    extras = Extras(
        names=[name_of(*pair) for pair in names_earned(size.recipe, asked.context)],
        weigh=size.weigh,
        weigh_g={label: float(mass) for label, mass in asked.weigh_g.items()},
        bowl=None if asked.bowl is None else asked.bowl.now,
        batch_limit=size.runs_out[0] if size.runs_out else None,
        left_over=[
            {"part": key, "name": _name(size.recipe, key), "left_g": left_g}
            for key, left_g in size.left_g.items()
        ],
        ways_out=[document(way) for way in asked.ways],
        remarks=asked.remarks,
    )
    return report(size.recipe, asked.context, answers=asked.answers, extras=extras)


def _name(recipe: Recipe, key: str) -> str:
    names = {leaf.ingredient.key: leaf.ingredient.name for leaf in recipe.leaves()}
    names |= {part.label: part.name for part in recipe.parts}
    return names.get(key, key)


def _text(asked: Asked, args: argparse.Namespace) -> Iterator[str]:
    size, context = asked.size, asked.context
    yield from title_lines(size.recipe, size.weigh, context)
    yield from weigh_lines(size.recipe, size.weigh, asked.weigh_g, context)
    for remark in asked.remarks:
        yield from wrapped(remark)
    if asked.remarks:
        yield ""
    yield from shelf_lines(size, asked.still_g, context.scale_g)
    if asked.bowl is not None:
        yield from bowl_lines(asked.bowl, asked.ways, asked.still_g, context)
    yield from figure_lines(size.recipe, context, why=args.why)
    for answer in asked.answers:
        yield ""
        yield from answer_lines(answer, why=args.why)
    yield from caution_lines(asked.answers)
    yield ""
    yield from closing_lines(context)
    if args.pdf is not None:
        yield f"The batch sheet is in {args.pdf}."


def _write_pdf(path: Path, asked: Asked) -> None:
    from nibsmith.answers.sheet import batch_sheet
    from nibsmith.paper import sheet_pdf

    write_whole(path, sheet_pdf(batch_sheet(asked.size.recipe, asked.context)))
