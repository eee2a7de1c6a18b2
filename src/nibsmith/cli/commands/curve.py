"""Say what a cooling curve tells of the temper."""

from __future__ import annotations

import argparse

from nibsmith.answers.curve import CurvePicture, curve_picture
from nibsmith.answers.tools.cooling_curve import CurveTyped, curve_by_hand, curve_typed
from nibsmith.cli import by_hand
from nibsmith.cli.reading import shown_name, told_where
from nibsmith.science.errors import InputError


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("file", metavar="FILE", help="lines of time and temperature, or - for standard input")
    parser.add_argument("--coolant", metavar="TEMP", required=True, help="the cold body the cup stands in")
    parser.add_argument("--seconds", action="store_true", help="plain times are seconds, not minutes")
    parser.add_argument(
        "--marked",
        metavar="CURVE",
        action="append",
        default=[],
        help="a curve you have marked: slope, coolant, start, and under, well or over; as often as needed",
    )
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    text = by_hand.text_of(args.file)
    coolant = by_hand.needed("--coolant", by_hand.celsius("--coolant", args.coolant))
    with told_where(shown_name(args.file), field=False):
        typed = curve_typed(text, coolant, in_seconds=args.seconds, marked="\n".join(args.marked))
    return by_hand.printed(curve_by_hand(typed), args, {"curve": _points(typed)})


def _points(typed: CurveTyped) -> dict[str, object] | None:
    try:
        picture: CurvePicture = curve_picture(typed.asked)
    except InputError:
        return None
    found = picture.inflection
    return {
        "minutes": picture.minutes.tolist(),
        "celsius": picture.celsius.tolist(),
        "slope_k_min": picture.slopes.tolist(),
        "inflection": None if found is None else {"minutes": found[0], "celsius": found[1]},
    }
