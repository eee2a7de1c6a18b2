"""Say what can still be done about a bowl: the smallest additions that bring it back to the recipe."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from nibsmith.answers.answer import Verdict
from nibsmith.answers.bench_report import rescue_document
from nibsmith.answers.context import Context
from nibsmith.answers.rescue import Moment, Rescued, rescue
from nibsmith.cli import bench
from nibsmith.cli.printing import SHAPES, columns, grams, heading, painted, percent, say, say_json, wrapped
from nibsmith.cli.recipe_page import changed_words, name_of
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Recipe, Stage

NO_WAY_BACK = 1
"""The exit code where nothing that can still go in brings the bowl back."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    bench.add_file(parser)
    bench.add_in_bowl(parser)
    bench.add_have(parser)
    parser.add_argument("--only-shelf", action="store_true", help="what is not on the shelf cannot be had")
    parser.add_argument(
        "--stage",
        metavar="STAGE",
        choices=[stage.value for stage in Stage],
        default=Stage.START.value,
        help=f"what is being done now, one of {', '.join(Stage)} (usual: start)",
    )
    parser.add_argument("--grind-on", action="store_true", help="there are hours of grinding to come")
    bench.add_workshop(parser)
    bench.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Work out the additions and print them."""
    there = bench.bench_of(args)
    if not there.in_bowl:
        raise InputError(
            "It is not said what is in the bowl", advice="Say --in-bowl, or [[in_bowl]] in the file."
        )
    moment = Moment(
        stage=Stage(args.stage),
        grind_on=args.grind_on,
        only_shelf=args.only_shelf,
        foreign=there.in_bowl.foreign,
    )
    rescued = rescue(there.recipe, there.in_bowl.parts_g, there.context, moment)
    if args.json:
        say_json(rescue_document(there.recipe, rescued))
    else:
        say(_text(there.recipe, rescued, there.context))
    return 0 if rescued.possible else NO_WAY_BACK


def _text(recipe: Recipe, rescued: Rescued, context: Context) -> Iterator[str]:
    yield heading(recipe.name, f"in the bowl, {grams(rescued.bowl.total_g, context.scale_g)}")
    yield ""
    yield from _verdict(rescued)
    yield ""
    yield from _table(recipe, rescued, context)
    if rescued.recipe is not None:
        yield ""
        yield from wrapped(changed_words(rescued.changes))
    for remark in rescued.remarks:
        yield from wrapped(remark)


def _verdict(rescued: Rescued) -> Iterator[str]:
    if not rescued.possible:
        verdict, word = Verdict.STOP, "No way back."
    elif rescued.additions:
        verdict, word = Verdict.WATCH, "It can be saved."
    else:
        verdict, word = Verdict.GOOD, "It fits."
    yield f"{painted(SHAPES[verdict], verdict)} {painted(word, verdict)}"
    yield from wrapped(rescued.sentence)
    for give in rescued.gives:
        yield from wrapped(f"→ {give}", hang="    ")


def _table(recipe: Recipe, rescued: Rescued, context: Context) -> list[str]:
    """Return the shares wanted, in the bowl, and afterwards, with what goes in."""
    step_g = context.scale_g
    after = rescued.recipe or rescued.bowl
    adds = {each.label: each.weigh_g or each.add_g for each in rescued.additions}
    wanted = {part.label: recipe.share(part.label) for part in recipe.parts}
    rows = [["", "in the bowl", "add", "wanted", "now", "after"]]
    for part in after.parts:
        label, in_bowl_g = part.label, rescued.bowl.part(part.label).mass_g
        shares = [wanted.get(label, 0.0), rescued.bowl.share(label), after.share(label)]
        add = f"+{grams(adds[label], step_g)}" if label in adds else ""
        rows += [[name_of(part), grams(in_bowl_g, step_g), add, *(percent(share * 100) for share in shares)]]
    if rescued.recipe is None:
        rows = [[*row[:-1], ""] for row in rows]
    return columns(rows, "<>>>>>")
