"""Say at which temperatures a kind of chocolate is tempered, and how long a bowl can be held."""

from __future__ import annotations

import argparse

from nibsmith.answers.tools.tempering import USUAL_FAT_PERCENT, TemperAsked, held, temper_by_hand
from nibsmith.cli import by_hand
from nibsmith.science.mixture import Span
from nibsmith.science.temper import Chocolate, ProgramTable


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("chocolate", choices=by_hand.choices(Chocolate), help="its kind")
    parser.add_argument(
        "--other-fat", metavar="PERCENT", help="fat of nuts and the like ground in, of all fat"
    )
    parser.add_argument(
        "--table",
        choices=by_hand.choices(ProgramTable),
        default=ProgramTable.FIRST.value,
        help="which of the two published tables",
    )
    parser.add_argument("--held", metavar="TEMP", help="at what a tempered bowl is held")
    parser.add_argument("--fat", metavar="PERCENT", help=f"fat of the mass (usual: {USUAL_FAT_PERCENT})")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    asked = TemperAsked(
        Chocolate(args.chocolate),
        by_hand.percent("--other-fat", args.other_fat) or 0.0,
        ProgramTable(args.table),
        by_hand.celsius("--held", args.held),
        by_hand.percent("--fat", args.fat) or USUAL_FAT_PERCENT,
    )
    program, bowl = asked.program, held(asked)
    more = {
        "program": {
            "melt_celsius": _ends(program.melt_celsius),
            "cool_celsius": _ends(program.cool_celsius),
            "work_celsius": _ends(program.work_celsius),
            "most_celsius": program.most_celsius,
            "shift_k": program.shift_k,
        },
        "held_minutes": None if bowl is None else bowl.minutes,
    }
    return by_hand.printed(temper_by_hand(asked), args, more)


def _ends(span: Span) -> dict[str, float]:
    return {"low": span.low, "value": span.value, "high": span.high}
