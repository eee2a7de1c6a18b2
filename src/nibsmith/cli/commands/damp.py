"""Say whether bars out of the cold get damp in a room."""

from __future__ import annotations

import argparse

from nibsmith.answers.tools.damp import DampAsked, damp_by_hand, damp_of
from nibsmith.cli import by_hand


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("bar", metavar="TEMP", help="the bars as they come out, such as '12 C'")
    parser.add_argument("room", metavar="ROOM", help="the room, such as '20 C'")
    parser.add_argument("humidity", metavar="PERCENT", help="its relative humidity, such as 50")
    parser.add_argument("--milk", action="store_true", help="milk or white chocolate, not dark")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    asked = DampAsked(
        by_hand.needed("TEMP", by_hand.celsius("TEMP", args.bar)),
        by_hand.needed("ROOM", by_hand.celsius("ROOM", args.room)),
        by_hand.needed("PERCENT", by_hand.percent("PERCENT", args.humidity)),
        args.milk,
    )
    found = damp_of(asked)
    more = {
        "at_face_percent": found.at_face,
        "dew_point_celsius": found.dew_celsius,
        "safe_celsius": found.safe_celsius,
        "limit_percent": found.limit,
    }
    return by_hand.printed(damp_by_hand(asked), args, {"damp": more})
