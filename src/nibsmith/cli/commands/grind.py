"""Say how fine a mass is and when it is ready, from micrometer readings."""

from __future__ import annotations

import argparse

from nibsmith.answers.context import Context
from nibsmith.answers.smooth import GrindCurve
from nibsmith.answers.tools.grinding import (
    GrindAsked,
    LastIn,
    grinding_by_hand,
    grinding_curve,
    readings_typed,
)
from nibsmith.cli import by_hand
from nibsmith.cli.reading import told_where
from nibsmith.science.grind import Aim
from nibsmith.science.kit import kit


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument(
        "readings",
        metavar="READING",
        nargs="*",
        help="hours since the last coarse addition, µm, and of how many it is the median: '24 h 45 µm 3'",
    )
    parser.add_argument("--kit", metavar="KIT", help="what it is ground with (usual: stone)")
    parser.add_argument(
        "--last", choices=by_hand.choices(LastIn), default=LastIn.SUGAR.value, help="what went in last"
    )
    parser.add_argument("--aim", choices=by_hand.choices(Aim), help="how fine (usual: as the kit gets)")
    parser.add_argument(
        "--charge", metavar="MASS", help="how much is in the machine (usual: 2 kg, or what the kit takes)"
    )
    parser.add_argument("--hours", metavar="N", help="how long it is to be ground in all")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    with told_where("READING", field=False):
        readings = readings_typed("\n".join(args.readings))
    with told_where("--kit", field=False):
        context = Context(kit=None if args.kit is None else kit(args.kit))
    asked = GrindAsked(
        last=LastIn(args.last),
        readings=readings,
        aim=by_hand.chosen(Aim, args.aim),
        hours=by_hand.number("--hours", args.hours),
        charge_g=by_hand.mass("--charge", args.charge),
        context=context,
    )
    curve = grinding_curve(asked)
    more = {"forecast": None if curve is None else _points(curve)}
    return by_hand.printed(grinding_by_hand(asked), args, more)


def _points(curve: GrindCurve) -> dict[str, object]:
    ready = None
    if curve.ready is not None:
        low, value, high = curve.ready.low, _known(curve.ready.value), _known(curve.ready.high)
        ready = {"low": low, "value": value, "high": high}
    return {
        "hours": curve.hours.tolist(),
        "size_um": curve.middle.tolist(),
        "low_um": curve.low.tolist(),
        "high_um": curve.high.tolist(),
        "target_um": curve.target_um,
        "floor_um": curve.floor_um,
        "ready_h": ready,
    }


def _known(hours: float) -> float | None:
    """An hour, or none where it may never come."""
    return None if hours == float("inf") else hours
