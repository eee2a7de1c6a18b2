"""Say what may be behind a fault, from what is seen."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from nibsmith.answers.tools.diagnosis import faults_by_hand, groups, look_next
from nibsmith.cli import by_hand
from nibsmith.cli.printing import columns, say, say_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument(
        "seen", metavar="SIGHT", nargs="*", help="what is seen, by its key; without any, the keys are listed"
    )
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print; list what can be told where nothing is."""
    told = {word.replace("-", "_") for word in args.seen}
    if told:
        further = [{"key": sight.key, "words": sight.words} for sight in look_next(told)]
        return by_hand.printed(faults_by_hand(told), args, {"look_next": further})
    if args.json:
        say_json({heading: {one.key: one.words for one in sights} for heading, sights in groups()})
    else:
        say(_list())
    return 0


def _list() -> Iterator[str]:
    for heading, sights in groups():
        yield heading
        yield from columns([(one.key, one.words) for one in sights], "<<", whole=0)
        yield ""
