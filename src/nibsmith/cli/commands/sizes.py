"""Say how large grains are, from a laser's table."""

from __future__ import annotations

import argparse

from nibsmith.answers.tools.grain_sizes import sizes_by_hand, sizes_read
from nibsmith.cli import by_hand
from nibsmith.cli.reading import shown_name, told_where


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which arguments the command takes."""
    parser.add_argument("file", metavar="FILE", help="the table of a laser, or - for standard input")
    by_hand.add_outputs(parser)


def run(args: argparse.Namespace) -> int:
    """Answer and print."""
    text = by_hand.text_of(args.file)
    with told_where(shown_name(args.file)):
        read = sizes_read(text)
    quoted = read.quoted
    more = {
        "d10_um": quoted.d10_um,
        "d50_um": quoted.d50_um,
        "d90_um": quoted.d90_um,
        "span": quoted.span,
        "sauter_um": quoted.sauter_um,
        "volume_mean_um": quoted.volume_mean_um,
        "surface_per_um": quoted.surface,
    }
    return by_hand.printed(sizes_by_hand(read), args, {"sizes": more})
